"""The numbered layers that cut parts are drawn on.

After ASTM D6673, "Standard Practice for Sewn Products Pattern Data Interchange - Data Format":
what lies on which layer is the standard's; nobody has certified what is written here.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.piece.piece import LineKind

BOUNDARY: Final = "1"
TURN_POINTS: Final = "2"
CURVE_POINTS: Final = "3"
NOTCHES: Final = "4"
GRADE_REFERENCE: Final = "5"
GRAIN: Final = "7"
INTERNAL: Final = "8"
SEW: Final = "14"
ANNOTATION: Final = "15"

#: In the order of their numbers. Mirror lines (6) have none: every piece is drawn whole.
LAYERS: Final = (
    *(BOUNDARY, TURN_POINTS, CURVE_POINTS, NOTCHES, GRADE_REFERENCE, GRAIN, INTERNAL, SEW),
    ANNOTATION,
)

#: Where each kind of line inside a piece goes: all but the grain are drawn, not cut.
LAYER_OF: Final[dict[LineKind, str]] = {
    "grain": GRAIN,
    **dict.fromkeys(("crease", "level", "lengthen", "fold", "topstitch"), INTERNAL),
}
