"""Usual figures of the trade, each in both systems: one place that knows both.

A file in centimetres gets whole centimetres and millimetres, a file in inches fractions of an inch,
so that one system reads through all that is printed. Common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from outseam.draft.inputs.show import MM_PER_UNIT, Units

_INCH_MM: Final = float(MM_PER_UNIT["in"])


@dataclass(frozen=True, slots=True)
class Usual:
    """A usual length in either system: `metric_mm` in mm, `inches` in inches."""

    metric_mm: float
    inches: float

    def mm(self, units: Units) -> float:
        """Return it in mm, as a file in these units has it."""
        return self.inches * _INCH_MM if units == "in" else self.metric_mm


SEAM_ALLOWANCE: Final = Usual(10.0, 3 / 8)
HEM_ALLOWANCE: Final = Usual(25.0, 1)
#: A wide elastic as it is sold.
ELASTIC_WIDTH: Final = Usual(50.0, 2)
#: Room for the elastic to lie flat under a folded band, and where a narrow one is threaded through
#: a casing; below it the edge is turned under, or overlocked, by so much.
BAND_ROOM: Final = Usual(3.0, 1 / 8)
CASING_ROOM: Final = Usual(6.0, 1 / 4)
CASING_EDGE: Final = Usual(6.0, 1 / 4)
#: The ends of an elastic are laid over each other by this and stitched.
ELASTIC_OVERLAP: Final = Usual(10.0, 1 / 2)
#: Open in the seam of the band to thread the elastic, and how much more than it is wide.
GAP: Final = Usual(50.0, 2)
GAP_SPARE: Final = Usual(25.0, 1)
#: A border is basted this far either side of its notch, and crossing seams of where they meet.
BASTE: Final = Usual(25.0, 1)
#: A hem is stitched this far inside its cut edge; a bag is sewn to its leg this far inside the
#: allowance, so that its seam cannot show.
INSIDE: Final = Usual(3.0, 1 / 8)
#: What is left of the allowance in the curve of the crotch after it was sewn twice.
TRIM: Final = Usual(6.0, 1 / 4)
#: A seam that is let out keeps at least this much to be sewn; beyond the seam line of a trial there
#: is so much to let out.
LEAST_SEAM: Final = Usual(6.0, 1 / 4)
LET_OUT: Final = Usual(25.0, 1)
#: A mouth is topstitched this far from its edge.
TOPSTITCH: Final = Usual(6.0, 1 / 4)
#: The strip behind a slit or a zip, finished.
UNDERLAP: Final = Usual(25.0, 1)
#: Facing turned down at the top of a patch pocket.
POCKET_FACING: Final = Usual(30.0, 1 + 1 / 4)
#: Neighbouring sheets of paper overlap by this; pieces lie at least this far apart on the fabric.
PAPER_OVERLAP: Final = Usual(10.0, 3 / 8)
#: A fabric for clothes is so wide where the file does not say.
USUAL_WIDTH: Final = Usual(1500.0, 60)
PIECE_GAP: Final = Usual(5.0, 1 / 4)
