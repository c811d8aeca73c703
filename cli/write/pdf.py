"""Scene -> PDF: one form object per layer, assembled with pikepdf.

Around the drawing stand switchable layers, viewer preferences, title and date; the same input gives
the same bytes.
"""

from __future__ import annotations

import io
import os
from collections.abc import Collection, Iterable, Sequence
from datetime import UTC, datetime
from typing import Final

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from outseam.cli.scene.scene import Label, Layer, Scene, SceneItem
from outseam.cli.scene.text import clean_text
from outseam.cli.scene.validate import refuse_nonfinite
from outseam.cli.write.pdf_font import embed_font
from outseam.cli.write.pdf_operators import FONT_NAME, item_operators
from outseam.curves.point import Point
from outseam.draft.inputs.errors import InputError

#: Points per millimetre; 25.4 is exact.
PT_PER_MM = 72 / 25.4

#: The largest page a PDF viewer must accept is 14,400 points (PDF 1.7, annex C, "implementation
#: limits"); the way round it (UserUnit) is printed at half size by common programs.
MAX_PAGE_MM = 5080.0

#: How hard streams are packed, 1 to 9.
_PACKING: Final = 2

#: Stands in every document that is given no other date, so that the same input gives the same file.
FIXED_DATE = datetime(2000, 1, 1, tzinfo=UTC)


def write_sheet_pdf(
    scenes: Sequence[Scene],
    *,
    title: str = "",
    hidden_layers: Collection[str] = (),
) -> bytes:
    """Return a PDF with one page per scene at true scale, each page as large as its scene.

    Layers of the same name on several pages are switched together; those in `hidden_layers` start
    switched off. The document's title is `title` or the first scene's; its date is
    SOURCE_DATE_EPOCH, else a fixed one. Raises ValueError for numbers that cannot be drawn,
    InputError for a sheet beyond 5.08 m, which viewers and printers do not accept.
    """
    for scene in scenes:
        refuse_nonfinite(scene)
        if max(scene.width_mm, scene.height_mm) > MAX_PAGE_MM:
            raise InputError(
                "print",
                f"a sheet of {scene.width_mm:.0f} x {scene.height_mm:.0f} mm",
                f"at most {MAX_PAGE_MM:.0f} mm each way",
                "split it over several sheets, printers refuse a longer page",
            )
    pdf = new_document(title or scenes[0].title)
    switches = add_switches(pdf, [layer.name for s in scenes for layer in s.layers], hidden_layers)
    font = embed_font(pdf, (item for scene in scenes for item in scene.items))
    for scene in scenes:
        page = add_page(pdf, scene.width_mm, scene.height_mm)
        content = place_layers(page, scene, switches, layer_forms(pdf, scene, font))
        page.Contents = pdf.make_stream(content)
    return document_bytes(pdf)


def layer_forms(pdf: Pdf, scene: Scene, font: pikepdf.Object | None) -> list[pikepdf.Object]:
    """Return each layer of the scene as a form object of the scene's size."""
    return [_layer_form(pdf, scene, layer, font) for layer in scene.layers]


def _layer_form(
    pdf: Pdf, scene: Scene, layer: Layer, font: pikepdf.Object | None
) -> pikepdf.Object:
    form = pdf.make_stream(item_content(layer.items))
    form.Type, form.Subtype = Name.XObject, Name.Form
    form.BBox, form.Resources = _box(scene.width_mm, scene.height_mm), Dictionary()
    if font is not None and any(isinstance(item, Label) for item in layer.items):
        form.Resources.Font = Dictionary({FONT_NAME: font})
    return form


def item_content(items: Iterable[SceneItem], origin_mm: Point = (0.0, 0.0)) -> bytes:
    """Return content that draws items whose origin lies at `origin_mm` on the page."""
    x, y = (v * PT_PER_MM for v in origin_mm)
    unit = f"{PT_PER_MM:.12f} 0 0 {PT_PER_MM:.12f} {x:.6f} {y:.6f} cm\n"
    return unit.encode() + item_operators(items)


def _box(width_mm: float, height_mm: float) -> Array:
    return Array([0, 0, *(round(side * PT_PER_MM, 5) for side in (width_mm, height_mm))])


