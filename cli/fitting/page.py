"""What a trial shows, as a page with drawings, and the drawing of a pattern before and after."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from outseam.cli.document.html import render_page
from outseam.cli.fitting.drawings import sign_drawing
from outseam.cli.fitting.overlay import overlay_scene
from outseam.cli.scene.home_paper import PAPER_NAMES
from outseam.cli.scene.scene import Scene
from outseam.cli.wording.alterations import ChangedFigure, changed, entry_words, small, start_words
from outseam.cli.write.svg import write_svg_text
from outseam.draft.alter.signs import SIGNS
from outseam.draft.inputs.show import show_length
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec


def overlay_drawing(before: Pattern, after: Pattern) -> str:
    """Return the drawing of both patterns laid on each other, as SVG."""
    return write_svg_text(_overlay(before, after))


def _overlay(before: Pattern, after: Pattern) -> Scene:
    units = after.spec.units
    was, now = (entry_words(p.spec.alter, units) or "as measured" for p in (before, after))
    words = f"before: {was}; after: {now}" if before.spec.alter else now
    return overlay_scene(before, after, words)


def fit_html(spec: Spec, path: Path | None) -> str:
    """Return the page of signs for a spec, self-contained: drawings, alterations, amounts.

    Raises InputError and UnsolvableError where the spec has alterations that cannot be drafted.
    """
    units = spec.units
    rows: tuple[ChangedFigure, ...] = ()
    overlay: Scene | None = None
    if spec.alter:
        before, after = draft_pattern(replace(spec, alter=())), draft_pattern(spec)
        rows = changed(before, after)
        overlay = _overlay(before, after)
    first = next(s for s in SIGNS if s.alteration)
    return render_page(
        "fit.html",
        title=spec.title or "Pants",
        who=spec.who,
        paper=PAPER_NAMES[spec.home_paper],
        file=path.name if path is not None else "FILE",
        first=first,
        first_amount=start_words(1.5 * first.start_mm, units),
        asked=spec.alter,
        rows=rows,
        overlay=overlay,
        views=[
            (words, [s for s in SIGNS if s.view == view])
            for view, words in (("front", "the front"), ("back", "the back"), ("side", "the side"))
        ],
        show=lambda mm: show_length(mm, units),
        signed=lambda mm: small(mm, units),
        start=lambda mm: start_words(mm, units),
        picture=lambda sign: sign_drawing(sign.key, sign.view, sign.look),
    )
