"""The solved block: every seam condition met, nothing nearer to the handbook, and honest refusals.

Nothing here looks at incidental values; the conditions are measured with the geometry package's
arc length, not with the solver's own quadrature.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import NonlinearConstraint, lsq_linear, minimize

from outseam.curves.evaluate import points_at
from outseam.curves.length import length
from outseam.curves.path import path
from outseam.draft.block.block import Block, build_block
from outseam.draft.block.panels import Panel, floats
from outseam.draft.block.shape import (
    Frame,
    PanelShape,
    Params,
    back_shape,
    front_shape,
    side_cubic,
)
from outseam.draft.block.solve import (
    PRIORS,
    Solution,
    Target,
    _Conditions,
    prior_means,
    solve_block,
)
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.population import BUILDS, Build
from outseam.draft.fabric import Fabric
from outseam.draft.fits import FIT_NAMES, FITS, Fit
from outseam.draft.inputs.errors import InputError, UnsolvableError
from outseam.draft.legs import LEG_NAMES
from outseam.draft.model import Pattern
from outseam.draft.style import Style

People = Callable[..., tuple[Body, ...]]

KNIT = Fabric(stretch_across=0.5)
WOVEN = Fabric(kind="woven")
#: The seam that carries the band lies at the waist tape: nothing is taken off the top.
AT_TAPE = {"rise": 50.0, "band_height": 50.0}
SD = np.array([p.sd for p in PRIORS])
LOW, HIGH = np.array([[p.low, p.high] for p in PRIORS]).T
#: The checks allow 0.5 mm; the solver is a good deal better.
SEAM_MM = 0.02


def build(body: Body, fabric: Fabric = KNIT, **style: str | float | None) -> Block:
    return build_block(complete(body), fabric, Style(**{**AT_TAPE, **style}))  # type: ignore[arg-type]


def target_of(block: Block, body: Body) -> Target:
    """The conditions of a block whose seam lies at the tape, from its own records."""
    thigh = complete(body).thigh * (1.0 + block.ease.thigh_ratio)
    return Target(
        crotch_mm=block.crotch_target_mm,
        split_mm=block.crotch_split_target_mm,
        inseam_ease_mm=block.inseam_ease_mm,
        thigh_mm=thigh,
    )


def width_mm(panel: Panel) -> float:
    """Width of a panel at the level of its crotch point, from a thousand points a segment."""
    side = points_at(panel.outseam, np.linspace(0.0, len(panel.outseam), 1000 * len(panel.outseam)))
    return panel.point[0] - float(np.interp(-panel.point[1], -side[:, 1], side[:, 0]))


# Everybody is drafted -------------------------------------------------------------------------


@pytest.mark.parametrize("split", [False, True], ids=["whole", "halves"])
@pytest.mark.parametrize("who", BUILDS)
def test_everybody_is_drafted_and_every_seam_fits(
    make_people: People, who: Build, split: bool
) -> None:
    for body in make_people(who, 150, seed=7, split=split):
        m = complete(body)
        for fit in FITS:
            block = build(body, fit=fit.name)
            front, back = block.front, block.back
            crotch = length(front.crotch), length(back.crotch)
            assert sum(crotch) == pytest.approx(m.crotch_length + fit.crotch_ease_mm, abs=SEAM_MM)
            if split:
                half = fit.crotch_ease_mm / 2.0
                assert crotch[0] == pytest.approx(m.front_crotch_length + half, abs=SEAM_MM)
                assert crotch[1] == pytest.approx(m.back_crotch_length + half, abs=SEAM_MM)
            assert length(front.inseam) == pytest.approx(length(back.inseam), abs=SEAM_MM)
            assert length(front.outseam) == pytest.approx(length(back.outseam), abs=SEAM_MM)
            p = np.array(block.solution.params)
            assert (p >= LOW - 1e-9).all()
            assert (p <= HIGH + 1e-9).all()
            drawn = sum(width_mm(panel) for panel in (front, back))
            assert drawn >= m.thigh * (1.0 + block.ease.thigh_ratio) - SEAM_MM
            assert block.thigh_mm == pytest.approx(drawn, abs=SEAM_MM)
            assert block.hip_mm == pytest.approx(m.hip * (1.0 + block.ease.hip_ratio))
            # The curve of the crotch ends well below the top, or it could not be drawn at all.
            assert crotch[0] - front.curve_start_mm > 10.0
            assert crotch[1] - back.curve_start_mm > 10.0


def test_a_woven_back_inseam_is_shorter_by_what_is_stretched_on(make_people: People) -> None:
    """0.5-1 cm above the knee: common practice, no source."""
    for body in make_people("women", 20, seed=8):
        plain, asked = build(body, WOVEN, fit="loose"), build(body, WOVEN, inseam_easing=8.0)
        shorter = length(plain.front.inseam) - length(plain.back.inseam)
        assert 4.98 <= shorter <= 10.02
        shorter = length(asked.front.inseam) - length(asked.back.inseam)
        assert shorter == pytest.approx(8.0, abs=SEAM_MM)
        # Only between knee and crotch: below, the two panels are congruent halves.
        assert length(plain.front.outseam) == pytest.approx(length(plain.back.outseam), abs=SEAM_MM)


@pytest.mark.parametrize("rise", [53.975, np.nextafter(53.975, 0.0), 53.9749, 53.9751])
def test_a_rise_of_just_the_bands_height_is_drafted(
    make_pattern: Callable[..., Pattern], measured: Body, rise: float
) -> None:
    """2 1/8 in is the height of the band over a 2 in elastic: nothing, or a rounding error, is
    taken off the top or added to it. That once left a seam that ended in a point.
    """
    pattern = make_pattern(rise=float(rise))
    block = pattern.block
    drawn = length(block.front.crotch), length(block.back.crotch)
    assert sum(drawn) == pytest.approx(measured.crotch_length + 15.0, abs=SEAM_MM)
    assert [f.check for f in pattern.findings if f.level != "pass"] == []


def test_drafts_depend_on_nothing_but_their_input(measured: Body) -> None:
    one, _, two = build(measured), build(measured, fit="loose", leg="flare"), build(measured)
    assert one.solution == two.solution
    assert np.array_equal(one.back.crotch.cubics, two.back.crotch.cubics)


def test_the_solution_says_how_far_it_moved(measured: Body) -> None:
    s = build(measured, fit="loose").solution
    fit = next(f for f in FITS if f.name == "loose")
    assert s.means[:3] == (fit.drop_mm, fit.front_fork_ratio, fit.back_fork_ratio)
    assert np.allclose((np.array(s.params) - np.array(s.means)) / SD, s.moved_sd)


# The draft that departs least -----------------------------------------------------------------


def seams(shape: PanelShape) -> tuple[float, float]:
    """Centre seam and first part of the inseam of a panel, by the geometry package."""
    straight = np.hypot(shape.start[0] - shape.top[0], shape.start[1] - shape.top[1])
    curve = [floats(q) for q in (shape.start, shape.handle_1, shape.handle_2, shape.point)]
    side = [floats(q) for q in (shape.point, shape.inseam_1, shape.inseam_2, shape.station)]
    return float(straight) + length(path([curve]), 1e-9), length(path([side]), 1e-9)


def misses(z: np.ndarray, frame: Frame, fit: Fit, target: Target) -> np.ndarray:
    """How far the drawn seams are from their target, cm, for proportions `z` sd off the means."""
    p = Params(*(prior_means(fit) + SD * z))
    front, front_in = seams(front_shape(frame, p))
    back, back_in = seams(back_shape(frame, p))
    inseam = front_in - back_in - target.inseam_ease_mm
    if target.split_mm is None:
        return np.array([front + back - target.crotch_mm, inseam]) / 10.0
    return np.array([front - target.split_mm[0], back - target.split_mm[1], inseam]) / 10.0


def spare_thigh(z: np.ndarray, frame: Frame, fit: Fit, target: Target) -> float:
    """Girth drawn at the crotch points beyond the least, cm, by the roots of the side's cubics."""
    p = Params(*(prior_means(fit) + SD * z))
    drawn = 0.0
    for shape, back in ((front_shape(frame, p), False), (back_shape(frame, p), True)):
        q = np.array([floats(c) for c in side_cubic(frame, p, shape, back=back)])
        powers = np.array([[-1, 3, -3, 1], [3, -6, 3, 0], [-3, 3, 0, 0], [1, 0, 0, 0]]) @ q
        roots = np.roots(powers[:, 1] - (0.0, 0.0, 0.0, float(shape.point[1])))
        (t,) = [float(r.real) for r in roots if abs(r.imag) < 1e-9 and 0.0 <= r.real <= 1.0]
        drawn += float(shape.point[0]) - float(np.polyval(powers[:, 0], t))
    return (drawn - target.thigh_mm) / 10.0


