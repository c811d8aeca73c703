"""A scoop pocket: the front is cut away at the hip, and a facing in one with the back bag fills it.

The mouth runs from the waist edge to the outseam and meets both at right angles, so that front and
facing, sewn, run on without a peak. Facing and bag are built from parts of the front's own edges
and lie in its coordinates: laid on each other they are the front.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

from outseam.curves.evaluate import cubic_hermite, direction_at, point_at
from outseam.curves.length import length, param_at_length
from outseam.curves.offset import offset
from outseam.curves.path import Path
from outseam.curves.point import left_of, right_of
from outseam.curves.split import subpath
from outseam.draft.block.panels import Panel
from outseam.draft.body.hand_size import least_opening_mm, usual_opening_mm
from outseam.draft.checks.seams import measured_mm
from outseam.draft.features.bag import (
    CAUGHT_SHARE,
    NOTCH_CLEAR_MM,
    bag_bottom_y,
    bag_edge,
    bag_grain,
    bag_width_mm,
)
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.usual import TOPSTITCH
from outseam.draft.inputs.words import most_allowed, words
from outseam.draft.model import Make, OnLeg, Pattern, Pocket
from outseam.draft.piece.divided_edge import divided_notches, divided_seams
from outseam.draft.piece.marks import across, outline_of, upright
from outseam.draft.piece.piece import Edge, Line, Notch, Piece, Seam, Side, Stretch
from outseam.draft.piece.ruler import ruler_length, run_at_y
from outseam.draft.sewing.tools.job import Job, names
from outseam.draft.sewing.tools.settings import by_zigzag
from outseam.draft.step import Step, given, mm

#: The mouth takes this much more of the outseam than of the waist edge (common practice, no
#: source: about 7 cm of the waist and 11 to 12 of the side).
DEPTH_OF_WIDTH: Final = 1.6
#: It takes no more than this share of the front's waist edge, and ends above the crotch line.
MOST_WAIST: Final = 0.42
MOUTH_END_Y: Final = 0.0
#: Handles of the mouth over the half axes of the ellipse that it nearly is: flatter than round.
_HANDLE: Final = 0.5
#: The back bag goes on under the front by at least this beside the mouth.
BEYOND_MM: Final = 45.0
#: What the usual mouth takes of the outseam over its length, to begin with, and the least that
#: counts as a mouth at all.
_SIDE_OF_LENGTH: Final = 0.763
_LEAST_SIDE_MM: Final = 20.0
#: The mouth's length is met to this.
_LENGTH_MM: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Mouth:
    """The mouth, from the waist edge down to the outseam, and what it takes of both, mm."""

    path: Path
    waist_mm: float
    side_mm: float


def mouth_between(panel: Panel, waist_mm: float, side_mm: float) -> Mouth:
    """Return the mouth that takes `waist_mm` of the waist edge and `side_mm` of the outseam.

    It takes no more of either than there is.
    """
    waist_mm = min(waist_mm, length(panel.waist))
    side_mm = min(side_mm, length(panel.outseam))
    u = param_at_length(panel.waist, length(panel.waist) - waist_mm)
    v = param_at_length(panel.outseam, side_mm)
    path = cubic_hermite(
        point_at(panel.waist, u),
        left_of(direction_at(panel.waist, u)),
        point_at(panel.outseam, v),
        right_of(direction_at(panel.outseam, v)),
        _HANDLE * side_mm,
        _HANDLE * waist_mm,
    )
    return Mouth(path=path, waist_mm=waist_mm, side_mm=side_mm)


def _grown_to(wanted_mm: float, start_mm: float, build: Callable[[float], Mouth]) -> Mouth:
    """Return the mouth of the wanted length out of a family that grows with its number.

    Secant steps: the length is nearly linear in either extent.
    """
    a, fa = start_mm, length(build(start_mm).path) - wanted_mm
    b = a * wanted_mm / (fa + wanted_mm)
    mouth = build(b)
    for _ in range(20):
        fb = length(mouth.path) - wanted_mm
        if abs(fb) <= _LENGTH_MM or fb == fa:
            break
        a, fa, b = b, fb, max(b - fb * (b - a) / (fb - fa), b / 2.0)
        mouth = build(b)
    return mouth


def limits_mm(panel: Panel) -> tuple[float, float]:
    """Return the most that a mouth may take of the waist edge and of the outseam, mm."""
    return MOST_WAIST * length(panel.waist), run_at_y(panel.outseam, MOUTH_END_Y)


def solve_mouth(make: Make) -> Mouth:
    """Return the mouth with the opening asked for, or the usual one, shorter where it must be.

    Raises InputError where the front has no room for it.
    """
    panel, m = make.block.front, make.measures
    most_waist, most_side = limits_mm(panel)
    given = make.spec.style.pocket_opening
    wanted = usual_opening_mm(m) if given is None else given
    mouth = _grown_to(
        wanted, _SIDE_OF_LENGTH * wanted, lambda x: mouth_between(panel, x / DEPTH_OF_WIDTH, x)
    )
    if mouth.side_mm > most_side or mouth.waist_mm > most_waist:
        most = 0.0
        if most_side > _LEAST_SIDE_MM:
            most = length(mouth_between(panel, most_waist, most_side).path)
        if given is None and most >= least_opening_mm(m):
            wanted = min(wanted, most)
        if wanted > most:
            raise _no_room(make, wanted, most)
        if mouth.side_mm > most_side:
            mouth = _with_side(panel, wanted, most_side)
        if mouth.waist_mm > most_waist:
            mouth = _grown_to(wanted, mouth.side_mm, lambda x: mouth_between(panel, most_waist, x))
    clear = _beside_hip_notch(panel, mouth, most_waist, most_side)
    if clear.waist_mm > most_waist:
        raise _no_room(make, wanted, length(mouth_between(panel, most_waist, clear.side_mm).path))
    return clear


def _no_room(make: Make, wanted_mm: float, most_mm: float) -> InputError:
    """Return the error for a mouth longer than the front has room for."""
    given = make.spec.style.pocket_opening
    return InputError(
        "style.pocket" if given is None else "style.pocket_opening",
        words("a scoop pocket with an opening of {wanted}", wanted=most_allowed(wanted_mm)),
        words(
            "{most} or less on this front, where the mouth has to end above the crotch line",
            most=most_allowed(most_mm),
        ),
        'choose a higher rise, a narrower waistband or pocket = "side-seam"',
    )


def _beside_hip_notch(panel: Panel, mouth: Mouth, most_waist: float, most_side: float) -> Mouth:
    """Return the mouth, ending clear of the hip notch: two notches in one place are misread.

    Its length stays; above the notch, if there is room for it, or else below.
    """
    hip = length(panel.outseam) - panel.hip_from_hem_mm
    if abs(mouth.side_mm - hip) >= NOTCH_CLEAR_MM:
        return mouth
    wanted = length(mouth.path)
    near, far = hip - NOTCH_CLEAR_MM, hip + NOTCH_CLEAR_MM
    for side in (near, far) if mouth.side_mm < hip else (far, near):
        found = _with_side(panel, wanted, side)
        if found.waist_mm <= most_waist and side <= most_side:
            return found
    return _with_side(panel, wanted, far)


def _with_side(panel: Panel, wanted_mm: float, side_mm: float) -> Mouth:
    """Return the mouth of the wanted length that takes `side_mm` of the outseam."""
    start = wanted_mm * _SIDE_OF_LENGTH / DEPTH_OF_WIDTH
    return _grown_to(wanted_mm, start, lambda x: mouth_between(panel, x, side_mm))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cut:
    """The front's edges in the parts that a scoop makes of them.

    Waist edge from the centre: `open_waist` beside the bag, `under_waist` over the bag,
    `side_waist` cut away. Outseam from the top: `side` cut away, `under` where the bag is caught,
    `below` to the hem; `lower` is both of the last together.
    """

    waist: Path
    under_waist: Path
    side_waist: Path
    side: Path
    under: Path
    lower: Path
    bag: Path
    mouth: Path


def _cut(make: Make, mouth: Mouth) -> _Cut:
    """Divide the front's edges."""
    panel = make.block.front
    total = length(panel.waist)
    opening = length(mouth.path)
    width = min(
        max(bag_width_mm(make, opening), mouth.waist_mm + BEYOND_MM), bag_width_mm(make, 1e6)
    )
    bottom = bag_bottom_y(make, mouth.path.end[1], "a scoop pocket")
    caught = mouth.side_mm + CAUGHT_SHARE * (mouth.path.end[1] - bottom)
    at_mouth, at_bag = (param_at_length(panel.waist, total - x) for x in (mouth.waist_mm, width))
    at_side, at_caught = (param_at_length(panel.outseam, x) for x in (mouth.side_mm, caught))
    under = subpath(panel.outseam, at_side, at_caught)
    return _Cut(
        waist=subpath(panel.waist, 0.0, at_mouth),
        under_waist=subpath(panel.waist, at_bag, at_mouth),
        side_waist=subpath(panel.waist, at_mouth, len(panel.waist)),
        side=subpath(panel.outseam, 0.0, at_side),
        under=under,
        lower=subpath(panel.outseam, at_side, len(panel.outseam)),
        bag=bag_edge(
            under,
            bottom,
            width,
            point_at(panel.waist, at_bag),
            right_of(direction_at(panel.waist, at_bag)),
        ),
        mouth=mouth.path,
    )


