"""The pictures of the sewing order: a line a file. A step names the one it wants."""

from __future__ import annotations

from outseam.cli.sewing import ankle, band, cutting, legs, patch, scoop, side_seam
from outseam.cli.sewing.canvas import Drawings

DRAWINGS: Drawings = {
    **cutting.DRAWINGS,
    **legs.DRAWINGS,
    **ankle.DRAWINGS,
    **band.DRAWINGS,
    **patch.DRAWINGS,
    **scoop.DRAWINGS,
    **side_seam.DRAWINGS,
}
