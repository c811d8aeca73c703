"""A small drawing board for pictures of bodies: shapes, tapes and words in mm on paper, as SVG.

Millimetres on paper, x right, y down. Everything is written with plain attributes, so that a
picture looks the same inside a page and alone, and needs nothing from outside.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Point: TypeAlias = tuple[float, float]

INK = "#1d1a18"
PAPER = "#ffffff"
SKIN = "#fbf7f2"
SHADE = "#ebe3da"
CLOTH = "#d8d0c6"
GREY = "#7a726a"
TAPE = "#9b1b34"
"""Colours. The tape is dark enough to stand out as a dark grey on a black-and-white printer."""

LINE_MM, FINE_MM = 0.32, 0.2
WORD_MM = 2.9
DASH = "1.3 0.9"
FACE = "Georgia, 'DejaVu Serif', 'Times New Roman', serif"


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where a body stands on the paper: its zero at (x_mm, floor_mm), `scale` mm for each cm."""

    x_mm: float
    floor_mm: float
    scale: float

    def on_paper(self, points_cm: Floats | Sequence[Point] | Point) -> Floats:
        """Return points of the body (..., 2) as points on the paper."""
        p = np.asarray(points_cm, dtype=np.float64)
        return p * (self.scale, -self.scale) + (self.x_mm, self.floor_mm)


def _number(value: float) -> str:
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


