"""Independent PDF readers judge the printed files: pdfplumber, pypdf and pypdfium2.

pdfplumber (on pdfminer.six) and pypdf each interpret the drawing operators with code of their own;
pypdfium2 renders with PDFium, the engine of a common browser. Every measuring function here is
also shown wrong files, which it must catch.
"""

import io
import re

import numpy as np
import pdfplumber
import pikepdf
import pypdf
import pypdfium2
import pytest

from outseam.cli.paper.tiles import TileOptions, tile_pdf
from outseam.cli.pattern.drawing import Place, scale_square
from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.scene.text import text_width_mm
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.curves.path import line, path, polyline

MM = 25.4 / 72
#: Pixels per millimetre of the pictures that are compared pixel by pixel.
PX = 4
#: Ink of one pixel may differ by this much between two pictures of the same lines.
SAME = 0.12
PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
WINDOW_MM = (190.0, 254.0)


def leg(width, height, dx, dy):
    """A curved closed outline of a leg's kind."""
    corners = np.array([(0.05, 0), (0.75, 0), (1, 0.72), (0.8, 1), (0.2, 0.97)]) * (width, height)
    bend = np.array([(0, -4), (0.06 * width, 0), (-0.05 * width, 0), (0, 8), (-0.1 * width, 0)])
    ends = np.roll(corners, -1, axis=0)
    thirds = (corners * 2 + ends) / 3 + bend, (corners + ends * 2) / 3 + bend
    return path(np.stack([corners, *thirds, ends], axis=1) + np.array([dx, dy]))


def cross(x, y):
    pen = Pen(width_mm=0.5)
    return (
        Stroke(path=line((x - 6, y), (x + 6, y)), pen=pen),
        Stroke(path=line((x, y - 6), (x, y + 6)), pen=pen),
    )


def known_scene(title="Known crosses"):
    """Two legs and, at odd distances, crosses; the upper right corner of the sheet stays empty."""
    legs = [leg(300, 690, 15, 20), leg(320, 480, 330, 10)]
    marks = [
        c for x in np.arange(13, 700, 41.7) for y in np.arange(11, 470, 43.3) for c in cross(x, y)
    ]
    words = (Label(text="Front ½ ✂", at=(60, 300), size_mm=9, angle_deg=30),)
    return Scene(
        title=title,
        width_mm=4 * 180 + 10,
        height_mm=3 * 244 + 10,
        layers=(
            Layer(name="cut", items=tuple(Stroke(path=p, pen=Pen(width_mm=0.7)) for p in legs)),
            Layer(name="crosses", items=tuple(marks)),
            Layer(name="words", items=words),
        ),
    )


def altered(data, change):
    with pikepdf.open(io.BytesIO(data)) as pdf:
        change(pdf)
        out = io.BytesIO()
        pdf.save(out)
        return out.getvalue()


def scaled(across, along):
    """Return a change that scales every page as a printer's driver would."""

    def change(pdf):
        for page in pdf.pages:
            content = page.Contents.read_bytes()
            head = f"q {across} 0 0 {along} 8 8 cm\n".encode()
            page.Contents = pdf.make_stream(head + content + b"\nQ")

    return change


WRONG = [scaled(0.97, 0.97), scaled(0.99, 1.004), scaled(1.0, 1.0005)]


def nearest(sizes, side):
    """Return the rectangle nearest to a square of the given side."""
    return min(sizes, key=lambda s: abs(s[0] - side) + abs(s[1] - side))


def plumbed_squares(data):
    """The test squares in mm as pdfplumber finds them among the rectangles of page 1."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        sizes = [(r["width"] * MM, r["height"] * MM) for r in pdf.pages[0].rects]
    return nearest(sizes, 100.0), nearest(sizes, 101.6)


def pypdf_squares(data):
    """The test squares in mm from the page's operators and the matrix pypdf keeps for them."""
    sizes = []

    def visit(operator, operands, matrix, _text_matrix):
        if operator == b"re":
            w, h = float(operands[2]), float(operands[3])
            sizes.append((abs(w * matrix[0]) * MM, abs(h * matrix[3]) * MM))

    page = pypdf.PdfReader(io.BytesIO(data)).pages[0]
    page.extract_text(visitor_operand_before=visit)
    return nearest(sizes, 100.0), nearest(sizes, 101.6)


