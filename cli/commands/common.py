"""What all commands share: reading specs, and saying that something was written."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib.resources import files
from pathlib import Path

from outseam.cli.cloth.saved_lay import read_kept
from outseam.cli.commands.exit_codes import DONE, FAILED
from outseam.draft.answer import Answer
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import Spec, load_spec, parse_spec


def read_spec(path: Path | None) -> Spec:
    """Return the spec of a file, or the demo. Raises InputError."""
    if path is not None:
        return load_spec(path)
    demo = files("outseam.draft").joinpath("data/demo.toml")
    return parse_spec(demo.read_text("utf-8"), "the demo")


def read_answer(path: Path | None) -> Answer:
    """Return what follows from a spec file and the lay kept beside it, or from the demo.

    Raises InputError.
    """
    return Answer(spec=read_spec(path), kept_lay=read_kept(path))


def exit_code(pattern: Pattern, *, strict: bool, refused: bool = False) -> int:
    """Return the exit code of a command that has shown a pattern; `refused`: no lay can be had."""
    doubtful = bool(pattern.warnings) or refused
    return FAILED if pattern.errors or (strict and doubtful) else DONE


def wrote(names: Iterable[str], out: Path, left_out: Mapping[str, str] | None = None) -> str:
    """Return the sentences about files that were written, and those left out with the reason."""
    missing = [f"Left out {name}: {reason}" for name, reason in (left_out or {}).items()]
    return "\n".join([*missing, f"Wrote {', '.join(sorted(names))} to {out}."])
