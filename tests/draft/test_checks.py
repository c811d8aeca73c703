"""Negative controls: a good pattern, damaged a little in one way, is caught by just that check.

Each damage takes its size. Just beyond the tolerance exactly one check reports it, at the right
place and with the size that was put in; just within, none does.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import brentq
from shapely import LineString

from outseam.curves.length import length
from outseam.curves.offset import offset
from outseam.curves.path import Path, cubic, join, line, path, polyline
from outseam.curves.region import polygon
from outseam.curves.split import extend, subpath
from outseam.draft.block.profile import leg_widths, profile_of
from outseam.draft.body.estimate import Body, complete
from outseam.draft.body.girths import girth_at
from outseam.draft.body.limb import ANKLE_OF_KNEE, CALF_OF_KNEE
from outseam.draft.body.slips import weigh
from outseam.draft.checks import CHECKS, run_checks
from outseam.draft.checks.corners import check_joints
from outseam.draft.checks.curvature import bend_both_ways, check_curvature
from outseam.draft.checks.floor import check_floor, hem_clearance_mm
from outseam.draft.checks.outlines import allowance_errors_mm
from outseam.draft.checks.seams import check_seams
from outseam.draft.checks.strain import check_strain, leg_name, levels
from outseam.draft.checks.verdict import at_least, at_most, equal
from outseam.draft.fabric import Fabric
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.words import in_units
from outseam.draft.model import Pattern
from outseam.draft.piece.allowance import cut_edges
from outseam.draft.piece.divided_edge import edge_length
from outseam.draft.piece.piece import Edge, Finding, Piece
from outseam.draft.piece.ruler import x_at

Make = Callable[..., Pattern]

#: Checks of pockets and belts have their negative controls beside the tests of those features,
#: that of legs which differ beside theirs, that of the hem along a border beside the straight hem.
ELSEWHERE = {
    "outseam.draft.checks.pocket",
    "outseam.draft.checks.belt",
    "outseam.draft.checks.centre",
    "outseam.draft.checks.hem",
}


@pytest.fixture(scope="module")
def good(make_pattern: Make) -> Pattern:
    return make_pattern(fit="easy", leg="straight", rise="mid", band="folded")


def failing(pattern: Pattern) -> dict[str, list[Finding]]:
    """What each check has to say that is not a pass, by the check's name."""
    found = {c.__name__: [f for f in c(pattern) if f.level != "pass"] for c in CHECKS}
    return {name: findings for name, findings in found.items() if findings}


# Tools for damage ------------------------------------------------------------------------------


def with_piece(pattern: Pattern, piece: Piece) -> Pattern:
    pieces = tuple(piece if p.name == piece.name else p for p in pattern.pieces)
    return replace(pattern, pieces=pieces)


def redrawn(piece: Piece, *, cut: bool = True, **paths: Path) -> Piece:
    """The piece with some sewing lines changed, and the cutting line drawn anew round them."""
    edges = tuple(replace(e, path=paths.get(e.name, e.path)) for e in piece.edges)
    return replace(piece, edges=edges, cut=cut_edges(edges) if cut else piece.cut)


def bulged(whole: Path, segment: int, by_mm: float) -> Path:
    """A path pushed `by_mm` sideways in the middle of one segment; its ends stay as they are."""
    c = whole.cubics
    halves = join(
        [subpath(whole, segment, segment + 0.5), subpath(whole, segment + 0.5, segment + 1)]
    )
    h = np.array(halves.cubics)
    along = h[1, 3] - h[0, 0]
    push = by_mm * np.array([-along[1], along[0]]) / np.hypot(*along)
    for i, j in ((0, 2), (0, 3), (1, 0), (1, 1)):
        h[i, j] += push
    return path(np.concatenate([c[:segment], h, c[segment + 1 :]]))


def lengthened(whole: Path, segment: int, by_mm: float) -> Path:
    """A path made longer by a bulge in one segment."""
    side = (
        1.0 if length(bulged(whole, segment, 3.0)) > length(bulged(whole, segment, -3.0)) else -1.0
    )

    def miss(push: float) -> float:
        return length(bulged(whole, segment, side * push), 1e-7) - length(whole, 1e-7) - by_mm

    return bulged(whole, segment, side * brentq(miss, 0.0, 60.0))


def tilted(whole: Path, at: float, degrees: float) -> Path:
    """A path whose handle after (or, at the end, before) a joint is turned about that joint."""
    c = np.array(whole.cubics)
    last = at == len(c)
    i, joint, handle = (-1, 3, 2) if last else (int(at), 0, 1)
    a = math.radians(degrees)
    turn = np.array([[math.cos(a), -math.sin(a)], [math.sin(a), math.cos(a)]])
    c[i, handle] = c[i, joint] + turn @ (c[i, handle] - c[i, joint])
    return path(c)


def looped(whole: Path) -> Path:
    """A straight path that runs once round a circle of 0.03 mm on its way."""
    r, k = 0.03, 0.03 * 0.5522847498
    (x, y), (ux, uy) = subpath(whole, 0.0, 0.5).end, whole.start_direction
    circle = [
        [(0, 0), (k, 0), (r, r - k), (r, r)],
        [(r, r), (r, r + k), (k, 2 * r), (0, 2 * r)],
        [(0, 2 * r), (-k, 2 * r), (-r, r + k), (-r, r)],
        [(-r, r), (-r, r - k), (-k, 0), (0, 0)],
    ]
    loop = path(circle).mapped(ux, uy, -uy, ux, x, y)
    return join([subpath(whole, 0.0, 0.5), loop, subpath(whole, 0.5, 1.0)])


def with_block(pattern: Pattern, **change: Any) -> Pattern:
    return replace(pattern, block=replace(pattern.block, **change))


def with_ease(pattern: Pattern, **change: float) -> Pattern:
    return with_block(pattern, ease=replace(pattern.block.ease, **change))


def with_hems(pattern: Pattern, change: Callable[[Path], Path]) -> Pattern:
    front, back = pattern.block.front, pattern.block.back
    return with_block(
        pattern,
        front=replace(front, hem=change(front.hem)),
        back=replace(back, hem=change(back.hem)),
    )


