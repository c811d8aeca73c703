"""All sizes in one drawing: aligned, told apart without colour, named at their lines, in layers."""

import io
import itertools
import math
import re
from xml.etree import ElementTree

import numpy as np
import pdfplumber
import pikepdf
import pypdf
import pypdfium2
import pytest
import shapely
from size_runs import graded_run

from outseam.cli.nest.drawing import draw_family, hidden_layers, inside_layer, size_layer
from outseam.cli.nest.files import NestJob, nest_files, nest_scene, nest_sheets, nest_tiles
from outseam.cli.nest.labels import SizeLine, size_labels
from outseam.cli.nest.nest import nest_of
from outseam.cli.paper.wide_sheets import roll_sheet
from outseam.cli.scene.extent import label_corners, path_points
from outseam.cli.scene.line_styles import LINE_STYLES
from outseam.cli.scene.scene import Label, Stroke
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.cli.write.svg import write_svg_text
from outseam.curves.path import join, polyline
from outseam.draft.inputs.errors import InputError
from outseam.draft.spec.spec import PrintOptions

MM = 25.4 / 72
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def run():
    return graded_run(5, pocket="scoop")


@pytest.fixture(scope="module")
def nest(run):
    return nest_of(run)


@pytest.fixture(scope="module")
def job(nest):
    return NestJob(nest=nest)


@pytest.fixture(scope="module")
def sheet(job):
    scene = nest_scene(job)
    return write_sheet_pdf([scene], hidden_layers=job.hidden)


def family(nest, name):
    return next(f for f in nest.families if f.name == name)


def test_sizes_meet_at_the_crease_level_with_the_crotch_point(run, nest):
    for name, panel in (("front", "front"), ("back", "back")):
        for member, pattern in zip(family(nest, name).members, run.patterns, strict=True):
            crease = getattr(pattern.block, panel).crease_x
            at = member.place.point((crease, 0.0))
            assert at == pytest.approx((0.0, 0.0), abs=1e-6)
            # The inseam begins level with that point on the front; the fork does not lie above it.
            inseam = member.piece.edge("inseam").path
            assert member.place.point(inseam.end)[1] == pytest.approx(inseam.end[1], abs=1e-6)


@pytest.mark.parametrize("name", ["front", "back"])
def test_sizes_meet_at_the_hip_marks_of_the_side_where_that_is_asked(name):
    for member in family(nest_of(graded_run(3), "side"), name).members:
        (hip,) = [n for n in member.piece.notches if n.role == "hip" and n.edge == "outseam"]
        side = shapely.LineString(path_points([member.piece.edge("outseam").path])[0])
        x, y = member.place.point(side.interpolate(hip.at_mm).coords[0])
        assert math.hypot(x, y) < 0.1


def test_a_pocket_that_cuts_the_side_off_changes_nothing_about_it(run):
    """The hip is found on the draft, which has the side that the piece has not."""
    plain = family(nest_of(graded_run(5), "side"), "front").members
    scooped = family(nest_of(run, "side"), "front").members
    for a, b in zip(plain, scooped, strict=True):
        assert (a.place.dx_mm, a.place.dy_mm) == pytest.approx((b.place.dx_mm, b.place.dy_mm))


def test_a_way_that_is_not_there_is_refused(run):
    with pytest.raises(InputError, match="crotch or side"):
        nest_of(run, "knee")


def test_pens_differ_by_dash_or_weight_and_never_by_grey_alone():
    assert len(LINE_STYLES) == 12
    assert {pen.colour for pen in LINE_STYLES} == {0.0}
    for a, b in itertools.combinations(LINE_STYLES, 2):
        heavier = max(a.width_mm, b.width_mm) / min(a.width_mm, b.width_mm)
        dashes = len(a.dash_mm) != len(b.dash_mm) or any(
            max(x, y) > 1.35 * min(x, y) for x, y in zip(a.dash_mm, b.dash_mm, strict=True)
        )
        assert dashes or heavier > 1.9
    # Neighbours in a nest differ at a glance: in the kind of dash, in weight, or dash from dot.
    for a, b in itertools.pairwise(LINE_STYLES):
        kinds = len(a.dash_mm), len(b.dash_mm)
        weights = sorted((a.width_mm, b.width_mm))
        glance = kinds[0] != kinds[1] or weights[1] >= 1.9 * weights[0]
        assert glance or max(a.dash_mm[0], b.dash_mm[0]) > 2.5 * min(a.dash_mm[0], b.dash_mm[0])


def lines_of(drawn, nest):
    return {
        label: shapely.LineString(
            path_points([max(
                (i.path for i in drawn[size_layer(label)] if isinstance(i, Stroke)), key=len
            )])[0]
        )
        for label in nest.labels
    }  # fmt: skip


def ink_box(label):
    """The box of a name's figures: from the baseline up to their height, 0.73 em in this font."""
    low_left, low_right, *_ = np.array(label_corners(label))
    turn = math.radians(label.angle_deg)
    up = np.array([-math.sin(turn), math.cos(turn)]) * label.size_mm
    return shapely.Polygon(
        [low_left + 0.24 * up, low_right + 0.24 * up, low_right + 0.97 * up, low_left + 0.97 * up]
    )


