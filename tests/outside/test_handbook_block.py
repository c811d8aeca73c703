"""The block against handbooks: its proportions before any tape, and drafts over a range of sizes.

Sources: Winifred Aldrich, Metric Pattern Cutting for Women's Wear, classic tailored trouser block
(read in a reprint); Helen Joseph-Armstrong, Patternmaking for Fashion Design, trouser foundation
(from memory); the college method of Zhang Wenbin (from memory). Lengths in mm.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from outseam.curves.evaluate import points_at
from outseam.curves.path import path
from outseam.draft.block.block import Block, build_block
from outseam.draft.block.panels import floats
from outseam.draft.block.proportions import PRIORS, BackWaist, Free, Target, belief_of, params_of
from outseam.draft.block.shape import Frame, PanelShape, Params, shapes, side_of
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.population import BUILDS, Build
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES, FITS, Fit, fit_named
from outseam.draft.style import Style

# Aldrich's worked inputs are illustrative: hip 96, body rise 28, waist to hip 20.6, waist to floor
# 104, trouser bottom 22. Her finished hip is 100, her knee 33 below the crotch line.
HIP, RISE, WAIST_TO_HIP, WAIST_TO_FLOOR, HEM = 960.0, 280.0, 206.0, 1040.0, 440.0
FINISHED_HIP = 1000.0
SD = {p.name: p.sd for p in PRIORS}


#: What the means go by: her figure, of middling seat and side, with nothing asked of the thigh.
NEUTRAL = Target(
    crotch_mm=0.0,
    halves_mm=0.0,
    halves_sd_mm=1.0,
    halves_given=False,
    inseam_ease_mm=0.0,
    thigh_mm=0.0,
    thigh_scale=1.0,
    thigh_wish_mm=0.0,
    thigh_sd_mm=1.0,
    waist_share=0.25,
    seat_depth=0.228,
    front_raise_mm=0.0,
    back_waist=BackWaist(WAIST_TO_HIP, FINISHED_HIP / 4.0 + 7.0 - 28.0, 1.5 * 28.0 / WAIST_TO_HIP),
)


def handbook_draft(fit: Fit) -> tuple[PanelShape, PanelShape, Params]:
    """The block with every proportion at its mean and the crotch length left free."""
    frame = Frame(
        hip_mm=FINISHED_HIP,
        side_shift_mm=7.0,
        # Her rise reaches to the crotch line, ours to the body's crotch, the drop above it.
        waist_height=RISE - fit.drop_mm,
        hip_height=RISE - WAIST_TO_HIP - fit.drop_mm,
        leg_height=-330.0 - fit.drop_mm,
        leg_girth_mm=492.0,
        leg_slope=0.16,
        base_mm=492.0,
        base_slope=0.0,
        lean=0.7,
        straight=False,
        on_line=False,
        inseam_share=0.5,
        split_slope=0.058,
        hem_height=RISE - WAIST_TO_FLOOR - fit.drop_mm,
        hem_mm=HEM,
    )
    means = Free(*belief_of(fit, frame, NEUTRAL).mean)
    p = Params(*map(float, params_of(means, NEUTRAL.back_waist)))
    both = shapes(frame, p)
    return side_of(both, 0), side_of(both, 1), p


@pytest.fixture(scope="module")
def easy() -> tuple[PanelShape, PanelShape, Params]:
    """Of the fits, the one that carries about the ease of her block (4 cm at the hip)."""
    return handbook_draft(fit_named("easy"))


@pytest.fixture(scope="module")
def drafted() -> Block:
    """Her figure, drafted: what she does not state is estimated."""
    body = Body(
        height=1640.0,
        waist=720.0,
        hip=HIP,
        inside_leg=WAIST_TO_FLOOR - RISE,
        waist_height=WAIST_TO_FLOOR,
        waist_to_hip=WAIST_TO_HIP,
    )
    return build_block(
        complete(body), Fabric(kind="woven"), Style(fit="easy", leg="straight", hem_width=HEM)
    )


def test_aldrich_panel_widths_at_the_hip(drafted: Block) -> None:
    """hip/4 + 0.5 = 24.5 in front, hip/4 + 1.5 = 25.5 behind: half a centimetre either side of a
    quarter of the finished hip. Ours are 7 mm either side; handbooks vary from 5 to 10.
    """
    front, back = drafted.frame.front_hip_mm, drafted.frame.back_hip_mm
    quarter = drafted.hip_mm / 4.0
    assert quarter - front == pytest.approx(5.0, abs=5.0)
    assert back - quarter == pytest.approx(5.0, abs=5.0)
    scaled = FINISHED_HIP / drafted.hip_mm
    assert front * scaled == pytest.approx(245.0, abs=5.0)
    assert back * scaled == pytest.approx(255.0, abs=5.0)


def test_aldrich_front_fork(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """hip/16 + 0.5 = 6.5. Within the prior's own standard deviation, 1 % of the hip."""
    front, _, _ = easy
    assert front.point[0] == pytest.approx(65.0, abs=SD["front_fork"] * FINISHED_HIP)