# One way of damage a function ------------------------------------------------------------------


def longer_outseam(p: Pattern, by_mm: float) -> Pattern:
    """The front's side goes on straight at the top; its notches stay where they are."""
    piece = p.piece("front")
    moved = tuple(
        replace(n, at_mm=n.at_mm + by_mm) if n.edge == "outseam" else n for n in piece.notches
    )
    side, waist = piece.edge("outseam").path, np.array(piece.edge("waist").path.cubics)
    waist[-1, 2:] -= by_mm * np.array(side.start_direction)
    drawn = redrawn(piece, outseam=extend(side, by_mm, 0.0), waist=path(waist))
    return with_piece(p, replace(drawn, notches=moved))


def longer_inseam(p: Pattern, by_mm: float) -> Pattern:
    piece = p.piece("back")
    inseam = piece.edge("inseam").path
    return with_piece(p, redrawn(piece, inseam=lengthened(inseam, len(inseam) - 1, by_mm)))


def wider_band_piece(p: Pattern, by_mm: float) -> Pattern:
    """The band's piece is cut longer than planned."""
    piece = p.piece("back_band")
    w = length(piece.edge("lower").path)
    scale = (w + by_mm) / w
    edges = tuple(replace(e, path=e.path.mapped(scale, 0, 0, 1)) for e in piece.edges)
    return with_piece(p, replace(piece, edges=edges, cut=cut_edges(edges)))


def shifted_notch(p: Pattern, by_mm: float) -> Pattern:
    piece = p.piece("back")
    notches = tuple(
        replace(n, at_mm=n.at_mm + by_mm) if (n.edge, n.role) == ("inseam", "knee") else n
        for n in piece.notches
    )
    return with_piece(p, replace(piece, notches=notches))


def longer_crotch(p: Pattern, by_mm: float) -> Pattern:
    """The front's crotch seam goes on straight at the top, and the waist edge with it."""
    piece = p.piece("front")
    crotch, waist = piece.edge("crotch").path, np.array(piece.edge("waist").path.cubics)
    waist[0, :2] += by_mm * np.array(crotch.end_direction)
    return with_piece(p, redrawn(piece, crotch=extend(crotch, 0.0, by_mm), waist=path(waist)))


def tilt(side: str, edge: str, *, end: bool) -> Callable[[Pattern, float], Pattern]:
    def damage(p: Pattern, degrees: float) -> Pattern:
        piece = p.piece(side)
        whole = piece.edge(edge).path
        return with_piece(
            p, redrawn(piece, **{edge: tilted(whole, len(whole) if end else 0, degrees)})
        )

    return damage


def bent_joint(p: Pattern, degrees: float) -> Pattern:
    piece = p.piece("front")
    outseam = piece.edge("outseam").path
    return with_piece(p, redrawn(piece, outseam=tilted(outseam, len(outseam) - 1, degrees)))


def reversed_piece(p: Pattern, _: float) -> Pattern:
    """Drawn as seen from the other side, so that it runs clockwise."""
    piece = p.piece("front_band")
    edges = tuple(replace(e, path=e.path.mapped(-1, 0, 0, 1)) for e in piece.edges)
    cut = tuple(c.mapped(-1, 0, 0, 1) for c in piece.cut)
    return with_piece(p, replace(piece, edges=edges, cut=cut))


def looped_sewing(p: Pattern, _: float) -> Pattern:
    piece = p.piece("front_band")
    upper = piece.edge("upper").path
    return with_piece(p, redrawn(piece, cut=False, upper=looped(upper)))


def looped_cutting(p: Pattern, _: float) -> Pattern:
    piece = p.piece("back_band")
    return with_piece(p, replace(piece, cut=(looped(piece.cut[0]), *piece.cut[1:])))


def cut_inward(p: Pattern, by_mm: float) -> Pattern:
    piece = p.piece("front")
    edges = tuple(
        replace(e, allowance_mm=e.allowance_mm - by_mm) if e.name == "inseam" else e
        for e in piece.edges
    )
    return with_piece(p, replace(piece, cut=cut_edges(edges)))


def cut_on_the_wrong_side(p: Pattern, _: float) -> Pattern:
    piece = p.piece("front_band")
    edges: tuple[Edge, ...] = tuple(replace(e, allowance_mm=-e.allowance_mm) for e in piece.edges)
    return with_piece(p, replace(piece, cut=cut_edges(edges)))


def band_over_edge(p: Pattern, ratio: float) -> Pattern:
    edge = 2.0 * (length(p.block.front.waist) + length(p.block.back.waist))
    # In a fabric that stretches enough for the hip, over an elastic that goes with the band.
    girth = edge * ratio
    return replace(
        with_ease(p, pull_strain=1.0, wear_strain=0.5),
        band=replace(p.band, girth_mm=girth, elastic_mm=min(girth, p.band.elastic_mm or girth)),
    )


def elastic_of(share: Callable[[Pattern], float]) -> Callable[[Pattern, float], Pattern]:
    def damage(p: Pattern, ratio: float) -> Pattern:
        return replace(p, band=replace(p.band, elastic_mm=share(p) * ratio))

    return damage


def less_pull(p: Pattern, strain: float) -> Pattern:
    return with_ease(p, pull_strain=strain)


def narrower_hem(p: Pattern, ratio: float) -> Pattern:
    return with_hems(p, lambda hem: hem.mapped(ratio, 0, 0, 1))


def less_wear(p: Pattern, below: float) -> Pattern:
    """A fabric that wears well to `below` less than the waistband strains it."""
    return with_ease(
        p, wear_strain=next(x.strain for x in levels(p) if x.name == "waistband") - below
    )


def stouter_leg(p: Pattern, strain: float) -> Pattern:
    """A leg so much stouter that at its tightest place the fabric is stretched by `strain`."""
    found, times = p, 1.0
    for _ in range(30):
        girths = {k: times * getattr(p.measures, k) for k in ("thigh", "knee", "calf", "ankle")}
        found = replace(p, measures=replace(p.measures, **girths))
        profile = profile_of(found.block, found.measures)
        times *= (1.0 + strain) / (1.0 + float(profile.strain[profile.legs].max()))
    return found


