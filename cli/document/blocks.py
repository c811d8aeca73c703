"""What a worksheet is made of: plain blocks that the HTML page and the PDF both read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from outseam.cli.scene.scene import Scene

NoticeLevel: TypeAlias = Literal["note", "warning", "error"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """A paragraph; `small` for remarks below something."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Rows of a word and what there is to say about it."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BulletList:
    """A list of sentences."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notices:
    """Sentences with a flag in front: "warning" stands out, "note" does not."""

    items: tuple[tuple[NoticeLevel, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table; `shares` are widths of the columns, `right` those whose cells are numbers."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    right: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A picture at its own size, and what it shows for those who cannot see it."""

    name: str
    scene: Scene
    caption: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blanks:
    """Places to write, side by side."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StepBlock:
    """A numbered step with a box to tick, its picture beside it; `caution` is "" without one."""

    number: int
    title: str
    sentences: tuple[str, ...]
    caution: str
    name: str
    scene: Scene


DocumentBlock: TypeAlias = (
    Paragraph | Facts | BulletList | Notices | Table | Drawing | Blanks | StepBlock
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A headed part of the sheet; `key` is its name for links and tests.

    `new_page` begins it on a page of its own.
    """

    key: str
    title: str
    blocks: tuple[DocumentBlock, ...]
    new_page: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """The whole worksheet: its title, a line below, and sections in order."""

    title: str
    lead: str
    sections: tuple[Section, ...]
    paper: str = "a4"