def test_aldrich_fork_sum(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """6.5 and 6.5 + 3.25, the back from its seam base 2.375 beside the front's: 18.6 in all.

    Within 18 mm, one standard deviation of both priors together.
    """
    front, back, _ = easy
    both = math.hypot(SD["front_fork"], SD["back_fork"]) * FINISHED_HIP
    assert front.point[0] + back.point[0] == pytest.approx(186.25, abs=both)


def test_aldrich_back_seam(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """Slope 7.1 degrees, centre back 2 cm up, crotch point 0.5 lower than the front's.

    Each within one standard deviation of its prior.
    """
    front, back, p = easy
    slope = math.degrees(math.atan2(back.start[0] - back.top[0], back.top[1] - back.start[1]))
    one_sd = math.degrees(math.atan(0.15 + SD["slant"])) - math.degrees(math.atan(0.15))
    # Hers is the most upright of the handbooks, the college's 11.3 at the other end; knits and
    # pull-on pants lie nearer to that.
    assert 7.1 - one_sd <= slope <= 11.3 + one_sd
    assert back.top[1] - front.top[1] == pytest.approx(20.0, abs=1.5 * SD["back_raise"])
    assert -back.point[1] == pytest.approx(5.0, abs=SD["fork_lowered"])
    assert p.fork_lowered > 0.0


def nearest_on_bisector(shape: PanelShape, corner: tuple[float, float]) -> float:
    """Distance from a corner at which the crotch curve crosses the line rising at 45 degrees."""
    curve = [floats(q) for q in (shape.start, shape.handle_1, shape.handle_2, shape.point)]
    p = points_at(path([curve]), np.linspace(0.0, 1.0, 4001)) - corner
    at = int(np.argmin(np.abs(p[:, 0] - p[:, 1])))
    return float(np.hypot(*p[at]))


def test_aldrich_front_curve(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """It passes 3.0 from the corner in sizes 8-14, 3.25 in sizes 16-22; within 3 mm of the former,
    since our fork is 3 mm shorter than hers.
    """
    front, _, _ = easy
    assert nearest_on_bisector(front, (0.0, 0.0)) == pytest.approx(30.0, abs=3.0)


def test_aldrich_back_curve(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """4.25-4.75 from the corner of a fork of 12.1 from the seam base: 0.35-0.39 of it.

    Ours is deeper, because it comes in square to the inseam there, so that both curves join
    smoothly; within a fifth.
    """
    _, back, _ = easy
    slope = (back.start[0] - back.top[0]) / (back.top[1] - back.start[1])
    base = float(back.start[0] + slope * back.start[1])
    share = nearest_on_bisector(back, (base, 0.0)) / float(back.point[0] - base)
    assert share == pytest.approx(45.0 / 121.25, rel=0.2)


def test_aldrich_crease(easy: tuple[PanelShape, PanelShape, Params]) -> None:
    """Crease to centre front hip/12 + 1.5 = 9.5. Half of what fork and panel may differ by."""
    front, _, _ = easy
    assert -front.crease == pytest.approx(95.0, abs=(SD["front_fork"] * FINISHED_HIP + 5.0) / 2.0)


def test_aldrich_hem_and_knee(drafted: Block) -> None:
    """Half hem 10.5 in front, 11.5 behind; half knee 11.8 and 12.8, 43 above the floor.

    Hems within 5 mm: ours part by 3 cm in all, hers by 4, handbooks by 2 to 4. Knees within 12 mm:
    hers is a tailored trouser with a crease, fuller there than one that is pulled on.
    """
    hem = drafted.stations[-1]
    assert hem.girth_mm == pytest.approx(HEM, abs=0.5)
    for panel, half in ((drafted.front, 105.0), (drafted.back, 115.0)):
        assert (panel.hem.end[0] - panel.hem.start[0]) / 2.0 == pytest.approx(half, abs=5.0)
    knee = drafted.stations[0]
    assert knee.height_mm == pytest.approx(430.0, abs=20.0)
    assert knee.girth_mm / 4.0 == pytest.approx((118.0 + 128.0) / 2.0, abs=12.0)
    widths = [p.hem.end[0] - p.hem.start[0] for p in (drafted.front, drafted.back)]
    assert 20.0 <= widths[1] - widths[0] <= 40.0


def test_armstrong_and_the_college_lie_within_the_fits() -> None:
    """Fork sums from memory: Armstrong 2 3/8 and 5 in of 38 in, 0.194; the college 0.155.

    Between them lie the fits, from close to loose, within 0.01.
    """
    sums = [f.front_fork_ratio + f.back_fork_ratio for f in FITS]
    assert sums == sorted(sums)
    assert sums[0] == pytest.approx(0.155, abs=0.01)
    assert sums[-1] == pytest.approx(0.194, abs=0.01)
    # The back fork is about twice the front's in both (college 0.11 : 0.045, Armstrong 5 : 2 3/8).
    assert all(1.5 < f.back_fork_ratio / f.front_fork_ratio < 2.5 for f in FITS)


@pytest.mark.parametrize("fit", FITS, ids=FIT_NAMES)
def test_the_handbooks_bands_before_any_tape(fit: Fit) -> None:
    """Bands over all handbooks: forks 0.14-0.21 of the hip, slope 7-15 degrees, lift 2-4 cm."""
    front, back, p = handbook_draft(fit)
    assert 0.14 <= p.front_fork + p.back_fork <= 0.21
    slope = math.degrees(math.atan2(back.start[0] - back.top[0], back.top[1] - back.start[1]))
    assert 7.0 <= slope <= 15.0
    assert 20.0 <= back.top[1] - front.top[1] <= 40.0


@pytest.mark.parametrize("hip", range(840, 1321, 60))
@pytest.mark.parametrize("build", BUILDS)
def test_the_handbooks_bands_over_sizes(build: Build, hip: int) -> None:
    """The same bands on solved drafts: a body that is measured at its girths alone, the crotch
    length being what such bodies have.
    """
    height, leg = (1660.0, 765.0) if build == "women" else (1780.0, 820.0)
    for waist in (0.72, 0.82, 0.95):
        body = Body(build=build, height=height, waist=hip * waist, hip=hip, inside_leg=leg)
        m = complete(body)
        for fit in FIT_NAMES:
            block = build_block(m, Fabric(stretch_across=0.5), Style(fit=fit))
            p = block.solution.params
            assert 0.14 <= p.front_fork + p.back_fork <= 0.21
            assert 7.0 <= math.degrees(math.atan(p.slant)) <= 15.0
            assert 20.0 <= p.back_raise - p.front_raise <= (40.0 if hip < 1140 else 45.0)
            hems = [math.dist(q.hem.start, q.hem.end) for q in (block.front, block.back)]
            # In large sizes the crotch line's own difference cannot all run out by the hem: the
            # two edges of a seam would lean apart by more than two and a half degrees.
            assert 20.0 <= hems[1] - hems[0] <= (40.0 if hip < 1140 else 61.0)
