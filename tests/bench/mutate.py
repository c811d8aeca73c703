"""What the tests would miss: `PYTHONPATH=tests python -m bench.mutate --room curves --sample 25`.

The operators of cosmic-ray (`pip install cosmic-ray`; it is not among the locked packages) change
one place of a room at a time, on a copy of the project in a temporary folder: the tree itself is
never written to. The tests that concern the room run on the copy; a change that no test notices is
printed as a survivor. Tests that fail on the unchanged copy are left out, and said. `--seed` draws
another sample, `--only TEXT` keeps to files whose path has the text.

Left out are changes that are none: in annotations, which are never evaluated, in imports for the
type checker, and in what is said of a dataclass (frozen, slotted), which only guards against us.
"""

from __future__ import annotations

import argparse
import ast
import compileall
import os
import py_compile
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import NamedTuple

try:
    from cosmic_ray.ast import ast_nodes, get_ast
    from cosmic_ray.mutating import mutate_code
    from cosmic_ray.plugins import get_operator
except ImportError:
    raise SystemExit("this needs cosmic-ray: pip install cosmic-ray") from None

ROOT = Path(__file__).parents[2]

#: Changes a person could make by mistake; others of the tool (`a << b`) crash at once.
OPERATORS = (
    *("AddNot", "NumberReplacer", "ReplaceAndWithOr", "ReplaceOrWithAnd", "ZeroIterationForLoop"),
    *("ReplaceTrueWithFalse", "ReplaceFalseWithTrue", "ReplaceBreakWithContinue"),
    *("ReplaceContinueWithBreak", "ReplaceUnaryOperator_Delete_Not"),
    *("ReplaceUnaryOperator_Delete_USub", "ExceptionReplacer"),
    *(f"ReplaceBinaryOperator_{p}" for p in ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul")),
    *(f"ReplaceBinaryOperator_{p}" for p in ("FloorDiv_Mul", "Mod_Add", "Pow_Mul")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Lt_LtE", "LtE_Lt", "Gt_GtE", "GtE_Gt")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Lt_GtE", "Gt_LtE", "Eq_NotEq", "NotEq_Eq")),
    *(f"ReplaceComparisonOperator_{p}" for p in ("Is_IsNot", "IsNot_Is")),
)


class Room(NamedTuple):
    """Files that are changed, and the tests that have to notice, quick ones first."""

    files: tuple[str, ...]
    tests: tuple[str, ...]


ROOMS = {
    "curves": Room(
        ("curves/*.py",),
        (
            "tests/curves",
            "tests/outside/test_monotone_scipy.py",
            "tests/outside/test_curves_against_scipy_shapely.py",
        ),
    ),
    "block": Room(
        ("draft/block/*.py",),
        (
            *(
                "tests/draft/test_block.py",
                "tests/draft/test_legs.py",
                "tests/draft/test_checks.py",
            ),
            *("tests/draft/alter/test_alterations.py", "tests/outside/test_handbook_block.py"),
            *("tests/draft/test_lengths_rises.py", "tests/golden/test_gallery_figures.py"),
        ),
    ),
    "bands": Room(
        ("draft/bands/*.py",),
        (
            *("tests/draft/test_bands.py", "tests/outside/test_band_example.py"),
            *("tests/draft/test_checks.py", "tests/draft/test_belts.py"),
            *("tests/draft/alter/test_alterations.py", "tests/golden/test_gallery_figures.py"),
        ),
    ),
    "checks": Room(
        ("draft/checks/*.py",),
        (
            *("tests/draft/test_checks.py", "tests/draft/test_pockets.py"),
            *("tests/draft/test_belts.py", "tests/draft/test_sided.py"),
            *("tests/draft/test_tape.py", "tests/draft/test_slips.py"),
        ),
    ),
    "lay": Room(
        ("draft/lay/check/*.py",),
        (
            *("tests/draft/lay/test_lay_search.py", "tests/draft/lay/test_lay_parts.py"),
            *("tests/draft/lay/test_lay_narrow.py", "tests/outside/test_lay_shapely.py"),
            "tests/draft/lay/test_lay_free.py",
        ),
    ),
    "tiling": Room(
        tuple(
            f"cli/paper/{f}.py"
            for f in ("grid", "tiles", "joints", "free_space", "furniture", "first_page")
        ),
        ("tests/cli/test_tiles.py", "tests/cli/test_pdf.py", "tests/outside/test_pdf_readers.py"),
    ),
}


class Mutant(NamedTuple):
    """One change: the file, the operator, which of its places, the line, the text that results."""

    file: str
    operator: str
    line: int
    text: str

    def shown(self, before: str) -> str:
        """Return the line before and after."""
        old, new = (t.splitlines()[self.line - 1].strip() for t in (before, self.text))
        return f"{self.file}:{self.line} [{self.operator}]\n    - {old}\n    + {new}"


def _evaluated(text: str) -> str:
    """Return the module's tree without what is never evaluated; nothing if it is no Python."""
    try:
        tree = ast.parse(text)
    except SyntaxError:  # the tool sets `not` before an assignment, which takes brackets
        return ""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            node.decorator_list = []
        for name in ("annotation", "returns"):
            if getattr(node, name, None) is not None:
                setattr(node, name, ast.Constant(None))
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            node.test, node.body = ast.Constant(False), []
    return ast.dump(tree)


