"""Scene -> PDF at full scale: document settings, layers, dates and bytes."""

import io
import subprocess
import sys

import pikepdf
import pytest

from outseam.cli.scene.scene import Label, Layer, Pen, Scene, Stroke
from outseam.cli.write.pdf import write_sheet_pdf
from outseam.curves.path import cubic, line
from outseam.draft.inputs.errors import InputError


def sheet(title="Sheet", width=841.0, height=1189.0, names=("cut", "words")):
    items = (
        (Stroke(path=cubic((10, 10), (50, 300), (400, 20), (800, 900)), pen=Pen(width_mm=0.7)),),
        (Label(text="Front ½ ✂", at=(100, 100), size_mm=9),),
    )
    layers = tuple(Layer(name=n, items=i) for n, i in zip(names, items, strict=True))
    return Scene(title=title, width_mm=width, height_mm=height, layers=layers)


def opened(data):
    return pikepdf.open(io.BytesIO(data))


def test_same_input_same_bytes_even_in_another_process():
    data = write_sheet_pdf([sheet()])
    assert data == write_sheet_pdf([sheet()])
    program = (
        "import sys, runpy; module = runpy.run_path(sys.argv[1]);"
        "sys.stdout.buffer.write(module['write_sheet_pdf']([module['sheet']()]))"
    )
    other = subprocess.run(
        [sys.executable, "-c", program, __file__], capture_output=True, check=True
    ).stdout
    assert other == data


def test_another_drawing_gives_other_bytes_and_another_identifier():
    one, two = opened(write_sheet_pdf([sheet()])), opened(write_sheet_pdf([sheet(title="Other")]))
    assert bytes(one.trailer.ID[0]) != bytes(two.trailer.ID[0])


def test_date_from_environment_or_fixed(monkeypatch):
    def date(data):
        pdf = opened(data)
        info = pdf.trailer.Info
        assert str(info.CreationDate) == str(info.ModDate)
        return str(info.CreationDate)

    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert date(write_sheet_pdf([sheet()])) == "D:20000101000000Z"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")  # 2023-11-14 22:13:20 UTC
    assert date(write_sheet_pdf([sheet()])) == "D:20231114221320Z"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    assert date(write_sheet_pdf([sheet()])) == "D:20000101000000Z"


def test_viewers_are_asked_for_true_size_and_the_title():
    pdf = opened(write_sheet_pdf([sheet()], title="Pants for Ilse ½"))
    wanted = pdf.Root.ViewerPreferences
    assert wanted.PrintScaling == "/None"
    assert list(wanted.Enforce) == ["/PrintScaling"]
    assert wanted.Duplex == "/Simplex"
    assert wanted.PickTrayByPDFSize is True
    assert wanted.DisplayDocTitle is True
    assert str(pdf.trailer.Info.Title) == "Pants for Ilse ½"


def test_every_scene_is_a_page_of_its_size_and_shares_switches():
    data = write_sheet_pdf([sheet(), sheet(width=594, height=5080)], hidden_layers=["words"])
    pdf = opened(data)
    sizes = [[float(v) * 25.4 / 72 for v in page.MediaBox][2:] for page in pdf.pages]
    assert sizes[0] == pytest.approx([841, 1189], abs=1e-4)
    assert sizes[1] == pytest.approx([594, 5080], abs=1e-4)
    layers = pdf.Root.OCProperties
    assert [str(group.Name) for group in layers.OCGs] == ["cut", "words"]
    assert [str(group.Name) for group in layers.D.OFF] == ["words"]
    for group in layers.OCGs:
        assert "/Usage" not in group
    for page in pdf.pages:
        assert "/UserUnit" not in page.obj
        content = page.Contents.read_bytes()
        assert content == b"/OC /O0 BDC /L0 Do EMC\n/OC /O1 BDC /L1 Do EMC"


def test_the_font_is_embedded_once_for_all_pages():
    pdf = opened(write_sheet_pdf([sheet(), sheet()]))
    files = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/FontFile2" in o]
    names = {str(o.FontName).split("+")[1] for o in files}
    assert names == {"DejaVuSans"}
    assert len(files) <= 2  # a Latin and a wide subset


def test_names_and_titles_with_control_characters_stay_valid():
    names = ("a\x00\ud800", "b" * 1_000_000)
    pdf = opened(write_sheet_pdf([sheet(title="t\x07" * 600_000, names=names)]))
    shown = [str(group.Name) for group in pdf.Root.OCProperties.OCGs]
    assert shown[0] == "a��"
    assert len(shown[1]) == 2000
    assert len(str(pdf.trailer.Info.Title)) == 500
    assert not pdf.check_pdf_syntax()


def test_a_sheet_beyond_what_viewers_accept_is_refused():
    with pytest.raises(InputError, match=r"5081 mm.*split it"):
        write_sheet_pdf([sheet(height=5081)])


def test_layers_without_items_are_listed_but_draw_nothing():
    empty = Scene(
        title="x",
        width_mm=100,
        height_mm=100,
        layers=(
            Layer(name="nothing", items=()),
            Layer(name="one", items=(Stroke(path=line((0, 0), (9, 9)), pen=Pen(width_mm=1)),)),
        ),
    )
    pdf = opened(write_sheet_pdf([empty]))
    assert [str(group.Name) for group in pdf.Root.OCProperties.OCGs] == ["nothing", "one"]
    assert pdf.pages[0].Contents.read_bytes() == b"/OC /O1 BDC /L1 Do EMC"
