"""What a person at the table meets: copies that lie alike, numbers of the list, the plain fold."""

from __future__ import annotations

import pytest

from outseam.cli.wording.lay import rows
from outseam.cli.worksheet.content import cutting
from outseam.draft.body.table import Body
from outseam.draft.fabric import Fabric, Fold
from outseam.draft.lay.ways.plan import plan, plan_lay
from outseam.draft.lay.ways.quick import quick_lay
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.sewing.order import sewing_order
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

BODY = Body(height=1640.0, waist=830.0, hip=1070.0, inside_leg=745.0)


def draft(fold: Fold = "single", width: float = 1500.0, **style: object) -> Pattern:
    cloth = Fabric(stretch_across=0.5, fold=fold, width=width)
    return draft_pattern(
        Spec(body=BODY, fabric=cloth, style=Style(fit="loose", **style))  # type: ignore[arg-type]
    )


@pytest.mark.parametrize("fold", ["single", "folded", "narrow"])
@pytest.mark.parametrize("width", [1100.0, 1300.0, 1500.0])
def test_both_halves_of_a_belt_lie_alike(fold: Fold, width: float) -> None:
    pattern = draft(fold, width, belt="wide")
    for lay in (plan_lay([pattern], seconds=0.0), quick_lay(pattern)):
        assert not lay.errors
        turns = {p.lie.turn_deg % 180 for p in lay.placed if p.part.piece.name == "belt"}
        assert len(turns) == 1


@pytest.mark.parametrize(
    ("leg", "belt", "width", "print_"),
    [
        ("palazzo", "wide", 1500.0, {"border": "one", "border_height": 180.0}),
        ("close", "narrow", 1400.0, {"border": "one", "border_height": 180.0}),
        (
            "straight",
            "narrow",
            1400.0,
            {"border": "both", "border_height": 180.0, "borders_alike": True, "one_way": False},
        ),
        ("straight", "wide", 1480.0, {"repeat_along": 53.0}),
        ("straight", "wide", 1300.0, {"repeat_along": 53.0, "repeat_across": 40.0}),
    ],
)
def test_both_halves_of_a_belt_lie_alike_on_a_print(
    leg: str, belt: str, width: float, print_: dict[str, object]
) -> None:
    cloth = Fabric(stretch_across=0.6, stretch_along=0.6, width=width, **print_)  # type: ignore[arg-type]
    style = Style(leg=leg, belt=belt, length="capri", fit="loose")
    lay = plan_lay([draft_pattern(Spec(body=BODY, fabric=cloth, style=style))], seconds=0.0)
    assert not lay.errors
    turns = [p.lie.turn_deg % 180 for p in lay.placed if p.part.piece.name == "belt"]
    assert len(turns) == 2
    assert len(set(turns)) == 1


def test_lay_and_worksheet_number_pieces_alike() -> None:
    pattern = draft(belt="narrow", pocket=("scoop",))
    _, table, *_ = cutting(pattern).blocks
    listed = {row[1]: int(row[0]) for row in table.rows}  # type: ignore[union-attr]
    laid = rows(plan_lay([pattern], seconds=0.0), "cm")
    assert laid
    for row in laid:
        assert row.number == listed[row.name]


def test_a_narrow_fold_tries_the_plain_fold_and_says_where_it_is_shorter() -> None:
    told = 0
    for width in (1100.0, 1400.0, 1500.0):
        narrow = draft("narrow", width, belt="wide")
        found = plan([narrow], seconds=0.0)
        plain = plan_lay([draft("folded", width, belt="wide")], seconds=0.0)
        shorter = plain.length_mm <= found.lay.length_mm - 10.0
        assert shorter == ("Folded selvedge to selvedge" in found.remark)
        told += shorter
    assert told


def test_the_step_of_a_narrow_fold_names_its_depth_and_has_its_own_picture() -> None:
    pattern = draft("narrow")
    depth = plan_lay([pattern], seconds=0.0).fold_mm
    assert depth is not None
    (cut,) = [s for s in sewing_order(pattern, fold_mm=depth) if s.key == "cut"]
    assert cut.drawing == "cut-narrow"
    assert f"{depth / 10.0:.1f} cm deep" in " ".join(cut.sentences("cm"))
    (unknown,) = [s for s in sewing_order(pattern) if s.key == "cut"]
    assert "only as far as the lay says" in " ".join(unknown.sentences("cm"))
