"""Slips of the tape and of the pen: what could have made a wrong number, and which one did.

Each measurement of a body is tried with every slip undone, and also with any other value, and the
bodies that come of it are compared: the explanation is the one after which the measurements go
together best, weighed by how readily such a slip happens. All works on the keys of the file, so a
rise or a half of the crotch length is corrected as it was written, and a body that contradicts
itself is searched like any other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, Final

import numpy as np

from outseam.draft.body.population import Array, unrest, z_scores
from outseam.draft.body.readings import read_readings
from outseam.draft.body.table import Body
from outseam.draft.inputs.show import MM_PER_UNIT, Units, show_length
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.text import listing
from outseam.draft.inputs.value_kinds import Length

#: Beyond this many conditional sd a measurement is questioned. Of real people fewer than one in
#: three hundred has such a measurement (the survey's kept half, as noted beside the figures).
SUSPECT_SD: Final = 4.0

#: A tape at the wrong level is off by about this much (common practice, no source), and by how much
#: more or less is still taken for it: steps of the search and how readily each happens.
LEVEL_MM: Final = 50.0
_LEVELS_MM: Final = (30.0, 40.0, 50.0, 60.0, 70.0)
_LEVEL_SPREAD_MM: Final = 15.0
#: Measurements that start at the waist tape, and how often its level counts in them.
_AT_WAIST: Final = {
    "waist_height": 1,
    "outside_leg": 1,
    "body_rise": 1,
    "waist_to_hip": 1,
    "crotch_length": 2,
    "front_crotch_length": 1,
    "back_crotch_length": 1,
}
_HEIGHTS: Final = frozenset({"waist_height", "outside_leg", "body_rise", "waist_to_hip"})

#: How readily a slip happens against the others (from memory of proofreading, no source). A number
#: that is wrong for no reason on the list may lie anywhere within a factor of about e.
_WEIGHTS: Final = {
    "inches": 1.0,
    "centimetres": 1.0,
    "ten": 1.0,
    "digits": 0.7,
    "level": 0.4,
    "point": 0.7,
}
_NO_REASON: Final = 0.2
#: Two slips that ask for the same value, this closely, are named together.
_SAME_MM: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A way to get numbers wrong: `names` of the slip, `says` in words, and the `right` values.

    `names` has more than one where several slips would have made the same number. `right` pairs
    keys of the file with mm.
    """

    names: tuple[str, ...]
    says: str
    right: tuple[tuple[str, float], ...]
    weight: float

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that it changes."""
        return tuple(key for key, _ in self.right)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The measurement that does not go with the rest.

    `key` as in the file, `expected_mm` what the others let expect and its `sd_mm`; `slip` the
    likely reason, or None.
    """

    key: str
    expected_mm: float
    sd_mm: float
    slip: Slip | None

    @property
    def corrected(self) -> tuple[tuple[str, float], ...]:
        """The keys and values, mm, with which the body goes together."""
        return ((self.key, self.expected_mm),) if self.slip is None else self.slip.right


#: What any adult has: no slip is undone into a number outside.
_LIMITS: Final = {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}


def length_keys(body: Body) -> tuple[str, ...]:
    """Return the keys of the lengths that a body gives; not the level of the string, a choice."""
    return tuple(
        key for key in _LIMITS if key != "waist_above_navel" and getattr(body, key) is not None
    )


def changed(body: Body, values: Iterable[tuple[str, float]]) -> Body:
    """Return the body with other lengths, mm, for some of its keys."""
    lengths: dict[str, Any] = dict(values)
    return replace(body, **lengths)


def _swapped(mm: float, units: Units) -> Iterator[float]:
    """Yield the lengths, mm, whose number in `units` has two neighbouring digits exchanged."""
    number = mm / float(MM_PER_UNIT[units])
    # Of inches only the whole ones have digits worth swapping; the rest is a fraction.
    rest = number % 1.0 if units == "in" else 0.0
    text = f"{number - rest:.0f}" if units in ("in", "mm") else f"{number:.1f}".removesuffix(".0")
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for a, b in pairwise(digits):
        if text[a] != text[b] and (a, text[b]) != (0, "0"):
            swapped = list(text)
            swapped[a], swapped[b] = swapped[b], swapped[a]
            yield (float("".join(swapped)) + rest) * float(MM_PER_UNIT[units])


