"""How long a draft takes: run with `pytest tests/bench`, apart from the suite.

One draft with all its checks is meant to take less than 10 ms. Nothing is asserted on time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from outseam.draft.block.block import asking_block
from outseam.draft.block.solve import solve_together
from outseam.draft.body.estimate import Body, complete
from outseam.draft.checks import run_checks
from outseam.draft.fabric import Fabric
from outseam.draft.figures.finished import batch_figures
from outseam.draft.figures.sensitivity import estimate_effects
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.pattern import draft_measures, draft_pattern
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style

KNIT = Fabric(stretch_across=0.5)
STYLE = Style(fit="easy", leg="straight")


def test_one_draft_with_all_checks(benchmark: Any, measured: Body) -> None:
    spec = Spec(body=measured, fabric=KNIT, style=STYLE)
    pattern = benchmark(draft_pattern, spec)
    assert pattern.errors == ()


def test_the_solver_alone(benchmark: Any, measured: Body) -> None:
    question = next(asking_block(complete(measured), KNIT, STYLE))
    (solution,) = benchmark(solve_together, [question])
    assert max(map(abs, solution.moved_sd)) < 3.0


def test_the_checks_alone(benchmark: Any, measured: Body) -> None:
    pattern = draft_pattern(Spec(body=measured, fabric=KNIT, style=STYLE))
    assert benchmark(run_checks, pattern)


def test_estimates_filled_in(benchmark: Any) -> None:
    body = Body(height=1680.0, waist=800.0, hip=1040.0, inside_leg=770.0)
    assert benchmark(complete, body).estimates


def test_effects_of_all_estimates(benchmark: Any) -> None:
    """A redraft for every estimate: what the report asks for once."""
    body = Body(height=1680.0, waist=800.0, hip=1040.0, inside_leg=770.0)
    pattern = draft_pattern(Spec(body=body, fabric=KNIT, style=STYLE))
    assert benchmark(estimate_effects, pattern)


def test_a_hundred_bodies(benchmark: Any, make_people: Callable[..., tuple[Body, ...]]) -> None:
    """A batch in one process, figures and all."""
    people = (*make_people("women", 50, seed=1), *make_people("men", 50, seed=1, split=True))

    def batch() -> int:
        drafted = 0
        for body in people:
            spec = Spec(body=body, fabric=KNIT, style=STYLE)
            try:
                pattern = draft_measures(spec, complete(body))
            except OutseamError:
                continue
            drafted += bool(batch_figures(pattern))
        return drafted

    assert benchmark.pedantic(batch, rounds=2) >= 99
