"""The gallery's drawings are what the program draws today, to a hundredth of a millimetre."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

import pytest
from PIL import Image

GALLERY = Path(__file__).parents[2] / "gallery"
sys.path.insert(0, str(GALLERY))
import build  # noqa: E402

NUMBER = re.compile(r"-?\d+\.?\d*(?:e-?\d+)?")
#: Two machines may differ in the last digits of a solved draft; a person cannot cut closer.
TOLERANCE_MM = 0.01


def differences(a: str, b: str) -> list[str]:
    """Say where two drawings differ: in words, in the count of numbers, or in a number."""
    if NUMBER.sub("#", a) != NUMBER.sub("#", b):
        return ["the drawings have different parts"]
    pairs = zip(NUMBER.findall(a), NUMBER.findall(b), strict=True)
    return [f"{x} is now {y}" for x, y in pairs if abs(float(x) - float(y)) > TOLERANCE_MM]


def test_comparison_can_fail() -> None:
    a = '<path d="M 10.00 20.00"/>'
    assert not differences(a, '<path d="M 10.005 20.00"/>')
    assert differences(a, '<path d="M 10.02 20.00"/>')
    assert differences(a, '<path d="M 10.00 20.00 21.0"/>')


def test_enough_specs() -> None:
    assert len(build.specs()) >= 6


@pytest.mark.parametrize("spec", build.specs(), ids=lambda p: p.stem)
def test_drawing(spec: Path, request: pytest.FixtureRequest) -> None:
    now = build.drawing(spec)
    record = spec.with_suffix(".svg")
    if request.config.getoption("--rewrite"):
        record.write_text(now, encoding="utf-8")
        spec.with_suffix(".png").write_bytes(build.thumbnail(now))
    assert record.exists(), "no drawing on record: look at it, then pytest tests/golden --rewrite"
    assert differences(record.read_text(encoding="utf-8"), now) == []


@pytest.mark.parametrize("spec", build.specs(), ids=lambda p: p.stem)
def test_thumbnail(spec: Path) -> None:
    kept = Image.open(spec.with_suffix(".png")).convert("L")
    now = Image.open(io.BytesIO(build.thumbnail(build.drawing(spec)))).convert("L")
    assert kept.size == now.size
    pairs = zip(kept.tobytes(), now.tobytes(), strict=True)
    far = sum(abs(a - b) > 96 for a, b in pairs)
    assert far <= 0.002 * kept.width * kept.height
