"""The class sheet: one page that tells a teacher who gets what, as HTML, PDF and CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Final

from outseam.cli.batch.patterns import About
from outseam.cli.document.blocks import (
    Document,
    DocumentBlock,
    NoticeLevel,
    Notices,
    Paragraph,
    Section,
    Table,
)
from outseam.cli.document.layout import pages_of
from outseam.cli.wording.report import CAUTION
from outseam.cli.worksheet.files import worksheet_html
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.text import capital

STEM: Final = "class-sheet"
#: What the CSV tells of each row, mm.
_FIGURES: Final = ("hip", "waistband", "elastic", "thigh", "hem", "inseam", "outseam")


def _papers(rows: Sequence[About]) -> tuple[str, ...]:
    """Return the papers that some row is printed on, in the order of a pattern's files."""
    return tuple(dict.fromkeys(paper for row in rows for paper in row.get("pages", ())))


def _length(row: About, key: str) -> str:
    mm = row["finished_mm"].get(key)
    return "none" if mm is None else show_length(mm, row["units"])


def _people(rows: Sequence[About], papers: Sequence[str]) -> Table:
    """Return the table of who gets what."""
    table = []
    for row in rows:
        number, who = str(row["number"]), row["who"]
        if row["status"] != "drafted":
            table.append((number, who, "not drafted", "", "", "", *([""] * len(papers))))
            continue
        warned = len(row["warnings"])
        flag = f" ({warned} warning{'s' * (warned > 1)})" if warned else ""
        table.append(
            (
                number,
                who + flag,
                f"{row['style']}; {row['fabric']}; {row['round']}",
                show_length(row["body_hip_mm"], row["units"]),
                _length(row, "hip"),
                _length(row, "elastic"),
                *(str(row["pages"].get(paper, "")) for paper in papers),
            )
        )
    shares = (0.04, 0.18, 0.27, 0.105, 0.105, 0.105, *([0.065] * len(papers)))
    return Table(
        head=(
            *("", "name", "style; fabric; stretch"),
            *("hip, body", "hip, finished", "elastic, joined"),
            *(capital(p) for p in papers),
        ),
        rows=tuple(table),
        shares=shares,
        right=tuple(range(3, len(shares))),
    )


def _notices(rows: Sequence[About]) -> tuple[tuple[NoticeLevel, str], ...]:
    """Return why rows are not drafted, and what is doubtful in the others."""
    found: list[tuple[NoticeLevel, str]] = []
    for row in rows:
        says = [row["says"]] if row["status"] != "drafted" else row["warnings"]
        level: NoticeLevel = "error" if row["status"] != "drafted" else "warning"
        found += [(level, f"{row['number']}  {row['who']}: {text}") for text in says]
    return tuple(found)


def class_sheet(rows: Sequence[About], title: str = "Class") -> Document:
    """Return the sheet for rows as `about_row` tells them; refused rows have their reason."""
    papers, notices = _papers(rows), _notices(rows)
    drafted = [row for row in rows if row["status"] == "drafted"]
    blocks: list[DocumentBlock] = [_people(rows, papers)]
    if papers:
        counts = [[row["pages"][p] + 1 for row in drafted if p in row["pages"]] for p in papers]
        told = ", ".join(f"{sum(c)} of {capital(p)}" for p, c in zip(papers, counts, strict=True))
        text = "The last columns count pages, page 1 with the test squares among them. The packets"
        blocks.append(Paragraph(text=f"{text}, with a cover for each, have {told}.", small=True))
    sections = [Section(key="people", title="Who gets what", blocks=tuple(blocks))]
    if notices:
        said = (Notices(items=notices),)
        sections.append(Section(key="warnings", title="Look at these first", blocks=said))
    sections.append(Section(key="care", title="Before cutting", blocks=(Paragraph(text=CAUTION),)))
    refused = len(rows) - len(drafted)
    lead = f"{len(drafted)} of {len(rows)} drafted" if refused else f"{len(drafted)} drafted"
    return Document(
        title=title,
        lead=f"{lead}. Each has a folder of patterns; a packet holds all of one paper, in this "
        "order.",
        sections=tuple(sections),
        paper="letter" if "letter" in papers and "a4" not in papers else "a4",
    )


def class_csv(rows: Sequence[About]) -> str:
    """Return what the sheet tells as a CSV, lengths in mm, warnings in the last column."""
    papers = _papers(rows)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    known = ("number", "id", "name", "status", "folder", "style", "fabric", "stretch_round")
    head = (*known, "body_hip_mm")
    figures, pages = (f"{k}_mm" for k in _FIGURES), (f"{p}_pages" for p in papers)
    writer.writerow([*head, *figures, *pages, "says"])
    for row in rows:
        sizes = row.get("finished_mm", {})
        says = [row["says"]] if row["status"] != "drafted" else row["warnings"]
        writer.writerow(
            [
                *(row["number"], _cell(row["id"]), _cell(row["who"]), row["status"]),
                *(_cell(row.get(k, "")) for k in ("folder", "style", "fabric")),
                row.get("stretch_round", ""),
                row.get("body_hip_mm", ""),
                *(sizes.get(k, "") for k in _FIGURES),
                *(row.get("pages", {}).get(p, "") for p in papers),
                _cell(" ".join(says)),
            ]
        )
    return out.getvalue()


def _cell(text: str) -> str:
    """Return a text that a spreadsheet takes for words and not for a formula."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@")) else text


def class_files(rows: Sequence[About], title: str = "Class") -> dict[str, bytes]:
    """Return the three files of the class sheet by name."""
    sheet = class_sheet(rows, title)
    return {
        f"{STEM}.html": worksheet_html(sheet).encode(),
        f"{STEM}.pdf": write_sheet_pdf(pages_of(sheet), title=sheet.title),
        # The mark tells spreadsheets that names are in UTF-8.
        f"{STEM}.csv": b"\xef\xbb\xbf" + class_csv(rows).encode(),
    }
