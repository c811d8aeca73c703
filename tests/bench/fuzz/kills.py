"""Commands ended by force at any moment: what was there stays whole, and the next run goes on.

Half of the kills come at a moment drawn at random, half as soon as the first file on its way to
its place is seen, where a folder could be torn if it ever can.
"""

from __future__ import annotations

import random
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from bench.fuzz.page_kills import kill_page

#: A search of some seconds is no place where a folder could be torn.
_MORE = {"lay": ("--seconds", "1")}
OUTSEAM = (sys.executable, "-m", "outseam.cli.main")

_BODY = "[body]\nheight = 168\nwaist = 82\nhip = {hip}\ninside_leg = 77\n"
_PRINT = '[print]\npapers = ["a0"]\n'
_ROWS = 60

Files = dict[str, bytes]


def spec(folder: Path, hip: int) -> Path:
    """Write a spec and return its path."""
    path = folder / f"hip-{hip}.toml"
    path.write_text(_BODY.format(hip=hip) + _PRINT)
    return path


def seen(folder: Path) -> Files:
    """Return the files of a folder that a person sees."""
    if not folder.is_dir():
        return {}
    return {p.name: p.read_bytes() for p in folder.iterdir() if not p.name.startswith(".")}


def run(*arguments: str | Path) -> None:
    """Run a command to its end."""
    subprocess.run([*OUTSEAM, *map(str, arguments)], check=True, capture_output=True)


def killed(rng: random.Random, longest_s: float, where: Path, *arguments: str | Path) -> None:
    """Start a command and end it by force, at random or at the first hidden file in `where`."""
    process = subprocess.Popen(
        [*OUTSEAM, *map(str, arguments)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    until = time.monotonic() + longest_s
    if rng.random() < 0.5:
        time.sleep(rng.uniform(0.0, longest_s))
    else:
        before = _hidden(where)
        while time.monotonic() < until and process.poll() is None and _hidden(where) <= before:
            time.sleep(0.0005)
        time.sleep(rng.uniform(0.0, 0.02))
    process.kill()
    process.wait()


def _hidden(where: Path) -> set[str]:
    try:
        return {p.name for p in where.iterdir() if p.name.startswith(".")}
    except OSError:
        return set()


def _timed(*arguments: str | Path) -> float:
    start = time.monotonic()
    run(*arguments)
    return time.monotonic() - start


def kill_writer(command: str, folder: Path, count: int, seed: int) -> list[str]:
    """Kill a command that writes a folder, old files in it; return what was torn."""
    rng, out, faults = random.Random(seed), folder / "out", []
    more = _MORE.get(command, ())
    specs = [spec(folder, hip) for hip in (100, 112)]
    whole: list[Files] = []
    longest = 0.0
    for one in specs:
        longest = max(longest, _timed(command, one, "--out", out, *more))
        whole.append(seen(out))
    now = whole[1]
    for number in range(count):
        which = number % 2
        killed(rng, 1.1 * longest, out, command, specs[which], "--out", out, *more)
        found = seen(out)
        if found not in (now, whole[which]):
            faults.append(f"{command}, kill {number}: torn, {sorted(found)}")
            run(command, specs[which], "--out", out, *more)
        now = seen(out)
    return faults


def kill_batch(folder: Path, count: int, seed: int) -> list[str]:
    """Kill batches and let them go on; return where the result was another than undisturbed."""
    rng, faults = random.Random(seed), []
    rows = folder / "bodies.csv"
    lines = (f"{150 + i % 40},{70 + i % 30},{95 + i % 35},{70 + i % 12}" for i in range(_ROWS))
    rows.write_text("height,waist,hip,inside_leg\n" + "\n".join(lines) + "\n")
    wanted, out = folder / "wanted.jsonl", folder / "out.jsonl"
    longest = _timed("batch", rows, "--json", wanted, "--jobs", "1")
    left = count
    while left > 0:
        for _ in range(min(left, rng.randint(1, 4))):
            killed(rng, longest, folder, "batch", rows, "--json", out, "--jobs", "1")
            left -= 1
            if out.exists() and out.read_bytes() != wanted.read_bytes():
                faults.append(f"batch, {left} kills to go: the result is torn")
        run("batch", rows, "--json", out, "--jobs", "1")
        if out.read_bytes() != wanted.read_bytes():
            faults.append(f"batch, {left} kills to go: the result is another one")
        hidden = [p.name for p in folder.iterdir() if p.name.startswith(".")]
        if hidden:
            faults.append(f"batch, {left} kills to go: {hidden} stay behind")
        out.unlink()
    return faults


KILLS: dict[str, Callable[[Path, int, int], list[str]]] = {
    "draft": lambda folder, count, seed: kill_writer("draft", folder, count, seed),
    "lay": lambda folder, count, seed: kill_writer("lay", folder, count, seed),
    "batch": kill_batch,
    "page": kill_page,
}


def kill(name: str, folder: Path, count: int, seed: int) -> list[str]:
    """Return what went wrong in `count` kills of a command, tried in a folder of its own."""
    place = folder / name
    place.mkdir(parents=True)
    try:
        return KILLS[name](place, count, seed)
    finally:
        shutil.rmtree(place, ignore_errors=True)