def picture(data, index, px_per_mm):
    """Ink of a page, 0 to 1, row 0 on top, as PDFium renders it."""
    document = pypdfium2.PdfDocument(data)
    try:
        page = document[index]
        # a hair less, so that a page of whole pixels is not rounded up by one
        bitmap = page.render(scale=px_per_mm * MM - 1e-7, grayscale=True)
        return 1 - bitmap.to_numpy().squeeze() / 255.0
    finally:
        document.close()


def long_lines(ink, at_least):
    """Return the centres, in pixels, of the columns of `ink` that are dark nearly all the way."""
    dark = ink.mean(axis=0)
    found, run = [], []
    for i, value in enumerate(dark):
        if value > at_least:
            run.append(i)
        elif run:
            weights = dark[run[0] - 1 : run[-1] + 2]
            found.append(
                float(np.average(np.arange(run[0] - 1, run[-1] + 2) + 0.5, weights=weights))
            )
            run = []
    return found


def raster_square(data, paper):
    """Width and height in mm of the 10 cm square, from the grey values of its lines at 300 dpi."""
    dots = 300 / 25.4
    ink = picture(data, 0, dots)
    height = PAPER_MM[paper][1]
    # a band through the square's upper half: above the steps' last lines, beside all headings
    top = height - (height / 2 + 92.0)
    across = long_lines(ink[round((top + 4) * dots) : round((top + 94) * dots)], 0.6)
    up = long_lines(ink[:, round(16 * dots) : round(104 * dots)].T, 0.6)
    rule, upper, lower = up[:3]
    assert rule < upper < lower
    return (across[1] - across[0]) / dots, (lower - upper) / dots


@pytest.mark.parametrize("paper", PAPER_MM)
@pytest.mark.parametrize("measure", [plumbed_squares, pypdf_squares])
def test_squares_measure_right_from_the_operators(measure, paper):
    data = tile_pdf(known_scene(), paper).data
    cm, inches = measure(data)
    assert cm == pytest.approx((100.0, 100.0), abs=0.01)
    assert inches == pytest.approx((101.6, 101.6), abs=0.01)
    calibrated = tile_pdf(known_scene(), paper, TileOptions(calibration=(1.0121, 0.9876))).data
    cm, inches = measure(calibrated)
    assert cm == pytest.approx((101.21, 98.76), abs=0.01)
    assert inches == pytest.approx((101.6 * 1.0121, 101.6 * 0.9876), abs=0.01)


@pytest.mark.parametrize("change", WRONG)
@pytest.mark.parametrize("measure", [plumbed_squares, pypdf_squares])
def test_wrong_scales_are_seen_in_the_operators(measure, change):
    cm, _ = measure(altered(tile_pdf(known_scene(), "a4").data, change))
    assert max(abs(cm[0] - 100), abs(cm[1] - 100)) > 0.01


@pytest.mark.parametrize("paper", PAPER_MM)
def test_the_square_measures_right_on_the_picture(paper):
    assert raster_square(tile_pdf(known_scene(), paper).data, paper) == pytest.approx(
        (100.0, 100.0), abs=0.1
    )


@pytest.mark.parametrize(("across", "along"), [(0.97, 0.97), (0.99, 1.004), (1.0, 1.0025)])
def test_wrong_scales_are_seen_on_the_picture(across, along):
    data = altered(tile_pdf(known_scene(), "a4").data, scaled(across, along))
    seen = raster_square(data, "a4")
    assert seen == pytest.approx((100 * across, 100 * along), abs=0.1)
    assert max(abs(seen[0] - 100), abs(seen[1] - 100)) > 0.1


def cells_of(data):
    """Return the (row, column) of every home page, from 1, as printed on it."""
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        texts = [page.extract_text() for page in pdf.pages[1:]]
    found = [re.search(r"row (\d+), column (\d+)", text) for text in texts]
    return [(int(m[1]), int(m[2])) for m in found]