def clashes(names, lines):
    """Pairs of names that overlap, and of names and the lines they lie over."""
    boxes = [(text, ink_box(label)) for text, label in names]
    pairs = [(a, b) for (a, p), (b, q) in itertools.combinations(boxes, 2) if p.intersects(q)]
    return pairs + [(a, b) for a, p in boxes for b, line in lines.items() if p.intersects(line)]


@pytest.mark.parametrize("step", [40.0, 24.0])
def test_every_size_is_named_on_every_piece_clear_of_lines_and_names(step):
    nest = nest_of(graded_run(6, step))
    for one in nest.families:
        drawn = draw_family(nest, one)
        lines = lines_of(drawn, nest)
        names = [
            (label, item)
            for label in nest.labels
            for item in drawn[size_layer(label)]
            if isinstance(item, Label)
        ]
        assert {label for label, _ in names} == set(nest.labels)
        assert all(item.text == label for label, item in names)
        assert all(item.size_mm >= 2.2 for _, item in names)
        assert clashes(names, lines) == []


@pytest.mark.parametrize("sizes", [2, 6])
@pytest.mark.parametrize("pocket", ["scoop", "patch"])
def test_no_word_of_a_nest_lies_over_anything_that_is_seen(sizes, pocket):
    """All words of the sheet against all strokes of the layers that are switched on, and words."""
    job = NestJob(nest=nest_of(graded_run(sizes, 30.0, pocket=pocket, belt="narrow")))
    scene = nest_scene(job)
    items = [i for y in scene.layers if y.name not in job.hidden for i in y.items]
    labels = [i for i in items if isinstance(i, Label)]
    strokes = [i for i in items if isinstance(i, Stroke) and i.pen]
    lines = shapely.STRtree(
        [
            shapely.LineString(points).buffer(s.pen.width_mm / 2.0)
            for s, points in zip(strokes, path_points([s.path for s in strokes]), strict=True)
        ]
    )
    titles = {p.title for f in job.nest.families for p in (f.smallest.piece,)}
    assert titles <= {label.text for label in labels}
    for label in labels:
        box = ink_box(label)
        assert not len(lines.query(box, predicate="intersects")), label.text
        assert math.cos(math.radians(label.angle_deg)) > -0.2, f"{label.text} is upside down"
    assert not clashes([(x.text, x) for x in labels], {})


def test_a_name_on_a_foreign_line_would_be_seen(nest):
    """Negative control: a name moved by its height lies over a line."""
    drawn = draw_family(nest, family(nest, "front"))
    label = Label(text="34", at=(0.0, 0.0), size_mm=4.0)
    line = polyline([(-50.0, 1.5), (50.0, 1.5)])
    over = shapely.LineString(path_points([line])[0])
    assert clashes([("34", label)], {"36": over}) == [("34", "36")]
    assert lines_of(drawn, nest)


def test_a_name_stands_nearest_to_its_own_line(nest):
    drawn = draw_family(nest, family(nest, "front"))
    lines = lines_of(drawn, nest)
    for label in nest.labels:
        for item in drawn[size_layer(label)]:
            if isinstance(item, Label) and not any(
                isinstance(i, Stroke) and i.pen is None for i in drawn[size_layer(label)]
            ):
                away = {other: line.distance(ink_box(item)) for other, line in lines.items()}
                assert min(away, key=away.__getitem__) == label


def test_lines_too_close_for_names_get_leaders():
    box = [polyline([(0, 0), (200, 0)]), polyline([(200, 0), (200, 80)]),
           polyline([(200, 80), (0, 80)]), polyline([(0, 80), (0, 0)])]  # fmt: skip
    lines = [
        SizeLine(size=str(n), edges=tuple(e.moved(0.05 * n, 0.05 * n) for e in box))
        for n in range(6)
    ]
    found = size_labels(lines)
    led = [items for items in found.values() if any(isinstance(i, Stroke) for i in items)]
    assert len(led) >= 4
    for n, items in enumerate(found.values()):
        assert [i.text for i in items if isinstance(i, Label)][:1] == [str(n)]
    names = [(i.text, i) for items in led for i in items if isinstance(i, Label)]
    assert clashes(names, {}) == []


def test_svg_has_a_group_for_each_size_with_its_line_in_true_size(nest, job):
    root = ElementTree.fromstring(write_svg_text(nest_scene(job), job.hidden))
    assert root.get("width").endswith("mm")
    label = "{http://www.inkscape.org/namespaces/inkscape}label"
    groups = {g.get(label): g for g in root.iter(SVG + "g")}
    assert {size_layer(x) for x in nest.labels} <= set(groups)
    for name in map(inside_layer, nest.labels):
        assert "display:none" in groups[name].get("style", "")
    for one in nest.families:
        for member in one.members:
            corners = join(list(member.piece.cut)).cubics[:, [0, 3]].reshape(-1, 2)
            wanted = np.ptp(corners, axis=0)
            found = [on_curve(p.get("d")) for p in groups[size_layer(member.size)] if p.get("d")]
            off = [np.abs(np.ptp(points, axis=0) - wanted).max() for points in found]
            assert min(off) < 0.1
            assert min(np.abs(1.004 * np.ptp(p, axis=0) - wanted).max() for p in found) > 0.1


