"""How many bodies a second a batch drafts, start-up included, and that memory stays flat.

Run with `pytest tests/bench/test_bench_batch.py -s`; memory is read from /proc, so on Linux only.
OUTSEAM_BATCH_ROWS is the larger number of rows (1500).
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from outseam.draft.body.estimate import Body

ROWS = int(os.environ.get("OUTSEAM_BATCH_ROWS", "1500"))
KEYS = ("height", "waist", "hip", "inside_leg", "crotch_length")


def peak_kb(pid: int) -> int:
    """Return the most memory a running process has had, 0 when it is gone."""
    try:
        text = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return 0
    return next((int(x.split()[1]) for x in text.splitlines() if x.startswith("VmHWM")), 0)


def children(pid: int) -> list[int]:
    try:
        return [int(x) for x in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    except OSError:
        return []


def ran(bodies: tuple[Body, ...], rows: int, folder: Path) -> tuple[float, list[int]]:
    """Draft `rows` rows; return the seconds taken and the peaks of all processes, kB, sorted."""
    table = folder / f"{rows}.csv"
    with table.open("w") as f:
        f.write(",".join(("build", *KEYS)) + "\n")
        for i in range(rows):
            b = bodies[i % len(bodies)]
            f.write(",".join((b.build, *(f"{getattr(b, k) / 10:.1f}" for k in KEYS))) + "\n")
    start = time.perf_counter()
    command = [
        sys.executable,
        "-m",
        "outseam.cli.main",
        "batch",
        str(table),
        "--json",
        f"{table}.jsonl",
    ]
    child = subprocess.Popen(command, cwd=Path(__file__).parents[2], stderr=subprocess.DEVNULL)
    peaks: dict[int, int] = {}
    while child.poll() is None:
        for pid in (child.pid, *children(child.pid)):
            peaks[pid] = max(peaks.get(pid, 0), peak_kb(pid))
        time.sleep(0.1)
    assert child.returncode == 0
    return time.perf_counter() - start, sorted(peaks.values())


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="reads /proc")
def test_batch(make_people: Callable[..., tuple[Body, ...]], tmp_path: Path) -> None:
    bodies = (*make_people("women", 150, seed=3), *make_people("men", 150, seed=3))
    _, few = ran(bodies, 300, tmp_path)
    seconds, many = ran(bodies, ROWS, tmp_path)
    print(
        f"\n{ROWS} rows in {seconds:.1f} s, {ROWS / seconds:.0f} a second; peak MB at 300 rows "
        f"{[k // 1024 for k in few]}, at {ROWS} {[k // 1024 for k in many]}"
    )
    assert len(few) == len(many)
    assert max(b - a for a, b in zip(few, many, strict=True)) < 8 * 1024
