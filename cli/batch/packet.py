"""Packets: all patterns of a class on one paper in one file, each behind a cover with its name."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

from pikepdf import Dictionary, OutlineItem, Pdf

from outseam.cli.batch.patterns import About
from outseam.cli.paper.tiles import PAPERS
from outseam.cli.scene.scene import Label, Pen, Scene, Stroke, scene_of
from outseam.cli.scene.text import shorten_text, wrap_text
from outseam.cli.write.pdf import list_switches, new_document, write_sheet_pdf
from outseam.curves.path import line
from outseam.draft.inputs.show import show_length

#: People in one file; a larger class gets several, so that files stay of a size to send.
MOST: Final = 100
_MARGIN_MM: Final = 18.0
_NAME_MM, _TEXT_MM, _SMALL_MM = 13.0, 4.6, 3.6
_WORD_MM: Final = 38.0


def _facts(row: About, paper: str, first: int, count: int) -> list[tuple[str, str]]:
    """Return what a cover says of its pages, a word and what there is to say."""
    named, u, sizes = PAPERS.get(paper, PAPERS["a4"])[0], row["units"], row["finished_mm"]
    elastic = sizes.get("elastic")
    facts = [
        ("style", row["style"]),
        ("fabric", f"{row['fabric']}; {row['round']}"),
        ("body hip", show_length(row["body_hip_mm"], u)),
        ("finished hip", show_length(sizes["hip"], u)),
        ("elastic", "none" if elastic is None else f"{show_length(elastic, u)}, joined"),
        ("inseam", show_length(sizes["inseam"], u)),
        ("pieces", str(row["pieces"])),
        ("pages", f"{first} to {first + count - 1} of this file, {count} of {named or paper}"),
        ("folder", row["folder"]),
    ]
    if row["id"] and row["id"] != row["who"]:
        facts.insert(0, ("id", row["id"]))
    return facts


def cover_scene(row: About, paper: str, first: int, count: int) -> Scene:
    """Return the cover of a row's pages; `first` is the packet's page after it, `count` how many.

    On wide paper the cover is a sheet of A4.
    """
    _, wide, high = PAPERS.get(paper, PAPERS["a4"])
    room = wide - 2.0 * _MARGIN_MM
    items: list[Stroke | Label] = []
    y = high - 48.0
    for text in wrap_text(row["who"], _NAME_MM, room)[:2]:
        items.append(Label(text=text, at=(_MARGIN_MM, y), size_mm=_NAME_MM))
        y -= _NAME_MM * 1.2
    y += _NAME_MM * 0.7
    rule = line((_MARGIN_MM, y), (wide - _MARGIN_MM, y))
    items.append(Stroke(path=rule, pen=Pen(width_mm=0.5)))
    y -= 12.0
    for word, told in _facts(row, paper, first, count):
        items.append(Label(text=word, at=(_MARGIN_MM, y), size_mm=_TEXT_MM, colour=0.35))
        for text in wrap_text(told, _TEXT_MM, room - _WORD_MM)[:2]:
            items.append(Label(text=text, at=(_MARGIN_MM + _WORD_MM, y), size_mm=_TEXT_MM))
            y -= _TEXT_MM * 1.5
    y -= 4.0
    warnings = [f"Warning: {text}" for text in row["warnings"]]
    warnings.append(
        "Print at 100 % and measure the test squares on the next page before all others. "
        "Sew a short trial in cheap fabric first."
    )
    for text in warnings:
        for one in wrap_text(text, _SMALL_MM, room):
            if y > 22.0:
                items.append(Label(text=one, at=(_MARGIN_MM, y), size_mm=_SMALL_MM))
            y -= _SMALL_MM * 1.45
        y -= 2.0
    return scene_of(shorten_text(row["who"], _NAME_MM, room), (wide, high), {"cover": items})


def packet_pdf(rows: Sequence[About], paper: str, folder: Path, title: str) -> bytes:
    """Return the packet of a paper: for each row a cover, then the pages in its folder's file.

    Layers of one name are switched together, and the file's bookmarks lead to the covers. Raises
    OSError for a file that is not there.
    """
    pdf = new_document(title)
    marks = []
    for row in rows:
        with Pdf.open(folder / row["folder"] / f"pattern-{paper}.pdf") as source:
            at = len(pdf.pages)
            cover = cover_scene(row, paper, at + 2, len(source.pages))
            with Pdf.open(io.BytesIO(write_sheet_pdf([cover]))) as front:
                pdf.pages.extend(front.pages)
            pdf.pages.extend(source.pages)
            marks.append(OutlineItem(row["who"], at))
    _share_switches(pdf)
    with pdf.open_outline() as outline:
        outline.root.extend(marks)
    out = io.BytesIO()
    pdf.save(out, min_version="1.7", deterministic_id=True)
    return out.getvalue()


def _share_switches(pdf: Pdf) -> None:
    """Let layers of one name on any page hang on one switch, listed once in the document."""
    shared: dict[str, Any] = {}
    for page in pdf.pages:
        named = page.obj.Resources.get("/Properties", Dictionary())
        for key, switch in list(named.items()):
            named[key] = shared.setdefault(str(switch.Name), switch)
    list_switches(pdf, list(shared.values()))


def packet_names(rows: Sequence[About]) -> dict[str, tuple[str, tuple[About, ...]]]:
    """Return the packets that rows make: file name -> paper, and the rows in it."""
    found: dict[str, tuple[str, tuple[About, ...]]] = {}
    papers = dict.fromkeys(paper for row in rows for paper in row.get("pages", ()))
    papers.pop("projector", None)  # nobody prints that page
    for paper in papers:
        members = [row for row in rows if paper in row.get("pages", ())]
        parts = [members[i : i + MOST] for i in range(0, len(members), MOST)]
        for number, part in enumerate(parts, start=1):
            behind = f"-{number:02}" if len(parts) > 1 else ""
            found[f"packet-{paper}{behind}.pdf"] = (paper, tuple(part))
    return found
