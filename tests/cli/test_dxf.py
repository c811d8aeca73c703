"""Cut parts and cutter files, read back by two readers that did not write them and measured.

Which layer holds what is from ASTM D6673, "Sewn Products Pattern Data Interchange - Data Format",
as it is summed up in public descriptions; the form of the texts is from memory.
"""

import io
import re
from collections import Counter
from dataclasses import replace

import dxfgrabber
import ezdxf
import numpy as np
import pytest
import shapely

from outseam.cli.dxf.cutter_file import cutter_dxf
from outseam.cli.dxf.document import DxfError, document_bytes, new_document
from outseam.cli.dxf.pieces_file import pieces_dxf
from outseam.cli.dxf.vertices import FLAT_MM, vertices
from outseam.cli.pattern.drawing import pieces_to_print
from outseam.curves.path import cubic, join, line, polyline
from outseam.draft.fabric import Fabric

#: What a cutter must not miss by more.
EXACT_MM = 0.1


@pytest.fixture(scope="module")
def pattern(make_pattern):
    shrinking = Fabric(stretch_across=0.5, stretch_along=0.25, shrink_along=0.04)
    return make_pattern(fabric=shrinking, leg="flare", pocket="scoop", belt="narrow")


@pytest.fixture(scope="module")
def parts(pattern):
    return pieces_dxf(pattern)


def by_ezdxf(data):
    """Blocks and the sheet as (kind, layer, points, closed or text), read by ezdxf."""
    doc = ezdxf.read(io.StringIO(data.decode("cp1252")))
    assert not doc.audit().has_errors

    def entity(e):
        layer = e.dxf.layer
        if e.dxftype() == "POLYLINE":
            return ("POLYLINE", layer, [tuple(p)[:2] for p in e.points()], e.is_closed)
        if e.dxftype() == "LINE":
            return ("LINE", layer, [tuple(e.dxf.start)[:2], tuple(e.dxf.end)[:2]], False)
        if e.dxftype() == "POINT":
            return ("POINT", layer, [tuple(e.dxf.location)[:2]], False)
        if e.dxftype() == "INSERT":
            return ("INSERT", layer, [tuple(e.dxf.insert)[:2]], e.dxf.name)
        return (e.dxftype(), layer, [tuple(e.dxf.insert)[:2]], e.dxf.text)

    blocks = {b.name: list(map(entity, b)) for b in doc.blocks if not b.name.startswith(("*", "$"))}
    return blocks, list(map(entity, doc.modelspace()))


def by_dxfgrabber(data):
    """The same, read by dxfgrabber."""
    doc = dxfgrabber.read(io.StringIO(data.decode("cp1252")))

    def entity(e):
        if e.dxftype == "POLYLINE":
            return ("POLYLINE", e.layer, [p[:2] for p in e.points], e.is_closed)
        if e.dxftype == "LINE":
            return ("LINE", e.layer, [e.start[:2], e.end[:2]], False)
        if e.dxftype == "POINT":
            return ("POINT", e.layer, [e.point[:2]], False)
        if e.dxftype == "INSERT":
            return ("INSERT", e.layer, [e.insert[:2]], e.name)
        return (e.dxftype, e.layer, [e.insert[:2]], e.text)

    blocks = {b.name: list(map(entity, b)) for b in doc.blocks if not b.name.startswith(("*", "$"))}
    return blocks, list(map(entity, doc.entities))


READERS = [by_ezdxf, by_dxfgrabber]


def dense(path):
    """Points on a path by the Bernstein polynomials, forty to a segment."""
    t = np.linspace(0, 1, 41)[:, None]
    weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3])
    return np.concatenate([weights @ c for c in path.cubics])


def apart(found, path):
    """The greatest distance between a broken line that was read and a true curve, either way."""
    true = dense(path)
    there = shapely.distance(shapely.points(true), shapely.LineString(found)).max()
    back = shapely.distance(shapely.points(np.array(found)), shapely.LineString(true)).max()
    return max(there, back)


def on(entities, layer, kind):
    return [e for e in entities if e[1] == layer and e[0] == kind]


def outline(block):
    ((_, _, points, closed),) = on(block, "1", "POLYLINE")
    assert closed
    return points