def window_of(picture_, paper):
    """Cut a page's picture down to its window."""
    left, top = ((a - b) / 2 * PX for a, b in zip(PAPER_MM[paper], WINDOW_MM, strict=True))
    rows = slice(round(top), round(top) + round(WINDOW_MM[1] * PX))
    return picture_[rows, round(left) : round(left) + round(WINDOW_MM[0] * PX)]


def part_of(sheet, cell, overlap):
    """Cut out of the whole sheet's picture what a page's window should show."""
    y = (cell[0] - 1) * (WINDOW_MM[1] - overlap) * PX
    x = (cell[1] - 1) * (WINDOW_MM[0] - overlap) * PX
    return sheet[
        round(y) : round(y) + round(WINDOW_MM[1] * PX),
        round(x) : round(x) + round(WINDOW_MM[0] * PX),
    ]


def only_drawing(pdf):
    """A change that takes frames, marks and texts off the pages."""
    for page in pdf.pages:
        content, _, _ = page.Contents.read_bytes().partition(b"\n% furniture\n")
        page.Contents = pdf.make_stream(content + b"\nQ")


def test_home_pages_put_together_are_the_sheet():
    scene = known_scene()
    sheet = picture(write_sheet_pdf([scene]), 0, PX)
    assert sheet.shape == (round(scene.height_mm * PX), round(scene.width_mm * PX))
    tiled = tile_pdf(scene, "a4")
    cells, bare = cells_of(tiled.data), altered(tiled.data, only_drawing)
    assert (tiled.columns, tiled.rows, len(cells)) == (4, 3, tiled.tiles)
    shown = np.zeros_like(sheet)
    for number, cell in enumerate(cells, start=1):
        wanted = part_of(sheet, cell, 10.0)
        drawn = window_of(picture(bare, number, PX), "a4")
        assert np.abs(drawn - wanted).max() < SAME
        full = window_of(picture(tiled.data, number, PX), "a4")
        assert full[wanted > 0.5].min() > 0.3  # a grey frame may lie over a black line
        np.maximum(part_of(shown, cell, 10.0), drawn, out=part_of(shown, cell, 10.0))
    assert np.abs(shown - sheet).max() < SAME


def test_a_page_shifted_by_a_tenth_of_a_millimetre_would_be_seen():
    tiled = tile_pdf(known_scene(), "a4")

    def shift(pdf):
        only_drawing(pdf)
        page = pdf.pages[3]
        content = page.Contents.read_bytes()
        page.Contents = pdf.make_stream(b"q 1 0 0 1 0.29 0 cm " + content + b" Q")

    sheet = picture(write_sheet_pdf([known_scene()]), 0, PX)
    drawn = window_of(picture(altered(tiled.data, shift), 3, PX), "a4")
    assert np.abs(drawn - part_of(sheet, cells_of(tiled.data)[2], 10.0)).max() > 2 * SAME


@pytest.mark.parametrize("overlap", [0.0, 10.0])
def test_pages_left_out_are_blank_and_the_others_are_not(overlap):
    scene = known_scene()
    tiled = tile_pdf(scene, "a4", TileOptions(overlap_mm=overlap))
    sheet = picture(write_sheet_pdf([scene]), 0, PX)
    assert tiled.empty
    assert len(tiled.empty) + tiled.tiles == tiled.columns * tiled.rows
    if overlap == 0.0:
        below = round((tiled.rows * WINDOW_MM[1]) * PX) - sheet.shape[0]
        sheet = np.vstack([np.zeros((below, sheet.shape[1])), sheet])
    covered = np.zeros_like(sheet, dtype=bool)
    for cell in cells_of(tiled.data):
        assert part_of(sheet, cell, overlap).max() > 0.5
        part_of(covered, cell, overlap)[:] = True
    for row, column in tiled.empty:
        left = part_of(sheet, (row + 1, column + 1), overlap)
        elsewhere = part_of(covered, (row + 1, column + 1), overlap)
        assert left[~elsewhere].max(initial=0.0) == 0.0


