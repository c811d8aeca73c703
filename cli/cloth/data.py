"""All figures of a lay as plain data, for lay.json."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from outseam.cli.pattern.summary import rounded
from outseam.cli.version import VERSION
from outseam.cli.wording.fabric import centimetres_needed, eighth_yards_needed
from outseam.cli.wording.findings import finding_data
from outseam.draft.inputs.show import YARD_MM, Units
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.ways.length_in_hand import Remedy


def _placed(placed: Placed, number: int, names: Sequence[str]) -> dict[str, Any]:
    return {
        "number": number,
        "piece": placed.key,
        "title": placed.piece.title,
        "garment": names[placed.part.garment],
        "zone": placed.part.zone,
        "cuts": placed.part.cuts,
        "face": placed.lie.face,
        "turn_deg": placed.lie.turn_deg,
        "from_cut_end_mm": placed.x_mm,
        "from_selvedge_mm": placed.y_mm,
        "length_mm": placed.length_mm,
        "breadth_mm": placed.breadth_mm,
    }


def lay_data(lay: Lay, units: Units, helps: Sequence[Remedy] = ()) -> dict[str, Any]:
    """Return every figure of the lay, lengths in mm; sentences in the units of the file."""
    data = {
        "program": {"name": "outseam", "version": VERSION},
        "cloth": asdict(lay.cloth),
        "garments": list(lay.names),
        "length_mm": lay.length_mm,
        "length_cm_up": centimetres_needed(lay.length_mm),
        "length_yd": lay.length_mm / YARD_MM,
        "length_yd_up": eighth_yards_needed(lay.length_mm),
        "bound_mm": lay.bound_mm,
        "opened_mm": lay.opened_mm,
        "fold_mm": lay.fold_mm,
        "utilisation": lay.utilisation,
        "how": lay.how,
        "left_out": list(lay.left_out),
        "placed": [_placed(p, lay.number(p), lay.names) for p in lay.placed],
        "findings": [finding_data(f, units) for f in lay.findings],
        "remedies": [asdict(r) for r in helps],
    }
    return rounded(data)  # type: ignore[no-any-return]


def lay_text(data: dict[str, Any]) -> str:
    """Return data as JSON text. Raises ValueError for a number that is not finite."""
    return json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