@pytest.mark.parametrize("read", READERS)
def test_each_piece_is_a_block_that_lies_on_the_sheet_once(pattern, parts, read):
    blocks, sheet = read(parts)
    names = [p.name.upper() for p in pieces_to_print(pattern)]
    assert sorted(blocks) == sorted(names)
    inserts = on(sheet, "1", "INSERT")
    assert sorted(name for *_, name in inserts) == sorted(names)
    laid = [shapely.Polygon(np.array(outline(blocks[name])) + at) for _, _, (at,), name in inserts]
    assert all(a.disjoint(b) for i, a in enumerate(laid) for b in laid[:i])


@pytest.mark.parametrize("read", READERS)
def test_outlines_and_sewing_lines_measure_right(pattern, parts, read):
    blocks, _ = read(parts)
    for piece in pieces_to_print(pattern):
        block = blocks[piece.name.upper()]
        found = outline(block)
        cut = join(list(piece.cut))
        assert apart([*found, found[0]], cut) < EXACT_MM
        true = shapely.Polygon(dense(cut))
        assert abs(shapely.Polygon(found).area - true.area) < FLAT_MM * true.length
        sewn = [e.path for e in piece.edges if e.allowance_mm > 0]
        lines = on(block, "14", "POLYLINE")
        assert len(lines) == len(sewn)
        assert all(
            apart(p, path) < EXACT_MM for (_, _, p, _), path in zip(lines, sewn, strict=True)
        )