def _pen_slips(key: str, mm: float, units: Units) -> Iterator[Slip]:
    ten = 254.0 if units == "in" else 100.0
    tries = [
        ("inches", "if it was read in inches", mm * 2.54),
        ("centimetres", "if it was read in centimetres", mm / 2.54),
        ("ten", "if a ten was misread", mm - ten),
        ("ten", "if a ten was misread", mm + ten),
        ("point", "if the decimal point slipped", mm * 10.0),
        ("point", "if the decimal point slipped", mm / 10.0),
        *(("digits", "if two digits were swapped", value) for value in _swapped(mm, units)),
    ]
    for name, says, right in tries:
        if right > 0.0:
            yield Slip(names=(name,), says=says, right=((key, right),), weight=_WEIGHTS[name])


def _level_slips(body: Body, keys: Sequence[str], units: Units) -> Iterator[Slip]:
    """Yield the waist tape too high or too low for one measurement, for some, or for all."""
    at_waist = tuple(key for key in keys if key in _AT_WAIST)
    groups = {
        *((key,) for key in at_waist),
        tuple(key for key in at_waist if key in _HEIGHTS),
        tuple(key for key in at_waist if key not in _HEIGHTS),
        at_waist,
    } - {()}
    for group in sorted(groups):
        told = body.waist_above_navel is not None and group == at_waist and len(group) > 1
        than = "than waist_above_navel says" if told else "than for the rest"
        for sign in (1.0, -1.0):
            where = "higher" if sign > 0 else "lower"
            for off in _LEVELS_MM:
                by = show_length(off, units)
                far = (off - LEVEL_MM) / _LEVEL_SPREAD_MM
                yield Slip(
                    names=("level",),
                    says=f"if the tape lay about {by} {where} at the waist {than}",
                    right=tuple(
                        (key, getattr(body, key) - sign * off * _AT_WAIST[key]) for key in group
                    ),
                    weight=_WEIGHTS["level"] * math.exp(-far * far / 2.0),
                )


def slips_of(
    body: Body, units: Units = "cm", keys: Iterable[str] | None = None
) -> tuple[Slip, ...]:
    """Return the slips that could have made the lengths of a body; `keys`: only those."""
    given = length_keys(body)
    wanted = set(given if keys is None else keys)
    found = [s for key in given for s in _pen_slips(key, getattr(body, key), units)]
    found += _level_slips(body, given, units)
    return tuple(
        s
        for s in found
        if wanted.issuperset(s.keys)
        and all(_LIMITS[key].low <= mm <= _LIMITS[key].high for key, mm in s.right)
    )


def distances(bodies: Sequence[Body]) -> Array:
    """Return how far each body is from going together, squared; they give the same keys.

    A body that contradicts itself is infinitely far.
    """
    read = [read_readings(body, None) for body in bodies]
    names = tuple(read[0].known)
    rows = np.array([[one.mm for one in r.known.values()] for r in read])
    apart: Array = np.array([sum(d.sd * d.sd for d in r.discords) for r in read], float)
    apart[[bool(r.conflicts) for r in read]] = np.inf
    apart += unrest(bodies[0].build, names, rows, bodies[0].waist_above_navel)
    return apart


def largest_score(body: Body) -> float:
    """Return by how many sd the worst reading lies off what all the others let expect."""
    read = read_readings(body, None)
    scores = [abs(d.sd) for d in read.discords]
    if len(read.known) > 2:
        values = [one.mm for one in read.known.values()]
        if min(values) <= 0.0:
            return math.inf
        with np.errstate(invalid="ignore", divide="ignore"):
            z = z_scores(body.build, tuple(read.known), values, body.waist_above_navel)
        scores.append(float(np.abs(z).max()))
    worst = max(scores, default=0.0)
    return worst if math.isfinite(worst) else math.inf