def conditions_at(z: np.ndarray, frame: Frame, fit: Fit, target: Target) -> np.ndarray:
    """All conditions, cm, the thigh's last: the rest must be zero, that not negative."""
    return np.append(misses(z, frame, fit, target), spare_thigh(z, frame, fit, target))


def slopes(function: Callable[[np.ndarray], np.ndarray], z: np.ndarray) -> np.ndarray:
    """Central differences, shape (m, n)."""
    h = 1e-4
    return np.stack([(function(z + e) - function(z - e)) / (2 * h) for e in h * np.eye(9)], axis=-1)


def worst_kkt(block: Block, body: Body) -> float:
    """How far the gradient of the objective is from a lawful combination of the constraints'.

    Karush, Kuhn and Tucker: at a minimum of z.z / 2 the gradient z is a combination of the
    gradients of the equalities (any sign), of the thigh where it just fits and of the limits that
    are reached (pushing inward only).
    """
    fit, frame, target = block.ease.fit, block.frame, target_of(block, body)
    z = np.array(block.solution.moved_sd)
    p = np.array(block.solution.params)
    columns = list(slopes(lambda v: misses(v, frame, fit, target), z))
    signs = [-np.inf] * len(columns)
    if spare_thigh(z, frame, fit, target) < 1e-5:
        columns.append(slopes(lambda v: conditions_at(v, frame, fit, target), z)[-1])
        signs.append(0.0)
    for i in range(9):
        for at_limit, inward in ((LOW[i], 1.0), (HIGH[i], -1.0)):
            if abs(p[i] - at_limit) < 1e-6 * SD[i]:
                columns.append(inward * np.eye(9)[i])
                signs.append(0.0)
    fitted = lsq_linear(np.array(columns).T, z, bounds=(signs, np.inf))
    return float(np.abs(fitted.fun).max())


