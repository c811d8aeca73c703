"""The command for a trial: short pieces to print, and a sheet of what to look for."""

from __future__ import annotations

from pathlib import Path

import click

from outseam.cli.commands.draft import FAILED, read_spec
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern

STEPS = (
    "Cut the trial in a cheap fabric that stretches and hangs like the real one. In a woven, any "
    "woven will do; in a knit, one of the same stretch.",
    "Mark every line of the pattern on the right side of the fabric: hip, crotch line, balance "
    "lines, crease line. They are what you judge by.",
    "Sew the seams with long stitches, right sides out if you like, and pin the elastic in.",
    "Stand as you stand. Let somebody else look, or take pictures from front, side and back; a "
    "mirror makes you twist.",
    "Sit, bend, climb two stairs. Then stand again and look: level lines level, upright lines "
    "plumb?",
)

#: Places of signs that a knee-length trial does not reach.
BELOW = ("knee line", "calf", "hem")


def trial_notes(pattern: Pattern) -> str:
    """Return the note sheet of a trial as one HTML page."""
    import jinja2

    from outseam.cli.wording.alterations import start_words
    from outseam.draft.alter.signs import SIGNS

    spec = pattern.spec
    loader = jinja2.PackageLoader("outseam.cli")
    page = jinja2.Environment(
        loader=loader, autoescape=True, undefined=jinja2.StrictUndefined
    ).get_template("trial.html")
    who = " · ".join(x for x in (spec.body.name, spec.fabric.name) if x)
    return page.render(
        title=spec.title or "TRIAL",
        who=who,
        steps=STEPS,
        # A trial ends at the knee: what shows below it is for the pants.
        signs=[s for s in SIGNS if s.where not in BELOW],
        start=lambda mm: start_words(mm, spec.units),
    )


def trial_command(path: Path | None, out: Path) -> int:
    """Write the trial of a spec. Returns the exit code."""
    from outseam.cli.paper.pattern_files import make_sheets
    from outseam.cli.wording.report import finding_lines
    from outseam.cli.write.save import save_all
    from outseam.draft.trial import trial_pattern

    trial = trial_pattern(draft_pattern(read_spec(path)))
    if trial.errors:
        for text in finding_lines(trial.errors, trial.spec.units):
            click.echo(text, err=True)
        click.echo("outseam: the trial does not pass its checks; nothing was written.", err=True)
        return FAILED
    sheets = make_sheets(trial, stem="trial")
    files = sheets.files | {"trial-notes.html": trial_notes(trial).encode()}
    save_all(out, files)
    pages = ", ".join(f"{name} {info['pages']}" for name, info in sheets.pages.items())
    click.echo(f"Wrote {', '.join(sorted(files))} to {out}. Pages: {pages}.")
    return 0