def _front(make: Make, cut: _Cut, mouth: Mouth) -> tuple[Piece, tuple[Notch, ...]]:
    """Return the front without its hip corner, and the notches that went with the corner."""
    front = make.piece("front")
    seam = make.spec.style.seam_allowance
    changed = {"outseam": cut.lower, "waist": cut.waist}
    edges = (
        *(replace(e, path=changed.get(e.name, e.path)) for e in front.edges),
        Edge(name="mouth", path=cut.mouth, allowance_mm=seam),
    )
    stay, gone = divided_notches(front.notches, "outseam", mouth.side_mm, first_stays=False)
    stay, gone_too = divided_notches(stay, "waist", length(cut.waist), first_stays=True)
    outline = outline_of(edges)
    lines: list[Line] = []
    for old in front.lines:
        x, y = old.path.start
        new: Line | None = old
        if old.kind in ("level", "lengthen"):
            new = across(outline, y, old.kind, old.label)
        elif old.kind == "crease":
            new = upright(outline, x, old.kind, old.label)
        lines += [] if new is None else [new]
    stitched = offset(cut.mouth, -TOPSTITCH.mm(make.spec.units))
    lines.append(Line(kind="topstitch", path=stitched, label="topstitch"))
    return (
        replace(
            front,
            edges=edges,
            cut=(),
            notches=stay,
            lines=tuple(lines),
            notes=(*front.notes, "tape the pocket mouth against stretch"),
        ),
        (*gone, *gone_too),
    )


