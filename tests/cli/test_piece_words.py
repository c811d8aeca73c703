"""Words on pieces: clear of every line and of each other, inside their piece, never upside down.

The boxes here are made from the labels as they are drawn and from all strokes of the scene, so a
mistake in how words are placed cannot hide.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely
from covering import in_turns

from outseam.cli.paper.print_job import home_scene, notes
from outseam.cli.paper.projector import HIDDEN, projector_scenes
from outseam.cli.paper.tiles import TileOptions
from outseam.cli.pattern.drawing import (
    Place,
    cut_outline,
    draw_pieces,
    piece_words,
    pieces_to_print,
)
from outseam.cli.scene.extent import label_corners, path_points
from outseam.cli.scene.free_room import Room, turned_boxes
from outseam.cli.scene.home_paper import HOME_PAPERS_MM
from outseam.cli.scene.scene import Label, Layer, Stroke
from outseam.draft.inputs.errors import InputError
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.spec.check_code import check_code
from outseam.draft.spec.spec import Spec, build_spec
from outseam.draft.trial import trial_pattern

SMALL = {"height": "148 cm", "waist": "64 cm", "hip": "84 cm", "inside_leg": "66 cm"}
MIDDLE = {"height": "164 cm", "waist": "83 cm", "hip": "107 cm", "inside_leg": "74.5 cm"}
LARGE = {"height": "178 cm", "waist": "128 cm", "hip": "140 cm", "inside_leg": "80 cm"}
KNIT = {"kind": "knit", "stretch_across": "50 %"}
WOVEN = {"kind": "woven", "stretch_across": 0, "stretch_along": 0}

#: Sizes, legs, pockets, bands, belts, allowances, papers' turns and units, spread over each other.
MATRIX: dict[str, dict[str, Any]] = {
    "small": {
        "body": SMALL,
        "fabric": KNIT,
        "style": {"pocket": ["scoop", "patch"], "belt": "narrow", "leg": "slim", "fit": "close"},
    },
    "small, wide seams": {
        "body": SMALL,
        "units": "in",
        "fabric": KNIT,
        "style": {
            "pocket": "side-seam",
            "belt": "narrow",
            "elastic_width": "3/4 in",
            "seam_allowance": "5/8 in",
            "length": "knee",
            "fit": "loose",
        },
    },
    "middle": {
        "body": MIDDLE,
        "title": "A pattern with a long name for the summer, the beach and the garden",
        "fabric": {**KNIT, "name": "firm jersey, striped, from the market"},
        "style": {"pocket": ["scoop", "patch"], "belt": "wide"},
    },
    "middle, woven": {
        "body": MIDDLE,
        "units": "in",
        "fabric": WOVEN,
        "style": {"band": "casing", "pocket": "side-seam", "leg": "palazzo", "fit": "loose"},
    },
    "large": {
        "body": LARGE,
        "fabric": KNIT,
        "style": {"pocket": ["side-seam", "patch"], "belt": "narrow", "leg": "flare"},
    },
    "turned in": {
        "body": LARGE,
        "units": "mm",
        "fabric": WOVEN,
        "style": {"band": "turned", "elastic_width": 25, "pocket": "patch", "fit": "loose"},
    },
    "capri, narrow elastic": {
        "body": SMALL,
        "fabric": KNIT,
        "style": {"elastic_width": 2, "belt": "wide", "length": "capri", "pocket": "scoop"},
    },
    "border": {
        "body": MIDDLE,
        "fabric": {
            **KNIT,
            "stretch_along": "50 %",
            "border": "both",
            "border_height": 22,
            "border_from_selvedge": 1.5,
        },
        "style": {"leg": "palazzo", "length": "ankle"},
    },
    "a trial": {"body": MIDDLE, "units": "in", "fabric": KNIT},
    "slit": {
        "body": LARGE,
        "units": "in",
        "fabric": KNIT,
        "style": {"leg": "close", "ankle": "slit", "fit": "close", "pocket": "patch"},
    },
    "zip": {
        "body": SMALL,
        "fabric": WOVEN,
        "style": {"leg": "slim", "ankle": "zip", "fit": "easy", "length": "seven-eighths"},
    },
}
TURNS = (0.0, 90.0, 180.0, 270.0, 33.0)


@cache
def pattern_of(name: str) -> Pattern:
    pattern = draft_pattern(build_spec(MATRIX[name]))
    return trial_pattern(pattern) if name.endswith("trial") else pattern


@cache
def drawn(name: str, turn: float) -> tuple[tuple[Piece, Place, tuple[Layer, ...]], ...]:
    pattern = pattern_of(name)
    place = Place(dx_mm=30.0, dy_mm=-12.0, turn_deg=turn)
    return tuple((p, place, draw_pieces(pattern, [p], [place])) for p in pieces_to_print(pattern))


def labels_of(layers: tuple[Layer, ...]) -> list[Label]:
    return [x for layer in layers for x in layer.items if isinstance(x, Label)]


def lines_of(layers: tuple[Layer, ...]) -> list[shapely.Geometry]:
    strokes = [x for layer in layers for x in layer.items if isinstance(x, Stroke) and x.pen]
    points = path_points([s.path for s in strokes])
    return [
        shapely.LineString(p).buffer(s.pen.width_mm / 2.0)
        for s, p in zip(strokes, points, strict=True)
        if s.pen is not None
    ]


@pytest.mark.parametrize("turn", TURNS[:2])
@pytest.mark.parametrize("name", MATRIX)
def test_no_word_lies_over_anything_or_outside_its_piece(name: str, turn: float) -> None:
    for piece, place, layers in drawn(name, turn):
        labels = labels_of(layers)
        boxes = [shapely.Polygon(label_corners(x)) for x in labels]
        lines = shapely.STRtree(lines_of(layers))
        outline = shapely.Polygon([place.point((x, y)) for x, y in cut_outline(piece).tolist()])
        for label, box in zip(labels, boxes, strict=True):
            where = f"{name}, {piece.name}, {label.text!r} at {turn:.0f} degrees"
            assert outline.contains(box), f"{where} leaves its piece"
            assert not len(lines.query(box, predicate="intersects")), f"{where} is over a line"
        # Lines of one block stand closer than their boxes: their letters do not meet.
        inner = [
            shapely.Polygon(label_corners(replace(x, size_mm=0.999 * x.size_mm))) for x in labels
        ]
        for i, one in enumerate(inner):
            for j in range(i):
                over = one.intersection(inner[j]).area
                assert over < 0.05, f"{name}: {labels[i].text!r} over {labels[j].text!r}"


@pytest.mark.parametrize(("name", "paper"), in_turns(tuple(MATRIX), tuple(HOME_PAPERS_MM)))
def test_every_word_is_whole_on_one_home_page(name: str, paper: str) -> None:
    """Reckoned from the pages themselves: windows of their size, from the lower left corner on."""
    overlap = 0.0 if name in ("large", "zip") else 10.0
    pattern = pattern_of(name)
    printed = replace(pattern.spec, print=replace(pattern.spec.print, overlap=overlap))
    scene = home_scene(replace(pattern, spec=printed))
    options = TileOptions(overlap_mm=overlap)
    wide, high = options.window_w_mm, options.window_h_mm
    assert all(
        window < side for window, side in zip((wide, high), HOME_PAPERS_MM[paper], strict=True)
    )
    corners = [(i * (wide - overlap), j * (high - overlap)) for i in range(40) for j in range(40)]
    labels = labels_of(scene.layers)
    assert len(labels) > 40
    for label in labels:
        x0, y0, x1, y1 = shapely.Polygon(label_corners(label)).bounds
        whole = any(x <= x0 and y <= y0 and x1 <= x + wide and y1 <= y + high for x, y in corners)
        assert whole, f"{name}: {label.text!r} runs over the edge of a page"


@pytest.mark.parametrize("name", MATRIX)
def test_names_for_a_projector_are_clear_of_lines_and_crosses(name: str) -> None:
    for scene in projector_scenes(pattern_of(name), "x"):
        # Layers that start switched off are no hindrance.
        layers = tuple(y for y in scene.layers if y.name not in HIDDEN)
        lines = shapely.STRtree(lines_of(layers))
        (names,) = [y for y in scene.layers if y.name == "names"]
        labels = labels_of((names,))
        assert len(labels) >= len(pattern_of(name).pieces)
        boxes = [shapely.Polygon(label_corners(x)) for x in labels]
        for label, box in zip(labels, boxes, strict=True):
            assert not len(lines.query(box, predicate="intersects")), label.text
            assert np.cos(np.radians(label.angle_deg)) > -0.2
        for i, one in enumerate(boxes):
            assert all(one.intersection(other).area < 0.3 for other in boxes[:i])


def test_without_joints_words_would_run_over_them() -> None:
    """What the test above looks for is there where nobody keeps off the edges of pages."""
    pattern = pattern_of("middle")
    pieces = pieces_to_print(pattern)
    joints = [np.array([(x, -2000.0), (x, 2000.0)]) for x in range(-400, 400, 60)]
    crossed = {True: 0, False: 0}
    for piece in pieces:
        for careful in crossed:
            lines = shapely.MultiLineString([j.tolist() for j in joints])
            place = [Place()]
            drawn_ = draw_pieces(pattern, [piece], place, joints=joints if careful else ())
            crossed[careful] += sum(
                lines.intersects(shapely.Polygon(label_corners(x))) for x in labels_of(drawn_)
            )
    assert crossed[False] > 20
    assert crossed[True] < crossed[False] / 2


@pytest.mark.parametrize("name", MATRIX)
def test_there_is_room_for_every_word(name: str) -> None:
    for piece, _, _ in drawn(name, 0.0):
        assert piece_words(pattern_of(name), piece).left_out == (), piece.name


@pytest.mark.parametrize("turn", TURNS)
def test_no_word_is_upside_down_and_up_is_up(turn: float) -> None:
    arrows = {"\u2191": 90.0, "\u2192": 0.0, "\u2190": 180.0, "\u2193": 270.0}
    for piece, _, layers in drawn("middle", turn):
        for label in labels_of(layers):
            upright = np.cos(np.radians(label.angle_deg))
            assert upright > -0.2, f"{piece.name}, {label.text!r} is upside down at {turn:.0f}"
        ups = [x for x in labels_of(layers) if x.text.endswith(" up")]
        assert len(ups) == (piece.part != "belt")
        for label in ups:
            shown = label.angle_deg + arrows[label.text[0]]
            off = (shown - (turn + 90.0) + 180.0) % 360.0 - 180.0
            assert abs(off) <= 45.0, f"{piece.name}: {label.text} at {turn:.0f} degrees"


@pytest.mark.parametrize("name", MATRIX)
def test_every_piece_says_what_its_edges_and_notches_are(name: str) -> None:
    pattern = pattern_of(name)
    for piece, _, layers in drawn(name, 0.0):
        told = " | ".join(x.text for x in labels_of(layers))
        for notch in piece.notches:
            role = "quarter" if notch.role == "band quarter" else notch.role
            assert role in told, f"{piece.name}: the notch {role} has no name"
        if piece.part in ("front", "back"):
            for word in ("side", "inseam", "waist", f"centre {piece.part}", "hem fold"):
                if word != "waist" or not pattern.block.turn_mm:
                    assert word in told, f"{piece.name} does not say {word}"
            assert "printed side up on the right side of the cloth" in told
            folds = {n.edge for n in piece.notches if n.role == "hem fold"}
            assert folds == {"outseam", "inseam"}
        assert f"code {check_code(pattern.spec)}" in told, piece.name


def test_the_code_tells_patterns_apart_and_nothing_else() -> None:
    spec = build_spec(MATRIX["middle"])
    code = check_code(spec)
    assert code == check_code(build_spec(MATRIX["middle"]))
    assert code == check_code(replace(spec, title="Another name", units="mm"))
    others: list[Spec] = [
        replace(spec, style=replace(spec.style, fit="loose")),
        replace(spec, style=replace(spec.style, seam_allowance=10.5)),
        replace(spec, body=replace(spec.body, hip=1071.0)),
        replace(spec, fabric=replace(spec.fabric, shrink_along=0.03)),
    ]
    assert len({code, *map(check_code, others)}) == 5


def test_page_one_has_the_code() -> None:
    pattern = pattern_of("middle")
    assert any(f"code {check_code(pattern.spec)}" in line for line in notes(pattern))


def test_the_date_is_the_one_that_is_given(monkeypatch: pytest.MonkeyPatch) -> None:
    pattern = pattern_of("small")
    piece = pieces_to_print(pattern)[0]

    def told(number: int) -> str:
        # A spec of its own, so that words placed before are not taken.
        own = replace(pattern, spec=replace(pattern.spec, title=f"T{number}"))
        return " ".join(x.text for x in labels_of(draw_pieces(own, [piece], [Place()])))

    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert "1999" not in told(1)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "946684799")  # the last second of that year
    assert "1999-12-31" in told(2)


def test_room_is_told_by_strokes_shape_and_what_was_taken() -> None:
    room = Room(shapely.box(0, 0, 100, 50), [np.array([[0.0, 25.0], [100.0, 25.0]])])

    def first(*centres: tuple[float, float], turn: float = 0.0) -> int | None:
        return room.first_clear(np.array(centres), (10, 5), np.full(len(centres), turn))

    assert first((50, 27), (50, 35)) == 1  # the first lies over the stroke
    assert first((150, 35)) is None
    assert first((50, 35), turn=90.0) is None  # upright it reaches the stroke
    room.take(turned_boxes(np.array([(50.0, 35.0)]), (10, 5), np.zeros(1))[0])
    assert first((55, 35), (75, 35)) == 1


def test_matrix_is_what_it_says() -> None:
    """Every kind of piece is looked at, and the styles can be drafted."""
    parts = {p.part for name in MATRIX for p in pattern_of(name).pieces}
    assert parts >= {"front", "back", "front_band", "back_band", "belt", "patch_pocket"}
    assert parts >= {"pocket_facing", "pocket_bag"}
    with pytest.raises(InputError):
        build_spec({**MATRIX["small"], "style": {"pocket": "none such"}})
