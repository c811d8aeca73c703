"""How long the page takes: from an input event to redrawn pixels in Chromium, and a cold start.

Run it on a quiet machine: `PYTHONPATH=tests python -m bench.page_latency`. It prints each value's
median and 95th percentile beside an empty round trip of the same run and the goals, 35 and 60 ms.
The clock runs in the browser: from the event that is sent to the field or the handle to the second
animation frame after the drawing changed, when the pixels are out.
"""

from __future__ import annotations

import re
import statistics
import subprocess
import sys
import tempfile
import time
from importlib.resources import files
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

GOAL_MEDIAN_MS, GOAL_95_MS, GOAL_START_S = 35.0, 60.0, 1.5
TIMES = 40

PALAZZO = """title = "Palazzo"
[body]
height = 168
waist = 80.6
hip = 104
inside_leg = 77
crotch_length = 70.6
thigh = 61.5
[fabric]
stretch_across = "50 %"
weight = 320
[style]
leg = "palazzo"
pocket = ["scoop", "patch"]
belt = "wide"
"""

#: Milliseconds from a change of a field's slide to its pixels, and of an empty round trip.
TRIAL = """
async ([id, times]) => {
  const field = document.querySelector(`[data-id="${id}"]`);
  const slide = field.querySelector('.slide');
  const frame = () => new Promise(requestAnimationFrame);
  const rest = (ms) => new Promise((done) => setTimeout(done, ms));
  const middle = Number(slide.value);
  const found = [];
  for (let n = 0; n < times; n += 1) {
    await rest(60);
    const drawn = window.outseam.drawn();
    const start = performance.now();
    slide.value = middle + 5 + (n % 9);
    slide.dispatchEvent(new Event('input', { bubbles: true }));
    await drawn;
    await frame();
    found.push(performance.now() - start);
  }
  return found;
}
"""
EMPTY = """
async (times) => {
  const found = [];
  for (let n = 0; n < times; n += 1) {
    const start = performance.now();
    const answer = await fetch('../../how-to/nobody');
    await answer.text();
    await new Promise(requestAnimationFrame);
    found.push(performance.now() - start);
  }
  return found;
}
"""


def told(name: str, ms: list[float]) -> str:
    low = statistics.median(ms)
    high = sorted(ms)[int(0.95 * (len(ms) - 1))]
    return f"{name:<28} median {low:6.1f} ms   95 % {high:6.1f} ms"


def start(folder: Path) -> tuple[subprocess.Popen[str], str]:
    command = [sys.executable, "-m", "outseam.cli.main", "page", str(folder), "--no-open"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    found = re.search(r"http\S+", process.stdout.readline())
    assert found
    return process, found[0]


def bare_start_s() -> float:
    """Seconds until a server that does nothing listens, with the same libraries."""
    code = (
        "import starlette.applications, uvicorn, socket; s = socket.socket();"
        "s.bind(('127.0.0.1', 0)); s.listen(); print('up', flush=True)"
    )
    begun = time.perf_counter()
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as p:
        assert p.stdout is not None
        p.stdout.readline()
        return time.perf_counter() - begun


def measure(page: Any, address: str, name: str, ids: list[str]) -> None:
    page.goto(f"{address}spec/{name}/")
    page.wait_for_selector("html[data-ready]")
    page.wait_for_timeout(1500)
    print(told(f"{name}: empty round trip", page.evaluate(EMPTY, TIMES)))
    for one in ids:
        page.evaluate(TRIAL, [one, 4])
        print(told(f"{name}: {one}", page.evaluate(TRIAL, [one, TIMES])))


def main() -> None:
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        folder = Path(place)
        demo = files("outseam.draft").joinpath("data/demo.toml").read_text("utf-8")
        (folder / "demo.toml").write_text(demo, encoding="utf-8")
        (folder / "palazzo.toml").write_text(PALAZZO, encoding="utf-8")
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox"]
        )
        page = browser.new_page()
        bare = bare_start_s()
        begun = time.perf_counter()
        process, address = start(folder)
        try:
            page.goto(f"{address}spec/demo/")
            page.wait_for_selector("html[data-ready]")
            cold = time.perf_counter() - begun
            print(
                f"goals: median {GOAL_MEDIAN_MS} ms, 95 % {GOAL_95_MS} ms, start {GOAL_START_S} s"
            )
            print(f"cold start to a usable page {cold:.2f} s; a bare server {bare:.2f} s")
            measure(page, address, "demo", ["body.hip", "body.height", "style.hem_allowance"])
            measure(page, address, "palazzo", ["body.hip", "body.thigh", "style.hem_allowance"])
        finally:
            process.kill()
            browser.close()


if __name__ == "__main__":
    main()
