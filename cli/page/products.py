"""What the page makes: each file or set of files a button, made as the commands make them."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any, Final

from outseam.draft.answer import Answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """Files by name, and how many pages were counted, by name of the file."""

    files: Mapping[str, bytes]
    pages: Mapping[str, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """A button: `label` says what it makes, `says` what that is for; `where` its heading."""

    key: str
    label: str
    says: str
    where: str
    make: Callable[[Answer], Made]


_STEM: Final = "pattern"


def _pages(pdf: bytes) -> int:
    import pikepdf

    with pikepdf.open(io.BytesIO(pdf)) as document:
        return len(document.pages)


def _made(files: Mapping[str, bytes]) -> Made:
    pdfs = {name: _pages(data) for name, data in files.items() if name.endswith(".pdf")}
    return Made(files=files, pages=pdfs)


def _sheet(answer: Answer, ending: str) -> Made:
    """Return one file of the pattern. Raises InputError for a piece that no sheet holds."""
    from outseam.cli.paper.formats import FORMATS
    from outseam.cli.paper.print_job import PrintJob
    from outseam.draft.inputs.errors import raised_in

    one = next(f for f in FORMATS if f.file_name(_STEM) == _STEM + ending)
    with raised_in(answer.spec.units):
        return _made({_STEM + ending: one.write(PrintJob(pattern=answer.pattern)).data})


def _first_page(answer: Answer, paper: str) -> Made:
    """Return page 1 of the tiles alone: map, squares, how to join."""
    import pikepdf

    tiles = _sheet(answer, f"-{paper}.pdf").files[f"pattern-{paper}.pdf"]
    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(tiles)) as document:
        del document.pages[1:]
        document.save(out, deterministic_id=True)
    return _made({f"page-1-{paper}.pdf": out.getvalue()})


def _trial(answer: Answer) -> Made:
    from outseam.cli.fitting.trial_files import trial_files

    options = replace(answer.spec.print, papers=_home_papers(answer))
    short = Answer(spec=replace(answer.spec, print=options), kept_lay=answer.kept_lay)
    return _made(trial_files(short).files)


def _home_papers(answer: Answer) -> tuple[str | float, ...]:
    return tuple(p for p in answer.spec.print.papers if p in ("a4", "letter")) or ("a4",)


def _worksheet(answer: Answer) -> Made:
    from outseam.cli.worksheet.files import worksheet_files

    return _made(worksheet_files(answer))


def _measures(answer: Answer) -> Made:
    from outseam.cli.measure.sheet import measure_html

    units = "in" if answer.spec.units == "in" else "cm"
    return _made({"measure.html": measure_html(units).encode()})


#: How a file of the pattern is called on its button; a new one is called by its ending.
_SHEETS: Final = {
    "-a4.pdf": ("on A4 pages (PDF)", "tiles for a home printer; the square on page 1 first"),
    "-letter.pdf": ("on letter pages (PDF)", "tiles for a home printer; the square first"),
    "-a0.pdf": ("on wide sheets, A0 (PDF)", "whole pieces for a copy shop"),
    "-a1.pdf": ("on wide sheets, A1 (PDF)", "whole pieces for a copy shop"),
    "-projector.pdf": ("for a projector (PDF)", "one page of heavy lines"),
    ".svg": ("as a drawing (SVG)", "full scale in layers, for an editor"),
    ".dxf": ("as cut parts (DXF)", "for other programs"),
    "-lines.dxf": ("as lines for a cutter (DXF)", "outlines and notches only"),
}
#: The order of the buttons: what most people want first.
_ORDER: Final = tuple(_SHEETS)


def _registry() -> dict[str, Product]:
    from outseam.cli.paper.formats import FORMATS

    found = [
        Product(
            key=f"page-1-{paper}",
            label=f"Make page 1 on {name}",
            says="the test square, the map of the pages and how to join them",
            where="first",
            make=partial(_first_page, paper=paper),
        )
        for paper, name in (("a4", "A4"), ("letter", "letter"))
    ]
    # What is named in full is there for the folder and is made with the rest.
    endings = [one.ending for one in FORMATS if not one.name]
    for ending in sorted(endings, key=lambda e: _ORDER.index(e) if e in _SHEETS else len(_ORDER)):
        label, says = _SHEETS.get(ending, (f"as {_STEM}{ending}", "full scale"))
        found.append(
            Product(
                key=f"{_STEM}{ending}",
                label=f"Make the pattern {label}",
                says=says,
                where="rest",
                make=partial(_sheet, ending=ending),
            )
        )
    found += [
        Product(
            key="trial",
            label="Make the short trial",
            says="the same draft to the knee, and a sheet of what to look for",
            where="trial",
            make=_trial,
        ),
        Product(
            key="worksheet",
            label="Make the worksheet",
            says="what to cut, every figure, and the sewing order with drawings",
            where="table",
            make=_worksheet,
        ),
        Product(
            key="measure",
            label="Make the measuring sheet",
            says="how to take every measurement, to print and measure with a friend",
            where="table",
            make=_measures,
        ),
    ]
    return {p.key: p for p in found}


PRODUCTS: Final = _registry()


def make(answer: Answer, key: str) -> Made:
    """Return the files of a button. Raises KeyError, ChecksFailedError, InputError."""
    return PRODUCTS[key].make(answer)


def kind_of(name: str) -> str:
    """Return the media type of a file that was made."""
    types: dict[str, Any] = {
        "pdf": "application/pdf",
        "svg": "image/svg+xml",
        "html": "text/html; charset=utf-8",
        "json": "application/json",
        "dxf": "image/vnd.dxf",
    }
    return str(types.get(name.rpartition(".")[2], "application/octet-stream"))