def wavy_crotch(p: Pattern, by_mm: float) -> Pattern:
    """A wave in the straight part of the back seam."""
    piece = p.piece("back")
    return with_piece(p, redrawn(piece, crotch=bulged(piece.edge("crotch").path, 1, by_mm)))


def lower_hem(p: Pattern, by_mm: float) -> Pattern:
    return with_hems(p, lambda hem: hem.moved(0.0, -by_mm))


def raised(p: Pattern, by_mm: float) -> Pattern:
    return with_block(p, rise_raised_mm=by_mm)


def slipped_tape(p: Pattern, by_mm: float) -> Pattern:
    calf = p.measures.calf + by_mm
    return replace(p, spec=replace(p.spec, body=replace(p.spec.body, calf=calf)))


# What was measured of them ---------------------------------------------------------------------


def difference(f: Finding) -> float:
    return abs(f.measured - f.expected)


def value(f: Finding) -> float:
    return f.measured


@dataclass(frozen=True, kw_only=True)
class Case:
    """A damage, the check that must see it and where, its size beyond and within the tolerance.

    `says` reads the size back out of the finding, for comparison with what `expects` makes of the
    size put in; `within` None where there is no smaller size of it.
    """

    damage: Callable[[Pattern, float], Pattern]
    check: str
    where: tuple[str, ...]
    beyond: float
    within: float | None
    says: Callable[[Finding], float] = difference
    expects: Callable[[Pattern, float], float] = lambda _, size: size
    tolerance: float = 0.02
    level: str = "error"


def band_strain(p: Pattern, _: float) -> float:
    m, block = p.measures, p.block
    middle = m.waist_height + block.rise.side_mm - block.band_height_mm / 2.0
    return girth_at(m, middle) / p.band.girth_mm - 1.0


def closer_meant(p: Pattern, ratio: float) -> Pattern:
    """The fit was meant to be so much closer at the hip than what was drawn."""
    return with_ease(p, hip_ratio=ratio)


def clearance(p: Pattern, by_mm: float) -> float:
    ends = [p.block.front.hem.start[1], p.block.back.hem.start[1]]
    return p.block.crotch_line_height_mm + min(ends) - by_mm


def calf_score(p: Pattern, by_mm: float) -> float:
    assert p.spec.body.calf is not None
    body = replace(p.spec.body, calf=p.spec.body.calf + by_mm)
    return math.exp(min(weigh(body).odds, math.log(1e6)))


CASES = {
    "outseam longer": Case(
        damage=longer_outseam,
        check="check_seams",
        where=("outseam, hem to knee",),
        beyond=0.6,
        within=0.4,
    ),
    "inseam longer": Case(
        damage=longer_inseam,
        check="check_seams",
        where=("inseam, knee to crotch point",),
        beyond=0.6,
        within=0.4,
    ),
    "band piece longer": Case(
        damage=wider_band_piece,
        check="check_seams",
        where=("waist, back",),
        beyond=0.6,
        within=0.4,
    ),
    "notch shifted": Case(
        damage=shifted_notch,
        check="check_notches",
        where=("inseam, knee",),
        beyond=0.6,
        within=0.4,
    ),
    "crotch seam longer": Case(
        damage=longer_crotch,
        check="check_crotch",
        where=("front and back", "front"),
        beyond=1.0,
        within=0.45,
    ),
    "centre front tilted": Case(
        damage=tilt("front", "waist", end=False),
        check="check_corners",
        where=("centre front at the waist",),
        beyond=2.0,
        within=0.9,
    ),
    "centre back tilted": Case(
        damage=tilt("back", "waist", end=False),
        check="check_corners",
        where=("centre back at the waist",),
        beyond=-2.0,
        within=-0.9,
        expects=lambda _, size: -size,
    ),
    "side tilted at the waist": Case(
        damage=tilt("front", "waist", end=True),
        check="check_corners",
        where=("side at the waist",),
        beyond=2.0,
        within=0.9,
    ),
    "outseam tilted at the hem": Case(
        damage=tilt("front", "outseam", end=True),
        check="check_corners",
        where=("outseam at the hem",),
        beyond=2.0,
        within=0.9,
    ),
    "inseam tilted at the hem": Case(
        damage=tilt("back", "inseam", end=False),
        check="check_corners",
        where=("inseam at the hem",),
        beyond=2.0,
        within=0.9,
    ),
    "inseam tilted at the crotch": Case(
        damage=tilt("front", "inseam", end=True),
        check="check_corners",
        where=("crotch point",),
        beyond=2.0,
        within=0.9,
    ),
    "corner inside an edge": Case(
        damage=bent_joint,
        check="check_joints",
        where=("front",),
        beyond=2.0,
        within=0.9,
        says=value,
    ),
    "outline the wrong way round": Case(
        damage=reversed_piece,
        check="check_outlines",
        where=("front_band, sewing line", "front_band, cutting line"),
        beyond=1.0,
        within=None,
    ),
    "sewing line crosses itself": Case(
        damage=looped_sewing,
        check="check_outlines",
        where=("front_band, sewing line",),
        beyond=1.0,
        within=None,
    ),
    "cutting line crosses itself": Case(
        damage=looped_cutting,
        check="check_outlines",
        where=("back_band, cutting line",),
        beyond=1.0,
        within=None,
    ),
    "cut too near": Case(
        damage=cut_inward,
        check="check_allowances",
        where=("front",),
        beyond=0.2,
        within=0.07,
        says=value,
        tolerance=0.025,
    ),
    "cut on the wrong side": Case(
        damage=cut_on_the_wrong_side,
        check="check_allowances",
        where=("front_band, cut outside",),
        beyond=1.0,
        within=None,
        says=value,
        # The corner of the sewing line lies beyond the cut one by the diagonal of the allowance.
        expects=lambda p, _: p.spec.style.seam_allowance * math.sqrt(2.0),
        tolerance=0.05,
    ),
    "band longer than its edge": Case(
        damage=band_over_edge,
        check="check_band",
        where=("band over edge",),
        beyond=1.001,
        within=1.0,
        says=value,
        tolerance=1e-6,
    ),
    "band much shorter than its edge": Case(
        damage=band_over_edge,
        check="check_band",
        where=("band over edge, least",),
        beyond=0.77,
        within=0.785,
        says=value,
        tolerance=1e-6,
        level="note",
    ),
    "elastic longer than its band": Case(
        damage=elastic_of(lambda p: p.band.girth_mm),
        check="check_band",
        where=("elastic",),
        beyond=1.06,
        within=1.04,
        says=lambda f: f.measured / (f.expected / 1.05),
        tolerance=1e-6,
        level="warning",
    ),
    "elastic much shorter than the hip": Case(
        damage=elastic_of(lambda p: p.measures.hip),
        check="check_pull_on",
        where=("elastic",),
        beyond=1.0 / 2.03,
        within=1.0 / 1.98,
        says=value,
        expects=lambda *_: 1.03,
        tolerance=1e-6,
        level="warning",
    ),
    "fabric gives less for the hip": Case(
        damage=less_pull,
        check="check_pull_on",
        where=("waistband",),
        beyond=0.17,
        within=0.19,
        says=value,
        expects=lambda p, strain: p.band.girth_mm * (1.0 + strain),
        level="warning",
    ),
    "hem narrower than the foot": Case(
        damage=narrower_hem,
        check="check_foot",
        where=("hem",),
        beyond=0.52,
        within=0.56,
        says=value,
        # The hem of a straight leg hardly bends: its chord, scaled and stretched.
        expects=lambda p, ratio: (
            p.block.stations[-1].girth_mm * ratio * (1.0 + p.block.ease.pull_strain)
        ),
        tolerance=0.2,
        level="warning",
    ),
    "fabric wears less well": Case(
        damage=less_wear,
        check="check_strain",
        where=("waistband",),
        beyond=0.003,
        within=0.001,
        says=value,
        expects=band_strain,
        tolerance=1e-6,
        level="warning",
    ),
    "leg too narrow": Case(
        damage=stouter_leg,
        check="check_strain",
        where=("thigh (73 cm above the floor)",),
        beyond=0.26,
        within=0.245,
        says=value,
        tolerance=1e-6,
        level="warning",
    ),
    "hip looser than the fit": Case(
        damage=closer_meant,
        check="check_ease",
        where=("hip", "thigh"),
        beyond=-0.30,
        within=-0.04,
        says=lambda f: float(f.measured > f.expected),
        expects=lambda p, ratio: 1.0,
        level="note",
    ),
    "crotch curve waves": Case(
        damage=wavy_crotch,
        check="check_curvature",
        where=("back crotch",),
        beyond=0.5,
        within=0.01,
        expects=lambda *_: 1.0,
        level="warning",
    ),
    "hem on the floor": Case(
        damage=lower_hem,
        check="check_floor",
        where=("hem",),
        beyond=20.0,
        within=15.0,
        says=value,
        expects=clearance,
        tolerance=0.2,
        level="warning",
    ),
    "top above its rise": Case(
        damage=raised,
        check="check_rise",
        where=("top edge",),
        beyond=1.5,
        within=0.9,
        says=value,
        level="note",
    ),
    "tape slipped": Case(
        damage=slipped_tape,
        check="check_tape",
        where=("calf",),
        beyond=110.0,
        within=20.0,
        says=value,
        expects=calf_score,
        tolerance=1e-6,
        level="warning",
    ),
}


