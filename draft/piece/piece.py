"""What a pattern is made of: pieces with edges, notches and lines, and the seams between them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from outseam.curves.path import Path
from outseam.curves.point import Point
from outseam.draft.inputs.words import Sentence

Side = Literal["", "left", "right"]
LineKind = Literal["grain", "crease", "level", "lengthen", "fold", "topstitch"]
#: What a line is for, where its kind does not say it: the folds of the hem and of a casing; where a
#: pocket is set on a leg, and its upper edge; where the edge of a mouth lies on what shows in it;
#: where a slit or a zip is stitched; how a printed border runs over it.
LineRole = Literal[
    "",
    "hem fold",
    "casing fold",
    "pocket place",
    "pocket top",
    "pocket mouth",
    "ankle stitching",
    "border begins",
    "border figure",
    "border ends",
]
#: What a notch is for. Notches of one role on the two sides of a seam are sewn on each other.
NotchRole = Literal[
    "crotch",
    "hip",
    "knee",
    "band quarter",
    "quarter",
    "centre front",
    "centre back",
    "pocket opening, top",
    "pocket opening, end",
    "pocket mouth",
    "pocket mouth, waist",
    "fold",
    "hem fold",
    "belt",
    "ankle opening",
    "border begins",
    "border ends",
]
#: The ends of a pocket's opening in a seam.
OPENING_ENDS: Final[tuple[NotchRole, NotchRole]] = ("pocket opening, top", "pocket opening, end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """One edge of the sewing outline, run counter-clockwise, and the allowance outside it, mm."""

    name: str
    path: Path
    allowance_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A notch on an edge, `at_mm` from the edge's start; `count` ticks (1 front, 2 back).

    `named`: its role is printed beside it; the others are told apart by where they are.
    """

    edge: str
    at_mm: float
    role: NotchRole
    count: int = 1
    named: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line inside a piece. `label` is printed along it, and is no more than that."""

    kind: LineKind
    path: Path
    label: str = ""
    role: LineRole = ""


def cut_words(copies: int, *, mirrored: bool, lining: bool = False) -> str:
    """Return how often to cut a piece, in words: `cut 2, mirrored`."""
    of = " of lining" if lining else ""
    return f"cut {copies}{of}, mirrored" if mirrored else f"cut {copies}{of}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A pattern piece: sewing edges and cutting edges both run counter-clockwise and closed.

    `cut` has one path per edge, none yet while the pattern is in the making. `name` is the key
    other parts refer to, `title` what is printed, `copies` how often it is cut, half of them as
    mirror images where `mirrored`; `any_grain` says that nothing stretches it, so that it may lie
    along the fabric or across; `lining` that it is cut from another cloth. `cut_note` is what is
    printed about all that; it follows from them unless it is given.
    `side` is the wearer's side where a piece has it to itself, `drawn_for` the side on which it is
    worn as it is drawn, printed side up, where that matters; `turned_over` says that its one copy
    is cut with the printed side down.
    `completes` is the piece that this one makes whole: a facing in a corner that was cut away. It
    lies in the other's coordinates and has edges of the same names.
    `label_at` is where the title block goes, `rest_at` where it goes on after its first two lines
    (None: straight on below), `label_turn_deg` how it is turned on the piece.
    """

    name: str
    title: str
    copies: int = 1
    mirrored: bool = False
    any_grain: bool = False
    lining: bool = False
    side: Side = ""
    drawn_for: Side = ""
    turned_over: bool = False
    completes: str = ""
    cut_note: str = ""
    edges: tuple[Edge, ...]
    cut: tuple[Path, ...] = ()
    notches: tuple[Notch, ...] = ()
    lines: tuple[Line, ...] = ()
    notes: tuple[str, ...] = ()
    label_at: Point = (0.0, 0.0)
    label_width_mm: float = 100.0
    rest_at: Point | None = None
    label_turn_deg: float = 0.0

    def __post_init__(self) -> None:
        if not self.cut_note:
            words = cut_words(self.copies, mirrored=self.mirrored, lining=self.lining)
            object.__setattr__(self, "cut_note", words)

    @property
    def part(self) -> str:
        """Its name without the wearer's side: `front` for either front leg."""
        return self.name.removesuffix(f"_{self.side}") if self.side else self.name

    def edge(self, name: str) -> Edge:
        """Return the edge of that name; raises KeyError."""
        for e in self.edges:
            if e.name == name:
                return e
        raise KeyError(f"{self.name}.{name}")

    def line(self, role: LineRole) -> Line | None:
        """Return the first line of a role, None where the piece has none."""
        return next((x for x in self.lines if x.role == role), None)

    def opening_ends_mm(self) -> tuple[float, ...]:
        """Return where along their edge the ends of a pocket's opening are notched, in order."""
        return tuple(sorted(n.at_mm for n in self.notches if n.role in OPENING_ENDS))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A part of an edge: from `from_mm` to `to_mm` along it; `times` such edges are sewn on end.

    `to_end` says that the part is meant to reach the edge's end, wherever a piece has it.
    """

    piece: str
    edge: str
    from_mm: float
    to_mm: float
    times: int = 1
    to_end: bool = False

    @property
    def length_mm(self) -> float:
        """Length of the part, all its copies together."""
        return (self.to_mm - self.from_mm) * self.times


@dataclass(frozen=True, slots=True, kw_only=True)
class Seam:
    """Two stretches sewn to each other; `ease_mm` is how much longer `a` is than `b` on purpose.

    `name` is its key, `line` the line of stitching it is part of, `between` the marks from which
    and to which it runs where the line has several. `said` is what it is called where that does
    not tell; `end` tells a pair apart on a band, `side` is the wearer's leg where the legs differ.
    """

    name: str
    a: Stretch
    b: Stretch
    ease_mm: float = 0.0
    line: str = ""
    between: tuple[str, str] | None = None
    said: str = ""
    end: Side = ""
    side: Side = ""

    @property
    def says(self) -> str:
        """What it is called: `outseam from knee to pocket`."""
        from_to = f"{self.line} from {self.between[0]} to {self.between[1]}" if self.between else ""
        leg = f"{self.side} leg" if self.side else ""
        return ", ".join(filter(None, (from_to or self.said or self.name, self.end, leg)))


#: How grave it is that something does not hold: worth knowing; doubtful; not to be written.
Doubt: TypeAlias = Literal["note", "warning", "error"]
FindingUnit: TypeAlias = Literal["mm", "ratio", "deg", "count", "sd"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """The verdict of one check at one place. Lengths in mm, ratios as ratios, angles in degrees.

    `says` is what should hold, `advice` what is told to a person who sews where it does not: what
    it means for the pants and what to do. `side` is the wearer's side where only one leg has it.
    `where` is read by people; `about` has the keys of what it concerns: a measurement, an opening,
    the pieces of a lay, a seam and the place on it.
    """

    check: str
    where: str
    level: Literal["pass"] | Doubt
    measured: float
    expected: float
    tolerance: float
    unit: FindingUnit = "mm"
    says: Sentence
    advice: Sentence = ""
    side: Side = ""
    about: tuple[str, ...] = ()


def sided_name(part: str, side: str) -> str:
    """Return the name of one side's piece; the left leg keeps the plain name."""
    return part if side == "left" else f"{part}_{side}"
