"""The tape check: whether some slip explains the measurements far better than none, and which.

A measurement is never refused for that: bodies are unusual. But slips of the tape and of the pen
have their own marks, and each is a hypothesis (`slips`): when the odds of all of them against none
are high, the likeliest is named. How little a few measurements can tell is told too.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from outseam.draft.body.population import Build, load_model
from outseam.draft.body.slips import (
    Slip,
    changed,
    fits_words,
    guess,
    length_keys,
    suspect_odds,
    weigh,
)
from outseam.draft.body.table import Body
from outseam.draft.body.tape_model import tape_model
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.text import listing

__all__ = [
    "LEAST_SD",
    "Gap",
    "Suspect",
    "doubts",
    "gap_of",
    "gap_words",
    "sentence",
    "suspects",
]

#: After this many suspects the list is more than one slip.
_MOST: Final = 3

#: A slip of so many sd of what the other measurements tell is found about every third time; below,
#: more has to be measured before it can be.
LEAST_SD: Final = 2.8
#: The slips that spoil a pattern most, mm, and what may tell: the lengths easiest to take first.
_FEARED: Final = {"hip": 100.0, "inside_leg": 50.0, "crotch_length": 50.0}
_TELLING: Final[tuple[tuple[str, ...], ...]] = (
    ("thigh",),
    ("knee_height",),
    ("front_crotch_length", "back_crotch_length"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A measurement that does not go with the rest.

    `given` pairs the keys that are wrong together with their mm, the worst first; `odds`: log odds
    of a slip against none before this one was set right; `expected_mm` what the others let expect
    of the first key, ± `sd_mm`; `slip` the likely reason or None.
    """

    given: tuple[tuple[str, float], ...]
    odds: float
    expected_mm: float
    sd_mm: float
    slip: Slip | None

    @property
    def key(self) -> str:
        """The key as in the file, the worst where several are wrong."""
        return self.given[0][0]

    @property
    def mm(self) -> float:
        """Its value in the file."""
        return self.given[0][1]


def suspects(body: Body, units: Units = "cm") -> tuple[Suspect, ...]:
    """Return the measurements that do not go with the rest, the most suspect first."""
    return doubts(body, units)[0]


@lru_cache(maxsize=64)
def doubts(body: Body, units: Units = "cm") -> tuple[tuple[Suspect, ...], float]:
    """Return the suspects of `suspects`, and the log odds of any slip against none.

    Each is set right before the next is looked for: one wrong number makes others look wrong. They
    are kept, since one body is drafted in many styles.
    """
    found: list[Suspect] = []
    right = body
    weighed = weigh(body, units)
    odds = weighed.odds
    while weighed.odds > suspect_odds(right):
        one = guess(right, units, found=weighed)
        if one is None or any(one.key == s.key for s in found):
            break
        keys = sorted(one.slip.keys if one.slip else (one.key,), key=lambda k: k != one.key)
        found.append(
            Suspect(
                given=tuple((key, getattr(right, key)) for key in keys),
                odds=one.odds,
                expected_mm=one.expected_mm,
                sd_mm=one.sd_mm,
                slip=one.slip,
            )
        )
        if len(found) == _MOST:
            break
        right = changed(right, one.corrected)
        weighed = weigh(right, units)
    return tuple(found), odds


def sentence(s: Suspect, units: Units) -> str:
    """Return what to say about a suspect, in the units of the file."""
    if len(s.given) > 1:
        each = (f"{key.replace('_', ' ')} {show_length(mm, units)}" for key, mm in s.given)
        text = f"{listing(each, 'and')} do not go with the other measurements: measure them again"
    else:
        other = "more" if s.mm > s.expected_mm else "less"
        text = (
            f"{s.key.replace('_', ' ')} {show_length(s.mm, units)} is much {other} than the other "
            f"measurements let expect (about {show_length(s.expected_mm, units)}): measure it again"
        )
    return text if s.slip is None else f"{text}; {fits_words(s.slip, units)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Slips that these measurements cannot show: keys with mm, and the keys that would show them.

    `sd`: the size of the least visible of those slips in sd of what the rest tells.
    """

    unseen: tuple[tuple[str, float], ...]
    telling: tuple[str, ...]
    sd: float


def gap_of(body: Body) -> Gap | None:
    """Return which slips the measurements of a body cannot show though others would, or None."""
    return _gap(body.build, length_keys(body), body.waist_above_navel is not None)


@lru_cache(maxsize=256)
def _gap(build: Build, keys: tuple[str, ...], told: bool) -> Gap | None:
    def size(key: str, given: tuple[str, ...]) -> float:
        model = tape_model(build, given, load_model(build).above_navel_mm if told else None)
        return _FEARED[key] / float(model.sd_mm[given.index(key)])

    unseen, telling, least = [], [], LEAST_SD
    for key in _FEARED:
        if key not in keys or (now := size(key, keys)) >= LEAST_SD:
            continue
        tries = {
            more: size(key, (*keys, *more))
            for some in _TELLING
            if (more := tuple(k for k in some if k not in keys))
        }
        best = max(tries, key=lambda more: tries[more], default=())
        if best and tries[best] > 1.15 * now:
            unseen.append((key, _FEARED[key]))
            telling += [k for k in best if k not in telling]
            least = min(least, now)
    if not unseen:
        return None
    return Gap(unseen=tuple(unseen), telling=tuple(telling), sd=least)


def gap_words(gap: Gap, units: Units) -> str:
    """Return what these measurements cannot tell, and what to measure besides."""
    whole = 25.4 if units == "in" else 10.0
    slips = (
        f"{key.replace('_', ' ')} {show_length(round(mm / whole) * whole, units)} off"
        for key, mm in gap.unseen
    )
    asked = (key.replace("_", " ") for key in gap.telling)
    return (
        f"from these measurements alone a slip cannot be told well ({listing(slips, 'or')} would "
        f"hardly show): measure {listing(asked, 'and')} too"
    )
