"""What to have at hand besides the fabric: elastic, thread and needles, from a finished pattern.

Thread is reckoned from the lines of stitching that the pieces and seams of the pattern make
necessary, so a piece or seam added by a feature is counted without being named here.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from outseam.draft.checks.seams import measured_mm
from outseam.draft.fabric import HEAVY_G, LIGHT_G, Fabric
from outseam.draft.inputs.usual import ELASTIC_OVERLAP
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece, Seam, Stretch
from outseam.draft.piece.ruler import ruler_length

#: Bought on top of what the seams take: thread ends, a trial seam, one seam unpicked (common
#: practice, no source).
SPARE_RATIO: Final = 0.25

#: A stretch of which no more than this is left out of earlier seams is sewn already.
_SAME_MM: Final = 1.0

#: From this stretch on a knit is sewn with a stretch needle: the trade's "stretchy" class.
STRETCH_NEEDLE_RATIO: Final = 0.5

LineUse = Literal["seam", "open", "tube", "hem", "top"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Elastic:
    """The elastic of a waistband, mm; `length_mm` is joined, without the overlap."""

    width_mm: float
    length_mm: float
    overlap_mm: float

    @property
    def cut_mm(self) -> float:
        """Length to cut."""
        return self.length_mm + self.overlap_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchLine:
    """Lines of stitching of one name, all of the garment together.

    "seam" joins raw edges, "open" one that is pressed open, "tube" one that is turned inside; "hem"
    turns one in, "top" lies on the right side or holds the elastic.
    """

    name: str
    use: LineUse
    length_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stitch:
    """A stitch: its class, what it is called, and thread per length of seam.

    Class numbers are those of ASTM D6193, from memory. Thread per seam is common practice, no
    source: it changes with fabric, tension and stitch length by a fifth and more. `threads` run at
    once; the hungriest takes `largest_share` of the thread (from memory: needles about a fifth to
    a third together, loopers the rest).
    """

    number: str
    says: str
    thread_ratio: float
    threads: int = 1
    largest_share: float = 1.0


LOCKSTITCH: Final = Stitch(number="301", says="lockstitch, straight", thread_ratio=2.5)
TWIN: Final = Stitch(
    number="2 × 301",
    says="two needles in the sewing machine",
    thread_ratio=5.0,
    threads=3,
    largest_share=0.5,
)
ZIGZAG: Final = Stitch(number="304", says="zigzag", thread_ratio=7.0)
OVERLOCK_3: Final = Stitch(
    number="504",
    says="overlock, three threads",
    thread_ratio=14.0,
    threads=3,
    largest_share=0.45,
)
OVERLOCK_4: Final = Stitch(
    number="514", says="overlock, four threads", thread_ratio=20.0, threads=4, largest_share=0.4
)
COVER: Final = Stitch(
    number="605",
    says="cover stitch, three needles",
    thread_ratio=28.0,
    threads=5,
    largest_share=0.4,
)


#: What the sewing machine sews, from one and the same thread.
ON_MACHINE: Final = (LOCKSTITCH, ZIGZAG, TWIN)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadUse:
    """What one stitch is used for: the names of its lines, their length and its thread, mm.

    `thread_mm` includes the spare.
    """

    stitch: Stitch
    lines: tuple[str, ...]
    seam_mm: float
    thread_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Materials:
    """What to buy or lay ready. `elastic` is None for a band that holds by itself."""

    elastic: Elastic | None
    thread: tuple[ThreadUse, ...]
    needle: str
    stitches: tuple[str, ...]


def elastic_of(pattern: Pattern) -> Elastic | None:
    """Return the elastic of the pattern's waistband."""
    if pattern.band.elastic_mm is None:
        return None
    return Elastic(
        width_mm=pattern.spec.style.elastic_width,
        length_mm=pattern.band.elastic_mm,
        overlap_mm=ELASTIC_OVERLAP.mm(pattern.spec.units),
    )