#: The search for the value that goes best with the rest: in steps of ln, each round finer.
_ROUNDS: Final = ((2.6, 26), (0.1, 10), (0.01, 5))


def _settled(body: Body, key: str) -> tuple[float, float, float]:
    """Return the value of a key that goes best with the rest, mm, its sd, and what is left then.

    The sd is read from the curvature where the best value lies.
    """
    at = math.log(getattr(body, key))
    steps, found = np.zeros(1), np.full(1, np.inf)
    for half, count in _ROUNDS:
        steps = at + np.linspace(-half, half, 2 * count + 1)
        found = distances([changed(body, ((key, math.exp(t)),)) for t in steps.tolist()])
        if not np.isfinite(found).any():
            return math.exp(at), math.nan, math.inf
        at = float(steps[int(np.argmin(found))])
    best = int(np.argmin(found))
    step = float(steps[1] - steps[0])
    low, high = float(found[max(best - 1, 0)]), float(found[min(best + 1, len(found) - 1)])
    bend = low + high - 2.0 * float(found[best])
    if not (math.isfinite(bend) and bend > 0.0):
        return math.exp(at), math.nan, float(found[best])
    at += step * (low - high) / (2.0 * bend)
    return math.exp(at), math.exp(at) * step * math.sqrt(2.0 / bend), float(found[best])


def guess(body: Body, units: Units = "cm", keys: Iterable[str] | None = None) -> Guess | None:
    """Return which measurement is wrong and how, None if no single one would make the body whole.

    `keys`: look only at those. A slip is named where it explains the body better than a number
    that is wrong for no reason.
    """
    wanted = length_keys(body) if keys is None else tuple(keys)
    settled = {key: _settled(body, key) for key in wanted}
    slips = slips_of(body, units, wanted)
    scores = {}
    for key, (mm, sd, left) in settled.items():
        if math.isfinite(sd) and math.isfinite(left):
            scores[key] = math.log(_NO_REASON * math.sqrt(2.0 * math.pi) * sd / mm) - left / 2.0
    if not scores:
        return None
    key = max(scores, key=lambda k: scores[k])
    slip, best = None, scores[key]
    after = distances([changed(body, s.right) for s in slips]).tolist() if slips else []
    merits = [math.log(s.weight) - d / 2.0 for s, d in zip(slips, after, strict=True)]
    if merits and max(merits) > best:
        best = max(merits)
        slip = _with_equals(slips, merits, merits.index(best))
        key = max(slip.keys, key=lambda k: _off(body, k, settled))
    right = changed(body, ((key, settled[key][0]),) if slip is None else slip.right)
    if largest_score(right) > SUSPECT_SD and read_readings(body, None).conflicts:
        return None
    return Guess(key=key, expected_mm=settled[key][0], sd_mm=settled[key][1], slip=slip)


def _off(body: Body, key: str, settled: dict[str, tuple[float, float, float]]) -> float:
    mm, sd, _ = settled[key]
    return abs(getattr(body, key) - mm) / sd if math.isfinite(sd) else 0.0


def _with_equals(slips: Sequence[Slip], merits: Sequence[float], at: int) -> Slip:
    """Return a slip together with others that would have made the same numbers."""
    first = slips[at]
    says = [first.says]
    names = list(first.names)
    for i in sorted(range(len(slips)), key=lambda i: -merits[i]):
        other = slips[i]
        same = other.keys == first.keys and all(
            abs(a - b) < _SAME_MM for (_, a), (_, b) in zip(first.right, other.right, strict=True)
        )
        if same and other.names[0] not in names:
            names += other.names
            says.append(other.says)
    return replace(first, names=tuple(names), says=" or ".join(says))


def fits_words(slip: Slip, units: Units) -> str:
    """Return what to say of a slip: its reason and the values that would fit."""
    if len(slip.right) == 1:
        return f"{slip.says}, {show_length(slip.right[0][1], units)} would fit"
    each = (f"{key.replace('_', ' ')} {show_length(mm, units)}" for key, mm in slip.right)
    return f"{slip.says}, these would fit: {listing(each, 'and')}"
