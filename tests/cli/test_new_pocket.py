"""A pocket and a format that the product does not know serve everywhere, through its registries."""

from __future__ import annotations

from collections import Counter

import pytest
import thigh_pocket

from outseam.cli.compare.files import compare_files
from outseam.cli.compare.legs import leg_of
from outseam.cli.paper import formats
from outseam.cli.paper.pattern_files import make_sheets
from outseam.cli.paper.printed import Printed
from outseam.cli.scene.scene import Layer, Pen, Scene, Stroke
from outseam.cli.sewing.drawings import DRAWINGS
from outseam.cli.worksheet.files import worksheet_files
from outseam.curves.path import polyline
from outseam.draft.answer import Answer
from outseam.draft.buying.shopping_list import plan_buying
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.words import in_units
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.sewing.order import sewing_order
from outseam.draft.spec.spec import Spec, parse_spec
from outseam.draft.spec.starter import starter_text
from outseam.draft.style import POCKETS
from outseam.draft.variants import parse_vary, vary_spec

TEXT = """
units = "{units}"
[body]
height = "167 cm"
waist = "76 cm"
hip = "100 cm"
inside_leg = "76.5 cm"
[fabric]
stretch_across = "50 %"
weight = 320
{fabric}
[style]
pocket = {pocket}
"""


def picture(_: object) -> Scene:
    square = polyline([(5.0, 5.0), (25.0, 5.0), (25.0, 25.0), (5.0, 5.0)])
    stroke = Stroke(path=square, pen=Pen(width_mm=0.3))
    layer = Layer(name="cloth", items=(stroke,))
    return Scene(title="A thigh pocket", width_mm=62.0, height_mm=30.0, layers=(layer,))


@pytest.fixture
def registered(monkeypatch: pytest.MonkeyPatch) -> None:
    """One line for the pocket and one for its picture."""
    monkeypatch.setitem(POCKETS, "thigh", "thigh_pocket:POCKET")
    monkeypatch.setitem(DRAWINGS, "thigh", picture)


def spec(pocket: str = '"thigh"', *, units: str = "cm", fabric: str = "") -> Spec:
    return parse_spec(TEXT.format(units=units, pocket=pocket, fabric=fabric))


def test_a_word_that_is_not_registered_is_refused() -> None:
    with pytest.raises(InputError, match="scoop"):
        spec()


@pytest.mark.usefixtures("registered")
def test_it_is_drafted_and_checked() -> None:
    assert '"thigh"' in starter_text(every=True)
    pattern = Answer(spec=spec()).pattern
    assert [f.value for f in pattern.pockets] == ["thigh"]
    assert {"thigh_pocket", "thigh_lining"} <= {p.name for p in pattern.pieces}
    # The tape is another matter: this one is short.
    doubts = [f for f in pattern.findings if f.level != "pass" and f.check != "tape"]
    assert doubts == []
    looked = [f.where for f in pattern.findings if f.where.startswith("thigh pocket")]
    assert "thigh pocket, from the seams" in looked
    assert "thigh pocket, outline of its place" in looked
    both = Answer(spec=spec('["thigh", "side-seam"]')).pattern
    assert [f.value for f in both.pockets] == ["side-seam", "thigh"]
    assert both.errors == ()


@pytest.mark.usefixtures("registered")
def test_it_is_sewn_step_by_step() -> None:
    pattern = Answer(spec=spec('["scoop", "thigh"]')).pattern
    order = sewing_order(pattern)
    keys = [step.key for step in order]
    assert keys.index("mark") < keys.index("thigh") < keys.index("scoop-mouth")
    seen_to = Counter(edge for step in order for edge in step.edges)
    assert seen_to == Counter({(p.part, e.name) for p, e in pattern.unsewn_edges()})
    said = " ".join(next(s for s in order if s.key == "thigh").sentences("in"))
    assert '6 1/2" wide' in said
    marks = " ".join(next(s for s in order if s.key == "mark").sentences("cm"))
    assert thigh_pocket.POCKET.marking in marks
    files = worksheet_files(Answer(spec=spec()))
    page = files["worksheet.html"].decode()
    assert "Thigh pockets" in page
    assert "A thigh pocket" in page
    assert files["worksheet.pdf"].startswith(b"%PDF")


@pytest.mark.usefixtures("registered")
def test_it_is_bought_for() -> None:
    pattern = Answer(spec=spec()).pattern
    found = {entry.kind: entry for entry in plan_buying(pattern).entries}
    assert "thigh pocket lining" in found["lining"].reason
    assert found["tape"].needed_mm == pytest.approx(2.0 * thigh_pocket.WIDE_MM + 80.0)
    assert found["interfacing"].reason == "the top of each thigh pocket"
    assert found["interfacing"].needed_mm == pytest.approx(25.0)


@pytest.mark.usefixtures("registered")
def test_its_stripes_follow_the_leg() -> None:
    pattern = Answer(spec=spec(fabric='repeat_along = "7 cm"')).pattern
    lay = plan_lay([pattern])
    assert lay.errors == ()
    pockets = [f for f in lay.findings if f.check == "stripes run on over the pocket"]
    # Which of two lays that mirror each other is found, rounding may say.
    assert sorted(f.where for f in pockets) == ["1.thigh_pocket.1", "1.thigh_pocket.2"]
    assert {f.level for f in pockets} == {"pass"}
    assert "thigh pocket" in in_units(pockets[0].says, "cm")


@pytest.mark.usefixtures("registered")
def test_it_is_compared() -> None:
    one = spec('"none"')
    comparison = vary_spec(one, [parse_vary("pocket=none,thigh", "cm")])
    plain, with_pocket = (v.pattern for v in comparison.variants)
    assert plain is not None
    assert with_pocket is not None
    assert leg_of(plain, back=False).details == ()
    assert len(leg_of(with_pocket, back=False).details) == 1
    files = compare_files(comparison)
    assert b"thigh" in files["compare.html"]


@pytest.mark.usefixtures("registered")
def test_it_is_printed_also_in_a_format_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    names = formats.Format(
        ending=".txt",
        asked=lambda _: True,
        write=lambda job: Printed(data="\n".join(p.title for p in job.pattern.pieces).encode()),
    )
    monkeypatch.setattr(formats, "FORMATS", (*formats.FORMATS, names))
    files = make_sheets(Answer(spec=spec()).pattern).files
    assert {"pattern.svg", "pattern-a4.pdf", "pattern.txt"} <= set(files)
    assert b"Thigh pocket lining" in files["pattern.txt"]
    assert b"Thigh pocket" in files["pattern.svg"]