def times_sewn(pattern: Pattern, seam: Seam) -> int:
    """Return how many times a seam is sewn in one garment: twice for a pair of legs."""
    counts = [max(1, pattern.piece(s.piece).copies // s.times) for s in (seam.a, seam.b)]
    return min(counts)


def _sewn_mm(pattern: Pattern, stretch: Stretch, earlier: Sequence[tuple[Stretch, int]]) -> float:
    """Return how much of a stretch, on average over its copies, lies in earlier seams."""
    total = 0.0
    for s, used in earlier:
        if (s.piece, s.edge) == (stretch.piece, stretch.edge):
            shared = min(s.to_mm, stretch.to_mm) - max(s.from_mm, stretch.from_mm)
            total += max(0.0, shared) * used
    return total / pattern.piece(stretch.piece).copies


def separate_seams(pattern: Pattern) -> tuple[tuple[Seam, bool], ...]:
    """Return each seam, and whether it is a line of stitching of its own.

    It is not where one of its sides lies in earlier seams already, on every copy of its piece: the
    second edge of a folded band goes into the same line as the first.
    """
    earlier: list[tuple[Stretch, int]] = []
    found = []
    for seam in pattern.seams:
        sides = (seam.a, seam.b)
        caught = any(_sewn_mm(pattern, s, earlier) > s.to_mm - s.from_mm - _SAME_MM for s in sides)
        found.append((seam, not caught))
        times = times_sewn(pattern, seam)
        earlier += [(s, s.times * times) for s in sides]
    return tuple(found)


def centre_seams(pattern: Pattern) -> tuple[tuple[Piece, float], ...]:
    """Return the legs whose crotch edges are sewn to their own mirror images, and how long, mm."""
    return tuple(
        (piece, ruler_length(edge.path))
        for piece, edge in pattern.unsewn_edges()
        if edge.name == "crotch"
    )


#: Parts whose seams among each other lie open or are turned: those of band and belt.
_BANDS: Final = ("front_band", "back_band")


def _use_of(pattern: Pattern, seam: Seam) -> LineUse:
    """Return how a seam is sewn: a belt is a tube, the band's sides are pressed open."""
    sides = [(pattern.piece(s.piece).part, s.edge) for s in (seam.a, seam.b)]
    if any(part == "belt" for part, _ in sides):
        return "tube"
    if all(part in _BANDS and edge in ("left", "right") for part, edge in sides):
        return "open"
    return "seam"


def stitch_lines(pattern: Pattern) -> tuple[StitchLine, ...]:
    """Return all lines of stitching of the garment, those of one name added up.

    A seam is as long as its longer side, because the shorter one is stretched to it. Edges of the
    legs that no seam names join their mirror image or go on from a seam through a turned-in
    allowance: each is half of a seam. Other pieces' are stitched down.
    """
    total: dict[tuple[str, LineUse], float] = {}

    def add(name: str, use: LineUse, mm: float) -> None:
        total[name, use] = total.get((name, use), 0.0) + mm

    for seam, separate in separate_seams(pattern):
        if separate:
            longer = max(measured_mm(pattern, seam.a), measured_mm(pattern, seam.b))
            mm = longer * times_sewn(pattern, seam)
            add(seam.line or seam.name, _use_of(pattern, seam), mm)
    for piece, edge in pattern.unsewn_edges():
        mm = ruler_length(edge.path) * piece.copies
        if edge.name.endswith("_cut"):
            add(edge.name.removesuffix("_cut"), "hem", mm)
        elif edge.allowance_mm > 0.0:
            if piece.part in ("front", "back"):
                add(edge.name.split("_")[0], "seam", mm / 2.0)
            else:
                add(piece.title.lower(), "top", mm)
    for piece in pattern.pieces:
        top = sum(ruler_length(x.path) for x in piece.lines if x.kind == "topstitch")
        if top > 0.0:
            add(f"topstitching, {piece.title.lower()}", "top", top * piece.copies)
    if pattern.band.elastic_mm is not None:
        across = pattern.block.band_height_mm or pattern.spec.style.elastic_width
        add("elastic held at the side seams", "top", 2.0 * across)
    return tuple(StitchLine(name=name, use=use, length_mm=mm) for (name, use), mm in total.items())


def plan_of(fabric: Fabric, machines: Collection[str]) -> dict[LineUse, tuple[Stitch, ...]]:
    """Return the runs of stitching that a line of each use gets on these machines.

    A knit is overlocked, or sewn with a zigzag; a woven seam is straight-stitched and both its
    edges are neatened (common practice, no source).
    """
    overlock, cover = "overlock" in machines, "coverstitch" in machines
    if fabric.kind == "knit":
        seam = OVERLOCK_4 if overlock else ZIGZAG
        hem = COVER if cover else TWIN
        return {
            "seam": (seam,),
            "open": (ZIGZAG,),
            "tube": (ZIGZAG,),
            "hem": (hem,),
            "top": (LOCKSTITCH,),
        }
    neat = OVERLOCK_3 if overlock else ZIGZAG
    return {
        "seam": (LOCKSTITCH, neat, neat),
        "open": (LOCKSTITCH, neat, neat),
        "tube": (LOCKSTITCH,),
        "hem": (LOCKSTITCH, neat),
        "top": (LOCKSTITCH,),
    }


def thread_of(pattern: Pattern) -> tuple[ThreadUse, ...]:
    """Return the thread for each stitch, the spare included, the hungriest stitch first."""
    plan = plan_of(pattern.spec.fabric, pattern.spec.machines)
    names: dict[Stitch, list[str]] = {}
    lengths: dict[Stitch, float] = {}
    for run in stitch_lines(pattern):
        for stitch in plan[run.use]:
            names.setdefault(stitch, []).append(run.name)
            lengths[stitch] = lengths.get(stitch, 0.0) + run.length_mm
    uses = [
        ThreadUse(
            stitch=stitch,
            lines=tuple(dict.fromkeys(names[stitch])),
            seam_mm=mm,
            thread_mm=mm * stitch.thread_ratio * (1.0 + SPARE_RATIO),
        )
        for stitch, mm in lengths.items()
    ]
    return tuple(sorted(uses, key=lambda u: (-u.thread_mm, u.stitch.number)))


def needle_for(fabric: Fabric) -> str:
    """Return which needle to put in (common practice, no source)."""
    weight = fabric.weight
    heavy = weight is not None and weight >= HEAVY_G
    light = weight is not None and weight < LIGHT_G
    size = "90/14" if heavy else "70/10" if light else "80/12"
    if fabric.kind == "woven":
        return f"universal, size {size}"
    kind = "stretch" if fabric.stretch_across_ratio >= STRETCH_NEEDLE_RATIO - 1e-9 else "ballpoint"
    return f"{kind}, size {'75/11' if size == '80/12' and kind == 'stretch' else size}"


def twin_needle_for(fabric: Fabric, machines: Collection[str]) -> str:
    """Return the twin needle of a hem that has to give, "" where none is wanted."""
    if fabric.kind == "woven" or "coverstitch" in machines:
        return ""
    return "twin needle for stretch fabric, 4 mm apart"


def stitches_for(fabric: Fabric, machines: Collection[str]) -> tuple[str, ...]:
    """Return short advice on stitches by the machines at hand (common practice, no source)."""
    if fabric.kind == "woven":
        neat = "overlock" if "overlock" in machines else "zigzag"
        return (
            "Seams: straight stitch, 2.5 mm long; the crotch seam twice, the second line on top "
            "of the first.",
            f"Edges: {neat} both allowances, then press the seam.",
            "Hem: turn up, press, straight stitch 3 mm long.",
        )
    seam = "overlock" if "overlock" in machines else "zigzag 0.5 mm wide, 2.5 mm long"
    hem = "cover stitch" if "coverstitch" in machines else "two needles in the sewing machine"
    return (
        f"Seams: {seam}. A plain straight stitch breaks when the seam is stretched.",
        "Sides of the band, and a belt: zigzag 0.5 mm wide, 2.5 mm long, because they are pressed "
        "open or turned.",
        f"Hem: {hem}; stretch a sample before you trust it.",
        "The band is stretched while it is sewn on, the leg never: let the feed carry it.",
    )


def materials_of(pattern: Pattern) -> Materials:
    """Return the materials of a pattern, fabric apart."""
    fabric = pattern.spec.fabric
    return Materials(
        elastic=elastic_of(pattern),
        thread=thread_of(pattern),
        needle=needle_for(fabric),
        stitches=stitches_for(fabric, pattern.spec.machines),
    )