@pytest.mark.parametrize("split", [False, True], ids=["whole", "halves"])
def test_nothing_nearer_to_the_handbook_fits(make_people: People, split: bool) -> None:
    for who in BUILDS:
        for i, body in enumerate(make_people(who, 9, seed=21, split=split)):
            block = build(body, fit=FIT_NAMES[i % len(FIT_NAMES)])
            assert worst_kkt(block, body) < 2e-3


@pytest.mark.parametrize(
    ("change", "binds"),
    [
        ({"thigh": 790.0}, "thigh"),
        (
            {"crotch_length": 1060.0, "front_crotch_length": None, "back_crotch_length": None},
            "limit",
        ),
    ],
)
def test_nothing_nearer_fits_where_a_limit_binds(
    measured: Body, change: dict[str, float | None], binds: str
) -> None:
    body = replace(measured, **change)
    block = build(body)
    p = np.array(block.solution.params)
    z = np.array(block.solution.moved_sd)
    if binds == "thigh":
        target = target_of(block, body)
        assert abs(spare_thigh(z, block.frame, block.ease.fit, target)) < 1e-5
    else:
        assert (np.minimum(abs(p - LOW), abs(p - HIGH)) < 1e-6 * SD).any()
    assert worst_kkt(block, body) < 2e-3


def test_the_kkt_check_can_fail(measured: Body) -> None:
    """Another draft that fits the tape as well, but lies farther from the handbook."""
    block = build(measured)
    frame, fit, target = block.frame, block.ease.fit, target_of(block, measured)
    z = np.array(block.solution.moved_sd)
    z[7] += 0.5
    for _ in range(8):  # back onto the conditions, leaving the back fullness where it was put
        jacobian = slopes(lambda v: misses(v, frame, fit, target), z)
        jacobian[:, 7] = 0.0
        z -= np.linalg.pinv(jacobian) @ misses(z, frame, fit, target)
    assert np.abs(misses(z, frame, fit, target)).max() < 1e-6
    moved = Solution(
        params=Params(*(prior_means(fit) + SD * z)),
        means=block.solution.means,
        moved_sd=Params(*z),
    )
    assert worst_kkt(replace(block, solution=moved), measured) > 0.05


