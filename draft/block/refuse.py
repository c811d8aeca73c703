"""Why no draft has the measurements: which one would have to give, and by how much."""

from __future__ import annotations

import numpy as np

from outseam.draft.block.proportions import FORKS_MOST, Conditions
from outseam.draft.block.shape import Floats
from outseam.draft.inputs.errors import UnsolvableError
from outseam.draft.inputs.words import measure, words

#: A suggested value is taken this far inside what drafts, so that rounding it keeps it there.
_INSIDE_MM, _INSIDE_SHARE = 3.0, 0.05
#: Forks at their longest leave the seam no freedom, so a thigh is taken further inside.
_THIGH_INSIDE_MM = 20.0
#: Weight of the seams against the handbook when the nearest draft is looked for, and of inseams.
_WEIGHT, _INSEAM = 100.0, 1000.0


def nearest(conditions: Conditions) -> Floats:
    """Return where the conditions are missed least, whatever else; (9,) in sd."""
    from scipy.optimize import least_squares

    b = conditions.belief
    low, high = (b.low - b.mean) / b.sd, (b.high - b.mean) / b.sd
    calm = 1e-4
    weight = np.array((_WEIGHT, _INSEAM))

    def misses(z: Floats) -> Floats:
        g, r, _, _ = conditions.at(z)
        return np.concatenate((g * weight, calm * r, calm * z))

    def slopes(z: Floats) -> Floats:
        _, _, dg, dr = conditions.at(z)
        return np.concatenate((dg * weight[:, None], calm * dr, calm * np.eye(len(z))))

    start = np.clip(np.zeros(9), low + 1e-9, high - 1e-9)
    found = least_squares(misses, start, slopes, bounds=(low, high), max_nfev=60)
    return np.asarray(found.x)


def nearest_miss(conditions: Conditions) -> tuple[float, float]:
    """Return by how much front and back crotch seam of the nearest draft miss their targets, mm."""
    g, r, _, _ = conditions.at(nearest(conditions))
    whole, apart = float(g[0]) * 10.0, float(r[0]) * conditions.target.halves_sd_mm
    return (whole + apart) / 2.0, (whole - apart) / 2.0


def unsolvable(conditions: Conditions) -> UnsolvableError:
    """Return the error that names the measurement which would have to give, and by how much."""
    t, frame = conditions.target, conditions.frame
    short = (t.thigh_mm - frame.hip_mm * (0.5 + FORKS_MOST)) / t.thigh_scale
    if short > 0.0:
        return UnsolvableError(
            "The thigh",
            short,
            "thigh",
            words("A thigh {by} smaller would draft.", by=measure(short + _THIGH_INSIDE_MM)),
        )
    front, back = nearest_miss(conditions)
    off, name = front + back, "crotch_length"
    if t.halves_given:
        name = "front_crotch_length" if abs(front) > abs(back) else "back_crotch_length"
    return UnsolvableError(
        "The crotch seam",
        off,
        name,
        words(
            "It would draft {by} {way}; the rise (waist_height or body_rise, inside_leg) and the "
            "hip may be the ones that are off.",
            by=measure((1.0 + _INSIDE_SHARE) * abs(off) + _INSIDE_MM),
            way="longer" if off > 0 else "shorter",
        ),
    )
