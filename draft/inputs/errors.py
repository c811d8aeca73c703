"""Errors a person who sews will read. Each carries its data and speaks in one sentence.

The form is: what, what was given, what is allowed, what to do. Who raises an error deep in the
draft does not know the units of the file: lengths in its sentences are `Words`, shown when the
units are known (`raised_in`), in centimetres until then.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, Self

from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.words import Sentence, in_units

#: A miss is never shown as smaller than this, or it would read as none.
_LEAST_SHOWN_MM: Final = 1.6


class OutseamError(Exception):
    """Anything that stops a draft for a reason the user can act on."""

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return self


class InputError(OutseamError):
    """A value in the spec that cannot be used.

    `field` is the key as written in the file ("body.hip"), `got` the value as given, `allowed`
    what would be accepted, `hint` what to do about it. `slip` names what the hint explains the
    value by: a unit ("inches") or a decimal point ("point").
    """

    def __init__(
        self,
        field: str,
        got: Sentence,
        allowed: Sentence = "",
        hint: Sentence = "",
        units: Units = "cm",
        slip: str = "",
    ) -> None:
        self.slip = slip
        self._said = (got, allowed, hint)
        self.field = field
        self.got, self.allowed, self.hint = (in_units(said, units) for said in self._said)
        parts = [f"{field}: {self.got}"]
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.hint:
            parts.append(self.hint)
        super().__init__("; ".join(parts) + ("" if parts[-1].endswith((".", "?", "!")) else "."))

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return type(self)(self.field, *self._said, units=units, slip=self.slip)


class UnsolvableError(OutseamError):
    """No draft satisfies the measurements within the limits of the model.

    `step` names the part of the draft, `residual_mm` by how much it misses, `measurement` the one
    to check first, `hint` the nearest value that would draft.
    """

    def __init__(
        self, step: str, residual_mm: float, measurement: str, hint: Sentence, units: Units = "cm"
    ) -> None:
        self._hint = hint
        self.step = step
        self.residual_mm = residual_mm
        self.measurement = measurement
        self.hint = in_units(hint, units)
        miss = show_length(max(abs(residual_mm), _LEAST_SHOWN_MM), units)
        super().__init__(
            f"{step} cannot be drafted from these measurements: it misses by {miss}; "
            f"check body.{measurement} first. {self.hint}"
        )

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return type(self)(self.step, self.residual_mm, self.measurement, self._hint, units)


@contextmanager
def raised_in(units: Units) -> Iterator[None]:
    """Show the lengths of every error that is raised within in these units."""
    try:
        yield
    except OutseamError as e:
        raise e.in_units(units) from e.__cause__
