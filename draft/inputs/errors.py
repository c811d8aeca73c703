"""Errors a person who sews will read. Each carries its data and speaks in one sentence.

The form is: what, what was given, what is allowed, what to do. Who raises an error deep in the
draft does not know the units of the file: lengths are put into its words with `told`, `at_least`
and `at_most`, and shown when the file's units are known (`in_units`), in centimetres until then.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, Self

from outseam.draft.inputs.show import Units, show_length, show_limit

#: Around a length that waits for its units; no text a person types holds it.
_MARK: Final = "\u2063"
_WAITING: Final = re.compile(f"{_MARK}([=<>])([-+.0-9a-z]+){_MARK}")

#: A miss is never told as smaller than this, or it would read as none.
_LEAST_TOLD_MM: Final = 1.6


def told(mm: float) -> str:
    """A length within the words of an error, shown in the units of the file."""
    return f"{_MARK}={float(mm)!r}{_MARK}"


def at_least(mm: float) -> str:
    """Like `told`, for the least that is allowed: rounded up, so that it passes itself."""
    return f"{_MARK}>{float(mm)!r}{_MARK}"


def at_most(mm: float) -> str:
    """Like `told`, for the most that is allowed: rounded down, so that it passes itself."""
    return f"{_MARK}<{float(mm)!r}{_MARK}"


def _shown(text: str, units: Units) -> str:
    def one(found: re.Match[str]) -> str:
        way, mm = found[1], float(found[2])
        if way == "=":
            return show_length(mm, units)
        return show_limit(mm, units, low=way == ">")

    return _WAITING.sub(one, text)


class OutseamError(Exception):
    """Anything that stops a draft for a reason the user can act on."""

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return self


class InputError(OutseamError):
    """A value in the spec that cannot be used.

    `field` is the key as written in the file ("body.hip"), `got` the value as given, `allowed`
    what would be accepted, `hint` what to do about it.
    """

    def __init__(
        self, field: str, got: str, allowed: str = "", hint: str = "", units: Units = "cm"
    ) -> None:
        self._words = (got, allowed, hint)
        self.field = field
        self.got, self.allowed, self.hint = (_shown(words, units) for words in self._words)
        parts = [f"{field}: {self.got}"]
        if allowed:
            parts.append(f"allowed: {self.allowed}")
        if hint:
            parts.append(self.hint)
        super().__init__("; ".join(parts) + ("" if parts[-1].endswith((".", "?", "!")) else "."))

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return type(self)(self.field, *self._words, units=units)


class UnsolvableError(OutseamError):
    """No draft satisfies the measurements within the limits of the model.

    `step` names the part of the draft, `residual_mm` by how much it misses, `measurement` the one
    to check first, `hint` the nearest value that would draft.
    """

    def __init__(
        self, step: str, residual_mm: float, measurement: str, hint: str, units: Units = "cm"
    ) -> None:
        self._hint = hint
        self.step = step
        self.residual_mm = residual_mm
        self.measurement = measurement
        self.hint = _shown(hint, units)
        miss = _shown(told(max(abs(residual_mm), _LEAST_TOLD_MM)), units)
        super().__init__(
            f"{step} cannot be drafted from these measurements: it misses by {miss}; "
            f"check body.{measurement} first. {self.hint}"
        )

    def in_units(self, units: Units) -> Self:
        """Return the error with its lengths in these units."""
        return type(self)(self.step, self.residual_mm, self.measurement, self._hint, units)


@contextmanager
def speaking(units: Units) -> Iterator[None]:
    """Let every error that is raised within speak these units."""
    try:
        yield
    except OutseamError as e:
        raise e.in_units(units) from e.__cause__
