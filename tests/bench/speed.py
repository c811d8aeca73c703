"""Today's figure beside each goal of speed: `PYTHONPATH=tests python -m bench.speed`.

Processor time, the least of several runs, so that a busy machine tells nearly the same; ratios are
taken within one run. Growth is how many times as long so many times as much takes, beside as many
times. `--lay` runs the searches too (two minutes). Nothing is asserted: a goal that is missed is
marked and is no error. Whole processes find their modules compiled, as after an installation.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from bench.lay_cases import CASES, GALLERY, reference_mm
from bench.test_bench_pdf import drawn_once, paths

from outseam.cli.compare.fabric import fabric_of
from outseam.cli.compare.files import compare_files
from outseam.cli.paper.tiles import tile_pdf
from outseam.cli.scene.scene import Layer, Pen, Scene, Stroke
from outseam.draft.body.estimate import Body
from outseam.draft.fabric import Fabric
from outseam.draft.figures.sensitivity import estimate_effects
from outseam.draft.lay.model.cloth import cloth_of
from outseam.draft.lay.ways.border import search_border
from outseam.draft.lay.ways.plan import plan_lay
from outseam.draft.lay.ways.quick import quick_lay
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec, load_spec
from outseam.draft.style import Style
from outseam.draft.variants import parse_vary, vary_spec

BODY = Body(height=1680.0, waist=800.0, hip=1040.0, inside_leg=770.0, crotch_length=706.0)
PLAIN = Spec(body=BODY, fabric=Fabric(stretch_across=0.5), style=Style())


class Measured(NamedTuple):
    """One line of the table; `goal` is the most that is wanted, or the least where `more`."""

    work: str
    value: float
    goal: float
    unit: str
    more: bool = False

    def line(self) -> str:
        """Return it as printed."""
        met = self.value >= self.goal if self.more else self.value <= self.goal
        sign = ">=" if self.more else "<="
        told = f"{self.work:<58} {self.value:>9.2f}  {sign} {self.goal:<6g} {self.unit}"
        return told if met else f"{told}  MISSED"


def least_ms(work: Callable[[], object], runs: int = 15) -> float:
    """Return the least processor time of several runs after two to warm up, ms."""
    work(), work()
    took = []
    for _ in range(runs):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return 1000.0 * min(took)


#: The surroundings of a process that keeps what it has compiled.
_INSTALLED = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def child_s(*arguments: str, runs: int = 5) -> float:
    """Return the least processor time of a whole process with those it starts, s."""
    took = []
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        command = [sys.executable, *arguments]
        subprocess.run(command, capture_output=True, check=True, env=_INSTALLED)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(took)


def drafts() -> Iterator[Measured]:
    """One draft, the effects of estimates, a batch, a whole process."""
    pocket = replace(PLAIN, style=Style(pocket=("scoop",)))
    short = replace(PLAIN, body=replace(BODY, crotch_length=None))
    yield Measured(
        work="one draft with all checks",
        value=least_ms(lambda: draft_pattern(PLAIN)),
        goal=4,
        unit="ms",
    )
    yield Measured(
        work="the same with a scoop pocket",
        value=least_ms(lambda: draft_pattern(pocket)),
        goal=5,
        unit="ms",
    )
    pattern = draft_pattern(short)
    yield Measured(
        work="effects of all estimates",
        value=least_ms(lambda: estimate_effects(pattern), 6),
        goal=12,
        unit="ms",
    )
    yield Measured("batch, two processes", batch_rate(), 400, "bodies/s", more=True)
    with tempfile.TemporaryDirectory() as out:
        draft = child_s("-m", "outseam.cli.main", "draft", "--out", out)
    value = draft / child_s("-c", "import numpy", runs=7)
    yield Measured("outseam draft, whole process / import numpy", value, 6, "times")


def batch_rate(rows: int = 600) -> float:
    """Return how many bodies with a measured crotch length two cores draft in a second of both."""
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "bodies.csv"
        lines = [
            f"{155 + i % 30},{70 + i % 25},{95 + i % 25},{71 + i % 10},{67 + i % 8}"
            for i in range(rows)
        ]
        table.write_text("\n".join(("height,waist,hip,inside_leg,crotch_length", *lines)) + "\n")
        command = ["-m", "outseam.cli.main", "batch", str(table), "--json", f"{folder}/out.jsonl"]
        return 2.0 * rows / child_s(*command, "--jobs", "2", runs=1)


def papers() -> Iterator[Measured]:
    """Tiles against the same paths drawn once; nine variants compared."""
    curves, scene = paths(), sheet()
    once = least_ms(lambda: drawn_once(curves, scene.width_mm, scene.height_mm), 7)
    tiles = least_ms(lambda: tile_pdf(scene, "a4"), 7)
    work = "tiled PDF of 31 pages / its paths drawn once by cairo"
    yield Measured(work, tiles / once, 1.5, "times")
    spec = load_spec(GALLERY / "straight-97.toml")
    varied = [
        parse_vary(text, spec.units) for text in ("rise=high,mid,low", "leg=straight,flare,slim")
    ]

    def compared() -> None:
        comparison = vary_spec(spec, varied)
        compare_files(comparison, None, fabric_of(comparison))

    yield Measured("nine variants compared", least_ms(compared, 3) / 1000, 0.25, "s")


def quick_lays(*, searched: bool) -> Iterator[Measured]:
    """Quick lays: time, and length against references and a search of five seconds."""
    patterns = [case.pattern() for case in CASES]
    slowest = max(least_ms(lambda p=p: quick_lay(p), 3) for p in patterns)  # type: ignore[misc]
    yield Measured("quick lay, slowest of twelve", slowest, 50, "ms")
    lays = [quick_lay(p) for p in patterns]
    best = [reference_mm(c, lay.area_mm2) for c, lay in zip(CASES, lays, strict=True)]
    off = [lay.length_mm / mm - 1.0 for lay, mm in zip(lays, best, strict=True) if mm]
    if off:
        told = f"quick lay against the references of {len(off)} of twelve, worst"
        yield Measured(told, 100.0 * max(off), 5, "%")
    if searched:
        off = [
            lay.length_mm / plan_lay([p], seconds=5.0).length_mm - 1.0
            for p, lay in zip(patterns, lays, strict=True)
        ]
        yield Measured("quick lay against a search, worst", 100.0 * max(off), 5, "%")


def borders() -> Iterator[Measured]:
    """A border lay of one garment, every order tried."""
    spec = load_spec(GALLERY / "palazzo-116.toml")
    slowest = 0.0
    for sides in ("one", "both"):
        for repeat in (None, 290.0):
            fabric = replace(
                spec.fabric,
                border=sides,
                border_height=220.0,
                border_from_selvedge=60.0,
                border_repeat=repeat,
                width=1500.0,
            )
            style = replace(spec.style, band_from="border")
            pattern = draft_pattern(replace(spec, fabric=fabric, style=style))
            cloth = cloth_of(fabric)
            took = least_ms(lambda p=pattern, c=cloth: search_border([p], c), 5)  # type: ignore[misc]
            slowest = max(slowest, took)
    yield Measured("border lay of one garment, slowest of four", slowest, 30, "ms")


def sheet(times: int = 1) -> Scene:
    """Return the paths of 31 home pages, repeated below each other so many times."""
    curves = paths()
    strokes = tuple(
        Stroke(path=curve.moved(0.0, 1474.0 * n), pen=Pen(width_mm=0.5))
        for n in range(times)
        for curve in curves
    )
    layer = Layer(name="cut", items=strokes)
    return Scene(title="Bench", width_mm=910.0, height_mm=1474.0 * times, layers=(layer,))


def growth() -> Iterator[Measured]:
    """Time against pieces, pages, bodies and garments."""
    few, many = PLAIN, replace(PLAIN, style=Style(pocket=("scoop", "patch"), belt="narrow"))
    pieces = [len(draft_pattern(spec).pieces) for spec in (few, many)]
    took = [least_ms(lambda s=spec: draft_pattern(s)) for spec in (few, many)]  # type: ignore[misc]
    yield Measured(
        f"growth: a draft of {pieces[1]} pieces over one of {pieces[0]}",
        took[1] / took[0],
        round(pieces[1] / pieces[0], 2),
        "times",
    )
    sheets = [sheet(times) for times in (1, 4)]
    pages = [least_ms(lambda s=one: tile_pdf(s, "a4"), 5) for one in sheets]  # type: ignore[misc]
    yield Measured("growth: four times the pages", pages[1] / pages[0], 4, "times")
    bodies = 4.0 * batch_rate(300) / batch_rate(1200)
    yield Measured("growth: a batch of four times the bodies", bodies, 4, "times")
    pattern = CASES[7].pattern()
    lays = [least_ms(lambda n=n: plan_lay([pattern] * n, seconds=0.0), 1) for n in (1, 3)]  # type: ignore[misc]
    yield Measured("growth: a first lay of three garments", lays[1] / lays[0], 3, "times")


def main(arguments: list[str]) -> None:
    """Print the table."""
    lays = quick_lays(searched="--lay" in arguments)
    for part in (drafts(), papers(), lays, borders(), growth()):
        for measured in part:
            print(measured.line(), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