def _pieces(make: Make, cut: _Cut, gone: tuple[Notch, ...]) -> tuple[Piece, Piece]:
    """Return the facing in one with the back bag, and the front bag."""
    panel = make.block.front

    def edge(name: str, path: Path) -> Edge:
        return Edge(name=name, path=path, allowance_mm=make.spec.style.seam_allowance)

    under = (edge("outseam_under", cut.under), edge("bag", cut.bag))
    facing_edges = (
        edge("outseam", cut.side),
        *under,
        edge("waist_under", cut.under_waist),
        edge("waist", cut.side_waist),
    )
    bag_edges = (edge("mouth", cut.mouth), *under, edge("waist_under", cut.under_waist))
    top = cut.mouth.end[1]
    grain = bag_grain(cut.bag)
    lies = Line(kind="level", path=cut.mouth, label="edge of the front", role="pocket mouth")
    hip = across(outline_of(facing_edges), panel.hip_y, "level", "hip")
    label_at = (max(cut.mouth.end[0], cut.under.end[0]) + 12.0, top + 4.0)
    width = grain.path.start[0] - 6.0 - label_at[0]
    facing = Piece(
        name="pocket_facing",
        title="Pocket facing",
        copies=2,
        mirrored=True,
        drawn_for="right",
        completes="front",
        edges=facing_edges,
        notches=(
            *gone,
            Notch(edge="waist", at_mm=0.0, role="pocket mouth, waist"),
            Notch(edge="outseam", at_mm=length(cut.side), role="pocket mouth", named=True),
        ),
        lines=(grain, lies) if hip is None or panel.hip_y < top else (grain, lies, hip),
        notes=("side front and back bag in one",),
        label_at=label_at,
        label_width_mm=width,
    )
    bag = Piece(
        name="pocket_bag",
        title="Pocket bag",
        copies=2,
        mirrored=True,
        # Wrong side out, so that its right side meets the facing's.
        drawn_for="left",
        lining=True,
        edges=bag_edges,
        lines=(grain,),
        notes=("or of the fabric itself, if light",),
        label_at=label_at,
        label_width_mm=width,
    )
    return facing, bag


