"""Facts of the trade about belts and pockets, and pockets judged by shapely and scipy."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from scipy.integrate import quad

from outseam.curves.path import Path
from outseam.draft.body.estimate import Body
from outseam.draft.body.hand_size import HANDS, opening_for
from outseam.draft.checks.pocket import LEAST_WEIGHT, openings_mm
from outseam.draft.fabric import Fabric
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

Make = Callable[..., Pattern]

DOUBLE_KNIT = Fabric(stretch_across=0.5, weight=320.0)


def outline(piece: Piece, *, per_cubic: int = 200) -> shapely.Polygon:
    """The sewing line as a polygon, from the control points by the Bernstein formula."""
    t = np.linspace(0.0, 1.0, per_cubic, endpoint=False)[:, None]
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3)
    points = [
        sum(w * c for w, c in zip(weights, cubic, strict=True))
        for e in piece.edges
        for cubic in e.path.cubics
    ]
    return shapely.Polygon(np.concatenate(points))


def quad_length(path: Path) -> float:
    """Arc length by scipy's adaptive quadrature."""
    total = 0.0
    for c in path.cubics:
        d = 3.0 * np.diff(c, axis=0)

        def speed(t: float, d: np.ndarray = d) -> float:
            v = (1 - t) ** 2 * d[0] + 2 * t * (1 - t) * d[1] + t**2 * d[2]
            return float(np.hypot(*v))

        total += quad(speed, 0.0, 1.0, epsabs=1e-9)[0]
    return total


# shapely and scipy -----------------------------------------------------------------------------


@pytest.mark.parametrize("rise", ["high", "mid", "low"])
def test_front_and_facing_cover_the_plain_front_and_no_more(make_pattern: Make, rise: str) -> None:
    """Shapely: union of the two equals the front without pocket, the bag lies in it."""
    scoop = make_pattern(fabric=DOUBLE_KNIT, pocket=("scoop",), rise=rise)
    plain = outline(make_pattern(fabric=DOUBLE_KNIT, rise=rise).piece("front"))
    front, facing, bag = (outline(scoop.piece(n)) for n in ("front", "pocket_facing", "pocket_bag"))
    both = front.union(facing)
    assert both.symmetric_difference(plain).area < 5.0  # mm² of about 250 000
    assert front.area < plain.area - 3000.0
    # What the facing adds is exactly the corner, and the bag is the facing without it.
    corner = plain.difference(front)
    assert facing.difference(corner).symmetric_difference(bag).area < 5.0
    assert bag.difference(front.buffer(0.05)).area == 0.0


def test_a_side_seam_bag_lies_behind_the_front(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=DOUBLE_KNIT, pocket=("side-seam",))
    front, bag = outline(pattern.piece("front")), outline(pattern.piece("pocket_bag"))
    assert bag.difference(front.buffer(0.05)).area == 0.0
    shared = bag.boundary.intersection(front.boundary.buffer(0.02)).length
    edges = pattern.piece("pocket_bag").edges
    assert shared == pytest.approx(
        sum(quad_length(e.path) for e in edges if e.name in ("outseam", "waist")), abs=0.5
    )


def test_the_patch_lies_on_the_back_with_room_all_round(make_pattern: Make) -> None:
    pattern = make_pattern(fabric=DOUBLE_KNIT, pocket=("patch",))
    back = pattern.piece("back")
    place = next(x.path for x in back.lines if x.label == "back pocket")
    t = np.linspace(0.0, 1.0, 50)[:, None]
    ring = np.concatenate(
        [
            (1 - t) ** 3 * c[0]
            + 3 * t * (1 - t) ** 2 * c[1]
            + 3 * t**2 * (1 - t) * c[2]
            + t**3 * c[3]
            for c in place.cubics
        ]
    )
    leg = outline(back)
    assert leg.buffer(-15.0).covers(shapely.Polygon(ring))


