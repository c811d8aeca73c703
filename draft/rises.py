"""Named rises: where the finished top edge sits, measured from the natural waist. One line each."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedRise:
    """One named rise; positive is above the natural waist.

    Common practice, no source: high 0 to +5 cm, mid -4 to -6, low -8 to -11.
    """

    name: str
    says: str
    above_natural_mm: float


RISES: tuple[NamedRise, ...] = (
    NamedRise(name="high", says="the top edge at your waist string", above_natural_mm=0.0),
    NamedRise(name="mid", says="[5 cm|2 in] below it", above_natural_mm=-50.0),
    NamedRise(name="low", says="[9 cm|3 1/2 in] below it", above_natural_mm=-90.0),
)

RISE_NAMES = tuple(r.name for r in RISES)

#: What the words mean; `in_system` chooses where the units of the file are known.
RISES_SAY = "; ".join(f"{r.name}, {r.says}" for r in RISES)


def rise_named(name: str) -> NamedRise:
    """Return the rise of that name; raises KeyError."""
    return next(r for r in RISES if r.name == name)
