"""Words along a fold stand upright, however the piece lies on its sheet."""

from __future__ import annotations

import pytest

from outseam.cli.pattern.drawing import Place, draw_pieces
from outseam.cli.scene.scene import Label
from outseam.draft.body.table import Body
from outseam.draft.fabric import Fabric
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec
from outseam.draft.style import Style


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
def test_the_word_of_the_casing_fold_is_upright(turn: float) -> None:
    style = Style(band="turned", elastic_width=25.0, fit="loose")
    body = Body(height=1640.0, waist=830.0, hip=1070.0, inside_leg=745.0)
    pattern = draft_pattern(Spec(body=body, fabric=Fabric(stretch_across=0.4), style=style))
    for name in ("front", "back"):
        layers = draw_pieces(pattern, [pattern.piece(name)], [Place(turn_deg=turn)])
        words = [x for layer in layers for x in layer.items if isinstance(x, Label)]
        (fold,) = [x for x in words if x.text == "casing fold"]
        angle = (fold.angle_deg + 360.0) % 360.0
        # A fold is level within half a right angle, so turned by one it reads up or down.
        assert angle < 135.0 or angle > 225.0
        if turn in (0.0, 180.0):
            assert angle < 45.0 or angle > 315.0
