"""From what was measured (`Body`) to all that a draft needs (`Measures`).

What was not measured is estimated from the population figures and listed with its standard
deviation; what disagrees is noted; what contradicts itself is refused.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from draft.body_table import Body
from draft.errors import InputError
from draft.measures import LENGTHS, Estimate, Measured, Measures, with_measure
from draft.population import condition, z_scores
from draft.units import Units, show_length

__all__ = [
    "Body",
    "Estimate",
    "Measured",
    "Measures",
    "complete",
    "tape_scores",
    "with_measure",
]

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

#: Least distances that keep an estimate from turning the body upside down. Real bodies keep far
#: away from them, so they act only where odd measurements pull an estimate along.
_HIP_ABOVE_CROTCH_MM: Final = 30.0
_HIP_UNDER_CROTCH_MM: Final = 80.0
_HIP_BELOW_WAIST_MM: Final = 40.0
_WAIST_ABOVE_CROTCH_MM: Final = 120.0
_KNEE_SHARE: Final = (0.40, 0.75)  # of the inside leg; ANSUR II means: .574 women, .577 men
_CROTCH_OVER_RISE_MM: Final = 20.0
#: Limits for an estimated half of the crotch length as a share of the whole; in ANSUR II the back
#: half has .48 to .66 at the navel.
_BACK_SHARE: Final = (0.3, 0.7)


#: Measures that go from the file to the model as they are.
_DIRECT: Final = (
    *("height", "waist", "hip", "inside_leg", "thigh", "knee", "calf", "ankle", "foot"),
    "knee_height",
)
#: Every key that holds a measurement, in the order of the table.
_KEYS: Final = tuple(key for key in Body.__dataclass_fields__ if key not in ("build", "name"))


def complete(body: Body, units: Units = "cm") -> Measures:
    """All measures of a body, estimating what it does not give.

    `units` are those of sentences. Raises InputError where measurements contradict each other so
    that no body could have them; smaller disagreements become notes.
    """
    show = _shower(units)
    notes: list[str] = []
    known = {
        name: Measured(name=name, mm=mm, key=name)
        for name in _DIRECT
        if (mm := getattr(body, name)) is not None
    }
    _find_waist_height(body, known, notes, show)
    _find_hip_height(body, known, notes, show)
    _find_crotch_lengths(body, known, notes, show)
    _refuse_contradictions(body, known, show)

    names = tuple(known)
    found = condition(body.build, names, [one.mm for one in known.values()], body.waist_above_navel)
    rest = dict(
        zip(found.names, zip(found.mm.tolist(), found.sd_mm.tolist(), strict=True), strict=True)
    )
    value = {name: one.mm for name, one in known.items()}
    value |= {name: mm for name, (mm, _) in rest.items()}
    spread = {name: sd for name, (_, sd) in rest.items()}
    if body.waist_above_navel is not None:
        value["waist_above_navel"] = body.waist_above_navel
        spread.pop("waist_above_navel")

    _settle_heights(known, value, spread, notes)
    split_given = _settle_crotch(known, value, spread, notes)
    return Measures(
        build=body.build,
        name=body.name,
        **{name: value[name] for name in LENGTHS},
        split_given=split_given,
        given=tuple(key for key in _KEYS if getattr(body, key) is not None),
        measured=tuple(known.values()),
        estimates=tuple(
            Estimate(name=name, mm=value[name], sd_mm=spread[name])
            for name in LENGTHS
            if name in spread
        ),
        notes=tuple(notes),
    )


def tape_scores(measures: Measures) -> tuple[tuple[str, float], ...]:
    """For each measured value, its key in the file and its z-score given all the others.

    The z-score says by how many standard deviations the value lies off what the other ones let
    expect in the population of the figures.
    """
    known = measures.measured
    level = measures.waist_above_navel if "waist_above_navel" in measures.given else None
    scores = z_scores(
        measures.build, tuple(one.name for one in known), [one.mm for one in known], level
    )
    return tuple((one.key, z) for one, z in zip(known, scores.tolist(), strict=True))


_Show = Callable[[float], str]
_Known = dict[str, Measured]


def _shower(units: Units) -> _Show:
    return lambda mm: show_length(mm, units)


def _find_waist_height(body: Body, known: _Known, notes: list[str], show: _Show) -> None:
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
    known["waist_height"] = Measured(name="waist_height", mm=mm, key=used)
    notes.extend(
        f"{other} puts the waist {show(other_mm)} above the floor, {used} {show(mm)}; "
        f"the draft uses {used}: measure both again."
        for other, other_mm in ways[1:]
        if abs(other_mm - mm) > HEIGHTS_AGREE_MM
    )


def _find_hip_height(body: Body, known: _Known, notes: list[str], show: _Show) -> None:
    """Add the hip height, or the distance from the waist to it if the waist height is unknown."""
    waist = known.get("waist_height")
    if body.waist_to_hip is None or (waist is not None and waist.key == "waist_to_hip"):
        if body.hip_height is not None:
            known["hip_height"] = Measured(name="hip_height", mm=body.hip_height, key="hip_height")
        return
    if waist is None:
        known["waist_to_hip"] = Measured(
            name="waist_to_hip", mm=body.waist_to_hip, key="waist_to_hip"
        )
        return
    # The short way along the body is measured more exactly than the difference of two heights.
    mm = waist.mm - body.waist_to_hip
    known["hip_height"] = Measured(name="hip_height", mm=mm, key="waist_to_hip")
    if body.hip_height is not None and abs(body.hip_height - mm) > HEIGHTS_AGREE_MM:
        notes.append(
            f"hip_height is {show(body.hip_height)}, but {waist.key} and waist_to_hip put the hip "
            f"{show(mm)} above the floor; the draft uses waist_to_hip: measure both again."
        )


def _find_crotch_lengths(body: Body, known: _Known, notes: list[str], show: _Show) -> None:
    """Add what is known of the crotch length as a whole and its back half, or one half alone."""
    whole, front, back = body.crotch_length, body.front_crotch_length, body.back_crotch_length
    if whole is not None and front is not None and back is not None:
        missing = whole - front - back
        if abs(missing) > _HALVES_REFUSED_SHARE * whole:
            raise InputError(
                "body.crotch_length",
                f"{show(whole)}, but its halves {show(front)} and {show(back)} make "
                f"{show(front + back)}",
                "a whole and halves that belong together",
                "measure all three again, or leave one of them out",
            )
        if abs(missing) > HALVES_AGREE_MM:
            notes.append(
                f"front_crotch_length {show(front)} and back_crotch_length {show(back)} make "
                f"{show(front + back)}, but crotch_length is {show(whole)}; the draft uses "
                "crotch_length and shares it in the same proportion: measure again."
            )
        back *= whole / (front + back)
    elif whole is None and front is not None and back is not None:
        whole = front + back
    elif whole is not None and (front is not None or back is not None):
        _refuse_half(whole, front, back, show)
        back = whole - front if front is not None else back
    elif front is not None:
        key = "front_crotch_length"
        known[key] = Measured(name=key, mm=front, key=key)
    if whole is not None:
        key = "front_crotch_length" if body.crotch_length is None else "crotch_length"
        known["crotch_length"] = Measured(name="crotch_length", mm=whole, key=key)
    if back is not None:
        key = "front_crotch_length" if body.back_crotch_length is None else "back_crotch_length"
        known["back_crotch_length"] = Measured(name="back_crotch_length", mm=back, key=key)


def _refuse_half(whole: float, front: float | None, back: float | None, show: _Show) -> None:
    key, half = ("front", front) if front is not None else ("back", back)
    assert half is not None
    if not 0.15 * whole <= half <= 0.85 * whole or whole - half < _LEAST_HALF_MM:
        raise InputError(
            f"body.{key}_crotch_length",
            f"{show(half)} of a crotch_length of {show(whole)}",
            f"{show(0.15 * whole)} to {show(min(0.85 * whole, whole - _LEAST_HALF_MM))}",
            "give the part from the waist string to the crotch point only, or measure both again",
        )


def _refuse_contradictions(body: Body, known: _Known, show: _Show) -> None:
    """Refuse levels that are out of order; how far apart they are is left to the tape check."""

    def refuse(key: str, level: str, mm: float, low: float, high: float, between: str) -> None:
        if low <= mm <= high:
            return
        # A level found by way of another measurement is named beside what was measured.
        raw = getattr(body, key)
        by_way = "" if key == level else f", which puts the {level.replace('_', ' ')} at {show(mm)}"
        raise InputError(
            f"body.{key}", f"{show(raw)}{by_way}", f"a level {between}", "measure both again"
        )

    crotch, height = body.inside_leg, body.height
    drop, level = body.waist_to_hip, body.waist_above_navel
    if drop is not None and level is not None and drop < level + 10:
        raise InputError(
            "body.waist_to_hip",
            f"{show(drop)}, with the waist string {show(level)} above the navel",
            "the hip lies below the navel",
            "measure both again",
        )
    if drop is not None and crotch + drop + _HIP_ABOVE_CROTCH_MM > 0.85 * height:
        raise InputError(
            "body.waist_to_hip",
            f"{show(drop)}, with the crotch at {show(crotch)} and a height of {show(height)}",
            f"at most {show(max(0.0, 0.85 * height - crotch - _HIP_ABOVE_CROTCH_MM))}",
            "measure all three again",
        )
    if crotch > 0.7 * height:
        raise InputError(
            "body.inside_leg",
            f"{show(crotch)} of a height of {show(height)}",
            f"at most {show(0.7 * height)} with this height",
            "measure both again",
        )
    waist = known.get("waist_height")
    if waist:
        between = f"above the crotch ({show(crotch)}) and well below the head ({show(height)})"
        refuse(waist.key, waist.name, waist.mm, crotch + 80, 0.85 * height, between)
    hip = known.get("hip_height")
    if hip:
        top = waist.mm - 20 if waist else 0.8 * height
        between = f"about the crotch ({show(crotch)}) or above it, and below the waist"
        # A firm rod finds the crotch above the fullest seat on some real bodies, so a little below
        # it is allowed.
        refuse(hip.key, hip.name, hip.mm, crotch - _HIP_UNDER_CROTCH_MM, top, between)
    knee = known.get("knee_height")
    if knee:
        between = f"between the floor and the crotch ({show(crotch)})"
        refuse(knee.key, knee.name, knee.mm, 0.3 * crotch, 0.9 * crotch, between)


def _settle_heights(
    known: _Known, value: dict[str, float], spread: dict[str, float], notes: list[str]
) -> None:
    """Keep estimated heights in order, and the hip at its measured distance from the waist."""
    crotch = value["inside_leg"]

    def hold(name: str, low: float, high: float) -> None:
        held = min(max(value[name], low), high)
        if name not in known and held != value[name]:
            value[name] = held
            notes.append(
                f"{name} was estimated out of order with the other heights and moved: measure it."
            )

    measured_drop = known.get("waist_to_hip")
    least = _WAIST_ABOVE_CROTCH_MM
    if measured_drop:
        least = max(least, measured_drop.mm + _HIP_ABOVE_CROTCH_MM)
    lowest = max(crotch + least, value["hip_height"] + 20 if "hip_height" in known else 0.0)
    hold("waist_height", lowest, 0.85 * value["height"])
    if measured_drop:
        value["hip_height"] = value["waist_height"] - measured_drop.mm
        spread["hip_height"] = spread["waist_height"]
    else:
        waist = value["waist_height"]
        top = max(waist - _HIP_BELOW_WAIST_MM, (waist + crotch) / 2)
        hold("hip_height", min(crotch + _HIP_ABOVE_CROTCH_MM, top), top)
    hold("knee_height", _KNEE_SHARE[0] * crotch, _KNEE_SHARE[1] * crotch)


def _settle_crotch(
    known: _Known, value: dict[str, float], spread: dict[str, float], notes: list[str]
) -> bool:
    """Make the halves sum to the whole; tell whether both are known from the tape."""
    front, back, whole = "front_crotch_length", "back_crotch_length", "crotch_length"
    if whole in known and back in known:
        value[front] = value[whole] - value[back]
        spread.pop(front)
        return True
    moved = False
    if whole in known:
        spread[front] = spread[back]
    else:
        if front in known or back in known:
            value[whole] = value[front] + value[back]
            spread[whole] = spread[back if front in known else front]
        # No body's crotch seam is shorter than twice its rise: it has to go down and up again.
        least = 2 * (value["waist_height"] - value["inside_leg"]) + _CROTCH_OVER_RISE_MM
        moved = value[whole] < least
        value[whole] = max(value[whole], least)
    # The half that is estimated takes what the known values leave, within what bodies have.
    if front in known:
        held = _held(value[whole] - value[front], value[front])
        value[back], moved = held, moved or held != value[whole] - value[front]
        value[whole] = value[front] + value[back]
    elif back in known:
        held = _held(value[whole] - value[back], value[back])
        value[front], moved = held, moved or held != value[whole] - value[back]
        value[whole] = value[front] + value[back]
    else:
        part = value[back]
        if whole not in known:
            part *= value[whole] / (value[front] + value[back])
        low, high = _BACK_SHARE[0] * value[whole], _BACK_SHARE[1] * value[whole]
        value[back] = min(max(part, low), high)
        moved = moved or value[back] != part
        value[front] = value[whole] - value[back]
    if moved:
        notes.append(
            "crotch_length or its halves were estimated out of proportion with the rest and moved: "
            "measure them."
        )
    return False


def _held(half: float, other: float) -> float:
    """An estimated half of the crotch length, held to the shares that bodies have."""
    low, high = _BACK_SHARE[0] / _BACK_SHARE[1], _BACK_SHARE[1] / _BACK_SHARE[0]
    return min(max(half, low * other), high * other)
