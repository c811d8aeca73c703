"""The files of a trial: short pieces to print, and a sheet of what to look for."""

from __future__ import annotations

from dataclasses import replace

from outseam.cli.paper.pattern_files import Sheets, make_sheets
from outseam.cli.scene.home_paper import PAPER_NAMES
from outseam.draft.answer import Answer
from outseam.draft.inputs.show import show_given
from outseam.draft.inputs.text import capital, listing
from outseam.draft.model import Pattern
from outseam.draft.piece.allowance import let_out_seams
from outseam.draft.trial import let_out_mm


def trial_steps(trial: Pattern) -> tuple[str, ...]:
    """Return what is done before the trial is looked at."""
    spec = trial.spec
    let_out = listing(let_out_seams(trial.pieces, spec.style.seam_allowance), "and")
    wide, seam = (
        show_given(mm, spec.units) for mm in (let_out_mm(spec), spec.style.seam_allowance)
    )
    return (
        "Cut the trial in a cheap fabric that stretches and hangs like the real one, its greatest "
        "stretch round the body. In a woven, any woven will do; in a knit, one of the same "
        "stretch.",
        "Mark every line of the pattern on the right side of the fabric: hip, crotch line, "
        "balance lines, crease line, and the dashed seam line. They are what you judge by.",
        f"{capital(let_out)} have {wide} beyond the seam line, to let out; the other seams have "
        f"{seam}. Baste on the seam line with the longest straight stitch, right "
        "sides out if you like: no overlock, it cuts the allowance off. Snip the allowance of the "
        "back crotch curve to a finger's breadth from the seam line, so that it spreads. Pin the "
        "band on, the elastic in it.",
        "Stand as you stand. Let somebody else look, or take pictures from front, side and back; "
        "a mirror makes you twist.",
        "Sit, bend, climb two stairs. Then stand again and look: level lines level, upright lines "
        "plumb?",
    )


#: Places of signs that a knee-length trial does not reach.
BELOW = ("knee line", "calf", "hem")


def trial_notes(pattern: Pattern) -> str:
    """Return the note sheet of a trial as one HTML page."""
    from outseam.cli.document.html import render_page
    from outseam.cli.wording.alterations import start_words
    from outseam.draft.alter.signs import SIGNS

    spec = pattern.spec
    return render_page(
        "trial.html",
        title=spec.title or "TRIAL",
        who=spec.who,
        paper=PAPER_NAMES[spec.home_paper],
        steps=trial_steps(pattern),
        # A trial ends at the knee: what shows below it is for the pants.
        signs=[s for s in SIGNS if s.where not in BELOW],
        start=lambda mm: start_words(mm, spec.units),
    )


def trial_files(answer: Answer) -> Sheets:
    """Return the printed trial and its notes. Raises ChecksFailedError."""
    trial = answer.trial
    made = make_sheets(trial, stem="trial")
    return replace(made, files=made.files | {"trial-notes.html": trial_notes(trial).encode()})
