"""The worksheet to take to the table: one HTML page and a PDF, both from the same blocks."""

from __future__ import annotations

from outseam.cli.document.blocks import Document
from outseam.cli.document.html import render_page
from outseam.cli.document.layout import pages_of
from outseam.cli.scene.home_paper import PAPER_NAMES
from outseam.cli.worksheet.content import worksheet_content
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.draft.answer import Answer

NAMES = ("worksheet.html", "worksheet.pdf")


def worksheet_html(sheet: Document) -> str:
    """Return the worksheet as one HTML page that needs nothing from outside."""
    return render_page("worksheet.html", sheet=sheet, paper=PAPER_NAMES[sheet.paper])


def worksheet_pdf(sheet: Document) -> bytes:
    """Return the worksheet as a PDF of pages."""
    return write_sheet_pdf(pages_of(sheet), title=f"{sheet.title}, worksheet")


def worksheet_files(answer: Answer) -> dict[str, bytes]:
    """Return both files of a worksheet by name."""
    sheet = worksheet_content(answer.pattern, answer.effects, fabric=answer.fabric)
    html, pdf = NAMES
    return {html: worksheet_html(sheet).encode(), pdf: worksheet_pdf(sheet)}