def placed_codes(data, paper):
    """Return the joining codes of every home page: code -> [(cell, x, y on the sheet in mm)]."""
    found = {}
    left, low = ((a - b) / 2 for a, b in zip(PAPER_MM[paper], WINDOW_MM, strict=True))
    cells = cells_of(data)
    rows = 3
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        for page, (row, column) in zip(pdf.pages[1:], cells, strict=True):
            for word in page.extract_words():
                if re.fullmatch(r"[A-Z]{1,2}[1-9]", word["text"]):
                    x = (word["x0"] + word["x1"]) / 2 * MM - left + (column - 1) * 180
                    y = (float(page.height) - (word["top"] + word["bottom"]) / 2) * MM - low
                    found.setdefault(word["text"], []).append(
                        ((row, column), x, y + (rows - row) * 244)
                    )
    return found


@pytest.mark.parametrize("paper", PAPER_MM)
def test_joining_codes_meet_on_neighbours_and_at_the_same_place(paper):
    data = tile_pdf(known_scene(), paper).data
    codes, cells = placed_codes(data, paper), set(cells_of(data))
    seams = {
        frozenset({(r, c), other})
        for r, c in cells
        for other in ((r, c + 1), (r + 1, c))
        if other in cells
    }
    assert {frozenset(cell for cell, *_ in places) for places in codes.values()} == seams
    for places in codes.values():
        assert len(places) == 2
        (one, x0, y0), (two, x1, y1) = sorted(places)
        if one[0] == two[0]:  # side by side: level, and the seam half-way
            assert y0 == pytest.approx(y1, abs=0.05)
            assert (x0 + x1) / 2 == pytest.approx((two[1] - 1) * 180, abs=0.05)
            assert 5 < x1 - x0 < 20
        else:
            assert x0 == pytest.approx(x1, abs=0.05)
            assert (y0 + y1) / 2 == pytest.approx((3 - one[0]) * 244 + 10, abs=1.0)
            assert 5 < y0 - y1 < 20


def test_every_page_says_what_it_must():
    data = tile_pdf(known_scene(), "letter", notes=("for Mirelle", "waist 78 cm ½")).data
    reader = pypdf.PdfReader(io.BytesIO(data))
    pages = len(reader.pages)
    first = reader.pages[0].extract_text()
    for words in ("10 cm", "4 in", "100 %", "for Mirelle", "waist 78 cm ½", f"page 1 of {pages}"):
        assert words in first
    assert "CALIBRATED" not in first
    for number, page in enumerate(reader.pages[1:], start=2):
        text = page.extract_text()
        for words in ("Known crosses", "Print at 100 %", f"page {number} of {pages}", "✂"):
            assert words in text
        assert "CALIBRATED" not in text


def test_every_page_says_that_it_is_calibrated_and_how():
    data = tile_pdf(known_scene(), "a4", TileOptions(calibration=(1.0121, 0.9876))).data
    for page in pypdf.PdfReader(io.BytesIO(data)).pages:
        assert "CALIBRATED × 1.0121 across, × 0.9876 along" in page.extract_text()


@pytest.mark.parametrize(
    ("paper", "points"),
    # A4: 210 x 297 mm (ISO 216); Letter: 8.5 x 11 in at 72 points
    [("a4", (210 / MM, 297 / MM)), ("letter", (612.0, 792.0))],
)
def test_every_page_is_exactly_the_paper(paper, points):
    for page in pypdf.PdfReader(io.BytesIO(tile_pdf(known_scene(), paper).data)).pages:
        box = page.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(points, abs=1e-4)
        assert page.rotation == 0
        assert page.user_unit == 1


def test_all_fonts_are_embedded():
    reader = pypdf.PdfReader(io.BytesIO(tile_pdf(known_scene(), "a4").data))
    fonts = {}
    for page in reader.pages:
        for form in page["/Resources"]["/XObject"].values():
            fonts.update(form["/Resources"].get("/Font", {}))
    assert fonts
    for font in (f.get_object() for f in fonts.values()):
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert "/FontFile2" in inner["/FontDescriptor"]
        assert font["/BaseFont"].endswith("+DejaVuSans")


