"""Errors a person who sews will read. Each carries its data and speaks in one sentence.

The form is: what, what was given, what is allowed, what to do.
"""

from __future__ import annotations


class OutseamError(Exception):
    """Anything that stops a draft for a reason the user can act on."""


class InputError(OutseamError):
    """A value in the spec that cannot be used.

    `field` is the key as written in the file ("body.hip"), `got` the value as given, `allowed`
    what would be accepted, `hint` what to do about it.
    """

    def __init__(self, field: str, got: str, allowed: str = "", hint: str = "") -> None:
        self.field = field
        self.got = got
        self.allowed = allowed
        self.hint = hint
        parts = [f"{field}: {got}"]
        if allowed:
            parts.append(f"allowed: {allowed}")
        if hint:
            parts.append(hint)
        super().__init__("; ".join(parts) + ("" if parts[-1].endswith((".", "?", "!")) else "."))


class UnsolvableError(OutseamError):
    """No draft satisfies the measurements within the limits of the model.

    `step` names the part of the draft, `residual_mm` by how much it misses, `measurement` the one
    to check first, `hint` the nearest value that would draft.
    """

    def __init__(self, step: str, residual_mm: float, measurement: str, hint: str) -> None:
        self.step = step
        self.residual_mm = residual_mm
        self.measurement = measurement
        self.hint = hint
        super().__init__(
            f"{step} cannot be drafted from these measurements: it misses by "
            f"{abs(residual_mm) / 10:.1f} cm; check body.{measurement} first. {hint}"
        )