@pytest.mark.parametrize(("who", "split"), [("women", False), ("men", True)])
def test_another_solver_finds_the_same(make_people: People, who: Build, split: bool) -> None:
    """scipy's trust-region interior-point method, with derivatives by differences."""
    body = make_people(who, 3, seed=33, split=split)[2]
    block = build(body)
    frame, fit, target = block.frame, block.ease.fit, target_of(block, body)
    found = minimize(
        lambda z: 0.5 * float(z @ z),
        np.full(9, 0.05),
        jac=lambda z: z,
        hess=lambda z: np.eye(9),
        method="trust-constr",
        constraints=[
            NonlinearConstraint(
                lambda z: misses(z, frame, fit, target),
                0.0,
                0.0,
                jac=lambda z: slopes(lambda v: misses(v, frame, fit, target), z),
            ),
            NonlinearConstraint(
                lambda z: spare_thigh(z, frame, fit, target),
                0.0,
                np.inf,
                jac=lambda z: slopes(lambda v: conditions_at(v, frame, fit, target), z)[-1:],
            ),
        ],
        options={"gtol": 1e-7, "xtol": 1e-10, "maxiter": 300},
    )
    z = np.array(block.solution.moved_sd)
    assert found.constr_violation < 1e-5
    assert 0.5 * float(z @ z) == pytest.approx(found.fun, rel=1e-4, abs=1e-4)
    assert np.abs(found.x - z).max() < 0.01


def test_no_other_start_ends_nearer(make_people: People) -> None:
    rng = np.random.default_rng(4)
    for body in (*make_people("women", 4, seed=5), *make_people("men", 4, seed=5, split=True)):
        block = build(body)
        target, best = target_of(block, body), np.square(block.solution.moved_sd).sum()
        ends = []
        for _ in range(4):
            p = np.clip(np.array(block.solution.means) + 1.5 * SD * rng.normal(size=9), LOW, HIGH)
            start = replace(block.solution, params=Params(*p))
            end = solve_block(block.frame, block.ease.fit, target, start)
            ends.append(np.square(end.moved_sd).sum())
        assert min(ends) > best - 1e-4 * (1.0 + best)


@pytest.mark.parametrize("split", [False, True], ids=["whole", "halves"])
def test_derivatives_are_exact(make_people: People, split: bool) -> None:
    rng = np.random.default_rng(2)
    for body in make_people("women", 3, seed=2, split=split):
        block = build(body)
        fit, target = block.ease.fit, target_of(block, body)
        conditions = _Conditions(block.frame, target, prior_means(fit))
        for _ in range(3):
            z = np.array(block.solution.moved_sd) + rng.normal(scale=0.3, size=9)
            value, jacobian = conditions.at(z)
            # The solver's quadrature against the geometry package's, in cm.
            frame = block.frame
            assert np.abs(value - conditions_at(z, frame, fit, target)).max() < 1e-6
            measured = slopes(lambda v: conditions_at(v, frame, fit, target), z)  # noqa: B023
            assert np.abs(jacobian - measured).max() < 1e-6 * np.abs(jacobian).max()


# Measures that do not go together -------------------------------------------------------------


#: The measured woman without the split, so that a wrong whole is not noticed before the draft.
def without_halves(body: Body, **change: float | None) -> Body:
    return replace(body, **{"front_crotch_length": None, "back_crotch_length": None, **change})


@pytest.mark.parametrize(
    ("change", "name", "more"),
    [
        ({"crotch_length": 425.0}, "crotch_length", "longer"),
        ({"crotch_length": 1250.0}, "crotch_length", "shorter"),
        (
            {"crotch_length": 545.0, "front_crotch_length": 170.0, "back_crotch_length": 375.0},
            "front_crotch_length",
            "longer",
        ),
        (
            {"crotch_length": 1055.0, "front_crotch_length": 305.0, "back_crotch_length": 750.0},
            "back_crotch_length",
            "shorter",
        ),
        ({"thigh": 1000.0}, "thigh", "smaller"),
    ],
)
def test_a_contradiction_names_the_measurement(
    measured: Body, change: dict[str, float], name: str, more: str
) -> None:
    with pytest.raises(UnsolvableError) as error:
        build(without_halves(measured, **change))
    assert error.value.measurement == name
    assert f"body.{name}" in str(error.value)
    assert more in error.value.hint
    assert abs(error.value.residual_mm) > 5.0


