"""Wide sheets and rolls: whole pieces, as little paper as found, and what does not fit is said."""

import io
import itertools
import math
from dataclasses import replace

import numpy as np
import pdfplumber
import pypdf
import pytest
import shapely
import spyrrow

from outseam.cli.main import run
from outseam.cli.paper.formats import formats_for
from outseam.cli.paper.pattern_files import make_sheets
from outseam.cli.paper.wide_sheets import SHEETS, WIDE_MARGIN_MM, plan_sheets, roll_sheet
from outseam.cli.pattern.drawing import SQUARE_ROOM_MM, cut_outline, pieces_to_print
from outseam.cli.write.pdf import MAX_PAGE_MM
from outseam.draft.spec.spec import PrintOptions

MM = 25.4 / 72


@pytest.fixture(scope="module")
def pattern(make_pattern):
    return make_pattern(leg="flare", pocket="scoop", belt="narrow")


@pytest.fixture(scope="module")
def outlines(pattern):
    return [cut_outline(p) for p in pieces_to_print(pattern)]


def printed(pattern, *papers):
    options = PrintOptions(papers=papers)
    return make_sheets(replace(pattern, spec=replace(pattern.spec, print=options)))


def placed(outline, place):
    turn = math.radians(place.turn_deg)
    c, s = math.cos(turn), math.sin(turn)
    return shapely.Polygon(outline @ np.array([[c, s], [-s, c]]) + (place.dx_mm, place.dy_mm))


@pytest.mark.parametrize("width", [914.4, 914.0, 1067.0, 594.0])
def test_all_pieces_lie_once_on_a_roll_apart_and_off_its_edges(outlines, width):
    plans = plan_sheets(outlines, roll_sheet(width))
    assert sorted(i for plan in plans for i, _ in plan.pieces) == list(range(len(outlines)))
    assert sum(len(plan.squares) for plan in plans) == 1
    for plan in plans:
        assert plan.width_mm == width
        assert plan.height_mm <= MAX_PAGE_MM
        shapes = [placed(outlines[i], at) for i, at in plan.pieces]
        for a, b in itertools.combinations(shapes, 2):
            assert a.distance(b) >= 12.0
        x0, y0, x1, y1 = shapely.total_bounds(shapes)
        assert min(x0, y0) >= WIDE_MARGIN_MM - 1e-6
        assert x1 <= width - WIDE_MARGIN_MM + 1e-6
        assert y1 <= plan.height_mm - WIDE_MARGIN_MM + 1e-6


def test_a_roll_is_as_short_as_a_strip_packing_library_finds(outlines):
    """spyrrow searches strips with quarter turns; two seconds of it are a fair other opinion."""
    side = SQUARE_ROOM_MM
    room = np.array([(0, 0), (side, 0), (side, side), (0, side)])
    items = [
        spyrrow.Item(str(i), [tuple(map(float, p)) for p in one], 1, [0, 90, 180, 270])
        for i, one in enumerate([*outlines, room])
    ]
    strip = spyrrow.StripPackingInstance("roll", strip_height=914.4 - 20.0, items=items)
    config = spyrrow.StripPackingConfig(
        total_computation_time=2, num_workers=1, min_items_separation=12.0, seed=1
    )
    theirs = strip.solve(config).width + 2 * WIDE_MARGIN_MM
    (plan,) = plan_sheets(outlines, roll_sheet(914.4))
    assert plan.height_mm < 1.12 * theirs


def test_what_is_longer_than_a_page_may_be_goes_on_with_another(outlines):
    many = outlines * 6
    plans = plan_sheets(many, roll_sheet(914.4))
    assert len(plans) > 1
    assert all(plan.height_mm <= MAX_PAGE_MM for plan in plans)
    assert sorted(i for plan in plans for i, _ in plan.pieces) == list(range(len(many)))


def test_rolls_and_sheets_come_out_in_true_size(pattern):
    made = printed(pattern, "a0", 914.4)
    assert set(made.files) == {
        *("pattern.svg", "preview.png", "pattern-a0.pdf", "pattern-roll-36in.pdf")
    }
    for name, wide in (("pattern-a0.pdf", 841.0), ("pattern-roll-36in.pdf", 914.4)):
        pages = pypdf.PdfReader(io.BytesIO(made.files[name])).pages
        assert {round(float(p.mediabox.width) * MM, 3) for p in pages} == {wide}
        with pdfplumber.open(io.BytesIO(made.files[name])) as pdf:
            found = [(r["width"] * MM, r["height"] * MM) for p in pdf.pages for r in p.rects]
        off = [max(abs(w - 100.0), abs(h - 100.0)) for w, h in found]
        assert min(off) < 0.01
        # Negative control: at 97 % nothing on the sheet measures 10 cm.
        assert min(max(abs(0.97 * w - 100.0), abs(0.97 * h - 100.0)) for w, h in found) > 0.1
    length = made.pages["roll-36in"]["length_mm"]
    high = float(pypdf.PdfReader(io.BytesIO(made.files["pattern-roll-36in.pdf"])).pages[0]
                 .mediabox.height) * MM  # fmt: skip
    assert high == pytest.approx(length, abs=0.01)


def test_a_piece_too_large_for_one_paper_stops_no_other(pattern):
    made = printed(pattern, "a4", "a1", 350.0)
    assert set(made.files) == {"pattern.svg", "preview.png", "pattern-a4.pdf"} | (
        {"pattern-roll-35cm.pdf"} - set(made.left_out)
    )
    assert "pattern-a1.pdf" in made.left_out
    assert "a piece of" in made.left_out["pattern-a1.pdf"]
    assert set(made.pages) >= {"a4"}


def test_the_command_says_what_it_left_out(tmp_path, capsys):
    spec = tmp_path / "pants.toml"
    spec.write_text(
        "[body]\nheight = 176\nwaist = 120\nhip = 140\ninside_leg = 80\n[style]\nleg = 'palazzo'\n"
        '[print]\npapers = ["a1", "36 in"]\nfiles = ["dxf", "dxf-lines", "projector"]\n'
    )
    with pytest.raises(SystemExit) as done:
        run(["draft", str(spec), "--out", str(tmp_path / "out")])
    assert done.value.code == 0
    said = capsys.readouterr().out
    assert "Left out pattern-a1.pdf: print: a piece of" in said
    assert {p.name for p in (tmp_path / "out").iterdir()} == {
        *("pattern.svg", "preview.png", "pattern-roll-36in.pdf"),
        *("pattern.dxf", "pattern-lines.dxf"),
        *("pattern-projector.pdf", "summary.json"),
    }


def test_nothing_more_is_written_than_before_where_nothing_more_is_asked():
    endings = [one.ending for one in formats_for(PrintOptions())]
    assert endings == [".svg", "", "-a4.pdf", "-letter.pdf", "-a0.pdf"]
    assert SHEETS["a1"].width_mm == 594.0  # ISO 216
