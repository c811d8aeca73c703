"""The body from front to back at seat and waist: what the forks and the side seam go by."""

from __future__ import annotations

import math
from typing import Final

from outseam.draft.body.measures import Measures

#: ln seat depth, cm, from ln of these, cm: constant, then slopes. Regression on the public survey
#: ANSUR II (halves of it, 993 women and 2,041 men; waist level with the navel); sd .044 women,
#: .041 men.
_DEPTH: Final = {
    "women": (-0.8031, (-0.267, 0.696, 0.376, 0.332, -0.038, -0.868, 0.754)),
    "men": (-1.3151, (0.105, 0.649, 0.332, 0.405, -0.039, -0.875, 0.482)),
}

#: The side seam lies so that the back half of the hip is drafted this much wider than a quarter
#: of the girth, the front as much narrower. Handbooks: 5-10 mm.
SIDE_SHIFT_MM: Final = 7.0
#: From this waist over hip on, a belly takes hip width from the back panel for the front: this
#: share of the hip for each unit of the ratio, at most `_MOST_MM` (common practice, calibrated
#: here: a waist as wide as the hip has a front panel as wide as the back's).
_BELLY_FROM: Final = {"women": 0.80, "men": 0.88}
_BELLY_SHARE, _MOST_MM, _SOFT = 0.09, 14.0, 0.05


def seat_depth_ratio(m: Measures) -> float:
    """Return the estimated depth of the seat, front to back, over the hip girth."""
    constant, slopes = _DEPTH[m.build]
    above = m.waist_above_navel
    cm = (
        m.height,
        m.hip,
        m.thigh,
        m.crotch_length - 2.0 * above,
        m.back_crotch_length - above,
        m.waist_height - above,
        m.inside_leg,
    )
    logs = constant + sum(s * math.log(x / 10.0) for s, x in zip(slopes, cm, strict=True))
    return 10.0 * math.exp(logs) / m.hip


def side_shift_mm(m: Measures) -> float:
    """Return by how much the back panel is wider than a quarter of the hip, mm.

    Without a belly `SIDE_SHIFT_MM`; with one the side seam moves back, so that it still divides
    what is seen from the side, as the front needs the girth.
    """
    over = m.waist / m.hip - _BELLY_FROM[m.build]
    belly = (over + math.sqrt(over * over + _SOFT**2)) / 2.0
    taken = _BELLY_SHARE * belly * m.hip
    return SIDE_SHIFT_MM - _MOST_MM * math.tanh(taken / _MOST_MM)
