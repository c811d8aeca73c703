"""Sheets that are not the pattern, on the paper that the house prints on.

They are drawn on an area that both A4 and US Letter hold, and moved to the middle of the one asked
for: one drawing for both papers.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from outseam.cli.scene.compose import moved
from outseam.cli.scene.scene import Scene

#: Width and height upright, mm. A4 is ISO 216; Letter is 8.5 x 11 in.
HOME_PAPERS_MM: Final = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
#: How the papers are called in words and in the style of a page.
PAPER_NAMES: Final = {"a4": "A4", "letter": "Letter"}
#: Width of sheets across, their margins of 10 or 12 mm included: of these 3 mm fall away on letter
#: paper, which is shorter.
ACROSS_MM: Final = (285.4, 210.0)


def on_home_paper(scenes: Iterable[Scene], paper: str) -> tuple[Scene, ...]:
    """Return sheets as pages of a home paper ("a4" or "letter"), upright or across as they are."""
    short, long = HOME_PAPERS_MM[paper]
    found = []
    for scene in scenes:
        size = (long, short) if scene.width_mm > scene.height_mm else (short, long)
        dx, dy = (size[0] - scene.width_mm) / 2.0, (size[1] - scene.height_mm) / 2.0
        if abs(dx) < 1e-9 and abs(dy) < 1e-9:
            found.append(scene)
            continue
        layers = tuple(
            replace(layer, items=tuple(moved(layer.items, dx, dy))) for layer in scene.layers
        )
        found.append(replace(scene, width_mm=size[0], height_mm=size[1], layers=layers))
    return tuple(found)
