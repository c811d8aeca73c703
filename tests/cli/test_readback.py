"""The scale check that every run makes before it saves: right files pass, wrong ones do not."""

import io

import pikepdf
import pytest

from outseam.cli.paper.readback import ScaleError, check_scale
from outseam.cli.paper.tiles import TileOptions, tile_pdf
from outseam.cli.scene.scene import Layer, Pen, Scene, Stroke
from outseam.curves.path import line

SCENE = Scene(
    title="Sheet",
    width_mm=370,
    height_mm=498,
    layers=(
        Layer(name="cut", items=(Stroke(path=line((20, 20), (350, 400)), pen=Pen(width_mm=0.7)),)),
    ),
)


def altered(data, change):
    with pikepdf.open(io.BytesIO(data)) as pdf:
        change(pdf)
        out = io.BytesIO()
        pdf.save(out)
        return out.getvalue()


def scaled(page_index, across, along):
    """Return a change that draws one page smaller or larger, as a bad writer would."""

    def change(pdf):
        page = pdf.pages[page_index]
        content = page.Contents.read_bytes()
        page.Contents = pdf.make_stream(
            b"q %f 0 0 %f 3 3 cm\n" % (across, along) + content + b"\nQ"
        )

    return change


@pytest.mark.parametrize("calibration", [(1.0, 1.0), (1.0121, 0.9876), (0.95, 1.05)])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_squares_measure_what_the_calibration_says(paper, calibration):
    data = tile_pdf(SCENE, paper, TileOptions(calibration=calibration)).data
    read = check_scale(data, calibration)
    across, along = calibration
    assert read.square_cm_mm == pytest.approx((100 * across, 100 * along), abs=0.001)
    assert read.square_in_mm == pytest.approx((101.6 * across, 101.6 * along), abs=0.001)
    assert read.pages == 4


@pytest.mark.parametrize(
    ("across", "along"), [(0.97, 0.97), (0.99, 1.004), (1.0, 1.0002), (0.9998, 1.0)]
)
def test_a_first_page_at_another_scale_is_caught(across, along):
    data = altered(tile_pdf(SCENE, "a4").data, scaled(0, across, along))
    with pytest.raises(ScaleError, match="test square"):
        check_scale(data)


def test_a_drawing_at_another_scale_than_the_squares_is_caught():
    data = altered(tile_pdf(SCENE, "a4").data, scaled(3, 1.0, 1.001))
    with pytest.raises(ScaleError, match="page 4"):
        check_scale(data)


def test_forgotten_and_wrong_calibration_is_caught():
    calibrated = tile_pdf(SCENE, "a4", TileOptions(calibration=(1.01, 1.0))).data
    for wrong in ((1.0, 1.0), (1.0, 1.01)):
        with pytest.raises(ScaleError):
            check_scale(calibrated, wrong)


def test_a_file_without_squares_or_with_a_viewers_scale_is_caught():
    data = tile_pdf(SCENE, "a4").data

    def no_square(pdf):
        page = pdf.pages[0]
        page.Contents = pdf.make_stream(page.Contents.read_bytes().replace(b" re S", b" re n"))

    def user_unit(pdf):
        pdf.pages[2].obj.UserUnit = 2

    with pytest.raises(ScaleError, match="test square"):
        check_scale(altered(data, no_square))
    with pytest.raises(ScaleError, match="page 3"):
        check_scale(altered(data, user_unit))
