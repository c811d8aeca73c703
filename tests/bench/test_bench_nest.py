"""How long a nest of twelve sizes takes, drawn, tiled and written, beside one size on the same
papers.

Run with `pytest tests/bench -s --benchmark-only`; the ratio of processor time is printed.
"""

import statistics
import time
from dataclasses import replace

import pytest
from size_runs import graded_run

from outseam.cli.nest.files import nest_files
from outseam.cli.nest.nest import nest_of
from outseam.cli.paper.pattern_files import make_sheets
from outseam.draft.spec.spec import PrintOptions


@pytest.mark.benchmark(timer=time.process_time)
def test_twelve_sizes_nested(benchmark):
    run, papers = graded_run(12), PrintOptions(papers=("a4", "a0"))
    middle = run.patterns[6]
    one = replace(middle, spec=replace(middle.spec, print=papers))
    singles = []
    for _ in range(5):
        start = time.process_time()
        make_sheets(one)
        singles.append(time.process_time() - start)
    made = benchmark.pedantic(lambda: nest_files(nest_of(run), papers), rounds=5, warmup_rounds=1)
    assert set(made.files) == {"nest.svg", "nest-a4.pdf", "nest-a0.pdf"}
    if benchmark.stats:
        single, nested = statistics.median(singles), benchmark.stats.stats.median
        print(
            f"\n12 sizes nested {nested * 1e3:.0f} ms, one size {single * 1e3:.0f} ms; ratio "
            f"{nested / single:.2f}, goal < 3"
        )