def test_a_scale_that_is_off_by_a_thousandth_would_be_seen(pattern, parts):
    """Negative control: what measures right above does not when the file is scaled or dented."""
    blocks, _ = by_dxfgrabber(parts)
    piece = pieces_to_print(pattern)[0]
    found = np.array(outline(blocks["FRONT"]))
    cut = join(list(piece.cut))
    assert apart([*(found * 1.001), found[0] * 1.001], cut) > EXACT_MM
    found[len(found) // 2] += (0.2, 0.2)
    assert apart([*found, found[0]], cut) > EXACT_MM


@pytest.mark.parametrize("read", READERS)
def test_vertices_are_repeated_as_turns_or_points_on_curves(parts, read):
    blocks, _ = read(parts)
    for block in blocks.values():
        drawn = Counter(
            tuple(np.round(p, 6))
            for layer in ("1", "8", "14")
            for _, _, points, _ in on(block, layer, "POLYLINE")
            for p in points
        )
        points = Counter(
            tuple(np.round(e[2][0], 6)) for layer in ("2", "3") for e in on(block, layer, "POINT")
        )
        assert points == drawn
    # A waistband is an oblong: four turns on its outline, and no curve anywhere.
    band = blocks["FRONT_BAND"]
    corners = {tuple(np.round(p, 6)) for p in outline(band)}
    turns = {tuple(np.round(e[2][0], 6)) for e in on(band, "2", "POINT")}
    assert len(corners) == 4
    assert corners <= turns
    assert not on(band, "3", "POINT")
    assert on(blocks["FRONT"], "3", "POINT")


@pytest.mark.parametrize("read", READERS)
def test_notches_lie_on_the_outline_and_none_is_missing(pattern, parts, read):
    blocks, _ = read(parts)
    for piece in pieces_to_print(pattern):
        block = blocks[piece.name.upper()]
        ring = shapely.LinearRing(outline(block))
        points = [shapely.Point(e[2][0]) for e in on(block, "4", "POINT")]
        assert len(points) == sum(n.count for n in piece.notches)
        assert all(ring.distance(p) < 1e-6 for p in points)


@pytest.mark.parametrize("read", READERS)
def test_grain_grade_reference_and_words(pattern, parts, read):
    blocks, sheet = read(parts)
    said = {text for *_, text in on(sheet, "1", "TEXT")}
    assert {"UNITS: METRIC", "SAMPLE SIZE: MADE TO MEASURE"} <= said
    for piece in pieces_to_print(pattern):
        block = blocks[piece.name.upper()]
        ((_, _, ends, _),) = on(block, "7", "LINE")
        (grain,) = [k.path for k in piece.lines if k.kind == "grain"]
        assert np.allclose(ends, [grain.start, grain.end], atol=1e-6)
        assert len(on(block, "5", "LINE")) == 1
        texts = {text for *_, text in on(block, "1", "TEXT")}
        assert {f"PIECE NAME: {piece.name.upper()}", f"QUANTITY: {piece.copies}"} <= texts
        assert piece.cut_note in {text for *_, text in on(block, "15", "TEXT")}
    lining = {text for *_, text in on(blocks["POCKET_BAG"], "1", "TEXT")}
    assert "MATERIAL: LINING" in lining


def test_the_file_says_that_a_unit_is_a_millimetre(parts):
    doc = ezdxf.read(io.StringIO(parts.decode("cp1252")))
    assert doc.header["$INSUNITS"] == 4  # AutoCAD's number for millimetres
    assert doc.header["$MEASUREMENT"] == 1


def test_only_what_release_13_knows_is_drawn(parts):
    kinds = {e[0] for entities in by_ezdxf(parts)[0].values() for e in entities}
    assert kinds == {"POLYLINE", "LINE", "POINT", "TEXT"}  # no LWPOLYLINE, which came with 14


def test_the_same_pattern_gives_the_same_bytes(pattern, parts, monkeypatch):
    assert pieces_dxf(pattern) == parts
    assert cutter_dxf(pattern) == cutter_dxf(pattern)
    assert b"CREATION DATE" not in parts
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")  # 2023-11-14
    assert b"CREATION DATE: 14-11-2023" in pieces_dxf(pattern)


def test_titles_of_all_sorts_survive(pattern):
    spec = replace(pattern.spec, title="Überhose ½ ✂ {\\P} " + "x" * 80)
    blocks, sheet = by_dxfgrabber(pieces_dxf(replace(pattern, spec=spec)))
    assert blocks
    assert any(text.startswith("STYLE NAME: Überhose ½") for *_, text in on(sheet, "1", "TEXT"))


@pytest.mark.parametrize("read", READERS)
def test_a_cutters_file_holds_closed_outlines_and_slits_and_nothing_else(pattern, read):
    data = cutter_dxf(pattern)
    assert re.search(rb"\$ACADVER\s+1\s+AC1009\s", data)  # release 12
    blocks, sheet = read(data)
    assert not blocks
    assert {e[0] for e in sheet} == {"POLYLINE", "LINE"}
    assert {e[1] for e in sheet} == {"CUT", "NOTCHES", "SQUARE"}
    pieces = pieces_to_print(pattern)
    outlines = on(sheet, "CUT", "POLYLINE")
    assert all(closed for *_, closed in outlines)
    for (_, _, found, _), piece in zip(outlines, pieces, strict=True):
        cut = join(list(piece.cut))
        here, there = np.min(found, axis=0), dense(cut).min(axis=0)
        moved = np.array(found) - here + there
        assert apart([*moved, moved[0]], cut) < EXACT_MM
    laid = [shapely.Polygon(points) for _, _, points, _ in outlines]
    assert all(a.disjoint(b) for i, a in enumerate(laid) for b in laid[:i])
    ((_, _, square, _),) = on(sheet, "SQUARE", "POLYLINE")
    assert np.ptp(square, axis=0) == pytest.approx((100.0, 100.0), abs=1e-6)
    slits = [shapely.LineString(e[2]) for e in on(sheet, "NOTCHES", "LINE")]
    assert len(slits) == sum(n.count for p in pieces for n in p.notches)
    # A slit stays well inside the allowance, which is 3/8 in by default.
    assert all(slit.length <= 0.5 * 9.525 + 1e-6 for slit in slits)
    assert all(any(shape.buffer(0.1).covers(slit) for shape in laid) for slit in slits)


def test_curves_are_broken_within_the_stated_distance_and_corners_kept():
    bend = cubic((0, 0), (80, 0), (100, 20), (100, 100))
    corner = join([bend, line((100, 100), (0, 100)), line((0, 100), (0, 0))])
    found = vertices(corner)
    assert found.closed
    assert apart([*found.points, found.points[0]], corner) <= FLAT_MM * 1.01
    turns = {tuple(p) for p in found.points[found.turns]}
    assert turns == {(0.0, 0.0), (100.0, 100.0), (0.0, 100.0)}
    assert len(found.points) > 6
    flat = vertices(polyline([(0, 0), (50, 0), (100, 0)]))
    assert flat.turns.tolist() == [True, False, True]


def test_a_number_that_is_none_is_refused(pattern):
    piece = pattern.pieces[0]
    bad = piece.cut[0].moved(float("nan"), 0.0)
    broken = replace(pattern, pieces=(replace(piece, cut=(bad, *piece.cut[1:])),))
    with pytest.raises((DxfError, ValueError)):
        pieces_dxf(broken)


def test_an_unsound_drawing_is_not_handed_out():
    doc = new_document("R2000")
    doc.modelspace().add_blockref("NOT THERE", (0, 0))
    with pytest.raises(DxfError, match="not sound"):
        document_bytes(doc)
