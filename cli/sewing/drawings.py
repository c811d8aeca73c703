"""The pictures of the sewing order: one line each. A step names the one it wants."""

from __future__ import annotations

from collections.abc import Callable

from outseam.cli.scene.scene import Scene
from outseam.cli.sewing import (
    ankle as sewing_ankle,
)
from outseam.cli.sewing import (
    band as sewing_band,
)
from outseam.cli.sewing import (
    cutting as sewing_cut,
)
from outseam.cli.sewing import (
    legs as sewing_legs,
)
from outseam.cli.sewing import (
    pockets as sewing_pockets,
)
from outseam.draft.model import Pattern

DRAWINGS: dict[str, Callable[[Pattern], Scene]] = {
    "stitches-knit": sewing_cut.stitches_knit,
    "stitches-woven": sewing_cut.stitches_woven,
    "cut-single": sewing_cut.cut_single,
    "cut-folded": sewing_cut.cut_folded,
    "cut-border": sewing_cut.cut_border,
    "notches": sewing_cut.notches,
    "patch": sewing_pockets.patch,
    "scoop-mouth": sewing_pockets.scoop_mouth,
    "scoop-bag": sewing_pockets.scoop_bag,
    "side-pocket": sewing_pockets.side_pocket,
    "border": sewing_cut.border,
    "try": sewing_legs.tried_on,
    "outseam": sewing_legs.outseam,
    "outseam-pocket": sewing_pockets.outseam_pocket,
    "ankle-slit": sewing_ankle.slit,
    "ankle-zip": sewing_ankle.zip_set,
    "inseam": sewing_legs.inseam,
    "inseam-flat": sewing_legs.inseam_flat,
    "crotch": sewing_legs.crotch,
    "casing": sewing_legs.casing,
    "belt": sewing_band.belt,
    "ring": sewing_band.ring,
    "join": sewing_band.join_round,
    "join-gap": sewing_band.join_gap,
    "elastic": sewing_band.elastic,
    "thread": sewing_band.thread,
    "ditch": sewing_band.ditch,
    "hem": sewing_legs.hem,
    "finished": sewing_legs.finished,
}