def test_the_good_pattern_passes_every_check(good: Pattern) -> None:
    assert failing(good) == {}
    assert good.findings == run_checks(good)
    (tape,) = [f for f in good.findings if f.check == "tape"]
    assert (tape.says, tape.about) == ("every measurement goes with the others", ())
    for check in CHECKS:
        if check.__module__ not in ELSEWHERE:
            assert list(check(good)), f"{check.__name__} looked at nothing"


@pytest.mark.parametrize("name", CASES)
def test_damage_is_caught_by_its_check_and_no_other(good: Pattern, name: str) -> None:
    case = CASES[name]
    found = failing(case.damage(good, case.beyond))
    assert set(found) == {case.check}
    findings = found[case.check]
    assert tuple(f.where for f in findings) == case.where
    assert {f.level for f in findings} == {case.level}
    wanted = case.expects(good, case.beyond)
    for f in findings:
        assert case.says(f) == pytest.approx(wanted, abs=case.tolerance)
        assert f.says
        if f.unit in IN_WORDS and f.check != "tape":  # whose odds are not told
            figures = figures_of(f, IN_WORDS[f.unit])
            for figure, (mm, half) in zip((f.measured, f.expected), figures, strict=False):
                assert mm == pytest.approx(abs(figure), abs=half), in_units(f.advice, "cm")


#: What a figure in a sentence stands for: centimetres, or per cent of a ratio.
IN_WORDS = {"mm": 10.0, "ratio": 0.01}


def figures_of(f: Finding, unit: float) -> list[tuple[float, float]]:
    """The figures of a piece of advice in turn, and half of the last place that is told."""
    told = re.findall(r"(\d+)(\.\d+)?", str(in_units(f.advice, "cm")).replace(f.where, ""))
    return [(unit * float(a + b), unit * 0.501 * 0.1 ** max(0, len(b) - 1)) for a, b in told]


@pytest.mark.parametrize("name", [n for n, c in CASES.items() if c.within is not None])
def test_damage_within_the_tolerance_passes(good: Pattern, name: str) -> None:
    case = CASES[name]
    assert case.within is not None
    assert failing(case.damage(good, case.within)) == {}


def test_every_check_has_a_negative_control() -> None:
    own = {c.__name__ for c in CHECKS if c.__module__ not in ELSEWHERE}
    assert {c.check for c in CASES.values()} == own


# Other ways to be wrong ------------------------------------------------------------------------


def test_a_notch_on_one_side_only_is_reported(good: Pattern) -> None:
    piece = good.piece("front")
    fewer = tuple(n for n in piece.notches if (n.edge, n.role) != ("outseam", "hip"))
    found = failing(with_piece(good, replace(piece, notches=fewer)))
    assert set(found) == {"check_notches"}
    (finding,) = found["check_notches"]
    assert finding.where == "outseam, hip"
    assert math.isnan(finding.measured)


