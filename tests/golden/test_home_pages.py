"""What stands on home pages is where it was when somebody last looked: words, lines and places.

`tests/cli/test_page_furniture.py` says what has to hold; this record sees what only moved.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import shapely

from outseam.cli.paper.first_page import FirstPage, first_page_items
from outseam.cli.paper.furniture import Joint, TilePage, tile_items
from outseam.cli.paper.grid import TileGrid
from outseam.cli.scene.scene import Label, SceneItem

RECORD = Path(__file__).parent / "figures" / "home-pages.json"


def told(item: SceneItem) -> str:
    """One item in a line: a hundredth of a millimetre is finer than a printer."""
    if isinstance(item, Label):
        x, y = item.at
        how = f"{item.size_mm:.2f} {item.anchor} {item.angle_deg:.0f} {item.colour}"
        return f"{x:.2f} {y:.2f}  {how}  {item.text}"
    points = [*item.path.cubics[:, 0].tolist(), item.path.end]
    line = " ".join(f"{x + 0.0:.2f},{y + 0.0:.2f}" for x, y in points)
    pen = item.pen and f"{item.pen.width_mm} {item.pen.dash_mm} {item.pen.colour}"
    return f"{line}  {pen} {item.fill}"


def pages() -> dict[str, list[str]]:
    joints = {
        side: Joint(code=f"B{n}", page=10 + n, at_mm=80.0)
        for n, side in enumerate(("left", "right", "top", "bottom"), start=1)
    }
    found = {}
    for lap in (0.0, 10.0):
        grid = TileGrid(columns=3, rows=2, window_w_mm=190, window_h_mm=254, overlap_mm=lap)
        first = FirstPage(
            title="Straight pants",
            lines=[shapely.LineString([(5, 5), (300, 5), (300, 200), (5, 5)])],
            grid=grid,
            numbers={c: n for n, c in enumerate(grid.cells(), start=2) if c != (0, 2)},
            pages=6,
            paper="A4",
            notes=("Easy fit, straight leg.", "A note so long that it has to be broken " * 3),
            calibration=(1.0121, 1.0),
            units="in" if lap else "cm",
        )
        tile = TilePage(
            number=12,
            pages=40,
            row=2,
            column=3,
            title="Straight pants",
            window_w_mm=190,
            window_h_mm=254,
            overlap_mm=lap,
            joints=joints,
            tag_at=(4.0, 240.0),
            calibration=(1.0, 0.9877),
        )
        found[f"first page, overlap {lap:.0f}"] = [told(i) for i in first_page_items(first)]
        found[f"page, overlap {lap:.0f}"] = [told(i) for i in tile_items(tile)]
    return found


def test_home_pages(request: pytest.FixtureRequest) -> None:
    now = pages()
    if request.config.getoption("--rewrite"):
        text = json.dumps(now, indent=0, ensure_ascii=False) + "\n"
        RECORD.write_text(text, encoding="utf-8")
    assert json.loads(RECORD.read_text(encoding="utf-8")) == now
