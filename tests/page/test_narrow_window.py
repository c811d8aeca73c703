"""HTML files and the page in windows from a small phone to a desk: nothing cut off, nothing over
another word."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from outseam.cli.main import run
from page.conftest import ANA

WIDTHS = (1440, 768, 360, 320)

#: What is wrong in a window: it scrolls sideways; a word reaches out of it; a box hides part of
#: what it holds (rulers and the cloth, which are true to scale, may be pulled); words over words.
#: A word that is broken at every letter is no word.
WRONG = """() => {
  const found = [], wide = document.documentElement.clientWidth, boxes = [];
  if (document.documentElement.scrollWidth > wide + 1) found.push('scrolls sideways');
  const unseen = '.hidden, option, details:not([open]) > :not(summary)';
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const node = walk.currentNode, element = node.parentElement, text = node.data.trim();
    if (!text || element.closest(unseen) || element.closest('.sheet')) continue;
    const style = getComputedStyle(element);
    if (style.visibility === 'hidden' || style.display === 'none') continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const lines = [...range.getClientRects()].filter((b) => b.width >= 1 && b.height >= 1);
    if (lines.length > 4 && text.length < 2.5 * lines.length) found.push(`broken: ${text}`);
    for (const b of lines) {
      if (!element.closest('.ruler-scroll, .laid-scroll') && (b.right > wide + 1 || b.left < -1))
        found.push(`outside: ${text}`);
      boxes.push({ text, element, b });
    }
  }
  for (const element of document.querySelectorAll('body *')) {
    if (element.closest('svg, .hidden, .ruler-scroll, .laid-scroll, input, select')) continue;
    if (getComputedStyle(element).overflowX !== 'visible' && element.clientWidth > 0
        && element.scrollWidth > element.clientWidth + 1)
      found.push(`cut off: ${element.tagName} ${element.className}`);
  }
  for (let i = 0; i < boxes.length; i++) for (let j = 0; j < i; j++) {
    const p = boxes[i], q = boxes[j];
    if (p.element === q.element) continue;
    const across = Math.min(p.b.right, q.b.right) - Math.max(p.b.left, q.b.left);
    const down = Math.min(p.b.bottom, q.b.bottom) - Math.max(p.b.top, q.b.top);
    if (across > 2 && down > 0.4 * Math.min(p.b.height, q.b.height))
      found.push(`over another: ${p.text} / ${q.text}`);
  }
  return found;
}"""


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Every HTML file there is, made by the commands."""
    folder = tmp_path_factory.mktemp("html")
    spec = folder / "ana.toml"
    spec.write_text(ANA)
    table = folder / "class.csv"
    table.write_text("name;height;waist;hip;inside_leg\nMirel Ostrander;168;78,5;102;77,5\n")
    style = folder / "style.toml"
    style.write_text("[fabric]\nstretch_across = '50 %'\n[print]\npapers = ['a0']\n")
    for command in (
        ("measure", "--out", str(folder / "measure.html")),
        ("fit", str(spec), "--see", "seat too tight", "--out", str(folder)),
        ("fit", str(spec), "--out", str(folder)),
        ("worksheet", str(spec), "--out", str(folder)),
        ("trial", str(spec), "--out", str(folder)),
        ("compare", str(spec), "--vary", "rise=high,mid,low,-3cm", "--out", str(folder)),
        ("batch", str(table), "--style", str(style), "--patterns", str(folder / "class")),
    ):
        with pytest.raises(SystemExit) as stopped:
            run(list(command))
        assert stopped.value.code == 0, command
    return folder


def wrong_by_width(page: Any) -> dict[int, list[str]]:
    """What is wrong in windows of each width, widest first: five things at most."""
    found = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        # Where the drawing stays in sight, what is below it is looked at from the top; what is
        # drawn anew for the window is there two frames later.
        page.evaluate(
            "() => new Promise((done) => { window.scrollTo(0, 0);"
            " requestAnimationFrame(() => requestAnimationFrame(done)); })"
        )
        if wrong := page.evaluate(WRONG):
            found[width] = wrong[:5]
    return found


def test_every_file_can_be_read_in_every_window(files: Path, open_page: Callable[..., Any]) -> None:
    pages = sorted(files.rglob("*.html"))
    assert {p.stem for p in pages} >= {
        *("measure", "fit", "worksheet", "trial-notes", "compare", "class-sheet")
    }
    page = open_page("about:blank")
    for path in pages:
        page.goto(path.as_uri())
        assert not wrong_by_width(page), path.name


def test_every_part_of_the_page_can_be_read_in_every_window(
    serve: Callable[..., Any], open_page: Callable[..., Any]
) -> None:
    server = serve(ana=ANA)
    assert not wrong_by_width(open_page(server.address))
    page = open_page(f"{server.address}spec/ana/")
    for part in ("herself", "style", "cloth", "trial", "out"):
        page.locator(f"nav a[href='#{part}']").click()
        page.wait_for_selector(f"#s-{part}:not([hidden])")
        assert not wrong_by_width(page), part


def test_the_probe_sees_what_is_wrong(browser: Any) -> None:
    """Negative controls: each fault by itself is found."""
    page = browser.new_page(viewport={"width": 320, "height": 400})
    for body, fault in (
        ("<div style='width:500px'>wide</div>", "scrolls sideways"),
        ("<div style='overflow-x:auto'><table style='min-width:600px'><tr><td>a", "cut off"),
        ("<p>one word<p style='margin-top:-2.2em'>two words", "over another"),
        ("<p style='width:1px;overflow-wrap:anywhere'>letters", "broken"),
    ):
        page.set_content(f"<!DOCTYPE html><body>{body}")
        assert any(fault in one for one in page.evaluate(WRONG)), fault
    page.set_content("<!DOCTYPE html><body><p>one<p>two")
    assert not page.evaluate(WRONG)
    page.close()
