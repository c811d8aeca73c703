"""The files of a pattern, as bytes by name: all formats that its spec asks for, and its figures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from outseam.cli.paper import formats
from outseam.cli.paper.print_job import PrintJob
from outseam.cli.paper.whole_pages import TooLargeError
from outseam.cli.pattern.summary import summary, summary_text
from outseam.cli.wording.fabric import fabric_data
from outseam.draft.answer import Answer
from outseam.draft.inputs.errors import raised_in
from outseam.draft.model import Pattern


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """Files by name, and what was counted while making them, by paper.

    `left_out` says, by name, why a file that was asked for could not be made.
    """

    files: dict[str, bytes]
    pages: dict[str, dict[str, Any]]
    left_out: dict[str, str] = field(default_factory=dict)


def _silent(_: str) -> None: ...


def make_sheets(
    pattern: Pattern, step: Callable[[str], None] = _silent, *, stem: str = "pattern"
) -> Sheets:
    """Return every file the spec asks for, named from `stem`; `step` is told what is being made.

    A piece too large for a sheet costs the files of that paper and no others. Raises ValueError
    for a page that is not to scale.
    """
    job = PrintJob(pattern=pattern, stem=stem)
    files: dict[str, bytes] = {}
    pages: dict[str, dict[str, Any]] = {}
    left_out: dict[str, str] = {}
    for one in formats.formats_for(job.options):
        name = one.file_name(stem)
        step(name)
        try:
            with raised_in(pattern.spec.units):
                printed = one.write(job)
        except TooLargeError as error:
            left_out[name] = str(error)
            continue
        files[name] = printed.data
        if printed.pages is not None:
            pages[one.paper] = printed.pages
    return Sheets(files=files, pages=pages, left_out=left_out)


def draft_files(answer: Answer, step: Callable[[str], None] = _silent) -> Sheets:
    """Return the files of `outseam draft`: the pattern in every format, and all figures."""
    made = make_sheets(answer.pattern, step)
    data = summary(answer.pattern, answer.effects, made.pages, fabric_data(answer.fabric))
    return replace(made, files=made.files | {"summary.json": summary_text(data).encode()})
