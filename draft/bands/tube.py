"""Band pieces that are folded lengthwise: front and back rectangle, sewn at the sides."""

from __future__ import annotations

from typing import Final

from outseam.curves.path import line
from outseam.draft.bands.band import BandContext
from outseam.draft.piece.piece import Edge, Line, Notch, NotchRole, Piece, Seam, Stretch

#: Front and back halves of a band that differ by less are two sizes only on paper.
SAME_WIDTH_MM: Final = 2.0


def tube(
    c: BandContext, girth_mm: float, notes: tuple[str, ...]
) -> tuple[tuple[Piece, ...], tuple[Seam, ...]]:
    """Return front and back band of `girth_mm` in proportion to the leg's edges, and their seams.

    The sides of band and leg meet because both halves are shortened alike. Halves that differ by
    less than a person can cut are made equal.
    """
    ratio = girth_mm / c.edge_mm
    edges = {"front": c.front_edge_mm, "back": c.back_edge_mm}
    widths = {side: 2.0 * edge * ratio for side, edge in edges.items()}
    if abs(widths["front"] - widths["back"]) < SAME_WIDTH_MM:
        widths = dict.fromkeys(widths, girth_mm / 2.0)
    pieces = tuple(_piece(side, w, c, notes) for side, w in widths.items())
    seams: list[Seam] = []
    for side, edge in edges.items():
        w, band = widths[side], f"{side}_band"
        lower = Stretch(piece=band, edge="lower", from_mm=0.0, to_mm=w, to_end=True)
        seams.append(
            Seam(
                name=f"waist, {side}",
                line="waist",
                said=f"waistband to {side}",
                a=Stretch(piece=side, edge="waist", from_mm=0.0, to_mm=edge, times=2, to_end=True),
                b=lower,
                ease_mm=2 * edge - w,
            )
        )
        upper = Stretch(piece=band, edge="upper", from_mm=0.0, to_mm=w, to_end=True)
        said = f"both edges of the {side} waistband"
        seams.append(
            Seam(name=f"band edges, {side}", line="band edges", said=said, a=lower, b=upper)
        )
    flat = 2.0 * c.height_mm
    for name in ("left", "right"):
        front, back = (
            Stretch(piece=f"{side}_band", edge=name, from_mm=0.0, to_mm=flat, to_end=True)
            for side in edges
        )
        said = f"{name} side of the waistband"
        seams.append(Seam(name=f"band side, {name}", line="band side", said=said, a=front, b=back))
    return pieces, tuple(seams)


def rectangle(
    width_mm: float,
    height_mm: float,
    allowance_mm: float,
    names: tuple[str, ...] = ("lower", "right", "upper", "left"),
) -> tuple[Edge, ...]:
    """Return the edges of a rectangle with its corner at the origin, the lower one first."""
    corners = [(0.0, 0.0), (width_mm, 0.0), (width_mm, height_mm), (0.0, height_mm)]
    return tuple(
        Edge(name=name, path=line(corners[i], corners[(i + 1) % 4]), allowance_mm=allowance_mm)
        for i, name in enumerate(names)
    )


def _piece(side: str, width: float, c: BandContext, notes: tuple[str, ...]) -> Piece:
    """Return one flat band piece, lower edge at the bottom, fold in the middle."""
    flat = 2.0 * c.height_mm
    edges = rectangle(width, flat, c.seam_mm)
    count = 1 if side == "front" else 2
    centre: NotchRole = "centre front" if side == "front" else "centre back"
    places: tuple[tuple[float, int, NotchRole], ...] = (
        (0.25, 1, "quarter"),
        (0.5, count, centre),
        (0.75, 1, "quarter"),
    )
    notches = tuple(
        Notch(edge=e, at_mm=width * at, count=n, role=role)
        for e in ("lower", "upper")
        for at, n, role in places
    )
    middle = flat / 2.0
    lines = (
        Line(kind="fold", path=line((0.0, middle), (width, middle)), label="fold"),
        Line(
            kind="grain",
            path=line((width * 0.12, flat * 0.12), (width * 0.12, flat * 0.88)),
            label=c.grain_says,
        ),
    )
    return Piece(
        name=f"{side}_band",
        title=f"{side.capitalize()} waistband",
        copies=1,
        edges=edges,
        notches=notches,
        lines=lines,
        notes=tuple(filter(None, (c.lies, *notes))),
        label_at=(width * 0.2, middle + min(24.0, 0.42 * flat)),
        rest_at=(width * 0.2, middle - 2.0),
        label_width_mm=width * 0.6,
    )
