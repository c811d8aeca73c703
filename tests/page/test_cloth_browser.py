"""The pieces on the cloth in a real browser: dragged, moved by keys, refused, kept; what helps."""

from __future__ import annotations

import json
import re
import struct
import time
import zlib
from collections.abc import Callable
from typing import Any

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from page.conftest import ANA

BORDER = ANA.replace(
    "width = 150",
    'width = 150\nstretch_along = "60 %"\nborder = "one"\nborder_from_selvedge = 6\n'
    "border_height = 20\nborder_repeat = 32",
).replace('"flare"', '"palazzo"')
SHORT = ANA.replace("width = 150", 'width = 150\nfold = "folded"\nlength_in_hand = 105')


@pytest.fixture(scope="module")
def server(serve: Callable[..., Any]) -> Any:
    return serve(ana=ANA, border=BORDER, short=SHORT)


def laid(page: Any) -> None:
    page.get_by_role("link", name="Cloth", exact=True).click()
    page.get_by_role("button", name="Lay the pieces on the cloth").click()
    page.locator(".laid .piece").first.wait_for(timeout=20000)


def drag(page: Any, piece: Any, dx: float, dy: float, told: str) -> None:
    """Drag a piece by so many pixels, and let it go once these words are told."""
    piece.scroll_into_view_if_needed()
    box = piece.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 6):
        page.mouse.move(x + dx * step / 5, y + dy * step / 5)
        page.wait_for_timeout(20)
    page.locator(".needs").filter(has_text=told).wait_for()
    page.mouse.up()


