"""The files a pattern is written as: one line each. A new format is a file here and its line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from outseam.cli.paper.home_pages import home_pages
from outseam.cli.paper.print_job import PrintJob
from outseam.cli.paper.printed import Printed
from outseam.cli.paper.wide_sheets import wide_sheets
from outseam.cli.pattern.drawing import pattern_scene
from outseam.cli.write.svg import write_svg_text
from outseam.draft.spec.spec import PrintOptions


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """A file of a pattern: its name after the stem, whether a spec asks for it, what writes it.

    `paper` is the word under which its pages are counted, empty for a file without pages.
    """

    ending: str
    asked: Callable[[PrintOptions], bool]
    write: Callable[[PrintJob], Printed]
    paper: str = ""


def _drawing(job: PrintJob) -> Printed:
    return Printed(data=write_svg_text(pattern_scene(job.pattern)).encode())


def _on_paper(paper: str, write: Callable[[PrintJob], Printed]) -> Format:
    return Format(
        ending=f"-{paper}.pdf", asked=lambda o: paper in o.papers, write=write, paper=paper
    )


FORMATS: Final = (
    Format(ending=".svg", asked=lambda _: True, write=_drawing),
    _on_paper("a4", partial(home_pages, paper="a4")),
    _on_paper("letter", partial(home_pages, paper="letter")),
    _on_paper("a0", wide_sheets),
)