HINT = re.compile(r"([\d.]+) cm (longer|shorter|smaller)(?: \((\w+)\))?")


@pytest.mark.parametrize(
    ("fit", "change"),
    [
        ("easy", {"crotch_length": 425.0}),
        ("close", {"crotch_length": 1250.0}),
        ("easy", {"thigh": 1000.0}),
        ("loose", {"thigh": 1100.0}),
        ("easy", {"front_crotch_length": 170.0, "back_crotch_length": 375.0}),
        ("easy", {"front_crotch_length": 305.0, "back_crotch_length": 750.0}),
        ("easy", {"front_crotch_length": 560.0, "back_crotch_length": 200.0}),
    ],
)
def test_the_value_that_is_suggested_drafts(
    measured: Body, fit: str, change: dict[str, float]
) -> None:
    if "front_crotch_length" in change:
        change = {**change, "crotch_length": sum(change.values())}
    with pytest.raises(UnsolvableError) as refused:
        build(without_halves(measured, **change), fit=fit)
    error = refused.value
    found = HINT.findall(error.hint)
    assert found
    mended = dict(change)
    for amount, more, name in found:
        key = name or error.measurement
        mended[key] += 10.0 * float(amount) * (1.0 if more == "longer" else -1.0)
    if "front_crotch_length" in change:
        mended["crotch_length"] = mended["front_crotch_length"] + mended["back_crotch_length"]
    build(without_halves(measured, **mended), fit=fit)


# An inseam that was asked for -----------------------------------------------------------------


@pytest.mark.parametrize("leg", LEG_NAMES)
def test_an_inseam_is_met(measured: Body, leg: str) -> None:
    for inseam in (110.0, 255.0, 300.0, 330.0, 395.0, 480.0, 640.0, 723.0, 745.0):
        block = build(measured, leg=leg, inseam=inseam)
        assert length(block.front.inseam) == pytest.approx(inseam, abs=0.05)
        assert length(block.back.inseam) == pytest.approx(inseam, abs=0.05)


def test_an_inseam_is_met_in_every_fit_and_on_other_bodies(make_people: People) -> None:
    for i, body in enumerate(make_people("men", 12, seed=14)):
        inseam = 200.0 + 45.0 * i
        block = build(body, fit=FIT_NAMES[i % 3], inseam=inseam, hem_width=480.0)
        assert length(block.front.inseam) == pytest.approx(inseam, abs=0.05)


def test_an_inseam_without_a_leg_is_refused(measured: Body) -> None:
    with pytest.raises(InputError) as error:
        build(measured, inseam=50.0)
    assert error.value.field == "style.inseam"
    for leg in LEG_NAMES:
        block = build(measured, leg=leg, inseam=100.0)
        assert length(block.front.inseam) == pytest.approx(100.0, abs=0.05)


@pytest.mark.parametrize("hem", [300.0, 440.0, 600.0, None])
@pytest.mark.parametrize("leg", LEG_NAMES)
def test_an_inseam_that_ends_near_the_knee_is_met(
    measured: Body, leg: str, hem: float | None
) -> None:
    """Where a hem comes near the knee or the calf the leg changes its shape from one height to the
    next, and the search for the inseam once stepped to and fro across the jump.
    """
    for inseam in (345.0, 350.0, 355.0, 365.0, 395.0, 480.0):
        block = build(measured, leg=leg, hem_width=hem, inseam=inseam)
        assert length(block.front.inseam) == pytest.approx(inseam, abs=0.05)
        assert length(block.back.inseam) == pytest.approx(inseam, abs=0.05)


@pytest.mark.parametrize(
    ("leg", "hem", "inseam"),
    [("slim", 300.0, 475.0), ("straight", 300.0, 355.0), ("bootcut", 600.0, 395.0)],
)
def test_inseam_and_hem_are_met_together_near_the_knee(
    measured: Body, leg: str, hem: float, inseam: float
) -> None:
    block = build(measured, leg=leg, hem_width=hem, inseam=inseam)
    assert length(block.front.hem) + length(block.back.hem) == pytest.approx(hem, abs=1.0)
