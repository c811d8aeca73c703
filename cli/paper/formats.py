"""The files a pattern is written as: one line each. A new format is a file here and its line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from outseam.cli.paper.home_pages import home_pages
from outseam.cli.paper.print_job import PrintJob
from outseam.cli.paper.printed import Printed
from outseam.cli.paper.projector import projector_page
from outseam.cli.paper.wide_sheets import SHEETS, roll_name, roll_sheet, wide_sheets
from outseam.cli.pattern.drawing import pattern_scene
from outseam.cli.pattern.overview import pieces_scene
from outseam.cli.write.png import PREVIEW, preview_png
from outseam.cli.write.svg import write_svg_text
from outseam.draft.spec.spec import PrintOptions


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """A file of a pattern: its name after the stem, whether a spec asks for it, what writes it.

    `name` stands in place of stem and ending for a file that is called the same everywhere; `paper`
    is the word under which its pages are counted, empty for a file without pages.
    """

    ending: str = ""
    asked: Callable[[PrintOptions], bool]
    write: Callable[[PrintJob], Printed]
    paper: str = ""
    name: str = ""

    def file_name(self, stem: str) -> str:
        """Return what the file is called."""
        return self.name or stem + self.ending


def _drawing(job: PrintJob) -> Printed:
    return Printed(data=write_svg_text(pattern_scene(job.pattern)).encode())


def _cut_parts(job: PrintJob) -> Printed:
    from outseam.cli.dxf.pieces_file import pieces_dxf

    return Printed(data=pieces_dxf(job.pattern))


def _cutter_lines(job: PrintJob) -> Printed:
    from outseam.cli.dxf.cutter_file import cutter_dxf

    return Printed(data=cutter_dxf(job.pattern))


def _preview(job: PrintJob) -> Printed:
    return Printed(data=preview_png(pieces_scene(job.pattern, on_paper=False)[0]))


def _on_paper(paper: str, write: Callable[[PrintJob], Printed]) -> Format:
    return Format(
        ending=f"-{paper}.pdf", asked=lambda o: paper in o.papers, write=write, paper=paper
    )


def _on_roll(width_mm: float) -> Format:
    name = roll_name(width_mm)
    return Format(
        ending=f"-{name}.pdf",
        asked=lambda o: width_mm in o.papers,
        write=partial(wide_sheets, sheet=roll_sheet(width_mm)),
        paper=name,
    )


FORMATS: Final = (
    Format(ending=".svg", asked=lambda _: True, write=_drawing),
    Format(name=PREVIEW, asked=lambda _: True, write=_preview),
    _on_paper("a4", partial(home_pages, paper="a4")),
    _on_paper("letter", partial(home_pages, paper="letter")),
    _on_paper("a0", partial(wide_sheets, sheet=SHEETS["a0"])),
    _on_paper("a1", partial(wide_sheets, sheet=SHEETS["a1"])),
    Format(
        ending="-projector.pdf",
        asked=lambda o: "projector" in o.files,
        write=projector_page,
        paper="projector",
    ),
    Format(ending=".dxf", asked=lambda o: "dxf" in o.files, write=_cut_parts),
    Format(ending="-lines.dxf", asked=lambda o: "dxf-lines" in o.files, write=_cutter_lines),
)


def formats_for(options: PrintOptions) -> tuple[Format, ...]:
    """Return the formats a spec asks for: those of `FORMATS`, then one for each width of roll."""
    rolls = (_on_roll(width) for width in options.papers if isinstance(width, float))
    return (*(one for one in FORMATS if one.asked(options)), *rolls)
