"""The program's own table of units against pint, a general library for units.

The values themselves rest on the international yard and pound agreement of 1959 (1 yd = 0.9144 m).
"""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from outseam.draft.inputs.show import MM_PER_UNIT
from outseam.draft.inputs.units import SPELLINGS, length_mm

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()

#: Spellings that are sewing habits and not unit names of pint.
MARKS = {'"': "inch", "'": "foot", "cms": "cm", "ins": "inch", "yds": "yard"}


@pytest.mark.parametrize("spelling", sorted(SPELLINGS))
def test_every_spelling_means_what_pint_says(spelling: str) -> None:
    expected = REGISTRY.Quantity(1.0, MARKS.get(spelling, spelling)).to("mm").magnitude
    assert float(MM_PER_UNIT[SPELLINGS[spelling]]) == pytest.approx(expected, rel=1e-12)
    assert length_mm(f"1 {spelling}", "cm", "x") == pytest.approx(expected, rel=1e-12)


@given(
    number=st.decimals(0, 400, places=2),
    unit=st.sampled_from(["mm", "cm", "m", "inch", "foot", "yard", "dm", "decimetre"]),
)
def test_text_lengths_agree_with_pint(number: object, unit: str) -> None:
    expected = REGISTRY.Quantity(float(str(number)), unit).to("mm").magnitude
    assert length_mm(f"{number} {unit}", "cm", "x") == pytest.approx(expected, rel=1e-12, abs=1e-12)
