"""Reads a finished home-page PDF and measures it: the last check before it is saved.

It shares no code with the writer: it walks the page's drawing operators, keeps the transformation
matrix as a PDF viewer would, and looks at what comes out.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, TypeAlias

import pikepdf

from outseam.draft.inputs.errors import OutseamError

MM_PER_PT = 25.4 / 72

#: The squares must come out this exactly: over the length of a leg that is 0.1 mm.
SCALE_TOLERANCE_MM = 0.01

#: The same, as a ratio, for the scale of the drawing.
_SCALE_TOLERANCE_RATIO = SCALE_TOLERANCE_MM / 100.0

Matrix: TypeAlias = tuple[float, float, float, float, float, float]
_IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


class ScaleError(OutseamError):
    """The file that was made would not print at true scale: a fault of the program."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScaleReading:
    """Width and height, mm, of the squares as the file has them, and how many pages were read."""

    square_cm_mm: tuple[float, float]
    square_in_mm: tuple[float, float]
    pages: int


def check_scale(pdf_bytes: bytes, calibration: tuple[float, float] = (1.0, 1.0)) -> ScaleReading:
    """Measure the two squares of the first page and the drawing's scale on every other page.

    The squares must be 100 and 101.6 mm (4 in) times the calibration (across, along) within
    0.01 mm, and the drawing on each further page must be placed upright at the same scale.
    Raises ScaleError when not.
    """
    with pikepdf.Pdf.open(io.BytesIO(pdf_bytes)) as pdf:
        for number, page in enumerate(pdf.pages, start=1):
            if "/UserUnit" in page.obj or int(page.obj.get("/Rotate", 0)):
                raise ScaleError(f"page {number} asks the viewer to scale or turn it")
        sizes = _rectangles(pdf.pages[0])
        squares = [_nearest(sizes, side, calibration) for side in (100.0, 101.6)]
        for number, page in enumerate(pdf.pages[1:], start=2):
            _check_drawing(page, number, calibration)
        return ScaleReading(square_cm_mm=squares[0], square_in_mm=squares[1], pages=len(pdf.pages))


def _nearest(
    sizes: list[tuple[float, float]], side_mm: float, calibration: tuple[float, float]
) -> tuple[float, float]:
    """Return the rectangle nearest to a square, which must be right. Raises ScaleError."""
    wanted = (side_mm * calibration[0], side_mm * calibration[1])

    def off(size: tuple[float, float]) -> float:
        return max(abs(size[0] - wanted[0]), abs(size[1] - wanted[1]))

    if not sizes:
        raise ScaleError("the first page shows no test square")
    found = min(sizes, key=off)
    if not off(found) <= SCALE_TOLERANCE_MM:
        raise ScaleError(
            f"the test square of {side_mm:g} mm would be {found[0]:.3f} x {found[1]:.3f} mm in the "
            f"file instead of {wanted[0]:.3f} x {wanted[1]:.3f} mm"
        )
    return found


def _check_drawing(page: pikepdf.Page, number: int, calibration: tuple[float, float]) -> None:
    """Raise ScaleError unless every form drawn on the page is at the calibrated scale."""
    for matrix in _forms(page):
        a, b, c, d = matrix[:4]
        off = max(abs(a - calibration[0]), abs(d - calibration[1]), abs(b), abs(c))
        if not off <= _SCALE_TOLERANCE_RATIO:
            raise ScaleError(
                f"page {number} draws at a scale of {a:.5f} across and {d:.5f} along instead of "
                f"{calibration[0]:.5f} and {calibration[1]:.5f}"
            )


def _rectangles(page: pikepdf.Page) -> list[tuple[float, float]]:
    """Return width and height, mm, of every upright rectangle the page itself strokes."""
    found: list[tuple[float, float]] = []
    pending: list[tuple[float, float]] = []
    for operator, operands, (a, b, c, d, _, _) in _operators(page, "re S s n f F f*"):
        if operator == "re" and abs(b) < 1e-9 and abs(c) < 1e-9:
            width, height = float(operands[2]), float(operands[3])
            pending.append((abs(width * a) * MM_PER_PT, abs(height * d) * MM_PER_PT))
        elif operator in ("S", "s"):
            found += pending
            pending = []
        elif operator in ("n", "f", "F", "f*"):
            pending = []
    return found


def _forms(page: pikepdf.Page) -> list[Matrix]:
    """Return the matrix under which each form object of the page is drawn."""
    forms = page.obj.Resources.get("/XObject", pikepdf.Dictionary())
    found = []
    for operator, operands, matrix in _operators(page, "Do"):
        if operator == "Do":
            own = forms[str(operands[0])].get("/Matrix", _IDENTITY)
            found.append(_times(_matrix(own), matrix))
    return found


def _operators(page: pikepdf.Page, wanted: str) -> Iterator[tuple[str, list[Any], Matrix]]:
    """Walk those of the page's operators that are wanted, each with the matrix in force."""
    matrix, saved = _IDENTITY, list[Matrix]()
    for instruction in pikepdf.parse_content_stream(page, f"q Q cm {wanted}"):
        operator, operands = str(instruction.operator), list(instruction.operands)
        if operator == "q":
            saved.append(matrix)
        elif operator == "Q":
            matrix = saved.pop()
        elif operator == "cm":
            matrix = _times(_matrix(operands), matrix)
        yield operator, operands, matrix


def _matrix(numbers: Iterable[Any]) -> Matrix:
    a, b, c, d, e, f = (float(number) for number in numbers)
    return a, b, c, d, e, f


def _times(m: Matrix, n: Matrix) -> Matrix:
    """Return the matrix that applies `m`, then `n` (row vectors, as PDF has them)."""
    return (
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    )
