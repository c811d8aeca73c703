"""Pull-on pants drafted from a tape, in Python.

    import outseam

    spec = outseam.read_spec("pants.toml")          # or parse_spec(text)
    draft = outseam.draft_spec(spec)
    draft.figures["hip"], draft.warnings, draft.pieces["front"]
    draft.save("pants")                             # the files of `outseam draft`
    outseam.vary_style(spec, rise=("high", "low")).save("compare")
    outseam.draft_table("class.csv")                # a class, a result a row
    outseam.size_range(spec, "en-13402-women")    # a run of sizes, and whom they serve

Lengths are floats in millimetres, stretch, ease and strain plain ratios, whatever the units of the
file. In a notebook a draft shows its drawing and finished measurements, a comparison its page. All
that can be wrong with a spec is raised as an `OutseamError` that says it in one sentence.

Names are loaded when they are first used, so that `import outseam` costs nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from outseam.cli.batch.rows import result_columns
    from outseam.cli.batch.run import draft_table
    from outseam.cli.sizes.files import SizeRange, size_range
    from outseam.comparison import DraftComparison, compare_specs, vary_style
    from outseam.draft.answer import ChecksFailedError
    from outseam.draft.inputs.errors import InputError, OutseamError, UnsolvableError
    from outseam.draft.piece.piece import Finding, Piece, Seam
    from outseam.draft.spec.spec import Spec, parse_spec
    from outseam.draft.spec.spec import load_spec as read_spec
    from outseam.drafted import Draft, draft_spec

__all__ = [
    "ChecksFailedError",
    "Draft",
    "DraftComparison",
    "Finding",
    "InputError",
    "OutseamError",
    "Piece",
    "Seam",
    "SizeRange",
    "Spec",
    "UnsolvableError",
    "compare_specs",
    "draft_spec",
    "draft_table",
    "parse_spec",
    "read_spec",
    "result_columns",
    "size_range",
    "vary_style",
]

#: Where each name lives, and what it is called there.
_HOMES: Final = {
    **dict.fromkeys(("DraftComparison", "compare_specs", "vary_style"), "comparison"),
    **dict.fromkeys(("Draft", "draft_spec"), "drafted"),
    **dict.fromkeys(("InputError", "OutseamError", "UnsolvableError"), "draft.inputs.errors"),
    **dict.fromkeys(("Finding", "Piece", "Seam"), "draft.piece.piece"),
    **dict.fromkeys(("Spec", "parse_spec", "read_spec"), "draft.spec.spec"),
    **dict.fromkeys(("SizeRange", "size_range"), "cli.sizes.files"),
    "ChecksFailedError": "draft.answer",
    "draft_table": "cli.batch.run",
    "result_columns": "cli.batch.rows",
}
_NAMED: Final = {"read_spec": "load_spec"}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'outseam' has no attribute '{name}'")
    value = getattr(import_module(f"outseam.{_HOMES[name]}"), _NAMED.get(name, name))
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