def test_both_halves_of_the_crotch_seam_count(good: Pattern) -> None:
    """What one half is too long by, the other too short: the sum is right and the pattern wrong."""
    longer = longer_crotch(good, 2.0)
    piece = longer.piece("back")
    crotch, waist = piece.edge("crotch").path, np.array(piece.edge("waist").path.cubics)
    shorter = subpath(
        crotch, 0.0, len(crotch) - 2.0 / length(subpath(crotch, len(crotch) - 1, len(crotch)))
    )
    waist[0, :2] -= 2.0 * np.array(crotch.end_direction)
    found = failing(with_piece(longer, redrawn(piece, crotch=shorter, waist=path(waist))))
    assert [f.where for f in found["check_crotch"]] == ["front", "back"]


def test_every_opening_that_does_not_pass_the_hip_is_named(good: Pattern) -> None:
    found = failing(less_pull(good, 0.08))
    assert set(found) == {"check_pull_on"}
    edge = 2.0 * sum(length(good.piece(n).edge("waist").path) for n in ("front", "back"))
    measured = {f.where: f.measured for f in found["check_pull_on"]}
    assert measured == pytest.approx(
        {"top edge of the legs": 1.08 * edge, "waistband": 1.08 * good.band.girth_mm}, abs=0.02
    )


def test_a_crotch_seam_without_halves_is_checked_as_a_whole(
    make_pattern: Make, measured: Body
) -> None:
    whole = replace(measured, front_crotch_length=None, back_crotch_length=None)
    found = failing(longer_crotch(make_pattern(whole), 1.0))
    assert [f.where for f in found["check_crotch"]] == ["front and back", "front"]


def test_an_inseam_that_was_to_be_stretched_on_but_is_not(make_pattern: Make) -> None:
    """In a woven the back is shorter on purpose: made as long as the front it is reported."""
    pattern = make_pattern(fabric=Fabric(kind="woven"), inseam_easing=4.0)
    assert failing(pattern) == {}
    easing = pattern.block.inseam_ease_mm
    found = failing(longer_inseam(pattern, easing))
    (finding,) = found["check_seams"]
    assert finding.measured == pytest.approx(0.0, abs=0.02)
    assert finding.expected == easing


@pytest.mark.parametrize("by_mm", [6.0, 12.0, 25.0])
@pytest.mark.parametrize("damage", [longer_outseam, longer_inseam, wider_band_piece])
def test_a_gross_error_is_caught_as_surely_as_a_small_one(
    good: Pattern, damage: Callable[[Pattern, float], Pattern], by_mm: float
) -> None:
    found = failing(damage(good, by_mm)).get("check_seams", [])
    assert any(difference(f) == pytest.approx(by_mm, abs=0.05) for f in found)


@pytest.mark.parametrize(("pocket", "belt"), [("scoop", "narrow"), ("side-seam", "wide")])
def test_a_piece_a_twentieth_too_large_fits_no_neighbour(
    make_pattern: Make, pocket: str, belt: str
) -> None:
    """Every seam along the whole of an edge is reported, however far that edge now reaches."""
    style = {"leg": "close", "fit": "close", "ankle": "slit"}
    pattern = make_pattern(pocket=(pocket,), belt=belt, **style)
    small = [p for p in pattern.pieces if p.name not in ("front", "back")]
    assert len(small) > 4
    for piece in small:
        whole = {e.name: length(e.path) for e in piece.edges}
        joined = {
            seam.name
            for seam in pattern.seams
            for s in (seam.a, seam.b)
            if seam.a.piece != seam.b.piece and s.piece == piece.name
            if s.length_mm == pytest.approx(s.times * whole[s.edge], abs=0.1)
        }
        assert joined
        edges = tuple(replace(e, path=e.path.mapped(1.05, 0, 0, 1.05)) for e in piece.edges)
        found = check_seams(with_piece(pattern, replace(piece, edges=edges)))
        assert joined <= {f.where for f in found if f.level != "pass"}, piece.name


GROSS = {
    "notch shifted": 60.0,
    "crotch seam longer": 30.0,
    "centre front tilted": 30.0,
    "centre back tilted": -45.0,
    "side tilted at the waist": 30.0,
    "inseam tilted at the crotch": 30.0,
    "corner inside an edge": 60.0,
    "cut too near": 9.0,
    "band longer than its edge": 1.5,
    "band much shorter than its edge": 0.4,
    "elastic longer than its band": 2.0,
    "elastic much shorter than the hip": 0.2,
    "fabric gives less for the hip": 0.0,
    "hem narrower than the foot": 0.1,
    "fabric wears less well": 0.08,
    "leg too narrow": 1.0,
    "hip looser than the fit": -0.6,
    "crotch curve waves": 15.0,
    "hem on the floor": 300.0,
    "top above its rise": 40.0,
    "tape slipped": 400.0,
}


@pytest.mark.parametrize("name", GROSS)
def test_gross_damage_does_not_slip_past(good: Pattern, name: str) -> None:
    """Far beyond the tolerance other checks may complain too, but this one still has to."""
    case = CASES[name]
    found = failing(case.damage(good, GROSS[name]))
    assert {f.where for f in found.get(case.check, [])} >= set(case.where)


#: A waist that lies low over the crotch.
SHORT_RISE = Body(
    height=1700.0,
    waist=720.0,
    hip=960.0,
    inside_leg=800.0,
    waist_height=950.0,
    hip_height=865.0,
)


def test_a_short_rise_is_told_as_it_was_raised(make_pattern: Make) -> None:
    """The note's size is what the top really lies above the word, on a body with a short rise."""
    pattern = make_pattern(SHORT_RISE, rise="low")
    (finding,) = [f for f in pattern.findings if f.check == "rise"]
    wanted = make_pattern(SHORT_RISE, rise="high").block.rise.back_mm - 90.0
    assert pattern.block.rise.back_mm > wanted + 1.0
    assert finding.level == "note"
    assert finding.measured == pytest.approx(pattern.block.rise.back_mm - wanted, abs=0.01)
    assert pattern.errors == ()


