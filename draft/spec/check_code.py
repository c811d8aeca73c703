"""A short code of what a pattern follows from, to tell whether two sheets belong together."""

from __future__ import annotations

import dataclasses
import hashlib
from typing import Any, Final

from outseam.draft.inputs.tables import table_of
from outseam.draft.spec.spec import Spec

#: Letters and digits that cannot be taken for each other.
_SIGNS: Final = "ABCDEFGHJKLMNPQRTUVWXY346789"
_LENGTH: Final = 5


def check_code(spec: Spec) -> str:
    """Return five signs: the same for the same body, fabric, style and alterations.

    Names, papers and units do not change the pieces and so do not change the code, nor does a key
    that a later version adds, as long as it is left out.
    """
    said: list[str] = [repr(dataclasses.astuple(one)) for one in spec.alter]
    for table in ("body", "fabric", "style"):
        values: Any = getattr(spec, table)
        for field in table_of(type(values)):
            value = getattr(values, field.key)
            if field.key != "name" and value not in (None, field.default):
                said.append(f"{table}.{field.key}={value!r}")
    number = int.from_bytes(hashlib.sha256("\n".join(said).encode()).digest()[:8], "big")
    signs = []
    for _ in range(_LENGTH):
        number, at = divmod(number, len(_SIGNS))
        signs.append(_SIGNS[at])
    return "".join(signs)
