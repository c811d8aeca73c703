"""From what was measured (`Body`) to all that a draft needs (`Measures`).

What was not measured is estimated from the population figures and listed with its standard
deviation; what disagrees is noted; what contradicts itself is refused.
"""

from __future__ import annotations

from typing import Final

from outseam.draft.body.measures import LENGTHS, Estimate, Measured, Measures
from outseam.draft.body.population import condition
from outseam.draft.body.readings import HIP_ABOVE_CROTCH_MM, SEATED_LOWER_MM, read_readings
from outseam.draft.body.slips import fits_words, guess
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length

__all__ = [
    "SEATED_LOWER_MM",
    "Body",
    "Estimate",
    "Measured",
    "Measures",
    "complete",
]

#: Least distances that keep an estimate from turning the body upside down. Real bodies keep far
#: away from them, so they act only where odd measurements pull an estimate along.
_HIP_BELOW_WAIST_MM: Final = 40.0
_WAIST_ABOVE_CROTCH_MM: Final = 120.0
_KNEE_SHARE: Final = (0.40, 0.75)  # of the inside leg; ANSUR II means: .574 women, .577 men
_CROTCH_OVER_RISE_MM: Final = 20.0
#: Limits for an estimated half of the crotch length as a share of the whole; in ANSUR II the back
#: half has .48 to .66 at the navel.
_BACK_SHARE: Final = (0.3, 0.7)


#: Every key that holds a measurement, in the order of the table.
_KEYS: Final = tuple(key for key in Body.__dataclass_fields__ if key not in ("build", "name"))


def complete(body: Body, units: Units = "cm") -> Measures:
    """All measures of a body, estimating what it does not give.

    `units` are those of sentences. Raises InputError where measurements contradict each other so
    that no body could have them; smaller disagreements become notes.
    """
    readings = read_readings(body, units)
    if readings.conflicts:
        raise explained(body, readings.conflicts[0], units)
    known, notes = readings.known, list(readings.notes)

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


def explained(body: Body, error: InputError, units: Units) -> InputError:
    """Return a refusal with what would make the body whole, if one slip would."""
    found = guess(body, units)
    if found is None:
        return error
    key = found.key.replace("_", " ")
    if found.slip is None:
        about = show_length(found.expected_mm, units)
        hint = f"from the other measurements {key} is expected at about {about}"
    elif len(found.slip.keys) > 1:
        hint = f"{fits_words(found.slip, units)}"
    else:
        hint = f"{key} {show_length(getattr(body, found.key), units)}: "
        hint += fits_words(found.slip, units)
    return InputError(error.field, error.got, error.allowed, f"{error.hint}; {hint}")


_Known = dict[str, Measured]


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
        least = max(least, measured_drop.mm + HIP_ABOVE_CROTCH_MM)
    lowest = max(crotch + least, value["hip_height"] + 20 if "hip_height" in known else 0.0)
    hold("waist_height", lowest, 0.85 * value["height"])
    if measured_drop:
        value["hip_height"] = value["waist_height"] - measured_drop.mm
        spread["hip_height"] = spread["waist_height"]
    else:
        waist = value["waist_height"]
        top = max(waist - _HIP_BELOW_WAIST_MM, (waist + crotch) / 2)
        hold("hip_height", min(crotch + HIP_ABOVE_CROTCH_MM, top), top)
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
