"""Errors of the geometry. They carry their data so that callers can say them in trade words."""

from __future__ import annotations


class CurveError(ValueError):
    """A geometric request that cannot be answered.

    Attributes: `what` names the operation, `data` holds the offending values.
    """

    def __init__(self, what: str, says: str, **data: object) -> None:
        super().__init__(f"{what}: {says}")
        self.what = what
        self.data = data
