"""Seconds of the fuzzing harness, every fault that it ever found, and proof that it finds any.

Minutes and hours of it: `PYTHONPATH=tests python -m bench.fuzz`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from bench.fuzz.__main__ import CASES, text_of
from bench.fuzz.judges import file_faults, lay_faults, pattern_faults
from bench.fuzz.trials import TRIES

from outseam.draft.lay.ways.quick import quick_lay
from outseam.draft.model import Pattern
from outseam.draft.piece.piece import Piece

FOUND = sorted(CASES.glob("*.toml"))


@pytest.mark.parametrize("case", FOUND, ids=lambda path: path.stem)
def test_what_was_found_once_stays_mended(case: Path) -> None:
    text = case.read_bytes().decode("utf-8", "surrogatepass")
    assert not TRIES[case.stem.partition("-")[0]](text)


@pytest.mark.parametrize(("kind", "first", "count"), [("door", 10**6, 1200), ("draft", 10**6, 30)])
def test_some_seconds_of_it(kind: str, first: int, count: int) -> None:
    for seed in range(first, first + count):
        assert not TRIES[kind](text_of(kind, seed)), f"{kind} {seed}"


def _front(pattern: Pattern, change: Callable[[Piece], Piece]) -> Pattern:
    return replace(
        pattern, pieces=tuple(change(p) if p.name == "front" else p for p in pattern.pieces)
    )


def _cut_moved(p: Piece) -> Piece:
    return replace(p, cut=tuple(c.moved(0.3, 0.3) for c in p.cut))


def _longer(p: Piece) -> Piece:
    first, *rest = p.edges
    return replace(p, edges=(replace(first, path=first.path.moved(0.0, 1.0)), *rest))


def _notch_off(p: Piece) -> Piece:
    at = next(i for i, n in enumerate(p.notches) if n.edge == "inseam")
    off = replace(p.notches[at], at_mm=p.notches[at].at_mm + 2.0)
    return replace(p, notches=(*p.notches[:at], off, *p.notches[at + 1 :]))


def _scaled(p: Piece) -> Piece:
    edges = tuple(replace(e, path=e.path.mapped(1.01, 0, 0, 1.01, 0, 0)) for e in p.edges)
    return replace(p, edges=edges)


@pytest.mark.parametrize(
    ("damage", "word"),
    [
        (_cut_moved, "allowance"),
        (_longer, "open"),
        (_notch_off, "notch"),
        (_scaled, "longer than planned"),
    ],
)
def test_the_judges_see_a_damaged_piece(
    make_pattern: Callable[..., Pattern], damage: Callable[[Piece], Piece], word: str
) -> None:
    pattern = make_pattern()
    assert not list(pattern_faults(pattern))
    assert any(word in fault for fault in pattern_faults(_front(pattern, damage)))


def test_the_judges_see_a_piece_on_another(make_pattern: Callable[..., Pattern]) -> None:
    lay = quick_lay(make_pattern())
    assert not list(lay_faults(lay))
    first, second, *rest = lay.placed
    onto = replace(second, lie=second.lie.moved(first.x_mm - second.x_mm, first.y_mm - second.y_mm))
    assert any("lies on" in f for f in lay_faults(replace(lay, placed=(first, onto, *rest))))


def test_the_judges_see_a_broken_file() -> None:
    svg = b'<svg width="100mm" height="50mm" viewBox="0 0 101 50"><path d="M nan 1"/></svg>'
    assert len(list(file_faults({"a.svg": svg}, 1.0, 1.0))) == 2
    with pytest.raises(ValueError, match="NaN"):
        list(file_faults({"a.json": b'{"x": NaN}'}, 1.0, 1.0))