def test_odds_without_end_are_told_as_a_million(good: Pattern) -> None:
    slips = [f for f in run_checks(slipped_tape(good, 700.0)) if f.check == "tape"]
    assert max(f.measured for f in slips) == pytest.approx(1e6, abs=0.1)


@pytest.mark.parametrize(("clear", "level"), [(4.5, "warning"), (5.5, "pass")])
def test_half_a_centimetre_over_the_floor_is_clear(good: Pattern, clear: float, level: str) -> None:
    """Common practice, no source."""
    (found,) = check_floor(lower_hem(good, hem_clearance_mm(good) - clear))
    assert found.level == level


@pytest.mark.parametrize(("clear", "says"), [(0.6, "only 0.1 cm above"), (-0.6, "down on")])
def test_a_hem_on_the_floor_is_told_as_that(good: Pattern, clear: float, says: str) -> None:
    low = lower_hem(good, hem_clearance_mm(good) - clear)
    (found,) = check_floor(low)
    assert found.measured == pytest.approx(clear)
    assert f"hangs {says} the floor" in str(in_units(found.advice, "cm"))


def test_a_corner_whose_handle_lies_on_the_joint_is_reported(good: Pattern) -> None:
    """A handle of no length has no direction; the bend there once counted as none."""
    piece = good.piece("front")
    c = np.array(piece.edge("outseam").path.cubics)
    # The same corner as in "corner inside an edge", five degrees, with the handle drawn in.
    c[-1, 2] = c[-1, 2] + (18.0, 0.0)
    c[-1, 1] = c[-1, 0]
    damaged = with_piece(good, redrawn(piece, cut=False, outseam=path(c)))
    assert "check_joints" in failing(damaged)


def test_a_side_that_waves_over_the_hip_is_reported(good: Pattern) -> None:
    """The same wave on front and back: sewn together it matches, and is still a wave."""
    pattern = good
    for name in ("front", "back"):
        piece = pattern.piece(name)
        outseam = piece.edge("outseam").path
        pattern = with_piece(pattern, redrawn(piece, outseam=bulged(outseam, 0, -2.0)))
    where = [f.where for f in failing(pattern)["check_curvature"]]
    assert where == ["front side over the hip", "back side over the hip"]


@pytest.mark.parametrize(("curvature", "waves"), [(4.5e-5, False), (5.5e-5, True)])
def test_a_curve_of_twenty_metres_radius_is_straight(curvature: float, waves: bool) -> None:
    """y = a x^3 bends both ways, by 6 a x: the cubic below is that parabola's graph to 300 mm."""
    a, x = curvature / (6.0 * 300.0 * (1.0 - 2.0 * 0.002)), np.array([-300.0, -100.0, 100.0, 300.0])
    y = a * np.array([-(300.0**3), 300.0**3, -(300.0**3), 300.0**3])
    cubic_graph = path(np.stack([x, y], axis=-1)[None])
    assert bend_both_ways([cubic_graph], [1.0]) == [waves]
    one_way = subpath(cubic_graph, 0.5, 1.0)
    assert bend_both_ways([one_way], [1.0]) == [False]


@pytest.mark.parametrize("edge", ["upper", "left"])
def test_an_open_outline_is_reported(good: Pattern, edge: str) -> None:
    """A gap of 0.02 mm between two edges, or where the last edge meets the first."""
    piece = good.piece("front_band")
    whole = piece.edge(edge).path
    opened = line(whole.start, (whole.end[0], whole.end[1] + 0.02))
    damaged = with_piece(good, redrawn(piece, cut=False, **{edge: opened}))
    assert set(failing(damaged)) == {"check_outlines"}


def test_strain_at_the_thigh_is_that_of_the_drawn_leg(make_pattern: Make) -> None:
    pattern = make_pattern(
        Body(height=1650.0, waist=1130.0, hip=1320.0, inside_leg=740.0), fit="close", leg="close"
    )
    (thigh,) = [x for x in levels(pattern) if x.name == "thigh"]
    drawn = 0.0
    for panel in (pattern.block.front, pattern.block.back):
        side = x_at(panel.outseam, panel.point[1])
        assert side is not None
        drawn += panel.point[0] - side
    assert thigh.strain == pytest.approx(thigh.body_mm / drawn - 1.0, abs=0.001)


def girth_by_area(pattern: Pattern, y: float) -> float:
    """Width of front and back leg at a level, as shapely cuts it out of their sewing outlines."""
    total = 0.0
    for name in ("front", "back"):
        outline = join([e.path for e in pattern.piece(name).edges])
        inside = polygon(outline).intersection(LineString([(-2000.0, y), (2000.0, y)]))
        total += float(inside.length)
    return total


def hip_by_lines(pattern: Pattern) -> float:
    """Half the hip from the outseams out to the lines of the centre seams, as handbooks set it."""
    y, total = pattern.block.front.hip_y, 0.0
    for name in ("front", "back"):
        piece = pattern.piece(name)
        outline = polygon(join([e.path for e in piece.edges]))
        side = outline.intersection(LineString([(-2000.0, y), (2000.0, y)])).bounds[0]
        (x, top), (dx, dy) = piece.edge("crotch").path.end, piece.edge("crotch").path.end_direction
        total += x + (y - top) * dx / dy - side
    return total