def _all(piece: str, edge: str, mm: float, from_mm: float = 0.0) -> Stretch:
    """Return the last `mm` of an edge, which begin at `from_mm`."""
    return Stretch(piece=piece, edge=edge, from_mm=from_mm, to_mm=from_mm + mm, to_end=True)


def _pocket_seams(cut: _Cut) -> tuple[Seam, ...]:
    """Return the seams between front, facing and bag."""
    mouth, bag = length(cut.mouth), length(cut.bag)
    under, top = length(cut.under), length(cut.under_waist)
    beside = length(cut.waist) - top
    side = Stretch(piece="front", edge="outseam", from_mm=0.0, to_mm=under)
    front = side, _all("front", "waist", top, beside)
    sides = {
        "pocket mouth": (_all("front", "mouth", mouth), _all("pocket_bag", "mouth", mouth)),
        "pocket bags": (_all("pocket_bag", "bag", bag), _all("pocket_facing", "bag", bag)),
        **{
            f"{piece.replace('_', ' ')} caught in the {where}": (front[i], _all(piece, edge, mm))
            for i, where, edge, mm in (
                (0, "outseam", "outseam_under", under),
                (1, "waist seam", "waist_under", top),
            )
            for piece in _BEHIND
        },
    }
    return tuple(Seam(name=name, a=a, b=b) for name, (a, b) in sides.items())


def _waist_seams(seams: tuple[Seam, ...], cut: _Cut) -> tuple[Seam, ...]:
    """Return the seams with the front's waist seam divided: centre, and a facing at each side.

    The band is stretched evenly onto its edge, so each part takes its share of it.
    """
    rest, side = length(cut.waist), length(cut.side_waist)
    found: list[Seam] = []
    for seam in seams:
        if (seam.a.piece, seam.a.edge) != ("front", "waist"):
            found.append(seam)
            continue
        ratio = seam.b.length_mm / seam.a.length_mm
        low, high = seam.b.from_mm, seam.b.to_mm
        share = side * ratio
        band = replace(seam.b, from_mm=low + share, to_mm=high - share, to_end=False)
        centre, ease = replace(seam.a, to_mm=rest), 2.0 * rest - band.length_mm
        found.append(replace(seam, a=centre, b=band, ease_mm=ease))
        ends: tuple[tuple[Side, Stretch], ...] = (
            ("left", replace(seam.b, to_mm=low + share, to_end=False)),
            ("right", replace(seam.b, from_mm=high - share)),
        )
        for end, part in ends:
            found.append(
                Seam(
                    name=f"{seam.name}, pocket facing {end}",
                    line=seam.line,
                    said="waistband to pocket facing",
                    end=end,
                    a=_all("pocket_facing", "waist", side),
                    b=part,
                    ease_mm=side - share,
                )
            )
    return tuple(found)


