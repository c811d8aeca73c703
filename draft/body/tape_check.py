"""The tape check: each measurement against all the others, and which slip would explain it.

A measurement is suspect when it lies more than four conditional standard deviations from what all
the others let expect. It is never refused for that: bodies are unusual. But slips of the tape and
of the pen have their own marks, and each is tried (`slips`): the one under which the
measurements go together is named.
"""

from __future__ import annotations

from dataclasses import dataclass

from outseam.draft.body.slips import SUSPECT_SD, Slip, changed, fits_words, guess, largest_score
from outseam.draft.body.table import Body
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.text import listing

__all__ = ["SUSPECT_SD", "Suspect", "largest_score", "sentence", "suspects"]

#: After this many suspects the list is more than one slip.
_MOST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A measurement that does not go with the rest.

    `given` pairs the keys that are wrong together with their mm, the worst first; `z` is the
    largest distance, in sd, of any measurement before this one was set right; `expected_mm` what
    the others let expect of the first key, ± `sd_mm`; `slip` the likely reason or None.
    """

    given: tuple[tuple[str, float], ...]
    z: float
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
    """Return the measurements that do not go with the rest, the most suspect first.

    Each is set right before the next is looked for: one wrong number makes others look wrong.
    """
    found: list[Suspect] = []
    right = body
    while len(found) < _MOST and (z := largest_score(right)) > SUSPECT_SD:
        one = guess(right, units)
        if one is None or any(one.key == s.key for s in found):
            break
        keys = sorted(one.slip.keys if one.slip else (one.key,), key=lambda k: k != one.key)
        found.append(
            Suspect(
                given=tuple((key, getattr(right, key)) for key in keys),
                z=z,
                expected_mm=one.expected_mm,
                sd_mm=one.sd_mm,
                slip=one.slip,
            )
        )
        right = changed(right, one.corrected)
    return tuple(found)


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
