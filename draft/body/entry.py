"""The table [body] read with an eye to slips: a number that no body has is judged by the rest."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from outseam.draft.body.slips import fits_words, guess
from outseam.draft.body.table import Body
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.tables import read_table, table_of
from outseam.draft.inputs.text import describe
from outseam.draft.inputs.units import written_length
from outseam.draft.inputs.value_kinds import Length

#: What is shorter or longer than this is no slip of a tape or a keyboard, and is not explained.
_LEAST_SLIP_MM: Final = 0.01
_MOST_SLIP_MM: Final = 1e6


def read_body(raw: object, units: Units, elsewhere: Mapping[str, str] | None = None) -> Body:
    """Return the body in the keys of a table, as `read_table` does.

    Raises InputError; where a length is out of its limits, with the slip that the other lengths
    say it is and the value that would fit. A measurement that is still "" counts as not taken; one
    that begins with "e.g." is the sample of a file that was not filled in, and is refused.
    """
    raw = _filled_in(raw, units)
    try:
        return read_table(Body, raw, table="body", units=units, elsewhere=elsewhere)
    except InputError as error:
        # Nothing but a length out of its limits leaves a body to compare it with.
        body = _with_any_length(raw, error.field.removeprefix("body."), units)
        if body is None:
            raise
        raise _explained(body, error, units) from None


def _filled_in(raw: object, units: Units) -> object:
    """Return the keys without the measurements left empty. Raises InputError for a sample."""
    if not isinstance(raw, Mapping):
        return raw
    lengths = {f.key: f.kind for f in table_of(Body) if isinstance(f.kind, Length)}
    found = {}
    for key, value in raw.items():
        if key in lengths and isinstance(value, str):
            written = value.strip().casefold()
            if not written:
                continue
            if written.startswith("e.g."):
                raise InputError(
                    f"body.{key}",
                    f"{describe(value)} is still the sample's",
                    lengths[key].says(units),
                    "put your own number there",
                )
        found[key] = value
    return found


def _with_any_length(raw: object, wrong: str, units: Units) -> Body | None:
    """Return the body with the length `wrong` whatever it is, None if more than it is wrong."""
    if not isinstance(raw, Mapping):
        return None
    fields = {field.key: field for field in table_of(Body)}
    values: dict[str, Any] = {}
    try:
        for key, value in raw.items():
            kind = fields[key].kind
            if key == wrong and isinstance(kind, Length):
                values[key] = written_length(value, units, f"body.{key}").mm
            else:
                values[key] = kind.read(value, f"body.{key}", units)
        return Body(**values) if _LEAST_SLIP_MM < values[wrong] < _MOST_SLIP_MM else None
    except (InputError, KeyError, TypeError):
        return None


def _explained(body: Body, error: InputError, units: Units) -> InputError:
    key = error.field.removeprefix("body.")
    found = guess(body, units, keys=(key,))
    if found is None:
        return error
    if found.slip is None:
        about = show_length(found.expected_mm, units)
        expected = f"the other measurements let expect about {about}"
        hint = f"{error.hint}. {expected.capitalize()}" if error.hint else expected
    elif error.slip in found.slip.names:
        hint = f"{error.hint}. The other measurements agree"  # how to write it is said there
    else:
        hint = fits_words(found.slip, units)
    return InputError(error.field, error.got, error.allowed, hint)
