"""Makes `lay_reference.json`: `PYTHONPATH=tests nice -n 19 python -m bench.lay_reference`.

For each of the twelve cases three seeds that an ordinary lay does not use, a minute of processor
time each, one after the other on one core; where pieces may lie in either of two ways, so much for
each way. A busy machine makes it slower and no worse. The shortest lay is kept with all positions
settled and checked. About forty minutes of one core; cases that are in the file are kept, and
`--anew` makes them again.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from bench.lay_cases import CASES, REFERENCE, Case

from outseam.draft.lay.model.turning import alike_rules
from outseam.draft.lay.nest import solver
from outseam.draft.lay.ways.plan import plan_lay

SEEDS, SECONDS, FIRST_SEED = 3, 60.0, 1001
MADE = (
    f"{SEEDS} seeds of {SECONDS:.0f} s of processor time each, spyrrow 0.9.0 with one worker, "
    "positions settled and checked; shortest of these and of the lays made without a search"
)
#: Runs the solver's script by processor time, which its own limit may not cut short.
_BY_PROCESSOR = """
import runpy, time
import spyrrow
config = spyrrow.StripPackingConfig
spyrrow.StripPackingConfig = lambda **more: config(**{{**more, "exploration_time": 36000}})
time.monotonic = time.process_time
runpy.run_path({script!r}, run_name="__main__")
"""


def made(case: Case) -> dict[str, Any]:
    """Return the reference of one case."""
    pattern = case.pattern()
    lay = plan_lay([pattern], seconds=SEEDS * SECONDS * len(alike_rules([pattern])))
    assert not lay.errors
    return {
        "length_mm": round(lay.length_mm, 1),
        "area_mm2": round(lay.area_mm2),
        "bound_mm": round(lay.bound_mm, 1),
        "how": lay.how,
    }


def count_processor_time(folder: Path) -> None:
    """Let the solver's processes count their own processor time; they are waited for."""
    child = folder / "by_processor.py"
    child.write_text(_BY_PROCESSOR.format(script=str(solver.CHILD)))
    solver.CHILD, solver._GRACE_S = child, 36000.0


def main(arguments: Sequence[str]) -> None:
    """Make what is missing, case by case."""
    run = solver._run

    def other_seeds(tasks: Sequence[Mapping[str, Any]], seconds: float) -> list[str]:
        assert len(tasks) == 1
        # What the lays before it took is not taken off a reference.
        return run(
            [{**t, "seed": FIRST_SEED + t["seed"], "seconds": SECONDS} for t in tasks], seconds
        )

    solver._run = other_seeds
    solver._MOST_PROCESSES, solver._AROUND_S = 1, 0.0
    known = json.loads(REFERENCE.read_text())["cases"] if REFERENCE.exists() else {}
    if "--anew" in arguments:
        known = {}
    with tempfile.TemporaryDirectory() as folder:
        count_processor_time(Path(folder))
        for case in CASES:
            if case.says not in known:
                known[case.says] = made(case)
                REFERENCE.write_text(json.dumps({"made": MADE, "cases": known}, indent=1) + "\n")
            print(f"{case.says}: {known[case.says]}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
