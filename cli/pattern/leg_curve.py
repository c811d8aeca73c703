"""The whole leg as curves: body, pattern and what the fabric can do at every height.

The leg stands upright: heights go up, girths to the right, on the scale of the strain chart. Told
apart without colour as there: the pattern is grey, its wear limit a thin line, what it gives for a
moment a dashed one, the body a thick black line; a thin band beside it says how sure that is.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from outseam.cli.pattern.strain_chart import BODY, DASHED, PATTERN_GREY, THIN, WIDTH_MM, WORD_MM
from outseam.cli.scene.scene import Label, Pen, Scene, Stroke, scene_of
from outseam.cli.scene.text import text_width_mm
from outseam.curves.path import line, polyline
from outseam.draft.block.profile import Profile, profile_of
from outseam.draft.checks.strain import leg_name, levels
from outseam.draft.inputs.show import per_cent, show_length
from outseam.draft.model import Pattern

HEIGHT_MM, TOP_MM, FOOT_MM = 78.0, 5.0, 9.0
#: The curves lie right of the names of the levels and left of the words.
LEFT_MM, WORDS_MM = 24.0, 66.0
STEP_MM = 10.0
#: Girth is shown from this share of the least one on, so that small differences can be seen.
FROM_SHARE = 0.8
SURE = Pen(width_mm=0.12, colour=0.45)
LEVEL = Pen(width_mm=0.15, colour=0.72)

SAYS = (
    "One leg from the crotch line down: the grey shape is the pattern, the thin line where it "
    "wears well, the dashed one what it gives for a moment, the thick line the body, the pale "
    "lines beside it how surely that is known."
)


def leg_scene(pattern: Pattern) -> Scene:
    """Return the picture, `WIDTH_MM` wide; a height h lies at FOOT_MM + (h - hem) * scale."""
    ease = pattern.block.ease
    profile = profile_of(pattern.block, pattern.measures, STEP_MM)
    on = profile.legs
    h, body, drawn, sd = (x[on] for x in (
        profile.heights, profile.body, profile.pattern, profile.body_sd
    ))  # fmt: skip
    pull = drawn * (1.0 + ease.pull_strain)
    least = FROM_SHARE * float(min(drawn.min(), body.min()))
    across = (WIDTH_MM - LEFT_MM - WORDS_MM) / (float(max(pull.max(), body.max())) - least)
    up = (HEIGHT_MM - TOP_MM - FOOT_MM) / float(h[0] - h[-1])

    def at(girth: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> list[tuple[float, float]]:
        x = LEFT_MM + (girth - least) * across
        y = FOOT_MM + (h - h[-1]) * up
        return list(zip(x.tolist(), y.tolist(), strict=True))

    edge = at(drawn)
    grey = [(LEFT_MM, edge[0][1]), *edge, (LEFT_MM, edge[-1][1]), (LEFT_MM, edge[0][1])]
    curves: dict[str, list[Stroke | Label]] = {
        "pattern": [Stroke(path=polyline(grey), pen=THIN, fill=PATTERN_GREY)],
        "limits": [],
        "body": [Stroke(path=polyline(at(body + s * sd)), pen=SURE) for s in (-1.0, 1.0)],
        "levels": [],
        "words": [],
    }
    if ease.wear_strain > 0.0:
        curves["limits"] = [
            Stroke(path=polyline(at(drawn * (1.0 + ease.wear_strain))), pen=THIN),
            Stroke(path=polyline(at(pull)), pen=DASHED),
        ]
    curves["body"].append(Stroke(path=polyline(at(body)), pen=BODY))
    for level in levels(pattern):
        if level.name in ("waistband", "hip") or not h[-1] <= level.height_mm <= h[0]:
            continue
        y = FOOT_MM + (level.height_mm - float(h[-1])) * up
        across_all = line((LEFT_MM - 1.5, y), (WIDTH_MM - WORDS_MM, y))
        curves["levels"].append(Stroke(path=across_all, pen=LEVEL))
        curves["words"].append(
            Label(text=level.name.capitalize(), at=(0.5, y - 0.36 * WORD_MM), size_mm=WORD_MM)
        )
    curves["words"] += _worst(pattern, profile)
    return scene_of("Strain down the leg", (WIDTH_MM, HEIGHT_MM), curves)


def _worst(pattern: Pattern, profile: Profile) -> Iterator[Label]:
    """Yield in lines where on the leg there is least room, and how much."""
    on, units = profile.legs, pattern.spec.units
    h, body, drawn = profile.heights[on], profile.body[on], profile.pattern[on]
    strain = profile.strain[on]
    worst = int(np.argmax(strain))
    name = leg_name(pattern.measures, float(h[worst]))
    height = show_length(float(h[worst]), units)
    place = (f"{name},", f"{height} above the floor:")
    if strain[worst] >= 0.005:
        words = ("Tightest at the", *place, f"stretched {per_cent(float(strain[worst]))}")
    else:
        room = show_length(float(drawn[worst] - body[worst]), units)
        words = ("Nowhere stretched; least room at the", *place, room)
    x, y = WIDTH_MM - WORDS_MM + 3.0, HEIGHT_MM - TOP_MM - 4.0
    for i, text in enumerate(words):
        assert x + text_width_mm(text, WORD_MM) <= WIDTH_MM + 1.0
        yield Label(text=text, at=(x, y - 4.2 * i), size_mm=WORD_MM)
