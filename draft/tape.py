"""The tape check: each measurement against all the others, and which slip would explain it.

A measurement is suspect when it lies more than four conditional standard deviations from what all
the others let expect. It is never refused for that: bodies are unusual. But slips of the tape and
of the pen have their own marks, and each is tried: the one under which the measurement fits the
rest is named.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from draft.body import Measures
from draft.population import condition, z_scores
from draft.units import Units, show_length

#: Beyond this many conditional sd a measurement is questioned. Of real people fewer than one in
#: three hundred has such a measurement (the survey's kept half; see the benchmark).
SUSPECT_SD = 4.0
#: A slip explains a measurement when the corrected value lies within this many sd.
FITS_SD = 2.5
#: Tape levels are off by about this much when they are off (common practice, no source).
LEVEL_MM = 50.0
#: Measurements that start at the waist tape, and how often its level counts in them.
_LEVELS = {
    "waist_height": 1,
    "waist_to_hip": 1,
    "crotch_length": 2,
    "front_crotch_length": 1,
    "back_crotch_length": 1,
}
#: After this many suspects the list is more than one slip, and says so.
_MOST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A way to get a number wrong: its name, and what the right number would then be, mm.

    `weight` is how readily it happens against the others (from memory of proofreading, no source).
    """

    name: str
    says: str
    mm: float
    weight: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A measurement that does not go with the rest.

    `key` as in the file, `z` its distance in sd, `expected_mm` what the others let expect, ±
    `sd_mm`, `slip` the likely reason or None.
    """

    key: str
    mm: float
    z: float
    expected_mm: float
    sd_mm: float
    slip: Slip | None


def _swaps(mm: float) -> Iterator[float]:
    """Yield the lengths whose number in cm has two neighbouring digits exchanged."""
    text = f"{mm / 10:.1f}"
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for a, b in pairwise(digits):
        if text[a] != text[b] and (a, text[b]) != (0, "0"):
            swapped = list(text)
            swapped[a], swapped[b] = swapped[b], swapped[a]
            yield float("".join(swapped)) * 10.0


def slips(name: str, mm: float) -> tuple[Slip, ...]:
    """Return the slips that could have made `mm` of a measurement, with the right value each."""
    found = [
        Slip(name="inches", says="if it was read in inches", mm=mm * 2.54, weight=1.0),
        Slip(name="centimetres", says="if it was read in centimetres", mm=mm / 2.54, weight=1.0),
        Slip(name="ten", says="if a ten was misread", mm=mm - 100.0, weight=1.0),
        Slip(name="ten", says="if a ten was misread", mm=mm + 100.0, weight=1.0),
    ]
    found += [
        Slip(name="digits", says="if two digits were swapped", mm=v, weight=0.5) for v in _swaps(mm)
    ]
    times = _LEVELS.get(name, 0)
    for sign in (-1.0, 1.0) if times else ():
        where = "higher" if sign < 0 else "lower"
        says = (
            f"if the tape lay about {LEVEL_MM / 10:.0f} cm {where} at the waist than for the rest"
        )
        found.append(Slip(name="level", says=says, mm=mm + sign * times * LEVEL_MM, weight=1.0))
    return tuple(s for s in found if s.mm > 0.0)


def _likely(
    m: Measures, names: Sequence[str], values: Sequence[float], i: int, level: float | None
) -> tuple[Slip | None, float, float]:
    """Return the best slip for measurement `i`, and what the others expect of it with its sd."""
    rest = [j for j in range(len(names)) if j != i]
    found = condition(m.build, [names[j] for j in rest], [values[j] for j in rest], level)
    at = found.names.index(names[i])
    expected, sd = float(found.mm[at]), float(found.sd_mm[at])
    tried = slips(names[i], values[i])
    rows = np.array([[*values[:i], s.mm, *values[i + 1 :]] for s in tried])
    with np.errstate(invalid="ignore", divide="ignore"):
        z = z_scores(m.build, tuple(names), rows, level)[:, i]
    best, best_score = None, -math.inf
    for slip, score in zip(tried, z.tolist(), strict=True):
        if abs(score) <= FITS_SD and math.log(slip.weight) - score * score / 2.0 > best_score:
            best, best_score = slip, math.log(slip.weight) - score * score / 2.0
    return best, expected, sd


def _culprit(
    m: Measures, names: Sequence[str], values: Sequence[float], level: float | None, z: list[float]
) -> int:
    """Return the measurement without which the others agree best.

    One wrong number makes its neighbours look wrong too, so the largest score alone can mislead.
    """
    worst = sorted(range(len(z)), key=lambda i: -abs(z[i]))[:4]

    def unrest(i: int) -> float:
        rest = [j for j in range(len(names)) if j != i]
        left = z_scores(m.build, tuple(names[j] for j in rest), [values[j] for j in rest], level)
        return float(np.abs(left).max())

    return min((i for i in worst if abs(z[i]) > SUSPECT_SD / 2.0), key=unrest)


def suspects(m: Measures) -> tuple[Suspect, ...]:
    """Return the measurements that do not go with the rest, the most suspect first."""
    keys = {one.name: one.key for one in m.measured}
    names = [one.name for one in m.measured]
    values = [one.mm for one in m.measured]
    level = m.waist_above_navel if "waist_above_navel" in m.given else None
    found: list[Suspect] = []
    while len(found) < _MOST and len(names) > 2:
        z = z_scores(m.build, tuple(names), values, level).tolist()
        if max(map(abs, z)) <= SUSPECT_SD:
            break
        i = _culprit(m, names, values, level, z)
        slip, expected, sd = _likely(m, names, values, i, level)
        found.append(
            Suspect(
                key=keys[names[i]],
                mm=values[i],
                z=z[i],
                expected_mm=expected,
                sd_mm=sd,
                slip=slip,
            )
        )
        names.pop(i)
        values.pop(i)
    return tuple(found)


def largest_score(m: Measures) -> float:
    """Return the largest distance, in sd, of any measurement from what the others expect."""
    if len(m.measured) < 3:
        return 0.0
    level = m.waist_above_navel if "waist_above_navel" in m.given else None
    names = tuple(one.name for one in m.measured)
    return float(np.abs(z_scores(m.build, names, [one.mm for one in m.measured], level)).max())


def sentence(s: Suspect, units: Units) -> str:
    """Return what to say about a suspect, in the units of the file."""
    other = "more" if s.z > 0 else "less"
    text = (
        f"{s.key.replace('_', ' ')} {show_length(s.mm, units)} is much {other} than the other "
        f"measurements let expect (about {show_length(s.expected_mm, units)}): measure it again"
    )
    if s.slip is not None:
        text += f"; {s.slip.says}, {show_length(s.slip.mm, units)} would fit"
    return text
