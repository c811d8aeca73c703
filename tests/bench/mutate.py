"""What the tests would miss: `PYTHONPATH=tests python -m bench.mutate --room curves --sample 25`.

The operators of cosmic-ray (`pip install cosmic-ray coverage`; neither is among the locked
packages) change one place of a room at a time, on a copy of the project in a temporary folder: the
tree itself is never written to. All tests of the room run once on the unchanged copy and have to
pass; those that fail are left out, and said. Then they run on every change, first the tests that
reach the changed line, the quickest first, until one fails. A change that no test notices is
printed as a survivor; one with which the room cannot even be imported counts for nothing.
Changes of a kind that is as good as never a difference are made too; the score is told with and
without them. `--seed` draws another sample, `--only TEXT` keeps to files whose path has the text.
"""

from __future__ import annotations

import argparse
import compileall
import json
import os
import py_compile
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Mapping
from itertools import islice
from pathlib import Path
from typing import Any

from bench.mutation.changes import KINDS, Mutant, mutant_at, places_of
from bench.mutation.rooms import ROOMS, Room

ROOT = Path(__file__).parents[2]


class Copy:
    """The project in a temporary folder, and pytest on it."""

    def __init__(self, folder: Path, tests: tuple[str, ...]) -> None:
        self.root = folder / "project"
        shutil.copytree(
            ROOT,
            self.root,
            symlinks=True,
            ignore=shutil.ignore_patterns(".git", "__pycache__", "*.egg-info", ".*_cache"),
        )
        # Judged by their content, not their time: a change within the same second is seen.
        mode = py_compile.PycInvalidationMode.CHECKED_HASH
        for part in ("curves", "draft", "cli", "tests"):
            compileall.compile_dir(self.root / part, quiet=1, invalidation_mode=mode)
        # The links that mypy follows are the package, laid out as it is imported.
        path = f"{self.root / '.mypy'}{os.pathsep}{self.root / 'tests'}"
        env = os.environ | {"PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1"}
        self._start: dict[str, Any] = {"cwd": self.root, "env": env, "text": True}
        where = [sys.executable, "-c", "import outseam.draft as d; print(d.__file__)"]
        found = subprocess.run(where, capture_output=True, **self._start)
        if str(self.root) not in found.stdout:
            raise SystemExit(f"the copy is not imported, but {found.stdout or found.stderr}")
        self._runner = subprocess.Popen(
            [sys.executable, "-m", "bench.mutation.forked"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            **self._start,
        )
        self._tests = [t for t in tests if (ROOT / t).exists()]
        self._order: list[str] = []
        self.failing: list[str] = []
        self._reached: dict[str, dict[str, list[str]]] = {}
        self._most_s = 1800.0

    def close(self) -> None:
        """End the process that runs the tests."""
        self._runner.communicate()

    def _run(self, *args: str, order: list[str], cover: list[str]) -> dict[str, Any]:
        assert self._runner.stdin is not None
        assert self._runner.stdout is not None
        asked = {"tests": self._tests, "args": args, "order": order, "cover": cover}
        asked |= {"without": self.failing, "most_s": self._most_s}
        print(json.dumps(asked), file=self._runner.stdin, flush=True)
        told: dict[str, Any] = json.loads(self._runner.stdout.readline())
        return told

    def begin(self, files: list[Path]) -> float:
        """Run all tests once without any change; remember who reaches which line of `files`.

        What fails already is left out. Returns the seconds of one more run, in which all pass.
        """
        told = self._run(order=[], cover=[str(self.root / f.relative_to(ROOT)) for f in files])
        if told["code"] not in (0, 1):
            raise SystemExit(f"the tests do not run on the unchanged copy:\n{told['out']}")
        self.failing = told["failed"]
        self._order = sorted(told["seconds"], key=told["seconds"].__getitem__)
        resolved = {str(Path(f).resolve()): r for f, r in told["lines"].items()}
        self._reached = resolved
        began = time.monotonic()
        if self._run(order=self._order, cover=[])["code"] != 0:
            raise SystemExit("the tests do not pass on the unchanged copy")
        taken = time.monotonic() - began
        self._most_s = 30.0 + 4.0 * taken
        return taken

    def fate(self, mutant: Mutant) -> str:
        """Return what becomes of a change: killed, too slow, survived, or not importable."""
        file = self.root / mutant.place.file.relative_to(ROOT)
        lines = self._reached.get(str(file.resolve()), {})
        first, last = mutant.lines
        reaching = {t for n in range(first, last + 1) for t in lines.get(str(n), ())}
        order = sorted(self._order, key=lambda t: t not in reaching)
        before = file.read_text()
        file.write_text(mutant.text)
        try:
            code = self._run("-x", order=order, cover=[])["code"]
            if code in (2, 4) and self._importable(file) is False:
                return "not importable"
        finally:
            file.write_text(before)
        return "too slow" if code is None else "survived" if code == 0 else "killed"

    def _importable(self, file: Path) -> bool:
        name = ".".join(("outseam", *file.relative_to(self.root).with_suffix("").parts))
        ran = subprocess.run(
            [sys.executable, "-c", f"import {name}"], capture_output=True, **self._start
        )
        return ran.returncode == 0


def judged(
    room: Room, sample: int, seed: int, only: str
) -> tuple[Counter[tuple[str, str]], list[str]]:
    """Return how many changes of which kind met which fate, and the survivors as text."""
    files = [f for pattern in room.files for f in sorted(ROOT.glob(pattern)) if only in str(f)]
    every = [place for file in files for place in places_of(file)]
    random.Random(seed).shuffle(every)
    chosen = list(islice((m for m in map(mutant_at, every) if m is not None), sample))
    print(f"{len(every)} places, {len(chosen)} of them changed", flush=True)
    fates: Counter[tuple[str, str]] = Counter()
    survivors = []
    with tempfile.TemporaryDirectory(prefix="mutate-") as folder:
        copy = Copy(Path(folder), room.tests)
        print(f"a run without a change: {copy.begin(files):.0f} s", flush=True)
        for test in copy.failing:
            print(f"left out, it fails without a change: {test}", flush=True)
        for n, mutant in enumerate(chosen, start=1):
            began = time.monotonic()
            fate = copy.fate(mutant)
            fates[mutant.kind, fate] += 1
            text = mutant.shown(ROOT)
            if fate == "survived":
                survivors.append(text)
            shown = text if fate == "survived" else text.splitlines()[0]
            print(f"{n} {fate} ({time.monotonic() - began:.0f} s) {shown}", flush=True)
        copy.close()
    return fates, survivors


def _score(fates: Mapping[tuple[str, str], int]) -> tuple[int, int]:
    """Return how many of how many changes are killed; those that cannot be imported are none."""
    fair = {key: n for key, n in fates.items() if key[1] != "not importable"}
    return sum(n for (_, fate), n in fair.items() if fate != "survived"), sum(fair.values())


def main() -> int:
    """Print the score of each room asked for; exit code 1 below nine in ten."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--room", choices=list(ROOMS), action="append")
    parser.add_argument("--sample", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    good = True
    for name in asked.room or ROOMS:
        print(f"== {name}", flush=True)
        fates, survivors = judged(ROOMS[name], asked.sample, asked.seed, asked.only)
        print(*survivors, sep="\n")
        killed, fair = _score(fates)
        some, rest = _score({key: n for key, n in fates.items() if not key[0]})
        counts = ", ".join(
            f"{n} {kind} {fate}".replace("  ", " ") for (kind, fate), n in fates.items()
        )
        told = f"{killed} of {fair} killed, {some} of {rest} without {' and '.join(KINDS)}"
        print(f"== {name}: {told} ({counts})", flush=True)
        good &= killed >= 0.9 * fair
    return 0 if good else 1


if __name__ == "__main__":
    raise SystemExit(main())
