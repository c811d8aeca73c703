"""The page ended by force while it saves: the spec is what was kept last, whole, never between."""

from __future__ import annotations

import http.client
import json
import random
import re
import subprocess
import sys
import threading
from pathlib import Path
from urllib.parse import urlsplit

_SPEC = '# invented\ntitle = "Kept"\n\n[body]\nheight = 168   # at the door\nwaist = 82\nhip = {}\n'
_SPEC += "inside_leg = 77\n"
#: The kill comes within this, s, of the first change's answer, or for this share of its sending.
_LONGEST_S, _EARLY = 0.6, 0.2


class _Page:
    """A server on a folder, without a browser, and changes sent as the page's own script does."""

    def __init__(self, folder: Path) -> None:
        command = [sys.executable, "-m", "outseam.cli.main", "page", str(folder), "--no-open"]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout is not None
        told = re.search(r"http://\S+", self.process.stdout.readline())
        assert told, "the page tells its address"
        where = urlsplit(told[0])
        self.host, self.base = where.netloc, where.path

    def change(self, hip: int) -> bool:
        """Send a change of the hip; return whether it is answered as kept."""
        body = json.dumps(
            {
                "units": "cm",
                "window": "fuzz",
                "table": "body",
                "key": "hip",
                "text": str(hip),
                "only_save": True,
            }
        )
        headers = {"Content-Type": "application/json", "Origin": f"http://{self.host}"}
        line = http.client.HTTPConnection(self.host, timeout=20)
        try:
            line.request("POST", f"{self.base}spec/kept/change", body, headers)
            return line.getresponse().status == 200
        except (OSError, http.client.HTTPException):
            return False
        finally:
            line.close()

    def kill(self) -> None:
        """End the server by force."""
        self.process.kill()
        self.process.wait()
        if self.process.stdout is not None:
            self.process.stdout.close()


def _after(hip: int) -> int:
    return 95 + (hip - 94) % 30


def kill_page(folder: Path, count: int, seed: int) -> list[str]:
    """Kill the page's server among changes; return where the spec was neither old nor new."""
    rng, faults = random.Random(seed), []
    path, kept = folder / "kept.toml", 104
    path.write_text(_SPEC.format(kept), encoding="utf-8")
    for number in range(count):
        page = _Page(folder)
        if rng.random() > _EARLY:
            kept = _after(kept)
            if not page.change(kept):
                faults.append(f"page, kill {number}: a change before it is not kept")
        end = threading.Timer(rng.uniform(0.0, _LONGEST_S), page.kill)
        end.start()
        while page.change(sent := _after(kept)):
            kept = sent
        end.join()
        found = path.read_text(encoding="utf-8")
        if found not in (_SPEC.format(kept), _SPEC.format(sent)):
            faults.append(f"page, kill {number}: the spec is neither {kept} nor {sent}: {found!r}")
            path.write_text(_SPEC.format(kept), encoding="utf-8")
        elif found == _SPEC.format(sent):
            kept = sent
    return faults