def kept(server: Any, name: str, wanted: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
    end = time.monotonic() + 20.0
    path = server.folder / f"{name}.lay.json"
    while time.monotonic() < end:
        if path.exists():
            rows = {r["piece"]: r for r in json.loads(path.read_text())["placed"]}
            if wanted(rows):
                return rows
        time.sleep(0.05)
    raise AssertionError(path)


def place(piece: Any) -> tuple[float, float]:
    found = re.fullmatch(r"translate\((\S+) (\S+)\)", piece.get_attribute("transform"))
    assert found
    return float(found[1]), float(found[2])


def scale(page: Any) -> float:
    """Pixels for a millimetre of cloth."""
    found: float = page.evaluate(
        "(() => { const e = document.querySelector('.laid');"
        " return e.clientWidth / e.viewBox.baseVal.width; })()"
    )
    return found


def overlaps(page: Any) -> float:
    """The area that the outlines on the screen share, mm2, judged by shapely."""
    shapes = []
    for piece in page.locator(".laid .piece").all():
        points = re.findall(r"(-?[\d.]+) (-?[\d.]+)", piece.locator("path").get_attribute("d"))
        shape = Polygon([(float(a), float(b)) for a, b in points])
        shapes.append(affinity.translate(shape, *place(piece)))
    return sum(a.intersection(b).area for i, a in enumerate(shapes) for b in shapes[:i])


def test_a_piece_is_dragged_refused_and_kept(server: Any, open_page: Callable[..., Any]) -> None:
    page = open_page(f"{server.address}spec/ana/")
    laid(page)
    assert page.locator("#laid-how").inner_text().endswith("puts it back).")
    before = kept(server, "ana", lambda rows: True)
    # The lay is searched for against the clock: take the piece that begins furthest on.
    key = max(before, key=lambda k: float(before[k]["x_mm"]))
    piece = page.locator(f'[data-piece="{key}"]')
    name = piece.get_attribute("aria-label")
    assert re.fullmatch(r"[a-z ]+ \d on the cloth", name)
    start = place(piece)
    beyond = 20.0 + json.loads((server.folder / "ana.lay.json").read_text())["length_mm"] - start[0]
    drag(page, piece, beyond * scale(page), 0.0, "more than before")
    rows = kept(server, "ana", lambda r: r[key] != before[key])
    # The page shows the place that was kept, on a line of the tape, once the answer is there.
    page.wait_for_function(
        "([e, x]) => Math.abs(e.transform.baseVal[0].matrix.e - x) < 0.02",
        arg=[piece.element_handle(), float(rows[key]["x_mm"])],
    )
    end = place(piece)
    assert end[0] > start[0] + 50.0
    assert overlaps(page) < 20.0
    # Onto a leg: told while it is there, and back it goes.
    leg = page.get_by_role("slider", name="back leg 1 on the cloth").bounding_box()
    box = piece.bounding_box()
    right, down = (
        leg[at] + leg[size] / 2 - box[at] - box[size] / 2
        for at, size in (("x", "width"), ("y", "height"))
    )
    drag(page, piece, right, down, "would lie on the")
    page.get_by_text("It goes back to its place.").wait_for()
    assert place(piece) == end
    assert kept(server, "ana", lambda r: True) == rows
    # Another window, and the command, draw from the same positions.
    other = open_page(f"{server.address}spec/ana/")
    laid(other)
    assert place(other.get_by_role("slider", name=name)) == end


def test_by_keys_along_a_border_by_whole_repeats(
    server: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page(f"{server.address}spec/border/")
    laid(page)
    assert "It keeps to the border and to whole repeats." in page.locator("#laid-how").inner_text()
    pieces = page.locator(".laid .piece").all()
    last = max((p for p in pieces if "leg" in p.get_attribute("aria-label")), key=place)
    x, y = place(last)
    last.focus()
    for key in ("ArrowRight", "ArrowUp", "ArrowRight", "ArrowLeft"):
        page.keyboard.press(key)
    assert place(last) == (pytest.approx(x + 320.0, abs=0.02), y)
    key = last.get_attribute("data-piece")
    rows = kept(server, "border", lambda r: abs(r[key]["x_mm"] - x - 320.0) < 0.1)
    assert rows[key]["x_mm"] == pytest.approx(x + 320.0, abs=0.02)
    assert last.evaluate("e => e === document.activeElement")
    assert "from the cut end" in last.get_attribute("aria-valuetext")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Escape")
    assert place(last)[0] == pytest.approx(x + 320.0, abs=0.02)


def test_what_helps_comes_as_it_is_found_and_can_be_stopped(
    server: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page(f"{server.address}spec/short/")
    laid(page)
    page.get_by_role("button", name="What would make it enough?").click()
    page.get_by_text(re.compile("^Trying: ")).wait_for()
    page.get_by_role("button", name="Stop looking").click()
    assert page.locator(".helps").inner_text().startswith("Stopped;")
    # What was going on is let go: another task has its turn at once.
    page.get_by_role("link", name="Print and sew").click()
    page.get_by_role("button", name="Make page 1 on A4").click()
    page.get_by_role("link", name="page-1-a4.pdf").wait_for(timeout=20000)
    page.get_by_role("link", name="Cloth", exact=True).click()
    assert page.locator(".helps").inner_text().startswith("Stopped;")


def png(path: Any) -> None:
    """A picture of two pixels by one, written by hand."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 2, 1, 8, 2, 0, 0, 0)
    pixels = zlib.compress(b"\0" + b"\xff\0\0" + b"\0\0\xff")
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", pixels) + chunk(b"IEND", b"")
    )


def test_a_photograph_is_turned_and_its_side_set(
    server: Any, open_page: Callable[..., Any], tmp_path: Any
) -> None:
    page = open_page(f"{server.address}spec/ana/")
    page.get_by_role("link", name="Cloth", exact=True).click()
    png(tmp_path / "print.png")
    page.get_by_label("photograph", exact=True).set_input_files(tmp_path / "print.png")
    pattern = page.locator("#flat pattern")
    pattern.wait_for(state="attached")
    assert pattern.get_attribute("patternTransform") == "rotate(0)"
    page.get_by_label("a selvedge is at its").select_option("top")
    page.get_by_label("side of the cloth that it shows").select_option("wrong")
    page.get_by_label("turned a little, to straighten it").fill("7.5")
    assert pattern.get_attribute("patternTransform") == "rotate(97.5) scale(-1 1)"
    # The photograph's upper edge, turned so, is at the right of the upright pieces.
    laid(page)
    under = page.locator(".laid pattern")
    assert under.get_attribute("patternTransform") == "rotate(187.5) scale(-1 1)"
    (tmp_path / "none.png").write_bytes(b"no picture")
    page.get_by_label("photograph", exact=True).set_input_files(tmp_path / "none.png")
    page.get_by_text("This file is no photograph").wait_for()
    assert pattern.count() == 0


@pytest.mark.parametrize("width", [360, 1440])
def test_axe_finds_nothing_on_the_cloth(
    server: Any, open_page: Callable[..., Any], width: int
) -> None:
    axe_playwright = pytest.importorskip("axe_playwright_python.sync_playwright")
    page = open_page(f"{server.address}spec/border/", width=width)
    laid(page)
    found = axe_playwright.Axe().run(page).response["violations"]
    assert not found, [(v["id"], [n["html"][:200] for n in v["nodes"]]) for v in found]
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
