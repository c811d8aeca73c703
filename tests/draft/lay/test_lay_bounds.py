"""What no lay can undercut: above the area where breadths do not go into the fabric."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from lay_pieces import box_piece, items, part, polygon_piece

from outseam.draft.fabric import Fabric
from outseam.draft.lay.model.bounds import area_mm2, bound_mm, columns_of
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.model import Pattern


def test_broad_pieces_lie_one_behind_the_other() -> None:
    """Three boxes broader than half the fabric: the area sees 60 %, the bound all of it."""
    cloth = Cloth(width_mm=1000.0)
    boxes = items([part(box_piece("box", 600.0, 300.0), n) for n in (1, 2, 3)], cloth)
    assert area_mm2(boxes) / 1000.0 == pytest.approx(540.0)
    assert bound_mm(boxes, cloth) == pytest.approx(900.0)


def test_two_of_three_abreast() -> None:
    """Boxes broader than a third: two abreast, so four of them take two rows."""
    cloth = Cloth(width_mm=1000.0)
    boxes = items([part(box_piece("box", 340.0, 300.0), n) for n in range(1, 5)], cloth)
    assert bound_mm(boxes, cloth) == pytest.approx(600.0)


def test_the_gap_counts() -> None:
    """Two boxes of half the breadth fit without a gap and not with one."""
    pair = [part(box_piece("box", 500.0, 300.0), n) for n in (1, 2)]
    for gap, want in ((0.0, 300.0), (10.0, 610.0)):
        cloth = Cloth(width_mm=1000.0, gap_mm=gap)
        # Round corners of what surrounds a box take a little off at its ends.
        assert bound_mm(items(pair, cloth), cloth) == pytest.approx(want, abs=8.0)


def test_what_may_be_turned_counts_as_it_is_better() -> None:
    cloth = Cloth(width_mm=1000.0)
    boxes = items(
        [part(box_piece("box", 600.0, 300.0), n, turns=(0, 90)) for n in (1, 2, 3)], cloth
    )
    assert bound_mm(boxes, cloth) == pytest.approx(600.0)


def test_pieces_on_the_fold_may_leave_it() -> None:
    """Two bands on the fold: in the fold one behind the other, opened out side by side."""
    cloth = Cloth(width_mm=1000.0, folded=True)
    bands = items([part(box_piece(f"b{n}", 490.0, 300.0), zone="fold") for n in (1, 2)], cloth)
    assert bound_mm(bands, cloth) == pytest.approx(300.0)
    legs = [part(box_piece(f"l{n}", 260.0, 400.0), zone="main") for n in (1, 2)]
    assert bound_mm(items(legs, cloth), cloth) == pytest.approx(800.0)


def test_columns_never_say_more_than_there_is() -> None:
    triangle = polygon_piece("t", [(0, 0), (300, 0), (0, 400)])
    outline = items([part(triangle)], Cloth(width_mm=500.0))[0].orientations[0].outline
    widths, breadths = columns_of(outline)
    assert widths.sum() == pytest.approx(400.0)
    area = float(np.sum(widths * breadths))
    assert 0.98 * 60_000.0 < area <= 60_000.0


@pytest.mark.parametrize("fold", ["single", "folded", "narrow"])
@pytest.mark.parametrize("width", [960.0, 1120.0, 1500.0])
def test_no_lay_undercuts_it(make_pattern: Callable[..., Pattern], fold: str, width: float) -> None:
    fabric = Fabric(stretch_across=0.5, width=width, fold=fold)  # type: ignore[arg-type]
    lay = plan_lay([make_pattern(fabric=fabric, leg="palazzo")], seconds=0.0)
    assert lay.area_mm2 / width - 1e-6 <= lay.bound_mm <= lay.length_mm