def place_layers(
    page: pikepdf.Object,
    scene: Scene,
    switches: dict[str, pikepdf.Object],
    forms: Sequence[pikepdf.Object],
) -> bytes:
    """Name the layers' forms in the page's resources; return the content that draws them.

    The optional-content mark stands around the drawing operator: a key on the form object is
    overlooked by one of the common renderers.
    """
    content = []
    for number, (layer, form) in enumerate(zip(scene.layers, forms, strict=True)):
        if layer.items:
            page.Resources.XObject[f"/L{number}"] = form
            page.Resources.Properties[f"/O{number}"] = switches[layer.name]
            content.append(f"/OC /O{number} BDC /L{number} Do EMC")
    return "\n".join(content).encode()


def new_document(title: str) -> Pdf:
    """Return an empty document that asks viewers for true size, one side, and shows its title."""
    pdf = Pdf.new()
    stamp = String(document_date().strftime("D:%Y%m%d%H%M%SZ"))
    pdf.trailer.Info = pdf.make_indirect(
        Dictionary(
            Title=String(clean_text(title[:500], any_font=True)),
            Creator=String("outseam"),
            Producer=String("outseam"),
            CreationDate=stamp,
            ModDate=stamp,
        )
    )
    pdf.Root.Lang = String("en")
    pdf.Root.ViewerPreferences = Dictionary(
        PrintScaling=Name("/None"),
        Enforce=Array([Name.PrintScaling]),
        Duplex=Name.Simplex,
        PickTrayByPDFSize=True,
        DisplayDocTitle=True,
    )
    return pdf


def document_date() -> datetime:
    """Return the date in SOURCE_DATE_EPOCH (seconds since 1970), else a fixed one."""
    try:
        return datetime.fromtimestamp(int(os.environ["SOURCE_DATE_EPOCH"]), UTC)
    except (KeyError, ValueError, OverflowError, OSError):
        return FIXED_DATE


def add_switches(
    pdf: Pdf, names: Iterable[str], hidden_layers: Collection[str]
) -> dict[str, pikepdf.Object]:
    """Give the document one switch (optional-content group) per layer name, in order.

    No usage dictionary is written: one renderer obeys it before the list of what is on.
    """
    switches: dict[str, pikepdf.Object] = {
        name: pdf.make_indirect(
            Dictionary(Type=Name.OCG, Name=String(clean_text(name, any_font=True)))
        )
        for name in dict.fromkeys(names)
    }
    off = [switch for name, switch in switches.items() if name in hidden_layers]
    list_switches(pdf, list(switches.values()), off)
    return switches


def list_switches(
    pdf: Pdf, switches: Sequence[pikepdf.Object], off: Sequence[pikepdf.Object] = ()
) -> None:
    """List the switches of a document, in order, and those of them that start switched off."""
    listed = Array(list(switches))
    pdf.Root.OCProperties = Dictionary(
        OCGs=listed,
        D=Dictionary(Name=String("Layers"), BaseState=Name.ON, Order=listed, OFF=Array(list(off))),
    )


def add_page(pdf: Pdf, width_mm: float, height_mm: float) -> pikepdf.Object:
    """Append an empty page of the given size and return its dictionary."""
    page = pdf.make_indirect(
        Dictionary(
            Type=Name.Page,
            MediaBox=_box(width_mm, height_mm),
            Resources=Dictionary(XObject=Dictionary(), Properties=Dictionary()),
        )
    )
    pdf.pages.append(pikepdf.Page(page))
    return page


def document_bytes(pdf: Pdf) -> bytes:
    """Return the finished file; the same document gives the same bytes."""
    # A quarter of the time that the usual level takes, for files a twelfth larger.
    pikepdf.settings.set_flate_compression_level(_PACKING)
    out = io.BytesIO()
    pdf.save(
        out,
        min_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        deterministic_id=True,
    )
    return out.getvalue()


def matrix_text(matrix: Sequence[float]) -> str:
    """Return a transformation's six numbers as a content stream writes them, for `cm`."""
    return " ".join(f"{round(value, 6) + 0.0:.10g}" for value in matrix) + " cm"