@pytest.mark.parametrize("pocket", [("scoop",), ("side-seam",)])
def test_sewn_edges_are_equally_long_by_quadrature(
    make_pattern: Make, pocket: tuple[str, ...]
) -> None:
    """scipy.integrate.quad: both sides of every seam that takes whole edges of pocket pieces."""
    pattern = make_pattern(fabric=DOUBLE_KNIT, pocket=pocket)
    judged = 0
    for seam in pattern.seams:
        for s in (seam.a, seam.b):
            if seam.name.startswith("pocket") and s.piece.startswith("pocket"):
                assert quad_length(pattern.piece(s.piece).edge(s.edge).path) == pytest.approx(
                    s.to_mm, abs=0.01
                )
                judged += 1
    assert judged >= 3


# The trade -------------------------------------------------------------------------------------


def test_belt_widths_and_where_they_are_caught(make_pattern: Make) -> None:
    """Common practice, no source: 2 in elastic and 1/8 in room make a band of 2 1/8 in; a wide
    belt is as wide, a narrow one half of it, both caught at the sides and nothing at the back."""
    for belt, width_in in (("wide", 2.125), ("narrow", 1.0625)):
        pattern = make_pattern(belt=belt, elastic_width=50.8, units="in")
        flat = quad_length(pattern.piece("belt").edge("side").path)
        assert flat / 2.0 == pytest.approx(width_in * 25.4)
        caught = [s for s in pattern.seams if "belt" in (s.a.piece, s.b.piece)]
        assert "back_band" not in {p for s in caught for p in (s.a.piece, s.b.piece)}


@pytest.mark.parametrize(
    ("build", "low_mm", "high_mm"), [("women", 145.0, 165.0), ("men", 170.0, 190.0)]
)
def test_usual_openings_are_those_of_the_trade(
    make_pattern: Make, build: str, low_mm: float, high_mm: float
) -> None:
    """Common practice, no source: 15-16 cm for women, 17-18 cm for men."""
    body = Body(build=build, height=1720.0, waist=820.0, hip=1000.0, inside_leg=785.0)  # type: ignore[arg-type]
    for pocket in ("scoop", "side-seam"):
        opening = openings_mm(make_pattern(body, DOUBLE_KNIT, pocket=(pocket,)))[pocket]
        assert low_mm <= opening <= high_mm


def test_hands_are_as_remembered() -> None:
    """From memory of the 1988 survey of U.S. Army personnel (Gordon et al.): hand circumference of
    women about 186 mm, of men about 214 mm, standard deviations 8.6 and 9.7 mm. As a band only."""
    for build, mean, sd in (("women", 186.0, 8.6), ("men", 214.0, 9.7)):
        hand = HANDS[build]
        assert hand.middling_mm == pytest.approx(mean, abs=2.0)
        assert hand.small_mm == pytest.approx(mean - 1.645 * sd, abs=2.0)
        assert hand.large_mm == pytest.approx(mean + 1.645 * sd, abs=2.0)
        # A flat opening goes round a hand twice: half the girth would just do.
        assert opening_for(hand.large_mm) > 0.5 * hand.large_mm


def test_light_slippery_knits_cannot_carry_pockets_a_firm_double_knit_can(
    make_pattern: Make,
) -> None:
    """Common practice, no source."""
    light = Fabric(stretch_across=0.5, weight=160.0, slippery=True)
    doubts = [f.where for f in make_pattern(fabric=light, pocket=("patch",)).warnings]
    assert doubts == ["weight, g/m2", "slippery"]
    assert make_pattern(fabric=DOUBLE_KNIT, pocket=("patch",)).warnings == ()
    assert LEAST_WEIGHT["woven"] < LEAST_WEIGHT["knit"]


def test_a_patch_has_a_facing_of_three_centimetres(make_pattern: Make) -> None:
    """Common practice, no source: the upper edge is turned down 2.5 to 4 cm."""
    piece = make_pattern(fabric=DOUBLE_KNIT, pocket=("patch",)).piece("patch_pocket")
    fold, cut = piece.edge("sides").path.start[1], piece.edge("facing_cut").path.start[1]
    assert 25.0 <= cut - fold <= 40.0
