"""Figures of the gallery's patterns and the words on their pages are what is on record.

A drawing shows that something moved; a figure says what: landmarks of the block, the length of
every edge, finished measurements, seams, and each page's words as another program reads them.
"""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest

from outseam.cli.paper.home_pages import home_pages
from outseam.cli.paper.print_job import PrintJob
from outseam.draft.figures.finished import finished
from outseam.draft.figures.landmarks import landmarks
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.piece.ruler import ruler_length
from outseam.draft.spec.spec import load_spec

HERE = Path(__file__).parent
GALLERY = HERE.parents[1] / "gallery"
sys.path.insert(0, str(GALLERY))
import build  # noqa: E402

#: Two machines may differ in the last digits of a solved draft; a person cannot cut closer.
TOLERANCE_MM = 0.01


def figures_of(pattern: Pattern) -> dict[str, Any]:
    return {
        "landmarks": {
            k: [round(x, 3), round(y, 3)] for k, (x, y) in landmarks(pattern.block).items()
        },
        "edges": {
            p.name: [[e.name, round(ruler_length(e.path), 3)] for e in p.edges]
            for p in pattern.pieces
        },
        "notches": {p.name: len(p.notches) for p in pattern.pieces},
        "finished": {k: round(mm, 3) for k, mm in finished(pattern).items()},
        "seams": {s.name: round(s.ease_mm, 3) for s in pattern.seams},
    }


def words_of(pattern: Pattern) -> list[str]:
    read = pypdf.PdfReader(io.BytesIO(home_pages(PrintJob(pattern=pattern), "a4").data))
    # Letters may be read in another order from one reader's version to the next; words may not.
    return [" ".join(sorted(set(page.extract_text().split()))) for page in read.pages]


def differences(a: Any, b: Any, where: str = "") -> list[str]:
    """Say where two records differ: in a key, in a word, or in a number by more than is cut."""
    if isinstance(a, dict) and isinstance(b, dict):
        missing = [f"{where}.{k}: only in one" for k in sorted(a.keys() ^ b.keys())]
        both = (differences(a[k], b[k], f"{where}.{k}") for k in a.keys() & b.keys())
        return missing + [d for found in both for d in found]
    if isinstance(a, list) and isinstance(b, list):
        if len(a) != len(b):
            return [f"{where}: {len(a)} are now {len(b)}"]
        return [
            d
            for i, (x, y) in enumerate(zip(a, b, strict=True))
            for d in differences(x, y, f"{where}[{i}]")
        ]
    if isinstance(a, float | int) and isinstance(b, float | int):
        return [f"{where}: {a} is now {b}"] if abs(a - b) > TOLERANCE_MM else []
    return [] if a == b else [f"{where}: {a!r} is now {b!r}"]


def test_comparison_can_fail() -> None:
    a = {"hip": 1.0, "edges": [["hem", 2.0]], "words": ["a b"]}
    assert not differences(a, {"hip": 1.005, "edges": [["hem", 2.0]], "words": ["a b"]})
    assert differences(a, {"hip": 1.02, "edges": [["hem", 2.0]], "words": ["a b"]})
    assert differences(a, {"hip": 1.0, "edges": [["side", 2.0]], "words": ["a b"]})
    assert differences(a, {"hip": 1.0, "edges": [["hem", 2.0]], "words": ["a c"]})
    assert differences(a, {"edges": [["hem", 2.0]], "words": ["a b"]})


@pytest.mark.parametrize("spec", build.specs(), ids=lambda p: p.stem)
def test_figures_and_words(spec: Path, request: pytest.FixtureRequest) -> None:
    pattern = draft_pattern(load_spec(spec))
    now = {**figures_of(pattern), "pages": words_of(pattern)}
    record = HERE / "figures" / f"{spec.stem}.json"
    if request.config.getoption("--rewrite"):
        record.write_text(json.dumps(now, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    assert record.exists(), "no figures on record: look at them, then pytest tests/golden --rewrite"
    assert differences(json.loads(record.read_text(encoding="utf-8")), now) == []
