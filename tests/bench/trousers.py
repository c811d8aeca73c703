"""The public instance TROUSERS with the project's own search: `python -m bench.trousers FILE`.

64 pieces of 17 outlines, half turns allowed, on a strip 79 units broad; first used by Oliveira,
Gomes and Ferreira (TOPOS, OR Spektrum 22, 2000), collected by the EURO working group on cutting and
packing, and not part of this project. FILE is JSON: `strip_height` and `items` with `demand` and
`outline`. Prints the density, areas and overlaps by shapely; wanted is 91.2 % in 120 s.
`--processor`: the solver's own processor time is counted, for a machine that others use too.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations
from pathlib import Path

from bench.lay_cases import Case
from bench.lay_reference import count_processor_time
from lay_pieces import polygon_piece
from shapely import Polygon

from outseam.draft.lay.model.placement import outline_of_cut
from outseam.draft.lay.ways.plan import plan_lay

#: One unit of the instance, mm: lays are exact to some tenths of a millimetre.
UNIT_MM = 100.0
SECONDS, WANTED = 120.0, 0.912


def main(arguments: Sequence[str]) -> None:
    """Lay the instance and print what shapely says of it."""
    (file,) = (a for a in arguments if not a.startswith("--"))
    instance = json.loads(Path(file).read_text())
    pieces = []
    for n, item in enumerate(instance["items"]):
        outline = Polygon(item["outline"]).normalize().exterior.reverse()
        # The instance has its strip along x; a piece lies with its y along the fabric.
        corners = [(-UNIT_MM * y, UNIT_MM * x) for x, y in list(outline.coords)[:-1]]
        pieces.append(polygon_piece(f"piece{n}", corners, copies=item["demand"]))
    breadth = UNIT_MM * instance["strip_height"]
    pattern = Case("straight-97", breadth, "single", False).pattern()
    fabric = replace(
        pattern.spec.fabric, kind="woven", gap=0.0, shrink_across=0.0, shrink_along=0.0
    )
    pattern = replace(pattern, pieces=tuple(pieces), spec=replace(pattern.spec, fabric=fabric))
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder:
        if "--processor" in arguments:
            count_processor_time(Path(folder))
        lay = plan_lay([pattern], seconds=SECONDS)
    took = time.monotonic() - began
    shapes = [Polygon(p.lie.points(outline_of_cut(p.piece))) for p in lay.placed]
    length = max(s.bounds[2] for s in shapes) - min(s.bounds[0] for s in shapes)
    high = max(s.bounds[3] for s in shapes) - min(s.bounds[1] for s in shapes)
    over = sum(a.intersection(b).area for a, b in combinations(shapes, 2))
    area = sum(s.area for s in shapes)
    print(f"{len(shapes)} pieces, {lay.how}, {took:.0f} s; {len(lay.errors)} errors of the judge")
    print(f"length {length / UNIT_MM:.2f}, breadth {high / UNIT_MM:.2f} units")
    print(f"overlap {over / area:.2e} of the area; density {area / (length * breadth):.2%}, ")
    print(f"wanted {WANTED:.1%}")


if __name__ == "__main__":
    main(sys.argv[1:])
