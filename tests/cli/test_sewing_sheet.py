"""The sewing order on the worksheet: its pictures against the pattern, its page and its PDF."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pypdf
import pytest
import shapely

from outseam.cli.document import layout
from outseam.cli.document.blocks import Document, StepBlock
from outseam.cli.document.layout import pages_of
from outseam.cli.scene.extent import label_corners
from outseam.cli.scene.scene import Label, Scene, Stroke
from outseam.cli.sewing import canvas as sewing_board
from outseam.cli.sewing.canvas import SEWN, WIDE_MM
from outseam.cli.sewing.cutting import cut_border
from outseam.cli.sewing.drawings import DRAWINGS
from outseam.cli.sewing.section import LEGEND, sewing
from outseam.cli.worksheet.files import worksheet_html, worksheet_pdf
from outseam.curves.length import length
from outseam.draft.body.estimate import Body, complete
from outseam.draft.fabric import Fabric
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_measures
from outseam.draft.piece.divided_edge import edge_length
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.sewing.order import sewing_order
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

BODY = Body(height=1680.0, waist=806.0, hip=1040.0, inside_leg=770.0)
MEASURES = complete(BODY)
KNIT = Fabric(stretch_across=0.5, weight=330.0)
BORDER = Fabric(
    stretch_across=0.5, stretch_along=0.4, slippery=True, border="both", border_height=220.0
)

#: Specs that between them ask for every picture, on narrow, wide, long and short legs.
SPECS: dict[str, dict[str, Any]] = {
    "scoop": {"fabric": KNIT, "pocket": ("scoop", "patch"), "belt": "narrow", "leg": "flare"},
    "short": {"fabric": KNIT, "pocket": ("scoop",), "belt": "wide", "length": "knee"},
    "slit": {"fabric": KNIT, "leg": "close", "ankle": "slit"},
    "zip": {"fabric": KNIT, "leg": "slim", "ankle": "zip"},
    "flat": {
        "fabric": Fabric(kind="woven", stretch_across=0.35, fold="folded"),
        "band": "flat",
        "pocket": ("side-seam",),
        "belt": "wide",
    },
    "narrow": {"fabric": Fabric(stretch_across=0.5, fold="narrow"), "belt": "wide"},
    "border": {"fabric": BORDER, "band": "casing", "elastic_width": 25.4, "leg": "straight"},
    "turned": {
        "fabric": Fabric(kind="woven"),
        "band": "turned",
        "elastic_width": 31.75,
        "pocket": ("patch",),
        "leg": "palazzo",
    },
    "hanging": {
        "fabric": Fabric(kind="woven"),
        "band": "turned",
        "elastic_width": 20.0,
        "pocket": ("side-seam",),
        "seam_allowance": 16.0,
        "hem_allowance": 60.0,
        "units": "in",
    },
}


@cache
def drafted(name: str) -> Pattern:
    style = dict(SPECS[name])
    fabric, units = style.pop("fabric"), style.pop("units", "cm")
    spec = Spec(
        title="Pants", body=BODY, fabric=fabric, style=Style(fit="loose", **style), units=units
    )
    return draft_measures(spec, MEASURES)


@cache
def sheet_of(name: str) -> Document:
    return Document(title="Pants", lead="Worksheet", sections=(sewing(drafted(name)),))


def steps_of(name: str) -> list[StepBlock]:
    return [b for s in sheet_of(name).sections for b in s.blocks if isinstance(b, StepBlock)]


def plain(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


# --- pictures -------------------------------------------------------------------------------------


def test_every_picture_is_asked_for_and_every_step_has_one() -> None:
    asked = {s.drawing for name in SPECS for s in sewing_order(drafted(name))}
    assert asked == set(DRAWINGS)


def items_of(scene: Scene) -> list[Stroke | Label]:
    return [k for layer in scene.layers for k in layer.items]


@pytest.mark.parametrize("name", SPECS)
def test_pictures_keep_to_their_room_and_words_do_not_collide(name: str) -> None:
    for step in steps_of(name):
        scene = step.scene
        assert scene.width_mm == WIDE_MM
        assert scene.height_mm < 45.0
        boxes = []
        for item in items_of(scene):
            if isinstance(item, Label):
                corners = label_corners(item)
                boxes.append((item.text, shapely.Polygon(corners).buffer(-0.2)))
                x, y = corners.T
            else:
                x, y = item.path.cubics.reshape(-1, 2).T
            assert x.min() > -0.6, (step.name, item)
            assert x.max() < WIDE_MM + 0.6, (step.name, item)
            assert y.min() >= 0.0
            assert y.max() <= scene.height_mm
        for i, (text, one) in enumerate(boxes):
            for other_text, other in boxes[i + 1 :]:
                assert not one.intersects(other), (step.name, text, other_text)


@pytest.mark.parametrize("name", SPECS)
def test_words_stand_on_paper_or_inside_one_shape(name: str) -> None:
    """A word that a heavy line runs through cannot be read."""
    for step in steps_of(name):
        items = items_of(step.scene)
        heavy = [
            shapely.LineString(k.path.cubics[:, [0, 3]].reshape(-1, 2))
            for k in items
            if isinstance(k, Stroke)
            and k.pen is not None
            and k.pen.width_mm >= 0.5
            and k.pen.colour < 0.9
        ]
        for item in items:
            if isinstance(item, Label):
                box = shapely.Polygon(label_corners(item)).buffer(-0.35)
                assert not any(box.intersects(h) for h in heavy), (step.name, item.text)


def sewn_mm(scene: Scene) -> float:
    return sum(length(k.path) for k in items_of(scene) if isinstance(k, Stroke) and k.pen == SEWN)


@pytest.mark.parametrize("seam", ["outseam", "inseam"])
@pytest.mark.parametrize("name", ["scoop", "border"])
def test_a_long_seam_is_drawn_from_the_pieces(name: str, seam: str) -> None:
    pattern = drafted(name)
    scene = DRAWINGS[seam](pattern)
    back = pattern.piece("back")
    whole = edge_length(pattern, "back", seam) + ruler_length(back.edge(f"{seam}_turn").path)
    # The scale of the picture, by the back's cutting line: the first shape that is drawn.
    first = items_of(scene)[0]
    assert isinstance(first, Stroke)
    scale = length(first.path) / sum(length(p) for p in back.cut)
    assert sewn_mm(scene) == pytest.approx(whole * scale, rel=0.01)


def test_a_gap_is_left_in_the_pictures_seam_and_none_without_elastic() -> None:
    pattern = drafted("scoop")
    with_gap, without = (sewn_mm(DRAWINGS[k](pattern)) for k in ("join-gap", "join"))
    waist = 2.0 * edge_length(pattern, "back", "waist")
    # An inch more than the elastic, two inches at least, is left open (common practice, no source).
    gap = max(50.8, pattern.spec.style.elastic_width + 25.4)
    assert 1.0 - with_gap / without == pytest.approx(gap / waist, abs=0.01)


def test_the_outseam_of_a_pocket_is_open_between_its_notches() -> None:
    pattern = drafted("flat")
    scene = DRAWINGS["outseam-pocket"](pattern)
    above, below, _bags = [
        k.path for k in items_of(scene) if isinstance(k, Stroke) and k.pen == SEWN
    ]
    ends = [n.at_mm for n in pattern.piece("back").notches if n.role.startswith("pocket")]
    top = length(above) / min(ends)
    gap = np.hypot(above.end[0] - below.start[0], above.end[1] - below.start[1])
    assert gap == pytest.approx((max(ends) - min(ends)) * top, rel=0.12)


def test_notches_of_the_pattern_are_in_the_picture() -> None:
    for name in SPECS:
        pattern = drafted(name)
        scene = DRAWINGS["notches"](pattern)
        drawn = [
            k for k in items_of(scene) if isinstance(k, Stroke) and k.pen == sewing_board.NOTCH
        ]
        want = sum(n.count for p in ("front", "back") for n in pattern.piece(p).notches)
        assert len(drawn) == want


# --- page and PDF ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SPECS)
def test_the_page_numbers_the_steps_with_box_words_and_picture(name: str) -> None:
    pattern = drafted(name)
    order = sewing_order(pattern)
    html = worksheet_html(sheet_of(name))
    page = ElementTree.fromstring(html)
    found = page.findall(".//section[@id='sewing']/div[@class='step']")
    assert len(found) == len(order)
    for number, (element, step) in enumerate(zip(found, order, strict=True), start=1):
        assert element.find("./span[@class='box']") is not None
        assert plain("".join(element.find(".//h3").itertext())) == f"{number} {step.title}"  # type: ignore[union-attr]
        said = [plain("".join(p.itertext())) for p in element.iter("p")]
        u = pattern.spec.units
        want = [*step.sentences(u), *filter(None, [step.warned(u)])]
        assert said == [plain(t) for t in want]
        care = [p for p in element.iter("p") if p.get("class") == "care"]
        assert len(care) == bool(step.caution)
        assert len(element.findall(".//svg")) == 1


def pages(name: str) -> list[list[str]]:
    return [
        [k.text for layer in p.layers for k in layer.items if isinstance(k, Label)]
        for p in pages_of(sheet_of(name))
    ]


@pytest.mark.parametrize("name", SPECS)
def test_no_step_is_split_and_the_last_is_not_alone(name: str) -> None:
    found = pages(name)
    assert len(found) <= 5
    for step in steps_of(name):
        title = f"{step.number}  {step.title}"
        (page,) = [p for p in found if title in p]
        text = plain(" ".join(page))
        for sentence in (*step.sentences, step.caution):
            assert plain(sentence) in text, sentence
        for item in items_of(step.scene):
            if isinstance(item, Label):
                assert item.text in page
        assert not [t for t in page if "…" in t]
    titles = [[t for t in p if re.match(r"\d+  [A-Z]", t)] for p in found]
    assert len(titles[-1]) >= 2
    numbers = [int(t.split()[0]) for page in titles for t in page]
    assert numbers == list(range(1, len(steps_of(name)) + 1))


def test_a_step_that_does_not_fit_goes_to_the_next_page_whatever_stands_above() -> None:
    step = steps_of("scoop")[0]
    (chunk,) = layout.chunks_of(step)
    low = min(
        float(
            (
                label_corners(k)[:, 1] if isinstance(k, Label) else k.path.cubics[..., 1].ravel()
            ).min()
        )
        for k in chunk.items
    )
    assert -low <= chunk.height_mm + 1e-6, "what is drawn is reckoned with"
    words = [k for k in chunk.items if isinstance(k, Label) and k.size_mm == layout.TEXT_MM]
    assert len(words) > 8
    right = max(float(label_corners(k)[:, 0].max()) for k in words)
    assert right < layout.WIDTH_MM - step.scene.width_mm, "words and picture do not meet"


def test_the_pdf_begins_the_order_on_a_page_of_its_own_and_says_all() -> None:
    data = worksheet_pdf(sheet_of("flat"))
    text = plain(" ".join(p.extract_text() for p in pypdf.PdfReader(io.BytesIO(data)).pages))
    for step in steps_of("flat"):
        for sentence in step.sentences:
            assert plain(sentence).split()[-1] in text
    assert plain(LEGEND).split(".")[0] in text
    assert next(s for s in sheet_of("flat").sections).new_page
    both = (*sheet_of("border").sections, *sheet_of("flat").sections)
    double = pages_of(Document(title="Pants", lead="Worksheet", sections=both))
    heads = [
        [
            k.at[1]
            for layer in p.layers
            for k in layer.items
            if isinstance(k, Label) and k.text == "Sewing order"
        ]
        for p in double
    ]
    tops = [h[0] for h in heads if h]
    assert len(tops) == 2
    assert tops[1] > 260.0, "at the top of its page"


def test_steps_differ_only_where_specs_do() -> None:
    """The same pattern gives the same section; two specs never share all their pictures."""
    for one, other in pairwise(SPECS):
        assert sewing(drafted(one)) != sewing(drafted(other))
    first, again = (
        worksheet_html(Document(title="a", lead="b", sections=(sewing(drafted("flat")),)))
        for _ in range(2)
    )
    assert first == again


@pytest.mark.parametrize("other", [False, True])
def test_the_picture_of_a_border_is_the_lay_as_it_is(other: bool) -> None:
    """As many pieces as are laid, legs and waistband at the border that they are cut from."""
    fabric = replace(BORDER, border_from_selvedge=60.0, other_border_height=150.0)
    style = Style(fit="loose", band_from="other border" if other else "border")
    pattern = draft_measures(Spec(body=BODY, fabric=fabric, style=style), MEASURES)
    scene = cut_border(pattern)
    where: dict[str, list[float]] = {}
    for layer in scene.layers:
        for k in layer.items:
            if isinstance(k, Label):
                where.setdefault(k.text, []).append(k.at[1])
    assert {name: len(where[name]) for name in ("front", "back", "band")} == {
        "front": 2,
        "back": 2,
        "band": 2,
    }
    middle = scene.height_mm / 2.0
    assert all((y > middle) == other for y in where["band"])


def test_no_overlock_is_drawn_for_whom_has_none() -> None:
    pattern = drafted("short")

    def words_on(machines: tuple[str, ...]) -> set[str]:
        own = replace(pattern, spec=replace(pattern.spec, machines=machines))
        scene = DRAWINGS["stitches-knit"](own)
        return {x.text for layer in scene.layers for x in layer.items if isinstance(x, Label)}

    assert {"overlock", "or zigzag"} <= words_on(("sewing", "overlock"))
    assert "zigzag" in words_on(("sewing",))
    assert not any("overlock" in text for text in words_on(("sewing",)))