class Place(NamedTuple):
    """Where an operator could change a file: the how-manieth of its places there, and its line."""

    file: Path
    operator: str
    number: int
    line: int


def places_of(file: Path) -> Iterator[Place]:
    """Yield every place of a file that an operator could change."""
    tree = get_ast(file.read_text())
    nodes = list(ast_nodes(tree))
    for name in OPERATORS:
        operator = get_operator(f"core/{name}")()
        spans = [p for n in nodes for p in operator.mutation_positions(n)]
        for i, span in enumerate(spans):
            yield Place(file, name, i, span[0][0])


def mutant_at(place: Place) -> Mutant | None:
    """Return the change at a place; None where nothing that is evaluated changes."""
    text = place.file.read_text()
    changed = mutate_code(text, get_operator(f"core/{place.operator}")(), place.number)
    if changed is None or _evaluated(changed) in ("", _evaluated(text)):
        return None
    return Mutant(str(place.file.relative_to(ROOT)), place.operator, place.line, changed)


class Copy:
    """The project in a temporary folder, and pytest on it."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "project"
        shutil.copytree(
            ROOT,
            self.root,
            symlinks=True,
            ignore=shutil.ignore_patterns(".git", "__pycache__", "*.egg-info", ".*_cache"),
        )
        # Judged by their content, not their time: a change within the same second is seen.
        mode = py_compile.PycInvalidationMode.CHECKED_HASH
        for part in ("curves", "draft", "cli"):
            compileall.compile_dir(self.root / part, quiet=1, invalidation_mode=mode)
        # The links that mypy follows are the package, laid out as it is imported.
        path = f"{self.root / '.mypy'}{os.pathsep}{self.root / 'tests'}"
        self._env = os.environ | {"PYTHONPATH": path, "PYTHONDONTWRITEBYTECODE": "1"}
        where = self._run(["-c", "import outseam.draft as d; print(d.__file__)"], 60.0)
        if str(self.root) not in where.stdout:
            raise SystemExit(
                f"the copy is not what is imported, but {where.stdout or where.stderr}"
            )

    def _run(self, args: list[str], most_s: float) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, *args],
            cwd=self.root,
            env=self._env,
            capture_output=True,
            text=True,
            timeout=most_s,
        )

    def failing(self, tests: tuple[str, ...]) -> tuple[str, ...]:
        """Return the tests that fail without any change.

        Without them all have to pass: else every change would seem to be noticed.
        """
        ran = self._run(["-m", "pytest", "-q", "-p", "no:cacheprovider", *tests], 1800.0)
        broken = tuple(
            re.findall(r"^(?:FAILED|ERROR) (\S+(?: \S+)*?)(?: - .*)?$", ran.stdout, re.MULTILINE)
        )
        if ran.returncode not in (0, 1) or (broken and self.notices(tests, broken, 1800.0)):
            raise SystemExit(f"the tests do not pass on the unchanged copy:\n{ran.stdout[-2000:]}")
        return broken

    def notices(self, tests: tuple[str, ...], without: tuple[str, ...], most_s: float) -> bool:
        """Return whether a test fails, or nothing comes of it in time."""
        args = ["-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "--tb=no", *tests]
        args += [f"--deselect={t}" for t in without]
        try:
            return self._run(args, most_s).returncode != 0
        except subprocess.TimeoutExpired:
            return True


def judged(room: Room, sample: int, seed: int, only: str) -> tuple[int, list[str]]:
    """Return how many changes were made, and the survivors as text."""
    files = [f for pattern in room.files for f in sorted(ROOT.glob(pattern)) if only in str(f)]
    every = [place for file in files for place in places_of(file)]
    random.Random(seed).shuffle(every)
    chosen = list(islice((m for m in map(mutant_at, every) if m is not None), sample))
    print(f"{len(every)} places, {len(chosen)} of them changed", flush=True)
    survivors = []
    with tempfile.TemporaryDirectory(prefix="mutate-") as folder:
        copy = Copy(Path(folder))
        began = time.monotonic()
        broken = copy.failing(room.tests)
        most_s = 60.0 + 4.0 * (time.monotonic() - began)
        for test in broken:
            print(f"left out, it fails without a change: {test}", flush=True)
        for n, mutant in enumerate(chosen, start=1):
            file = copy.root / mutant.file
            before = file.read_text()
            file.write_text(mutant.text)
            noticed = copy.notices(room.tests, broken, most_s)
            file.write_text(before)
            if not noticed:
                survivors.append(mutant.shown(before))
            print(f"{n} {'killed' if noticed else 'SURVIVED ' + survivors[-1]}", flush=True)
    return len(chosen), survivors


def main() -> int:
    """Print the score of each room asked for; exit code 1 below nine in ten."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--room", choices=list(ROOMS), action="append")
    parser.add_argument("--sample", type=int, default=30)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="")
    asked = parser.parse_args()
    good = True
    for name in asked.room or ROOMS:
        print(f"== {name}", flush=True)
        made, survivors = judged(ROOMS[name], asked.sample, asked.seed, asked.only)
        killed = made - len(survivors)
        print(f"== {name}: {killed} of {made} killed", *survivors, sep="\n", flush=True)
        good &= killed >= 0.9 * made
    return 0 if good else 1


if __name__ == "__main__":
    raise SystemExit(main())