@pytest.mark.parametrize("text", ["Front leg ½ ✂ é", "fi ffi 1/8 “x”", "WAVE Ünïcode"])
def test_text_comes_out_as_it_went_in_and_as_wide_as_measured(text):
    scene = Scene(
        title="x",
        width_mm=300,
        height_mm=100,
        layers=(Layer(name="w", items=(Label(text=text, at=(20, 40), size_mm=10),)),),
    )
    with pdfplumber.open(io.BytesIO(write_sheet_pdf([scene]))) as pdf:
        chars = pdf.pages[0].chars
    assert "".join(c["text"] for c in chars) == text
    assert (chars[-1]["x1"] - chars[0]["x0"]) * MM == pytest.approx(
        text_width_mm(text, 10.0),
        rel=0.002,  # widths in the file are whole thousandths of an em
    )
    assert chars[0]["x0"] * MM == pytest.approx(20.0, abs=0.01)


@pytest.mark.parametrize("angle", [90.0, 180.0, -90.0, 30.0])
def test_turned_text_stands_where_it_should(angle):
    """PDFium's boxes of the characters: the text runs from its place along the angle."""
    label = Label(text="grain", at=(100, 100), size_mm=10, angle_deg=angle)
    layer = Layer(name="w", items=(label,))
    data = write_sheet_pdf([Scene(title="x", width_mm=200, height_mm=200, layers=(layer,))])
    document = pypdfium2.PdfDocument(data)
    text = document[0].get_textpage()
    assert text.get_text_bounded().strip() == "grain"
    boxes = np.array([text.get_charbox(i) for i in range(5)]) * MM
    document.close()
    middles = (boxes[:, :2] + boxes[:, 2:]) / 2
    run = middles[-1] - middles[0]
    assert np.degrees(np.arctan2(run[1], run[0])) % 360 == pytest.approx(angle % 360, abs=4.0)
    assert np.hypot(*(middles[0] - (100, 100))) == pytest.approx(4.0, abs=1.5)


def test_hidden_layers_are_off_and_all_can_be_switched():
    shown = tile_pdf(known_scene(), "a4").data
    hidden = tile_pdf(known_scene(), "a4", TileOptions(hidden_layers=("crosses",))).data
    number = cells_of(shown).index((3, 2)) + 1
    assert picture(hidden, number, PX).sum() < 0.8 * picture(shown, number, PX).sum()
    groups = pypdf.PdfReader(io.BytesIO(hidden)).trailer["/Root"]["/OCProperties"]
    assert [g.get_object()["/Name"] for g in groups["/OCGs"]] == ["cut", "crosses", "words"]
    assert [g.get_object()["/Name"] for g in groups["/D"]["/OFF"]] == ["crosses"]


def test_a_sheet_is_drawn_at_true_scale_by_pdfium():
    square = polyline([(50, 50), (250, 50), (250, 450), (50, 450), (50, 50)])
    scene = Scene(
        title="x",
        width_mm=300,
        height_mm=500,
        layers=(Layer(name="cut", items=(Stroke(path=square, pen=Pen(width_mm=0.5)),)),),
    )
    dots = 200 / 25.4
    ink = picture(write_sheet_pdf([scene]), 0, dots)
    left, right = long_lines(ink[round(60 * dots) : round(440 * dots)], 0.5)
    upper, lower = long_lines(ink[:, round(60 * dots) : round(240 * dots)].T, 0.5)
    assert (right - left) / dots == pytest.approx(200.0, abs=0.1)
    assert (lower - upper) / dots == pytest.approx(400.0, abs=0.1)
    assert left / dots == pytest.approx(50.0, abs=0.1)
    assert upper / dots == pytest.approx(50.0, abs=0.1)


def test_the_square_of_a_wide_sheet_measures_right():
    layer = scale_square(Place(dx_mm=600.0, dy_mm=1000.0))
    data = write_sheet_pdf([Scene(title="x", width_mm=841, height_mm=1189, layers=(layer,))])
    for measure in (plumbed_squares, pypdf_squares):
        cm, _ = measure(data)
        assert cm == pytest.approx((100.0, 100.0), abs=0.01)