def apply(make: Make) -> Make:
    """Cut the front away, add facing and bag. Raises InputError where there is no room."""
    if make.block.turn_mm:
        raise InputError(
            "style.pocket",
            f'"scoop" with band = "{make.block.band.name}", which is turned in at the top of the '
            "leg: the mouth would cut through it",
            'a band that is sewn on, such as "casing"',
            'choose band = "casing", or pocket = "side-seam" or "patch"',
        )
    mouth = solve_mouth(make)
    cut = _cut(make, mouth)
    front, gone = _front(make, cut, mouth)
    facing, bag = _pieces(make, cut, gone)
    back = make.piece("back")
    met = Notch(edge="outseam", at_mm=mouth.side_mm, role="pocket mouth", named=True)
    seams = divided_seams(make.seams, ("front", "outseam"), mouth.side_mm, "pocket_facing", "front")
    make = replace(make, seams=_waist_seams(seams, cut))
    make = make.with_piece(front).with_piece(replace(back, notches=(*back.notches, met)))
    return make.adding(pieces=(facing, bag), seams=_pocket_seams(cut))


def _opening_mm(pattern: Pattern) -> float | None:
    front = {e.name: e.path for e in pattern.piece("front").edges}
    return ruler_length(front["mouth"]) if "mouth" in front else None


def _tape_mm(pattern: Pattern) -> float:
    """Return the length of both mouths, on every front that the pattern has."""
    return sum(
        ruler_length(p.edge("mouth").path) * p.copies for p in pattern.pieces if p.part == "front"
    )


#: The edges of its own that facing and bag are sewn by.
_OWN: Final = ("mouth", "bag", "outseam_under", "waist_under")


def _steps(pattern: Pattern) -> tuple[Step, ...]:
    """Return how it is made: its mouth, then its bag (common practice, no source)."""
    job = Job(pattern=pattern)
    seams = job.seams(lambda _, b: b[0] in _BEHIND and b[1] in _OWN)
    mouth = [s for s in seams if s.b.edge == "mouth"]
    rest = [s for s in seams if s.b.edge != "mouth"]
    bag = next(s for s in seams if s.b.edge == "bag")
    first = Step(
        key="scoop-mouth",
        title="Scoop pockets: the mouth",
        text=(
            "Sew or iron a stay tape along the mouth of each front, on the wrong side: {mouth}. "
            "It must not stretch.",
            "Pin a pocket bag on the front, right sides together, mouth on mouth, and sew {seam} "
            f"from the edge{by_zigzag(job)}. Snip the allowance of the curve every "
            "finger's width, not into the stitches.",
            "Turn the bag to the inside, roll the seam a hair to the inside, press, and topstitch "
            "the mouth {top} from its edge.",
        ),
        figures=(
            mm("mouth", measured_mm(pattern, mouth[0].a)),
            job.seam,
            given("top", TOPSTITCH.mm(job.units)),
        ),
        drawing="scoop-mouth",
        seams=names(mouth),
    )
    neaten = "overlock" if job.knit else "neaten"
    second = Step(
        key="scoop-bag",
        title="Scoop pockets: the bag",
        text=(
            "Lay the front on the pocket facing, both right side up, so that the ends of the mouth "
            "meet the facing's notches “pocket mouth”. The facing now fills the front's corner.",
            "Turn the front out of the way; pin bag and facing right sides together and sew round "
            f"the curve, {{bag}}, through these two layers only; {neaten} the edge.",
            "Smooth everything flat. Baste bag and facing to the front inside the allowance, along "
            "the waist and down the outseam. From here on it is one whole front.",
        ),
        figures=(mm("bag", measured_mm(pattern, bag.b)),),
        drawing="scoop-bag",
        seams=names(rest),
        notches=job.notches(("waist", "pocket mouth, waist"), ("outseam", "pocket mouth")),
    )
    return first, second


_BEHIND: Final = ("pocket_bag", "pocket_facing")

POCKET = Pocket(
    value="scoop",
    says="a scoop pocket",
    apply=apply,
    sizes=("pocket_opening",),
    claims=lambda _: (("front", "outseam"), ("front", "waist")),
    steps=_steps,
    opening_mm=_opening_mm,
    tape_mm=_tape_mm,
    behind=_BEHIND,
    shows=OnLeg(piece="pocket_facing", leg="front"),
    meets="the mouth of the pocket",
)
