"""A folded waistband over a wide elastic, in two pieces so that front and back keep their sides.

Common practice, no source: the flat piece is twice (elastic + seam allowance + 1/8 in room), so
2 in elastic with 3/8 in allowance gives 5 in flat, 2 1/2 in folded. The band is shorter than the
edge it joins and is stretched to fit; its side seams meet the leg's.
"""

from __future__ import annotations

from curves.path import line
from draft.allowance import cut_edges
from draft.bands.band import ROOM_MM, Band, BandContext, BandPlan, elastic_mm
from draft.piece import Edge, Line, Notch, Piece, Seam, Stretch

#: A band this much shorter than the body (or the edge, if that is smaller) grips without cutting;
#: in a fabric that hardly stretches, by no more than half of what it wears well.
GRIP = 0.05


def height_mm(elastic_width_mm: float) -> float:
    """Return the finished height of the band, mm."""
    return elastic_width_mm + ROOM_MM


def band_girth_mm(c: BandContext) -> float:
    """Return the band's girth: it grips the body, passes the hip and never exceeds its edge."""
    edge = 2.0 * (c.front_edge_mm + c.back_edge_mm)
    grip = min(GRIP, c.ease.wear_strain / 2.0)
    wish = c.body_girth_mm * (1.0 + min(0.0, c.ease.waist_ratio)) * (1.0 - grip)
    over_hip = c.hip_mm / (1.0 + c.ease.pull_strain)
    return min(edge, max(wish, over_hip))


def plan(c: BandContext) -> BandPlan:
    """Return front and back band, in proportion to the leg's edges."""
    edge = 2.0 * (c.front_edge_mm + c.back_edge_mm)
    girth = band_girth_mm(c)
    ratio = girth / edge
    widths = {"front": 2 * c.front_edge_mm * ratio, "back": 2 * c.back_edge_mm * ratio}
    pieces = tuple(_piece(side, w, c) for side, w in widths.items())
    seams: list[Seam] = []
    for side, panel_edge in (("front", c.front_edge_mm), ("back", c.back_edge_mm)):
        w = widths[side]
        seams.append(
            Seam(
                name=f"waist, {side}",
                a=Stretch(piece=side, edge="waist", from_mm=0.0, to_mm=panel_edge, times=2),
                b=Stretch(piece=f"{side}_band", edge="lower", from_mm=0.0, to_mm=w),
                ease_mm=2 * panel_edge - w,
            )
        )
        seams.append(
            Seam(
                name=f"band edges, {side}",
                a=Stretch(piece=f"{side}_band", edge="lower", from_mm=0.0, to_mm=w),
                b=Stretch(piece=f"{side}_band", edge="upper", from_mm=0.0, to_mm=w),
            )
        )
    flat = 2.0 * c.height_mm
    for name in ("left", "right"):
        seams.append(
            Seam(
                name=f"band side, {name}",
                a=Stretch(piece="front_band", edge=name, from_mm=0.0, to_mm=flat),
                b=Stretch(piece="back_band", edge=name, from_mm=0.0, to_mm=flat),
            )
        )
    elastic = elastic_mm(c, girth)
    return BandPlan(pieces=pieces, seams=tuple(seams), girth_mm=girth, elastic_mm=elastic)


def _piece(side: str, width: float, c: BandContext) -> Piece:
    """Return one flat band piece, lower edge at the bottom, fold in the middle."""
    flat = 2.0 * c.height_mm
    corners = [(0.0, 0.0), (width, 0.0), (width, flat), (0.0, flat)]
    names = ("lower", "right", "upper", "left")
    edges = tuple(
        Edge(
            name=name,
            path=line(corners[i], corners[(i + 1) % 4]),
            allowance_mm=c.seam_mm,
        )
        for i, name in enumerate(names)
    )
    count = 1 if side == "front" else 2
    quarters = ((0.25, 1, "quarter"), (0.5, count, f"centre {side}"), (0.75, 1, "quarter"))
    notches = tuple(
        Notch(edge=e, at_mm=width * at, count=n, says=says)
        for e in ("lower", "upper")
        for at, n, says in quarters
    )
    middle = flat / 2.0
    lines = (
        Line(kind="fold", path=line((0.0, middle), (width, middle)), label="fold"),
        Line(
            kind="grain",
            path=line((width * 0.12, flat * 0.12), (width * 0.12, flat * 0.88)),
            label="grain",
        ),
    )
    return Piece(
        name=f"{side}_band",
        title=f"{side.capitalize()} waistband",
        cut_note="cut 1",
        edges=edges,
        cut=cut_edges(edges),
        notches=notches,
        lines=lines,
        notes=("greatest stretch along the band", "fold lengthwise over the elastic"),
        label_at=(width * 0.2, middle + min(24.0, 0.42 * flat)),
        rest_at=(width * 0.2, middle - 2.0),
        label_width_mm=width * 0.6,
    )


BAND = Band(
    name="folded",
    says="a folded band over a wide elastic, front and back piece",
    height=height_mm,
    plan=plan,
)
