"""Slips of the tape and of the pen: what could have made a wrong number, and which one did.

Every slip is a hypothesis with a likelihood: how well the readings of the body go together once it
is undone (`tape_model`), times how readily it happens. The odds of all of them together
against none tell whether the readings are in doubt; the likeliest one is named. All works on the
keys of the file, so a rise or a half of the crotch length is corrected as it was written, and a
body that contradicts itself is searched like any other.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import pairwise, zip_longest
from typing import Any, Final

import numpy as np

from outseam.draft.body.population import Array
from outseam.draft.body.readings import read_readings
from outseam.draft.body.table import Body
from outseam.draft.body.tape_model import TapeModel, tape_model
from outseam.draft.inputs.show import MM_PER_UNIT, Units, show_length
from outseam.draft.inputs.tables import table_of
from outseam.draft.inputs.text import listing
from outseam.draft.inputs.value_kinds import Length

#: Log odds of a slip against none from which readings are questioned, and the same where fewer than
#: so many measurements were taken. Set so that fewer than two in a hundred people are questioned
#: (`PYTHONPATH=tests python -m bench.thresholds` shows how many). Where a thigh is among few, more
#: is asked: there the ways in which two surveys tape a thigh weigh more.
_SUSPECT: Final = {"women": 0.7, "men": 0.35}
_SUSPECT_FEW: Final = 1.5
_FEW: Final = 9

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
#: Neighbours in a list of measurements, whose numbers change places.
_SWAPS: Final = (
    ("waist", "hip"),
    ("thigh", "knee"),
    ("knee", "calf"),
    ("calf", "ankle"),
    ("inside_leg", "outside_leg"),
    ("waist_height", "hip_height"),
    ("front_crotch_length", "back_crotch_length"),
)

#: How readily a slip happens, one way of it in one number, against the others, and how readily the
#: first: once in a hundred numbers (from memory of proofreading, no source). A number that is wrong
#: for no reason on the list may lie anywhere within a factor of about e.
_READILY: Final = 0.01
_WEIGHTS: Final = {
    "inches": 1.0,
    "centimetres": 1.0,
    "ten": 1.0,
    "five": 1.0,
    "digits": 0.2,
    "point": 0.7,
    "half": 0.1,
    "swap": 1.0,
    "level": 0.05,
}
_NO_REASON: Final = 0.2
#: The inside leg is read bent down or by somebody else, and is wrong oftener than what is read at
#: eye level (common practice, no source).
_OFTENER: Final = {"inside_leg": 2.0}
#: A thigh tape somewhat below the seat fold is no slip: the men of openintro `bdims`, whose thighs
#: are 5 % smaller for their hips than the survey's, may have been taped so. Share of the thigh
#: that such a tape reads, and how often.
_LOW_THIGH: Final = {"men": (0.95, 0.2)}
#: Two slips that ask for the same value, this closely, are named together.
_SAME_MM: Final = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A way to get numbers wrong: `names` of the slip, `says` in words, and the `right` values.

    `names` has more than one where several slips would have made the same number. `right` pairs
    keys of the file with mm; `slope`: by how much a right value changes with the wrong one.
    """

    names: tuple[str, ...]
    says: str
    right: tuple[tuple[str, float], ...]
    weight: float
    slope: float = 1.0

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys that it changes."""
        return tuple(key for key, _ in self.right)


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """The measurement that does not go with the rest.

    `key` as in the file, `expected_mm` what the others let expect and its `sd_mm`; `slip` the
    likely reason, or None; `odds`: the log odds of any slip at all against none.
    """

    key: str
    expected_mm: float
    sd_mm: float
    slip: Slip | None
    odds: float

    @property
    def corrected(self) -> tuple[tuple[str, float], ...]:
        """The keys and values, mm, with which the body goes together."""
        return ((self.key, self.expected_mm),) if self.slip is None else self.slip.right


#: What any adult has: no slip is undone into a number outside.
_LIMITS: Final = {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}
_JUDGED: Final = tuple(key for key in _LIMITS if key != "waist_above_navel")


def length_keys(body: Body) -> tuple[str, ...]:
    """Return the keys of the lengths that a body gives; not the level of the string, a choice."""
    return tuple(key for key in _JUDGED if getattr(body, key) is not None)


def suspect_odds(body: Body) -> float:
    """Return the log odds of a slip from which the readings of a body are questioned."""
    few = body.thigh is not None and len(length_keys(body)) < _FEW
    return _SUSPECT_FEW if few else _SUSPECT[body.build]


def changed(body: Body, values: Iterable[tuple[str, float]]) -> Body:
    """Return the body with other lengths, mm, for some of its keys."""
    lengths: dict[str, Any] = dict(values)
    return replace(body, **lengths)


def _swapped(mm: float, units: Units) -> Iterator[float]:
    """Yield the lengths, mm, whose number in `units` has two neighbouring digits exchanged."""
    unit = _MM[units]
    number = mm / unit
    # Of inches only the whole ones have digits worth swapping; the rest is a fraction.
    rest = number % 1.0 if units == "in" else 0.0
    text = f"{number - rest:.0f}" if units in ("in", "mm") else f"{number:.1f}".removesuffix(".0")
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for a, b in pairwise(digits):
        if text[a] != text[b] and (a, text[b]) != (0, "0"):
            swapped = list(text)
            swapped[a], swapped[b] = swapped[b], swapped[a]
            yield (float("".join(swapped)) + rest) * unit


#: A unit in mm.
_MM: Final = {units: float(mm) for units, mm in MM_PER_UNIT.items()}


def _could_be(right: Iterable[tuple[str, float]]) -> bool:
    """Return whether an adult could have these lengths."""
    return all(_LIMITS[key].low <= mm <= _LIMITS[key].high for key, mm in right)


#: Slips of the pen that make a number so many times as large and so many units larger: undone.
_PEN: Final = (
    ("inches", "if it was read in inches", 2.54, 0.0),
    ("centimetres", "if it was read in centimetres", 1.0 / 2.54, 0.0),
    ("ten", "if a ten was misread", 1.0, -10.0),
    ("ten", "if a ten was misread", 1.0, 10.0),
    ("five", "if a five was misread", 1.0, -5.0),
    ("five", "if a five was misread", 1.0, 5.0),
    ("point", "if the decimal point slipped", 10.0, 0.0),
    ("point", "if the decimal point slipped", 0.1, 0.0),
    ("half", "if only half of it was measured", 2.0, 0.0),
)


def _pen_slips(key: str, mm: float, units: Units) -> Iterator[Slip]:
    unit = 25.4 if units == "in" else 10.0
    tries = [(name, says, mm * times + unit * more, times) for name, says, times, more in _PEN]
    tries += (("digits", "if two digits were swapped", right, 1.0) for right in _swapped(mm, units))
    possible, often = _LIMITS[key], _OFTENER.get(key, 1.0)
    for name, says, right, slope in tries:
        if possible.low <= right <= possible.high:
            yield Slip(
                names=(name,),
                says=says,
                right=((key, right),),
                weight=_WEIGHTS[name] * often,
                slope=slope,
            )


def _level_slips(body: Body, keys: Sequence[str], units: Units) -> Iterator[Slip]:
    """Yield the waist tape too high or too low for one measurement, for some, or for all."""
    at_waist = tuple(key for key in keys if key in _AT_WAIST)
    for says, weight, shifts in _levels(at_waist, body.waist_above_navel is not None, units):
        right = tuple((key, getattr(body, key) + mm) for key, mm in shifts)
        if _could_be(right):
            yield Slip(names=("level",), says=says, right=right, weight=weight)


@lru_cache(maxsize=64)
def _levels(
    at_waist: tuple[str, ...], known: bool, units: Units
) -> tuple[tuple[str, float, tuple[tuple[str, float], ...]], ...]:
    """Return the levels at which the tape may have lain: words, weight, mm that keys are set right.

    `known`: how far above the navel it lay was told.
    """
    groups = {
        *((key,) for key in at_waist),
        tuple(key for key in at_waist if key in _HEIGHTS),
        tuple(key for key in at_waist if key not in _HEIGHTS),
        at_waist,
    } - {()}
    found = []
    for off in _LEVELS_MM:
        by = show_length(off, units)
        far = (off - LEVEL_MM) / _LEVEL_SPREAD_MM
        weight = _WEIGHTS["level"] * math.exp(-far * far / 2.0)
        for group in sorted(groups):
            told = known and group == at_waist and len(group) > 1
            than = "than waist_above_navel says" if told else "than for the rest"
            for sign, where in ((-1.0, "higher"), (1.0, "lower")):
                says = f"if the tape lay about {by} {where} at the waist {than}"
                shifts = tuple((key, sign * off * _AT_WAIST[key]) for key in group)
                found.append((says, weight, shifts))
    return tuple(found)


def _swap_slips(body: Body, keys: Sequence[str]) -> Iterator[Slip]:
    for a, b in _SWAPS:
        right = ((a, getattr(body, b)), (b, getattr(body, a)))
        if a in keys and b in keys and _could_be(right):
            yield Slip(
                names=("swap",),
                says=f"if {a.replace('_', ' ')} and {b.replace('_', ' ')} were swapped",
                right=right,
                weight=_WEIGHTS["swap"],
            )


def slips_of(
    body: Body, units: Units = "cm", keys: Iterable[str] | None = None
) -> tuple[Slip, ...]:
    """Return the slips that could have made the lengths of a body; `keys`: only those."""
    given = length_keys(body)
    wanted = None if keys is None else set(keys)
    found = [s for key in given for s in _pen_slips(key, getattr(body, key), units)]
    found += _level_slips(body, given, units)
    found += _swap_slips(body, given)
    return tuple(s for s in found if wanted is None or wanted.issuperset(s.keys))


@dataclass(frozen=True, slots=True)
class Weighed:
    """Every hypothesis about the readings of a body: merits are ln of weight times likelihood.

    `none`: of no slip; `merits` of `slips`; `alone` of each of `keys` wrong for no reason.
    """

    keys: tuple[str, ...]
    model: TapeModel
    row: Array
    none: float
    slips: tuple[Slip, ...]
    merits: Array
    alone: Array

    @property
    def odds(self) -> float:
        """Log odds of any slip against none."""
        each = np.concatenate([self.merits, self.alone])
        most = float(each.max())
        if not math.isfinite(most):
            return -math.inf if math.isfinite(self.none) else 0.0
        return most + math.log(float(np.exp(each - most).sum())) - self.none


def weigh(body: Body, units: Units = "cm", keys: Iterable[str] | None = None) -> Weighed:
    """Return how well each slip explains the readings; `keys`: only slips in those."""
    given = length_keys(body)
    model = tape_model(body.build, given, body.waist_above_navel)
    row = np.array([getattr(body, key) for key in given])
    slips = slips_of(body, units, keys)
    place = {key: i for i, key in enumerate(given)}
    rows = np.tile(row, (len(slips) + 2, 1))
    for i, s in enumerate(slips):
        for key, mm in s.right:
            rows[i, place[key]] = mm
    none = [1.0]
    if "thigh" in place and body.build in _LOW_THIGH:
        share, often = _LOW_THIGH[body.build]
        rows[-1, place["thigh"]] /= share
        none.append(often / share)
    likely = model.log_density(rows)
    weights = np.array([_READILY * s.weight * s.slope for s in slips])
    alone = model.log_density_without(row) + math.log(_READILY * _NO_REASON)
    if keys is not None:
        alone[[key not in set(keys) for key in given]] = -np.inf
    return Weighed(
        keys=given,
        model=model,
        row=row,
        none=float(np.logaddexp.reduce(likely[len(slips) :][: len(none)] + np.log(none))),
        slips=slips,
        merits=likely[: len(slips)] + np.log(weights),
        alone=alone,
    )


def guess(
    body: Body,
    units: Units = "cm",
    keys: Iterable[str] | None = None,
    found: Weighed | None = None,
) -> Guess | None:
    """Return which measurement is wrong and how, None if no single one would make the body whole.

    `keys`: look only at those; `found`: what was weighed of it already. A slip is named where it
    explains the body better than a number that is wrong for no reason.
    """
    found = found or weigh(body, units, keys)
    likeliest = max((*found.merits, *found.alone))
    if not math.isfinite(likeliest):
        return None
    expected, sd = found.model.expected(found.row)
    slip = None
    if likeliest > found.alone.max():
        at = int(found.merits.argmax())
        slip = _with_equals(found.slips, found.merits, at)
        off = np.abs(found.row - expected) / sd
        i = max((found.keys.index(key) for key in slip.keys), key=lambda i: float(off[i]))
    else:
        i = int(found.alone.argmax())
    one = Guess(
        key=found.keys[i],
        expected_mm=float(expected[i]),
        sd_mm=float(sd[i]),
        slip=slip,
        odds=found.odds,
    )
    if read_readings(body, None).conflicts:
        right = changed(body, one.corrected)
        if read_readings(right, None).conflicts or weigh(right, units).odds > suspect_odds(body):
            return None
    return one


def _with_equals(slips: Sequence[Slip], merits: Array, at: int) -> Slip:
    """Return a slip together with others that would have made the same numbers."""
    first = slips[at]
    says = [first.says]
    names = list(first.names)
    alike = [i for i, other in enumerate(slips) if _same(other.right, first.right)]
    for i in sorted(alike, key=lambda i: -merits[i]):
        other = slips[i]
        if other.names[0] not in names:
            names += other.names
            says.append(other.says)
    return replace(first, names=tuple(names), says=" or ".join(says))


def _same(a: Iterable[tuple[str, float]], b: Iterable[tuple[str, float]]) -> bool:
    """Return whether values of the same keys are the same."""
    both = list(zip_longest(a, b, fillvalue=("", 0.0)))
    return all(i == j and abs(x - y) < _SAME_MM for (i, x), (j, y) in both)


def fits_words(slip: Slip, units: Units) -> str:
    """Return what to say of a slip: its reason and the values that would fit."""
    if len(slip.right) == 1:
        return f"{slip.says}, {show_length(slip.right[0][1], units)} would fit"
    each = (f"{key.replace('_', ' ')} {show_length(mm, units)}" for key, mm in slip.right)
    return f"{slip.says}, these would fit: {listing(each, 'and')}"