class Sketch:
    """One picture under construction; `svg` gives it as text."""

    def __init__(self, width_mm: float, height_mm: float, title: str) -> None:
        self.width_mm, self.height_mm = width_mm, height_mm
        w, h = _number(width_mm), _number(height_mm)
        self._root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 0 {w} {h}",
                "width": f"{w}mm",
                "height": f"{h}mm",
                "role": "img",
            },
        )
        ElementTree.SubElement(self._root, "title").text = title

    def svg(self) -> str:
        """Return the picture as an SVG element with its size in mm."""
        return ElementTree.tostring(self._root, encoding="unicode")

    def _add(self, tag: str, **attributes: str) -> ElementTree.Element:
        names = {name.replace("_", "-"): value for name, value in attributes.items()}
        return ElementTree.SubElement(self._root, tag, names)

    def shape(
        self,
        pieces: Iterable[Floats],
        *,
        fill: str = "none",
        ink: str = INK,
        width_mm: float = LINE_MM,
        dash: str = "",
        closed: bool = False,
        role: str = "",
    ) -> None:
        """Draw Bezier pieces (n, 4, 2) joined in order; a gap between two is bridged straight.

        `width_mm` 0 draws no line. `role` names the part for whoever reads the file (tests do).
        """
        words: list[str] = []
        for piece in pieces:
            start = " ".join(_number(v) for v in piece[0, 0])
            words.append(f"{'L' if words else 'M'}{start}")
            words += ["C" + " ".join(_number(v) for v in segment[1:].ravel()) for segment in piece]
        if closed:
            words.append("Z")
        self._pen("path", fill, ink, width_mm, dash, role, d="".join(words))

    def line(
        self,
        points: Floats | Sequence[Point],
        *,
        fill: str = "none",
        ink: str = INK,
        width_mm: float = LINE_MM,
        dash: str = "",
        closed: bool = False,
        role: str = "",
    ) -> None:
        """Draw straight lines through points."""
        p = np.asarray(points, dtype=np.float64)
        text = " ".join(f"{_number(x)},{_number(y)}" for x, y in p)
        self._pen("polygon" if closed else "polyline", fill, ink, width_mm, dash, role, points=text)

    def _pen(
        self, tag: str, fill: str, ink: str, width_mm: float, dash: str, role: str, **more: str
    ) -> None:
        given = {"fill": fill, **more}
        if width_mm:
            given |= {
                "stroke": ink,
                "stroke_width": _number(width_mm),
                "stroke_linecap": "butt" if dash else "round",
                "stroke_linejoin": "round",
            }
        if dash:
            given["stroke_dasharray"] = dash
        if role:
            given["class"] = role
        self._add(tag, **given)

    def ellipse(
        self,
        centre: Point,
        rx: float,
        ry: float,
        *,
        fill: str = "none",
        ink: str = INK,
        width_mm: float = LINE_MM,
    ) -> None:
        """Draw an ellipse."""
        self._pen(
            "ellipse",
            fill,
            ink,
            width_mm,
            "",
            "",
            cx=_number(centre[0]),
            cy=_number(centre[1]),
            rx=_number(rx),
            ry=_number(ry),
        )

    def words(
        self,
        at: Point,
        text: str,
        *,
        size_mm: float = WORD_MM,
        anchor: str = "start",
        ink: str = INK,
        bold: bool = False,
        italic: bool = True,
        angle_deg: float = 0.0,
    ) -> None:
        """Write one line of words with its baseline at a point."""
        x, y = _number(at[0]), _number(at[1])
        given = {"x": x, "y": y, "font_family": FACE, "font_size": _number(size_mm)}
        given |= {"fill": ink, "text_anchor": anchor}
        if bold:
            given["font_weight"] = "bold"
        if italic:
            given["font_style"] = "italic"
        if angle_deg:
            given["transform"] = f"rotate({_number(angle_deg)} {x} {y})"
        self._add("text", **given).text = text

    def head(
        self,
        tip: Point,
        toward: Point,
        *,
        ink: str = TAPE,
        size_mm: float = 2.3,
        role: str = "",
    ) -> None:
        """Draw an arrow head whose tip is at `tip`, pointing along the direction `toward`."""
        n = math.hypot(*toward)
        ux, uy = toward[0] / n, toward[1] / n
        bx, by = tip[0] - ux * size_mm, tip[1] - uy * size_mm
        half = 0.34 * size_mm
        self.line(
            [tip, (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half)],
            fill=ink,
            width_mm=0,
            closed=True,
            role=role,
        )

    def tape(
        self,
        points: Floats,
        *,
        width_mm: float = 1.7,
        arrows: bool = False,
        role: str = "tape",
    ) -> None:
        """Draw a measuring tape along points (m, 2): a dark ribbon with fine marks across it.

        With `arrows` both ends are arrow heads whose tips are the end points.
        """
        p = np.asarray(points, dtype=np.float64)
        if arrows:
            head = width_mm * 1.9
            self.head(_at(p[0]), _at(p[0] - _point_at(p, head)), size_mm=head, role=role)
            self.head(_at(p[-1]), _at(p[-1] - _point_at(p[::-1], head)), size_mm=head, role=role)
            p = _shortened(p, head * 0.9)
        normal = _normals(p) * (width_mm / 2)
        ribbon = np.concatenate([p + normal, (p - normal)[::-1]])
        self.line(ribbon, fill=TAPE, width_mm=0, closed=True, role=role)
        along = np.arange(2.0, _lengths(p)[-1] - 1.0, 2.0)
        at = [_point_at(p, float(a)) for a in along]
        self._marks(at, [_normal_at(p, float(a)) * (width_mm / 2) for a in along])

    def band(
        self,
        near: Floats,
        half: Floats,
        *,
        marks: int = 0,
        fill: str = TAPE,
        ink: str = TAPE,
        ink_mm: float = 0.0,
        role: str = "tape",
    ) -> None:
        """Draw a flat band laid round a body: its middle line (m, 2) and half its width, a vector.

        `marks` fine marks divide it evenly over the points, so they crowd where it turns away.
        """
        self.line(
            np.concatenate([near - half, (near + half)[::-1]]),
            fill=fill,
            ink=ink,
            width_mm=ink_mm,
            closed=True,
            role=role,
        )
        if marks:
            at = [near[round(k * (len(near) - 1) / marks)] for k in range(1, marks)]
            self._marks(at, [half] * len(at))

    def _marks(self, at: Sequence[Floats], half: Sequence[Floats]) -> None:
        """Scratch the marks of a tape across it: every fifth all the way."""
        words: list[str] = []
        for k, (p, h) in enumerate(zip(at, half, strict=True), start=1):
            a, b = p - h, p + h * (1.0 if k % 5 == 0 else -0.1)
            words.append("M" + " ".join(_number(float(v)) for v in (*a, *b)))
        if words:
            self._pen("path", "none", PAPER, 0.14, "", "", d="".join(words))

    def leader(self, start: Point, end: Point) -> None:
        """Draw a fine line from a word to what it names, with a small arrow head at the end."""
        self.line([start, end], ink=INK, width_mm=FINE_MM)
        self.head(end, (end[0] - start[0], end[1] - start[1]), ink=INK, size_mm=1.5)


def _at(p: Floats) -> Point:
    return float(p[0]), float(p[1])


def _lengths(p: Floats) -> Floats:
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])


def _point_at(p: Floats, at: float) -> Floats:
    s = _lengths(p)
    return np.array([np.interp(at, s, p[:, 0]), np.interp(at, s, p[:, 1])])


def _normals(p: Floats) -> Floats:
    t = np.gradient(p, axis=0)
    t /= np.hypot(t[:, :1], t[:, 1:])
    return np.stack([-t[:, 1], t[:, 0]], axis=1)


def _normal_at(p: Floats, at: float) -> Floats:
    s, n = _lengths(p), _normals(p)
    return np.array([np.interp(at, s, n[:, 0]), np.interp(at, s, n[:, 1])])


def _shortened(p: Floats, by: float) -> Floats:
    s = _lengths(p)
    inner = p[(s > by) & (s < s[-1] - by)]
    return np.concatenate([[_point_at(p, by)], inner, [_point_at(p, float(s[-1]) - by)]])
