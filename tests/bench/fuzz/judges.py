"""What is wrong with a pattern or its files, judged without the program's own geometry.

Curves are evaluated by scipy, areas and overlaps by shapely, PDFs are read by pypdf, XML by the
standard library. Every judge yields sentences; none means that nothing was found.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import ezdxf
import numpy as np
import pypdf
from PIL import Image
from scipy.interpolate import BPoly
from shapely import LinearRing, LineString, Polygon, box, points

from outseam.curves.path import Path
from outseam.draft.lay.model.result import Lay
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece, Stretch

Floats = np.ndarray[Any, np.dtype[np.float64]]

#: Seams and notches meet to this, allowances are kept to that, mm.
SEAM_MM = 0.6
ALLOWANCE_MM = 0.12
SQUARE_MM = 0.02
MM = 25.4 / 72.0
_PER_SEGMENT = 80


def spots(path: Path) -> Floats:
    """Return points (m, 2) close together along a path."""
    c = np.asarray(path.cubics).transpose(1, 0, 2)
    n = c.shape[1]
    found: Floats = BPoly(c, np.arange(n + 1.0))(np.linspace(0.0, n, n * _PER_SEGMENT + 1))
    return found


def long(path: Path) -> float:
    """Return the length of a path, mm."""
    return float(np.hypot(*np.diff(spots(path), axis=0).T).sum())


def outline(paths: Iterator[Path] | list[Path] | tuple[Path, ...]) -> Floats:
    """Return the closed outline of chained paths, its last point not repeated."""
    return np.concatenate([spots(p)[:-1] for p in paths])


def piece_faults(piece: Piece) -> Iterator[str]:
    """Outlines closed, simple and counter-clockwise; the cut outside by each edge's allowance."""
    shapes = {}
    for kind, paths in (("sewing", [e.path for e in piece.edges]), ("cutting", list(piece.cut))):
        for one, following in zip(paths, [*paths[1:], paths[0]], strict=True):
            if np.abs(np.subtract(one.end, following.start)).max() > 1e-3:
                yield f"{piece.name}: its {kind} line is open at {one.end}"
        ring = LinearRing(outline(paths))
        if not ring.is_simple:
            yield f"{piece.name}: its {kind} line crosses itself"
        if not ring.is_ccw:
            yield f"{piece.name}: its {kind} line runs the wrong way"
        shapes[kind] = Polygon(ring)
    if all(s.is_valid for s in shapes.values()):
        outside = shapes["sewing"].difference(shapes["cutting"].buffer(ALLOWANCE_MM)).area
        if outside > 1.0:
            yield f"{piece.name}: {outside:.1f} mm2 of it lie outside the cutting line"
    for edge, cut in zip(piece.edges, piece.cut, strict=True):
        sewn = spots(edge.path)
        # By length: an edge may begin with a crumb of a curve.
        way = np.concatenate(([0.0], np.hypot(*np.diff(sewn, axis=0).T))).cumsum()
        middle = points(sewn[np.searchsorted(way, np.linspace(0.35, 0.65, 20) * way[-1])])
        far = np.array([LineString(spots(cut)).distance(p) for p in middle])
        off = float(np.abs(far - edge.allowance_mm).max())
        if long(edge.path) < 4.0 * edge.allowance_mm:
            continue  # its corners meet before its middle
        if off > ALLOWANCE_MM:
            yield f"{piece.name}.{edge.name}: the allowance is off by {off:.2f} mm"
        for notch in piece.notches:
            if notch.edge == edge.name and not -0.5 <= notch.at_mm <= long(edge.path) + 0.5:
                yield f"{piece.name}.{edge.name}: a notch lies beyond the edge"


def seam_faults(pattern: Pattern) -> Iterator[str]:
    """Both sides of every seam as long as planned; notches of the long seams face each other."""

    def sewn(s: Stretch) -> float:
        whole = long(pattern.piece(s.piece).edge(s.edge).path)
        to = whole if s.to_end or abs(s.to_mm - whole) < 5.0 else s.to_mm
        if not -0.5 <= s.from_mm <= to <= whole + 0.5:
            return float("nan")
        return (to - s.from_mm) * s.times

    for seam in pattern.seams:
        off = sewn(seam.a) - sewn(seam.b) - seam.ease_mm
        if not abs(off) <= SEAM_MM:
            yield f"seam {seam.name}: one side is {off:.2f} mm longer than planned"
    for front in (p for p in pattern.pieces if p.part == "front"):
        back = pattern.piece(front.name.replace("front", "back"))
        # Both legs run counter-clockwise, so an outseam is met from opposite ends.
        for name, from_end in (("outseam", True), ("inseam", False)):
            try:
                edges = front.edge(name), back.edge(name)
            except KeyError:  # a pocket divides the edge
                continue
            total = [long(e.path) for e in edges]
            at = [
                {n.role: total[i] - n.at_mm if from_end else n.at_mm for n in p.notches
                 if n.edge == name}
                for i, p in enumerate((front, back))
            ]  # fmt: skip
            shared = at[0].keys() & at[1].keys()
            ease = abs(total[0] - total[1])
            for role in shared:
                if abs(at[0][role] - at[1][role]) > SEAM_MM + ease:
                    yield f"{name}: the {role} notches of {front.name} and back do not meet"


