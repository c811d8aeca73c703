"""Twelve black pens that are told apart without colour, by dash and by weight, on a home printer.

They stand in an order in which neighbours differ most: solid, dashes, dots, each fine or heavy.
"""

from __future__ import annotations

from outseam.cli.scene.scene import Pen

LINE_STYLES: tuple[Pen, ...] = (
    Pen(width_mm=0.5),
    Pen(width_mm=0.35, dash_mm=(4.0, 1.4)),
    Pen(width_mm=0.7, dash_mm=(0.8, 1.4)),
    Pen(width_mm=0.35, dash_mm=(6.0, 1.2, 0.9, 1.2)),
    Pen(width_mm=0.7, dash_mm=(3.0, 1.8)),
    Pen(width_mm=0.2),
    Pen(width_mm=0.35, dash_mm=(6.0, 1.2, 0.9, 1.2, 0.9, 1.2, 0.9, 1.2)),
    Pen(width_mm=0.35, dash_mm=(1.4, 1.0)),
    Pen(width_mm=0.7, dash_mm=(7.0, 1.6, 0.9, 1.6)),
    Pen(width_mm=0.3, dash_mm=(10.0, 2.4)),
    Pen(width_mm=0.3, dash_mm=(0.4, 1.1)),
    Pen(width_mm=0.7, dash_mm=(9.0, 2.0, 3.0, 2.0)),
)


def line_style(number: int) -> Pen:
    """Return the pen of a variant, numbered from 1; beyond the last one they begin again."""
    return LINE_STYLES[(number - 1) % len(LINE_STYLES)]
