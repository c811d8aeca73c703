"""The picture of the page for the README: `python gallery/page.py` takes it anew in Chromium."""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

HERE = Path(__file__).parent

SPEC = """title = "Summer flares"

[body]
name = "Ana"
height = 166
waist = 78
hip = 103
inside_leg = 76.5
crotch_length = 70.5

[fabric]
name = "viscose jersey, leaves"
stretch_across = "60 %"
width = 150
weight = 240

[style]
leg = "flare"
pocket = "scoop"
"""


def take(out: Path) -> None:
    """Serve an invented person's spec, change a value and take the picture."""
    with tempfile.TemporaryDirectory() as place, sync_playwright() as playwright:
        (Path(place) / "flares.toml").write_text(SPEC, encoding="utf-8")
        command = [sys.executable, "-m", "outseam.cli.main", "page", place, "--no-open"]
        server = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        try:
            assert server.stdout is not None
            found = re.search(r"http\S+", server.stdout.readline())
            assert found
            browser = playwright.chromium.launch(
                executable_path="/usr/bin/chromium", args=["--no-sandbox"]
            )
            page = browser.new_page(viewport={"width": 1360, "height": 860})
            page.goto(f"{found[0]}spec/flares/")
            page.wait_for_selector("html[data-ready]")
            page.wait_for_timeout(1500)
            page.locator("[data-handle=hem_width]").focus()
            for _ in range(9):
                page.keyboard.press("PageUp")
            page.wait_for_timeout(2500)
            page.screenshot(path=out)
            browser.close()
        finally:
            server.kill()
            server.wait()


if __name__ == "__main__":
    take(HERE / "page.png")
