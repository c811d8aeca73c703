"""A nest: for every piece of a style its shapes in all sizes, laid over each other."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import shapely

from outseam.cli.nest.align import Way, reference_points, way_named
from outseam.cli.pattern.drawing import Place, cut_outline, pieces_to_print
from outseam.cli.scene.line_styles import LINE_STYLES
from outseam.cli.scene.scene import Pen
from outseam.curves.path import Floats
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece
from outseam.draft.sizes import SizeRun


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A piece in one size, and how it is moved so that its reference lies at the origin."""

    size: str
    piece: Piece
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """One piece in all sizes that have it, smallest first as the run has them."""

    name: str
    members: tuple[Member, ...]

    @property
    def smallest(self) -> Member:
        """The size whose words and grain have room inside all others."""
        return min(self.members, key=lambda m: shapely.Polygon(cut_outline(m.piece)).area)

    def outline(self) -> Floats:
        """Return the line (m, 2), mm, round all sizes together, not repeated at its end."""
        shapes = [
            shapely.Polygon(cut_outline(m.piece) + np.array((m.place.dx_mm, m.place.dy_mm)))
            for m in self.members
        ]
        whole = shapely.union_all([s if s.is_valid else s.buffer(0.0) for s in shapes])
        # Sizes that share a point also share an area: one outline goes round them.
        largest = max(shapely.get_parts(whole), key=lambda part: part.area)
        return np.asarray(shapely.get_coordinates(largest.exterior)[:-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class Nest:
    """The sizes of a style, their patterns, their pens, and the families of their pieces.

    A size keeps its pen where only some sizes are taken.
    """

    title: str
    way: Way
    labels: tuple[str, ...]
    patterns: tuple[Pattern, ...]
    pens: tuple[Pen, ...]
    families: tuple[Family, ...]

    @property
    def units(self) -> Units:
        """The units of the file."""
        return self.patterns[0].spec.units

    def pen(self, label: str) -> Pen:
        """Return the pen of a size; raises ValueError for a size that is not there."""
        return self.pens[self.labels.index(label)]

    def pattern(self, label: str) -> Pattern:
        """Return the pattern of a size; raises ValueError for a size that is not there."""
        return self.patterns[self.labels.index(label)]

    def only(self, labels: Iterable[str]) -> Nest:
        """Return the nest of some of the sizes, in their order here, aligned and drawn as before.

        Raises InputError for a size that is not there, and for none.
        """
        wanted = set(labels)
        unknown = sorted(wanted - set(self.labels))
        if unknown or not wanted:
            got = f'there is no size "{unknown[0]}"' if unknown else "no size at all"
            raise InputError("sizes", got, ", ".join(self.labels), "name one or more of them")
        kept = [i for i, label in enumerate(self.labels) if label in wanted]
        families = [
            replace(f, members=tuple(m for m in f.members if m.size in wanted))
            for f in self.families
        ]
        return replace(
            self,
            labels=tuple(self.labels[i] for i in kept),
            patterns=tuple(self.patterns[i] for i in kept),
            pens=tuple(self.pens[i] for i in kept),
            families=tuple(f for f in families if f.members),
        )


def nest_of(run: SizeRun, align: str = "crotch") -> Nest:
    """Return the nest of a run of sizes; `align` names one of `align.WAYS`.

    Pens repeat after the twelfth size, when lines are far apart. Raises InputError for an unknown
    way and for a run without a pattern.
    """
    if not run.patterns:
        raise InputError("sizes", "no size could be drafted", "at least one", "see the reasons")
    way = way_named(align)
    found: dict[str, list[tuple[str, Pattern, Piece]]] = {}
    for label, pattern in zip(run.labels, run.patterns, strict=True):
        for piece in pieces_to_print(pattern):
            found.setdefault(piece.name, []).append((label, pattern, piece))
    return Nest(
        title=run.title,
        way=way,
        labels=run.labels,
        patterns=run.patterns,
        pens=tuple(LINE_STYLES[i % len(LINE_STYLES)] for i in range(len(run.labels))),
        families=tuple(_family(name, sized, way) for name, sized in found.items()),
    )


def _family(name: str, sized: list[tuple[str, Pattern, Piece]], way: Way) -> Family:
    points = reference_points([(pattern, piece) for _, pattern, piece in sized], way)
    return Family(
        name=name,
        members=tuple(
            Member(size=label, piece=piece, place=Place(dx_mm=-x, dy_mm=-y))
            for (label, _, piece), (x, y) in zip(sized, points, strict=True)
        ),
    )
