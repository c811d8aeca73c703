"""A DXF document: made empty, filled by others, checked, and turned into bytes."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import numpy as np

from outseam.curves.path import Floats
from outseam.draft.inputs.errors import OutseamError

if TYPE_CHECKING:
    from ezdxf.document import Drawing


class DxfError(OutseamError):
    """The drawing that was made is not a sound DXF: a fault of the program."""


def new_document(release: str) -> Drawing:
    """Return an empty document of a release ("R12", "R2000"), millimetres where it can say so."""
    from ezdxf.document import CREATED_BY_EZDXF, Drawing

    doc = Drawing.new(release)
    doc.ezdxf_metadata().discard(CREATED_BY_EZDXF)  # with the time of day
    if release != "R12":  # which has no word for units
        doc.units = 4  # millimetres
        doc.header["$MEASUREMENT"] = 1  # metric
    return doc


def document_bytes(doc: Drawing) -> bytes:
    """Return the file; the same document gives the same bytes. Raises DxfError if it is unsound."""
    import ezdxf

    problems = doc.audit()
    if problems.has_errors or problems.has_fixes:
        found = [*problems.errors, *problems.fixes]
        raise DxfError(f"the DXF is not sound: {found[0].message}")
    # The library stamps the time of day and a random mark into the file unless told this.
    options = ezdxf.options  # type: ignore[attr-defined]
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        out = io.StringIO()
        doc.write(out)
    finally:
        options.write_fixed_meta_data_for_testing = before
    return out.getvalue().encode(doc.output_encoding, errors="dxfreplace")


def refuse_unfinite(points: Floats, what: str) -> None:
    """Raise DxfError for a number that cannot be drawn."""
    if not np.isfinite(points).all():
        raise DxfError(f"{what}: a number is not finite")