@pytest.mark.parametrize(
    "style",
    [
        {"leg": "straight", "rise": "mid"},
        {"leg": "close", "fit": "close"},
        {"leg": "palazzo", "length": "capri"},
        {"leg": "straight", "length": "cropped"},
        {"leg": "straight", "length": "knee"},
    ],
    ids=lambda s: " ".join(s.values()),
)
def test_levels_are_as_wide_as_the_pieces_there(make_pattern: Make, style: dict[str, str]) -> None:
    pattern = make_pattern(**style)
    m, zero = pattern.measures, pattern.block.crotch_line_height_mm
    hem = max(p.hem_y for p in (pattern.block.front, pattern.block.back))
    found = {x.name: x for x in levels(pattern)}
    assert found["waistband"].pattern_mm == pattern.band.girth_mm
    assert found["hip"].pattern_mm == pytest.approx(2.0 * hip_by_lines(pattern), abs=0.5)
    for name, share in (("knee", 1.0), ("calf", CALF_OF_KNEE), ("ankle", ANKLE_OF_KNEE)):
        y = m.knee_height * share - zero
        if y < hem:
            assert name not in found
            continue
        assert found[name].height_mm == pytest.approx(m.knee_height * share)
        assert found[name].pattern_mm == pytest.approx(girth_by_area(pattern, y), abs=0.5)
        assert found[name].body_mm == getattr(m, name)
        assert found[name].ease_mm == pytest.approx(found[name].pattern_mm - getattr(m, name))
    # Under the crotch line, past both crotch points, a panel reaches to its curve, then its inseam.
    points = [p.point[1] for p in (pattern.block.front, pattern.block.back)]
    for y in (-0.5, *np.linspace(min(points) - 6.0, max(points) + 2.0, 6).tolist()):
        if y < -0.1:
            drawn = leg_widths(pattern.block, np.array([y]))[0]
            assert drawn == pytest.approx(girth_by_area(pattern, y), abs=0.5), y
    heights = [x.height_mm for x in found.values()]
    assert heights == sorted(heights, reverse=True)


def test_what_a_height_on_the_leg_is_called(measured: Body) -> None:
    """The knee at 440 mm, the crotch at 765: 325 mm of thigh."""
    m = complete(measured)
    for height, name in (
        *((765.0, "thigh"), (690.0, "thigh"), (680.0, "middle of the thigh")),
        *((560.0, "middle of the thigh"), (550.0, "lower thigh"), (460.0, "lower thigh")),
        *((450.0, "knee"), (440.0, "knee"), (412.0, "knee"), (405.0, "leg just below the knee")),
        *((355.0, "leg just below the knee"), (350.0, "calf"), (266.0, "calf")),
        *((260.0, "lower calf"), (156.0, "lower calf"), (150.0, "ankle"), (0.0, "ankle")),
        (-20.0, "ankle"),
    ):
        assert leg_name(m, height) == name, height


def test_strain_is_told_at_the_worst_height_of_each_stretch(
    make_pattern: Make, measured: Body
) -> None:
    """With a limit between two humps each is told; under it the worst of all is."""
    good = make_pattern(replace(measured, calf=420.0), fit="easy", leg="close")

    def advised(wear: float) -> list[Finding]:
        ease = replace(good.block.ease, wear_strain=wear)
        return list(check_strain(replace(good, block=replace(good.block, ease=ease))))

    def told(wear: float) -> list[tuple[str, float, str]]:
        found = advised(wear)
        return [(f.where, f.measured, f.level) for f in found if "above the floor" in f.where]

    profile = profile_of(good.block, good.measures)
    heights, strain = profile.heights[profile.legs], profile.strain[profile.legs]
    worst = int(np.argmax(strain))
    assert all("wears well up to 10 %" in str(in_units(f.advice, "cm")) for f in advised(0.1))
    ((where, measured, level),) = told(0.5)
    assert (measured, level) == (pytest.approx(strain[worst]), "pass")
    assert f"({show_length(float(heights[worst]), 'cm')} above the floor)" in where
    humps = set()
    for limit in np.linspace(float(strain.min()), float(strain.max()), 7)[1:-1].tolist():
        over = strain > limit
        # Where it comes back under the limit a stretch ends.
        stretches = int((over & ~np.concatenate(([False], over[:-1]))).sum())
        humps.add(stretches)
        found = told(limit - 0.002)
        assert len(found) == stretches
        assert {level for *_, level in found} == {"warning"}
        assert max(x for _, x, _ in found) == pytest.approx(strain[worst])
        for where, measured, _ in found:
            at = float(heights[np.flatnonzero(np.isclose(strain, measured, atol=1e-12))[0]])
            assert f"({show_length(at, 'cm')} above the floor)" in where
    assert max(humps) > 1


def test_a_wave_over_the_hip_is_seen_beside_a_pocket(make_pattern: Make) -> None:
    """A scoop divides the side: the part above it is the facing's and the rest the front's."""
    pattern = make_pattern(pocket="scoop", rise="high")
    facing = pattern.piece("pocket_facing")
    side = facing.edge("outseam").path
    damaged = with_piece(pattern, redrawn(facing, cut=False, outseam=bulged(side, 0, -2.0)))
    where = [f.where for f in check_curvature(damaged) if f.level != "pass"]
    assert where == ["front side over the hip"]


@pytest.mark.parametrize(("above", "judged"), [(20.5, True), (19.5, False)])
def test_two_centimetres_of_side_are_too_short_to_judge(
    make_pattern: Make, above: float, judged: bool
) -> None:
    high = make_pattern(rise="mid")
    over = edge_length(high, "front", "outseam") - high.block.front.hip_from_hem_mm
    front = high.block.front
    panel = replace(front, hip_from_hem_mm=front.hip_from_hem_mm + over - above)
    where = {f.where for f in check_curvature(with_block(high, front=panel))}
    assert ("front side over the hip" in where) is judged
    assert "back side over the hip" in where


def test_the_sentence_on_a_tight_opening_names_the_hip_itself(good: Pattern) -> None:
    found = failing(less_pull(good, 0.08))["check_pull_on"]
    for f, girth in zip(found, (good.top_edge_mm, good.band.girth_mm), strict=True):
        told = str(in_units(f.advice, "cm"))
        assert f"opens to {show_length(1.08 * girth, 'cm')}; the hip needs 100 cm" in told


@pytest.mark.parametrize("segment", [0, 1, 2])
def test_an_allowance_is_measured_all_along_its_edge(segment: int) -> None:
    """An edge of three lines that turn a little; one line of its cut is 2 mm too far out."""
    edge = polyline([(0, 0), (100, 0), (200, 20), (300, 60)])
    true = offset(edge, 10.0)
    lines = [subpath(true, i, i + 1) for i in range(3)]
    ahead = np.array(lines[segment].start_direction)
    lines[segment] = lines[segment].moved(*(2.0 * np.array([ahead[1], -ahead[0]])))
    off = lines[segment]
    sides = [Edge(name="a", path=edge, allowance_mm=mm) for mm in (10.0, 9.0, 10.0)]
    errors = allowance_errors_mm(sides, [true, true, off])
    assert errors == pytest.approx([0.0, 1.0, 2.0], abs=0.05)
    # Beyond the ends, where a cut runs on to its neighbour, nothing is compared.
    long = extend(true, 40.0, 40.0)
    assert allowance_errors_mm(sides[:1], [long]) == pytest.approx([0.0], abs=0.02)