def lay_faults(lay: Lay) -> Iterator[str]:
    """No piece on another, none off the cloth."""
    lie = [
        (p.key, p.part.zone, Polygon(outline([p.lie.path(c) for c in p.piece.cut])))
        for p in lay.placed
    ]
    cloth = box(-0.1, -0.1, lay.length_mm + 0.1, lay.cloth.width_mm + 0.1)
    for key, zone, shape in lie:
        if zone != "fold" and not cloth.contains(shape):
            yield f"lay: {key} lies off the cloth"
    for (a, zone_a, one), (b, zone_b, other) in combinations(lie, 2):
        if zone_a == zone_b and one.buffer(-0.15).intersection(other).area > 0.01:
            yield f"lay: {a} lies on {b}"


_WORDS = re.compile(rb"(?<![A-Za-z])(nan|inf|-inf|None|NaN|Infinity)(?![A-Za-z])")


def _squares(data: bytes, across: float, along: float) -> Iterator[str]:
    """The test squares of page 1 are true, or as far off as the printer is told to be."""
    sizes: list[tuple[float, float]] = []

    def visit(operator: bytes, operands: list[Any], matrix: list[float], _: object) -> None:
        if operator == b"re":
            w, h = float(operands[2]), float(operands[3])
            sizes.append((abs(w * matrix[0]) * MM, abs(h * matrix[3]) * MM))

    pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text(visitor_operand_before=visit)
    for side in (100.0, 101.6):
        wanted = side * across, side * along
        off = min(max(abs(w - wanted[0]), abs(h - wanted[1])) for w, h in sizes or [(0.0, 0.0)])
        if off > SQUARE_MM:
            yield f"the square of {side} mm is off by {off:.3f} mm"


def file_faults(files: Mapping[str, bytes], across: float, along: float) -> Iterator[str]:
    """Every file is what its name says, with numbers in it; test squares are true."""
    for name, data in files.items():
        ending = name.rpartition(".")[2]
        if ending == "svg":
            root = ElementTree.fromstring(data)
            sizes = [float(root.attrib[k].removesuffix("mm")) for k in ("width", "height")]
            drawn = [float(x) for x in root.attrib["viewBox"].split()[2:]]
            if np.abs(np.subtract(sizes, drawn)).max() > 1e-6:
                yield f"{name}: it is not to scale"
            if _WORDS.search(re.sub(rb"<(text|title|desc)\b.*?</\1>", b"", data, flags=re.DOTALL)):
                yield f"{name}: a number is none"
        elif ending == "json":
            json.loads(data, parse_constant=_refused)
        elif ending == "pdf":
            pages = len(pypdf.PdfReader(io.BytesIO(data)).pages)
            if not pages:
                yield f"{name}: it has no page"
            if name.endswith(("-a4.pdf", "-letter.pdf")):
                yield from (f"{name}: {f}" for f in _squares(data, across, along))
        elif ending == "png":
            Image.open(io.BytesIO(data)).verify()
        elif ending == "dxf":
            faults = ezdxf.read(io.StringIO(data.decode("cp1252"))).audit().errors
            yield from (f"{name}: {fault.message}" for fault in faults)
        elif ending in ("html", "csv"):
            data.decode("utf-8")
        else:
            yield f"{name}: no judge knows such files"


def _refused(word: str) -> float:
    raise ValueError(f"{word} is no number of JSON")


def pattern_faults(pattern: Pattern) -> Iterator[str]:
    """All that is wrong with a pattern, the program's own verdict first."""
    yield from (f"own check: {f.check}, {f.where}: {f.measured:.3f}" for f in pattern.errors)
    for piece in pattern.pieces:
        yield from piece_faults(piece)
    yield from seam_faults(pattern)
