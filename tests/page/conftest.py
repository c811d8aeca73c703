"""A page server in a process of its own, and one browser for all tests that need one."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = Path("/usr/bin/chromium")

ANA = """# Ana's summer flares; she is invented.
title = "Summer flares"
units = "cm"

[body]
name = "Ana"
height = 162   # against the door
waist = 88
hip = 112
inside_leg = 73
#thigh = 66

# leaves on a light ground
[fabric]
name = "viscose jersey, leaves"
stretch_across = "60 %"
width = 150

[style]
leg = "flare"
pocket = ["scoop"]
"""


class Server:
    """A running page: its address, its folder, and a way to end it at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        command = [sys.executable, "-m", "outseam.cli.main", "page", str(folder), "--no-open"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:\d+/\S+/", line)
        assert found, line
        self.address = found[0]

    @property
    def origin(self) -> str:
        return "/".join(self.address.split("/")[:3])

    @property
    def secret(self) -> str:
        return self.address.split("/")[3]

    def text(self, name: str) -> str:
        return (self.folder / f"{name}.toml").read_text(encoding="utf-8")

    def stop(self) -> None:
        self.process.kill()
        self.process.wait()
        if self.process.stdout is not None:
            self.process.stdout.close()


@pytest.fixture(scope="session")
def serve(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Server]]:
    """`serve(name=text, ...)`: a server on a new folder with these specs."""
    running: list[Server] = []

    def start(**specs: str) -> Server:
        folder = tmp_path_factory.mktemp("shelf")
        for name, text in specs.items():
            (folder / f"{name}.toml").write_text(text, encoding="utf-8")
        running.append(Server(folder))
        return running[-1]

    yield start
    for one in running:
        one.stop()


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Debian's Chromium, or no test: the README's test command installs it."""
    sync_api = pytest.importorskip("playwright.sync_api")
    if not CHROMIUM.exists():
        pytest.skip("there is no /usr/bin/chromium")
    with sync_api.sync_playwright() as playwright:
        found = playwright.chromium.launch(
            executable_path=str(CHROMIUM), args=["--no-sandbox", "--disable-dev-shm-usage"]
        )
        yield found
        found.close()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Callable[..., Any]]:
    """`open_page(address, width=1440)`: a window; what it complains of fails the test."""
    opened: list[Any] = []
    said: list[str] = []

    def start(address: str, width: int = 1440, height: int = 900) -> Any:
        page = browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(20000)
        page.on("pageerror", lambda e: said.append(str(e)))
        page.on("console", lambda m: said.append(m.text) if m.type == "error" else None)
        page.goto(address)
        if "/spec/" in address:
            page.wait_for_selector("html[data-ready]")
        opened.append(page)
        return page

    start.said = said  # type: ignore[attr-defined]
    yield start
    for page in opened:
        page.close()
    assert not [s for s in said if "422" not in s and "409" not in s]
