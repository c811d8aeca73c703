"""One try of each kind: a text in, the sentences about what went wrong out, none if all is well.

A refusal in words (`OutseamError`) is an answer like any other; every other exception is a fault.
"""

from __future__ import annotations

import io
import json
import traceback
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from bench.fuzz.judges import file_faults, lay_faults, pattern_faults
from rich.console import Console

from outseam.cli.api.drafted import Draft
from outseam.cli.cloth.files import lay_files
from outseam.cli.compare.fabric import fabric_of
from outseam.cli.compare.files import compare_files
from outseam.cli.fitting.page import fit_html, overlay_drawing
from outseam.cli.fitting.trial_files import trial_files
from outseam.cli.page.figure import figure_of
from outseam.cli.page.flat import laid_out
from outseam.cli.page.live import told
from outseam.cli.paper.pattern_files import draft_files
from outseam.cli.sizes.files import size_range
from outseam.cli.wording.alterations import changed
from outseam.cli.wording.report import print_report
from outseam.cli.worksheet.files import worksheet_files
from outseam.draft.answer import Answer
from outseam.draft.buying.shopping_list import plan_buying
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import UNITS
from outseam.draft.lay.ways.quick import quick_lay
from outseam.draft.sizes.tables import TABLES
from outseam.draft.spec.spec import Spec, parse_spec
from outseam.draft.variants import parse_vary, vary_spec

#: The longest sentence that still is one.
LONGEST = 1200

Try = Callable[[str], list[str]]


def _guarded(part: Callable[[], Iterator[str]], word: str) -> Iterator[str]:
    try:
        yield from part()
    except OutseamError as e:
        if not 10 < len(str(e)) < LONGEST or "\n" in str(e):
            yield f"{word}: a refusal of {len(str(e))} characters: {str(e)[:80]!r}"
    except Exception:
        yield f"{word}: {traceback.format_exc()}"


def at_the_door(text: str) -> list[str]:
    """Read a text as a spec."""

    def read() -> Iterator[str]:
        parse_spec(text)
        yield from ()

    return list(_guarded(read, "door"))


def _spec(text: str) -> Spec | None:
    try:
        return parse_spec(text)
    except OutseamError:
        return None


def drafted(text: str) -> list[str]:
    """Draft a spec and judge its pattern."""
    spec = _spec(text)
    if spec is None:
        return []
    return list(_guarded(lambda: pattern_faults(Answer(spec=spec).drafted), "draft"))


def written(text: str) -> list[str]:
    """Draft a spec, judge its pattern, write it as everything it can be written as, judge that."""
    spec = _spec(text)
    if spec is None:
        return []
    answer = Answer(spec=spec)
    paper = spec.print.calibrate_across, spec.print.calibrate_along
    found = list(_guarded(lambda: pattern_faults(answer.drafted), "draft"))
    if found or not _drafts(answer):
        return found

    def buy() -> Iterator[str]:
        plan_buying(answer.pattern, None, [], seconds=0.0)
        yield from ()

    def report() -> Iterator[str]:
        console = Console(file=io.StringIO(), highlight=False)
        print_report(answer.pattern, answer.effects, None, console)
        yield from ()

    parts: dict[str, Callable[[], Iterator[str]]] = {
        "draft": lambda: file_faults(draft_files(answer).files, *paper),
        "trial": lambda: file_faults(trial_files(answer).files, *paper),
        "worksheet": lambda: file_faults(worksheet_files(answer), *paper),
        "lay": lambda: lay_faults(quick_lay(answer.pattern)),
        "buy": buy,
        "report": report,
    }
    for word, part in parts.items():
        found += _guarded(partial(part), word)
    return found


def _drafts(answer: Answer) -> bool:
    try:
        return not answer.drafted.errors
    except OutseamError:
        return False


def beside(text: str) -> list[str]:
    """Draft a spec and make all that is told of pants beside their pattern; judge that."""
    spec = _spec(text)
    if spec is None or not _drafts(answer := Answer(spec=spec)):
        return []
    pattern = answer.pattern
    units, paper = spec.units, (1.0, 1.0)

    def compare() -> Iterator[str]:
        comparison = vary_spec(spec, [parse_vary("rise=high,low", units)], beside_own=True)
        yield from file_faults(compare_files(comparison, None, fabric_of(comparison)), *paper)

    def lay() -> Iterator[str]:
        yield from file_faults(lay_files([pattern], quick_lay(pattern)), *paper)

    def fit() -> Iterator[str]:
        yield from file_faults({"fit.html": fit_html(spec, None).encode()}, *paper)
        before = Answer(spec=replace(spec, alter=())).pattern
        for one, other in ((before, pattern), (pattern, before)):
            changed(one, other)
            yield from file_faults({"fit.svg": overlay_drawing(one, other).encode()}, *paper)

    def page() -> Iterator[str]:
        for shown in UNITS:
            json.dumps(told(pattern, laid_out(pattern), shown), allow_nan=False)
        json.dumps(figure_of(pattern.measures), allow_nan=False)
        yield from ()

    def python() -> Iterator[str]:
        draft = Draft(answer)
        json.dumps(draft.summary(), allow_nan=False)
        yield from file_faults({"pants.svg": draft.svg().encode()}, *paper)
        draft._repr_html_()

    parts: dict[str, Callable[[], Iterator[str]]] = {
        "compare": compare,
        "lay": lay,
        "fit": fit,
        "page": page,
        "python": python,
    }
    return [fault for word, part in parts.items() for fault in _guarded(part, word)]


def sized(text: str) -> list[str]:
    """Draw the style of a spec over the tables of sizes; judge its files and its nest."""
    spec = _spec(text)
    if spec is None:
        return []
    paper = spec.print.calibrate_across, spec.print.calibrate_along

    def over(table: str) -> Iterator[str]:
        sizes = size_range(spec, table)
        yield from file_faults(sizes.files() | sizes.nest_files().files, *paper)

    names = [table.name for table in TABLES]
    return [f for name in names for f in _guarded(partial(over, name), f"sizes {name}")]


TRIES: dict[str, Try] = {
    "door": at_the_door,
    "draft": drafted,
    "files": written,
    "beside": beside,
    "sizes": sized,
}
