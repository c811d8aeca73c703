"""What the tape's readings say: from keys of the file to measures of the model.

Here the ways to one measure are brought together (a waist height may come from an outside leg, a
crotch length from its halves), disagreements are noted, and contradictions found. Nothing is
estimated and nothing refused: that is left to `outseam.draft.body.estimate`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from outseam.draft.body.measures import Measured
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length

#: Sitting on a hard chair, the rise is taken down to the seat; that lies about this much lower than
#: the crotch height taken standing with a rod. From memory; no survey at hand states it.
SEATED_LOWER_MM: Final = 20.0

#: An outside leg follows the curve of the hip, so it is about this much longer than the straight
#: height of the waist. Common practice, no source.
HIP_CURVE_MM: Final = 10.0

#: Two ways of measuring the same height may differ by this much before a word is said: the
#: allowances above are rough, and so is a tape held along a body.
HEIGHTS_AGREE_MM: Final = 15.0

#: The halves of the crotch length may miss the whole by this much before a word is said.
HALVES_AGREE_MM: Final = 10.0

#: Beyond this share of the whole the three contradict each other.
_HALVES_REFUSED_SHARE: Final = 0.2
#: No half of the crotch length is shorter; it also has to reach past the navel (see `Body`).
_LEAST_HALF_MM: Final = 120.0

#: The hip lies at least so far above the crotch when its level comes from a distance to the waist,
#: and at most so far below it: a firm rod finds the crotch above the fullest seat on some people.
HIP_ABOVE_CROTCH_MM: Final = 30.0
_HIP_UNDER_CROTCH_MM: Final = 80.0

#: By how much two readings of one thing differ on one body, sd, mm (from memory of tape practice,
#: no source): heights taken along different ways, and halves of the crotch length with the whole.
_HEIGHTS_SD_MM: Final = 12.0
_HALVES_SD_MM: Final = 8.0

#: Measures that go from the file to the model as they are.
_DIRECT: Final = (
    *("height", "waist", "hip", "high_hip", "inside_leg", "thigh", "knee", "calf", "ankle", "foot"),
    "knee_height",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Discord:
    """Two readings of one thing: the keys involved, their difference and its usual sd, mm."""

    keys: tuple[str, ...]
    difference_mm: float
    sd_mm: float

    @property
    def sd(self) -> float:
        """The difference in sd."""
        return self.difference_mm / self.sd_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """What a body's keys tell the model.

    `known` by name of the model; `notes` are sentences about readings that disagree; `conflicts`
    the refusals that a body with such readings earns, the first one first.
    """

    known: dict[str, Measured]
    discords: tuple[Discord, ...]
    notes: tuple[str, ...]
    conflicts: tuple[InputError, ...]


_Show = Callable[[float], str]


#: Stands for a refusal that nobody will read.
_UNREAD: Final = InputError("body", "measurements that contradict each other")


@dataclass(frozen=True, slots=True)
class _Found:
    """What is gathered on the way; lives only inside `read_body`."""

    known: dict[str, Measured]
    discords: list[Discord]
    notes: list[str]
    conflicts: list[InputError]
    read: bool

    def know(self, name: str, mm: float, key: str = "") -> None:
        """Add a measure of the model, and the key that gave it if it is called otherwise."""
        self.known[name] = Measured(name=name, mm=mm, key=key or name)

    def refuse(self, key: str, got: str, allowed: str, hint: str) -> None:
        """Add a refusal for a key."""
        self.conflicts.append(
            InputError(f"body.{key}", got, allowed, hint) if self.read else _UNREAD
        )


def read_readings(body: Body, units: Units | None = "cm") -> Readings:
    """Return what the keys of a body tell the model; `units` are those of sentences.

    Without units there are no sentences, only as many notes and refusals: for searching quickly
    through bodies that might be.
    """

    def show(mm: float) -> str:
        return "" if units is None else show_length(mm, units)

    found = _Found({}, [], [], [], units is not None)
    for name in _DIRECT:
        if (mm := getattr(body, name)) is not None:
            found.know(name, mm)
    _find_waist_height(body, found, show)
    _find_hip_height(body, found, show)
    _find_crotch_lengths(body, found, show)
    _find_contradictions(body, found, show)
    return Readings(
        known=found.known,
        discords=tuple(found.discords),
        notes=tuple(found.notes),
        conflicts=tuple(found.conflicts),
    )


def _find_waist_height(body: Body, found: _Found, show: _Show) -> None:
    """Add the waist height from whichever measurement gives it, the most direct one first."""
    ways: list[tuple[str, float]] = []
    if body.waist_height is not None:
        ways.append(("waist_height", body.waist_height))
    if body.outside_leg is not None:
        ways.append(("outside_leg", body.outside_leg - HIP_CURVE_MM))
    if body.body_rise is not None:
        ways.append(("body_rise", body.inside_leg + body.body_rise - SEATED_LOWER_MM))
    if not ways and body.hip_height is not None and body.waist_to_hip is not None:
        ways.append(("waist_to_hip", body.hip_height + body.waist_to_hip))
    if not ways:
        return
    used, mm = ways[0]
    found.know("waist_height", mm, used)
    for other, other_mm in ways[1:]:
        keys = (used, other)
        found.discords.append(Discord(keys=keys, difference_mm=other_mm - mm, sd_mm=_HEIGHTS_SD_MM))
        if abs(other_mm - mm) > HEIGHTS_AGREE_MM:
            found.notes.append(
                f"{other} puts the waist {show(other_mm)} above the floor, {used} {show(mm)}; "
                f"the draft uses {used}: measure both again."
            )


def _find_hip_height(body: Body, found: _Found, show: _Show) -> None:
    """Add the hip height, or the distance from the waist to it if the waist height is unknown."""
    known = found.known
    waist = known.get("waist_height")
    if body.waist_to_hip is None or (waist is not None and waist.key == "waist_to_hip"):
        if body.hip_height is not None:
            found.know("hip_height", body.hip_height)
        return
    if waist is None:
        found.know("waist_to_hip", body.waist_to_hip)
        return
    # The short way along the body is measured more exactly than the difference of two heights.
    mm = waist.mm - body.waist_to_hip
    found.know("hip_height", mm, "waist_to_hip")
    if body.hip_height is None:
        return
    off = body.hip_height - mm
    keys = ("waist_to_hip", "hip_height", waist.key)
    found.discords.append(Discord(keys=keys, difference_mm=off, sd_mm=_HEIGHTS_SD_MM))
    if abs(off) > HEIGHTS_AGREE_MM:
        found.notes.append(
            f"hip_height is {show(body.hip_height)}, but {waist.key} and waist_to_hip put the hip "
            f"{show(mm)} above the floor; the draft uses waist_to_hip: measure both again."
        )


def _find_crotch_lengths(body: Body, found: _Found, show: _Show) -> None:
    """Add what is known of the crotch length as a whole and its back half, or one half alone."""
    whole, front, back = body.crotch_length, body.front_crotch_length, body.back_crotch_length
    if whole is not None and front is not None and back is not None:
        _compare_halves(whole, front, back, found, show)
        back *= whole / (front + back)
    elif whole is None and front is not None and back is not None:
        whole = front + back
    elif whole is not None and (front is not None or back is not None):
        _find_odd_half(whole, front, back, found, show)
        back = whole - front if front is not None else back
    elif front is not None:
        found.know("front_crotch_length", front)
    if whole is not None:
        key = "front_crotch_length" if body.crotch_length is None else "crotch_length"
        found.know("crotch_length", whole, key)
    if back is not None:
        key = "front_crotch_length" if body.back_crotch_length is None else "back_crotch_length"
        found.know("back_crotch_length", back, key)


def _compare_halves(whole: float, front: float, back: float, found: _Found, show: _Show) -> None:
    missing = whole - front - back
    keys = ("crotch_length", "front_crotch_length", "back_crotch_length")
    found.discords.append(Discord(keys=keys, difference_mm=missing, sd_mm=_HALVES_SD_MM))
    if abs(missing) > _HALVES_REFUSED_SHARE * whole:
        found.refuse(
            "crotch_length",
            f"{show(whole)}, but its halves {show(front)} and {show(back)} make "
            f"{show(front + back)}",
            "a whole and halves that belong together",
            "measure all three again, or leave one of them out",
        )
    elif abs(missing) > HALVES_AGREE_MM:
        found.notes.append(
            f"front_crotch_length {show(front)} and back_crotch_length {show(back)} make "
            f"{show(front + back)}, but crotch_length is {show(whole)}; the draft uses "
            "crotch_length and shares it in the same proportion: measure again."
        )


def _find_odd_half(
    whole: float, front: float | None, back: float | None, found: _Found, show: _Show
) -> None:
    key, half = ("front", front) if front is not None else ("back", back)
    assert half is not None
    if 0.15 * whole <= half <= 0.85 * whole and whole - half >= _LEAST_HALF_MM:
        return
    found.refuse(
        f"{key}_crotch_length",
        f"{show(half)} of a crotch_length of {show(whole)}",
        f"{show(0.15 * whole)} to {show(min(0.85 * whole, whole - _LEAST_HALF_MM))}",
        "give the part from the waist string to the crotch point only, or measure both again",
    )


def _find_contradictions(body: Body, found: _Found, show: _Show) -> None:
    """Find levels that are out of order; how far apart they are is left to the tape check."""

    def order(one: Measured, low: float, high: float, between: str) -> None:
        if low <= one.mm <= high:
            return
        # A level found by way of another measurement is named beside what was measured.
        level = one.name.replace("_", " ")
        by_way = "" if one.key == one.name else f", which puts the {level} at {show(one.mm)}"
        got = f"{show(getattr(body, one.key))}{by_way}"
        found.refuse(one.key, got, f"a level {between}", "measure both again")

    crotch, height = body.inside_leg, body.height
    drop, level = body.waist_to_hip, body.waist_above_navel
    if drop is not None and level is not None and drop < level + 10:
        found.refuse(
            "waist_to_hip",
            f"{show(drop)}, with the waist string {show(level)} above the navel",
            "the hip lies below the navel",
            "measure both again",
        )
    if drop is not None and crotch + drop + HIP_ABOVE_CROTCH_MM > 0.85 * height:
        found.refuse(
            "waist_to_hip",
            f"{show(drop)}, with the crotch at {show(crotch)} and a height of {show(height)}",
            f"at most {show(max(0.0, 0.85 * height - crotch - HIP_ABOVE_CROTCH_MM))}",
            "measure all three again",
        )
    if crotch > 0.7 * height:
        found.refuse(
            "inside_leg",
            f"{show(crotch)} of a height of {show(height)}",
            f"at most {show(0.7 * height)} with this height",
            "measure both again",
        )
    waist = found.known.get("waist_height")
    if waist:
        between = f"above the crotch ({show(crotch)}) and well below the head ({show(height)})"
        order(waist, crotch + 80, 0.85 * height, between)
    hip = found.known.get("hip_height")
    if hip:
        top = waist.mm - 20 if waist else 0.8 * height
        between = f"about the crotch ({show(crotch)}) or above it, and below the waist"
        order(hip, crotch - _HIP_UNDER_CROTCH_MM, top, between)
    knee = found.known.get("knee_height")
    if knee:
        between = f"between the floor and the crotch ({show(crotch)})"
        order(knee, 0.3 * crotch, 0.9 * crotch, between)