def test_pieces_without_joints_have_no_bend(good: Pattern) -> None:
    found = {f.where: f for f in check_joints(good)}
    assert set(found) == {p.name for p in good.pieces}
    assert found["front_band"].measured == 0.0
    assert all(f.unit == "deg" for f in found.values())


def test_a_corner_beside_retracted_handles_is_reported(good: Pattern) -> None:
    """A straight line whose handles both lie on its ends leaves a joint as surely as any other."""
    piece = good.piece("front_band")
    side = piece.edge("left").path
    (x0, y0), (x1, y1) = side.start, side.end
    middle = (x0 + 30.0, (y0 + y1) / 2.0)  # 30 mm aside of an edge that runs straight down
    bent = path([[(x0, y0), (x0, y0), (x0, y0), middle], [middle, middle, middle, (x1, y1)]])
    (found,) = [
        f
        for f in check_joints(with_piece(good, redrawn(piece, cut=False, left=bent)))
        if f.level != "pass"
    ]
    half = abs(y1 - y0) / 2.0
    assert found.where == "front_band"
    assert found.measured == pytest.approx(math.degrees(2.0 * math.atan2(30.0, half)))


def moved_piece(piece: Piece, x: float, y: float) -> Piece:
    return replace(
        piece,
        edges=tuple(replace(e, path=e.path.moved(x, y)) for e in piece.edges),
        cut=tuple(p.moved(x, y) for p in piece.cut),
        lines=tuple(replace(li, path=li.path.moved(x, y)) for li in piece.lines),
    )


def test_a_piece_of_its_own_may_lie_anywhere(make_pattern: Make) -> None:
    """Bands, belt and patch are judged by their shapes, not by where they are drawn."""
    pattern = make_pattern(pocket=("patch",), belt="wide")
    own = [p for p in pattern.pieces if p.name not in ("front", "back")]
    assert len(own) == 4
    for n, piece in enumerate(own):
        moved = run_checks(with_piece(pattern, moved_piece(piece, 37.0 + n, -71.0)))
        for now, before in zip(moved, pattern.findings, strict=True):
            same = now.measured == pytest.approx(before.measured, abs=1e-6, nan_ok=True)
            assert (now.check, now.where, now.level) == (before.check, before.where, before.level)
            assert same, (piece.name, now)


# Verdicts --------------------------------------------------------------------------------------


def test_the_lowest_top_cuts_off_three_centimetres_of_the_curve(make_pattern: Make) -> None:
    """Its upper end is nearly straight; a word that would put the waist seam deeper is raised."""
    low, high = (make_pattern(SHORT_RISE, rise=rise).block for rise in ("low", "high"))
    assert 0.0 < low.rise_raised_mm < 40.0
    assert high.rise_raised_mm == 0.0
    off = [
        length(path([whole.crotch.cubics[0]])) - length(cut.crotch)
        for whole, cut in ((high.front, low.front), (high.back, low.back))
    ]
    assert max(off) == pytest.approx(30.0, abs=0.1)


def test_a_named_rise_is_raised_by_four_centimetres_and_no_more(make_pattern: Make) -> None:
    """A taller band takes its height off the leg: each millimetre of it raises the top by one."""

    def raised(elastic: float) -> float:
        return make_pattern(SHORT_RISE, rise="low", elastic_width=elastic).block.rise_raised_mm

    spare = 40.0 - raised(50.0)
    assert spare > 1.0
    assert raised(50.0 + spare - 0.3) == pytest.approx(39.7, abs=0.05)
    with pytest.raises(InputError) as error:
        raised(50.0 + spare + 0.3)
    assert error.value.field == "style.rise"


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_no_verdict_passes_what_is_no_number(wrong: float) -> None:
    assert equal("c", "w", wrong, 1.0, 1e9, "says").level == "error"
    assert at_least("c", "w", wrong, -1e9, "says").level == "error"
    assert at_most("c", "w", wrong, 1e9, "says", fails="warning").level == "warning"


def test_verdicts_include_their_limit() -> None:
    assert equal("c", "w", 1.5, 1.0, 0.5, "says").level == "pass"
    assert equal("c", "w", 1.5001, 1.0, 0.5, "says").level == "error"
    assert at_least("c", "w", 2.0, 2.0, "says").level == "pass"
    assert at_least("c", "w", 2.0, 2.0, "says").tolerance == 0.0
    assert at_least("c", "w", 1.9999, 2.0, "says").level == "error"
    assert at_most("c", "w", 2.0, 2.0, "says").level == "pass"
    assert at_most("c", "w", 2.0001, 2.0, "says", fails="note").level == "note"


def test_errors_and_warnings_are_told_apart(good: Pattern) -> None:
    damaged = lower_hem(longer_inseam(good, 1.0), 20.0)
    pattern = replace(damaged, findings=run_checks(damaged))
    assert [f.check for f in pattern.errors] == ["seams match"]
    assert [f.check for f in pattern.warnings] == ["hem clears the floor"]


def test_tools_do_what_they_say(good: Pattern) -> None:
    """Damage that does nothing would make the tests above worthless, or wrong."""
    outseam = good.piece("front").edge("outseam").path
    assert length(lengthened(outseam, 0, 0.6)) - length(outseam) == pytest.approx(0.6, abs=1e-3)
    turned = tilted(outseam, len(outseam), 2.0).end_direction
    apart = math.acos(float(np.dot(turned, outseam.end_direction)))
    assert math.degrees(apart) == pytest.approx(2.0, abs=1e-6)
    straight = cubic((0, 0), (10, 0), (20, 0), (30, 0))
    assert looped(straight).end == straight.end
    assert length(looped(straight)) == pytest.approx(30.0 + 2 * math.pi * 0.03, abs=1e-3)