def on_curve(data):
    """The ends of the segments of path data that has only absolute M, L, C and Z."""
    found = []
    for _, numbers in re.findall(r"([MLC])([^MLCZ]*)", data):
        found.append([float(v) for v in re.split(r"[ ,]+", numbers.strip())][-2:])
    return np.array(found)


def test_the_pdf_switches_sizes_and_shows_their_lines_in_true_size(nest, sheet):
    with pikepdf.open(io.BytesIO(sheet)) as pdf:
        groups = pdf.Root.OCProperties
        names = [str(g.Name) for g in groups.OCGs]
        assert {size_layer(x) for x in nest.labels} <= set(names)
        assert {str(g.Name) for g in groups.D.OFF} == set(hidden_layers(nest))
    other = pypdf.PdfReader(io.BytesIO(sheet)).trailer["/Root"]["/OCProperties"]
    assert [g.get_object()["/Name"] for g in other["/OCGs"]] == names
    with pdfplumber.open(io.BytesIO(sheet)) as pdf:
        page = pdf.pages[0]
        boxes = np.array(
            [[o["x1"] - o["x0"], o["y1"] - o["y0"]] for o in [*page.curves, *page.rects]]
        )
    for one in nest.families:
        for member in one.members:
            corners = join(list(member.piece.cut)).cubics[:, [0, 3]].reshape(-1, 2)
            off = np.abs(boxes * MM - np.ptp(corners, axis=0)).max(axis=1)
            assert off.min() < 0.1


def ink_with(data, shown):
    """The first page as PDFium renders it with only some layers on."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        groups = pdf.Root.OCProperties
        groups.D.OFF = pikepdf.Array([g for g in groups.OCGs if str(g.Name) not in shown])
        out = io.BytesIO()
        pdf.save(out)
    document = pypdfium2.PdfDocument(out.getvalue())
    try:
        return 1.0 - document[0].render(scale=0.6, grayscale=True).to_numpy().squeeze() / 255.0
    finally:
        document.close()


def test_pdfium_shows_each_size_alone(nest, sheet):
    layers = [size_layer(x) for x in nest.labels]
    together = ink_with(sheet, layers)
    assert ink_with(sheet, ()).max() == 0.0
    alone = [ink_with(sheet, (layer,)) for layer in layers]
    assert all(one.sum() > 0.05 * together.sum() for one in alone)
    most = np.maximum.reduce(alone)
    assert (together - most).min() > -0.02  # together they hide nothing of each other
    seen = most > 0.5
    assert together[seen].min() > 0.45
    # The largest reaches further than the smallest.
    assert np.flatnonzero(alone[-1].any(axis=0)).min() < np.flatnonzero(alone[0].any(axis=0)).min()


def test_some_sizes_alone_keep_their_lines_and_their_place(nest):
    some = nest.only(["40", "34"])
    assert some.labels == ("34", "40")
    assert some.pen("40") == nest.pen("40")
    assert [m.place for m in family(some, "front").members] == [
        m.place for m in family(nest, "front").members if m.size in ("34", "40")
    ]
    assert hidden_layers(nest.only(["36"])) == ()
    for wrong in (["41"], []):
        with pytest.raises(InputError, match="34, 36"):
            nest.only(wrong)


def test_tiles_and_rolls_of_some_sizes(nest):
    job = NestJob(nest=nest.only(["34", "40"]))
    tiled = nest_tiles(job, "a4")
    reader = pypdf.PdfReader(io.BytesIO(tiled.data))
    groups = reader.trailer["/Root"]["/OCProperties"]["/OCGs"]
    names = {g.get_object()["/Name"] for g in groups}
    assert {"size 34", "size 40"} <= names
    assert "size 36" not in names
    assert "sizes 34, 40" in reader.pages[0].extract_text()
    whole = nest_tiles(NestJob(nest=nest), "a4")
    assert tiled.tiles <= whole.tiles
    data, scenes = nest_sheets(job, roll_sheet(914.4))
    assert len(pypdf.PdfReader(io.BytesIO(data)).pages) == len(scenes)
    assert all(scene.width_mm == 914.4 for scene in scenes)


def test_files_by_paper_and_what_is_left_out(nest):
    made = nest_files(nest.only(["36"]), PrintOptions(papers=("letter", "a1", 914.4)))
    assert set(made.files) | set(made.left_out) == {
        *("nest.svg", "nest-letter.pdf", "nest-a1.pdf", "nest-roll-36in.pdf")
    }
    assert set(made.left_out) == {"nest-a1.pdf"}
    assert made.pages["letter"]["pages"] == made.pages["letter"]["tiles"] + 1
