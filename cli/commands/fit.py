"""The command that turns what a trial shows into an alteration, and keeps it in the spec."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, replace
from pathlib import Path

import click

from outseam.cli.commands.exit_codes import DONE
from outseam.cli.fitting.spec_text import data_of, with_alteration, without_last
from outseam.cli.wording.alterations import changed, entry_words, fresh, small, start_words
from outseam.draft.alter import ALTERATION_NAMES
from outseam.draft.alter.meaning import meant
from outseam.draft.alter.signs import SIGN_KEYS, SIGNS, Sign, sign_named, sign_of
from outseam.draft.answer import passed
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.show import show_length
from outseam.draft.inputs.text import closest_spelling, describe
from outseam.draft.inputs.units import length_mm
from outseam.draft.model import Pattern
from outseam.draft.pattern import draft_pattern
from outseam.draft.spec.spec import Spec, build_spec, load_spec

#: So many signs are told of where it is not plain which is meant.
_MOST_MEANT = 8

OVERLAY = "before-after.svg"
PAGE = "fit.html"


def find_sign(text: str) -> Sign:
    """Return the sign that is meant: its name, a part of it, or what a person says for it.

    The name of an alteration stands for itself. Raises InputError with those that may be meant.
    """
    folded = {_folded(key): key for key in SIGN_KEYS}
    word = _folded(text)
    if word in folded:
        return sign_named(folded[word])
    named = {_folded(name): name for name in ALTERATION_NAMES}
    if word in named:
        return sign_of(named[word])
    found = meant(text)
    if len(found) != 1:
        parts = tuple(sign_named(key) for plain, key in folded.items() if word and word in plain)
        found = parts if len(parts) == 1 else found or parts
    if len(found) == 1:
        return found[0]
    if found:
        told = "; ".join(f'"{s.key}" ({s.look})' for s in found[:_MOST_MEANT])
        hint = f"it may be one of these: {told}"
    elif near := closest_spelling(text, (*SIGN_KEYS, *ALTERATION_NAMES)):
        hint = f'did you mean "{near}"?'
    else:
        hint = "outseam fit with the file alone lists all of them, with drawings"
    allowed = "one of the signs of a trial, or the name of an alteration"
    raise InputError("--see", describe(text), allowed, hint)


def _folded(text: str) -> str:
    return re.sub(r"[\W_]+", " ", text.casefold()).strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class _File:
    """A spec file: its text as it stands, and what is in it."""

    path: Path
    text: str
    spec: Spec


def _load(path: Path | None, option: str) -> _File:
    if path is None:
        raise InputError(
            option, "no file is named", "outseam fit FILE", "the demo cannot be changed"
        )
    spec = load_spec(path)
    # As bytes: reading as text would turn the line breaks of other systems into our own.
    return _File(path=path, text=path.read_bytes().decode("utf-8"), spec=spec)


def _with_text(file: _File, text: str) -> _File:
    spec = build_spec(data_of(text), file.path.parent)
    return replace(file, text=text, spec=spec)


def _day(date: str | None) -> str:
    """Return the day given, or today, year first. Raises InputError."""
    if date is None:
        return datetime.date.today().isoformat()
    try:
        return datetime.date.fromisoformat(date.strip()).isoformat()
    except ValueError:
        raise InputError(
            "--date", describe(date), "a day, year first, such as 2031-05-28"
        ) from None


def _keys(
    sign: Sign, amount: str | None, date: str | None, side: str | None, spec: Spec
) -> dict[str, str]:
    """Return what the new `[[alter]]` holds."""
    if sign.alters is None:
        raise InputError(
            "--see",
            f'"{sign.key}": {sign.means}',
            "",
            f"no alteration helps here: {sign.change}; then draft again",
        )
    if amount is not None and not length_mm(amount, spec.units, "--amount"):
        raise InputError("--amount", "0", "a length above zero", "or leave the sign out")
    if sign.alters.legs == "one" and side is None:
        raise InputError(
            "--side",
            f'not given, but "{sign.alteration}" is for one side',
            "--side left or --side right",
            "the side is the wearer's own",
        )
    return {
        "what": sign.alteration,
        "amount": amount or start_words(sign.start_mm, spec.units),
        **({"side": side} if side else {}),
        "date": _day(date),
        **({"seen": sign.key} if sign.key in SIGN_KEYS else {}),
    }


def fit_command(
    spec: Path | None,
    out: Path,
    *,
    see: str | None,
    amount: str | None,
    date: str | None,
    side: str | None,
    undo: bool,
) -> int:
    """List the signs of a trial, enter the alteration of one, or take the last off again.

    Returns the exit code. The spec is changed only when the altered pattern passes its checks.
    """
    if undo and see is not None:
        raise InputError("fit", "--see and --undo together", "one of the two", "undo first")
    if see is None and (amount, date, side) != (None, None, None):
        raise InputError("fit", "--amount, --date or --side without --see", "--see with a sign")
    if undo:
        return _undo(_load(spec, "--undo"), out)
    if see is not None:
        return _enter(_load(spec, "--see"), out, find_sign(see), amount, date, side)
    return _list(spec, out)


def _enter(
    file: _File, out: Path, sign: Sign, amount: str | None, date: str | None, side: str | None
) -> int:
    keys = _keys(sign, amount, date, side, file.spec)
    after = _with_text(file, with_alteration(file.text, keys))
    before_pattern = draft_pattern(file.spec)
    after_pattern = passed(draft_pattern(after.spec), "altered pattern")
    new = after.spec.alter[-1]
    if sign.alters is not None:
        click.echo(f"{sign.key}: {sign.means}.")
        click.echo(
            f"{entry_words([new], file.spec.units)}: {sign.alters.measures}. "
            f"Stays: {sign.alters.stays}."
        )
        if new.side and sign.alters.other is not None:
            click.echo(
                "The other leg's centre rises or sinks at its top as far as its seam must, so that "
                "both seams are equally long: sew them to each other from the crotch point up."
            )
    _show(before_pattern, after_pattern)
    _write(after, before_pattern, after_pattern, out)
    click.echo(
        f"Wrote {file.path} and {out / OVERLAY}. Take it off: outseam fit {file.path} --undo"
    )
    return DONE


def _undo(file: _File, out: Path) -> int:
    from outseam.cli.write.save import save_all

    after = _with_text(file, without_last(file.text))
    old = file.spec.alter[-1]
    try:
        before_pattern, after_pattern = draft_pattern(file.spec), draft_pattern(after.spec)
    except OutseamError:  # it may be what cannot be drafted that is taken off
        save_all(after.path.parent, {after.path.name: after.text.encode()})
        click.echo(f"Took off: {entry_words([old], file.spec.units)}. Wrote {file.path}.")
        return DONE
    click.echo(f"Took off: {entry_words([old], file.spec.units)}.")
    _show(before_pattern, after_pattern)
    _write(after, before_pattern, after_pattern, out)
    click.echo(f"Wrote {file.path} and {out / OVERLAY}.")
    return DONE


def _show(before: Pattern, after: Pattern) -> None:
    """Print the figures that changed, and warnings that were not there before."""
    from rich.console import Console
    from rich.table import Table

    from outseam.cli.wording.findings import finding_lines

    units = after.spec.units
    rows = changed(before, after)
    table = Table("figure", "before", "after", "change", title="What changes", title_justify="left")
    for r in rows:
        shown = (show_length(r.before_mm, units), show_length(r.after_mm, units))
        table.add_row(r.name, *shown, small(r.change_mm, units))
    console = Console(highlight=False)
    if rows:
        console.print(table)
    else:
        console.print("No finished measurement changes; see the drawing.")
    for text in finding_lines(fresh(before, after.warnings), units):
        click.echo(text)


def _write(file: _File, before: Pattern, after: Pattern, out: Path) -> None:
    """Write the drawing and the spec, both or neither."""
    from outseam.cli.fitting.page import overlay_drawing
    from outseam.cli.write.save import save_files

    drawing = overlay_drawing(before, after).encode()
    save_files({out / OVERLAY: drawing, file.path: file.text.encode()})


def _list(path: Path | None, out: Path) -> int:
    from rich.console import Console
    from rich.markup import escape
    from rich.table import Table

    from outseam.cli.commands.common import read_spec
    from outseam.cli.fitting.page import fit_html
    from outseam.cli.write.save import save_all

    spec = read_spec(path)
    units = spec.units
    table = Table("what you see", "alteration", "start with", title="Signs of a trial")
    for s in SIGNS:
        amount = start_words(s.start_mm, units) if s.alteration else ""
        table.add_row(escape(s.key), s.alteration or s.change, amount)
    page = fit_html(spec, path)
    save_all(out, {PAGE: page.encode()})
    Console(highlight=False).print(table)
    if spec.alter:
        click.echo(f"In the file: {entry_words(spec.alter, units)}.")
    name = path or "FILE"
    click.echo(f'Enter one: outseam fit {name} --see "{SIGNS[0].key}"')
    click.echo(f"Wrote {out / PAGE}: the same with a drawing for each.")
    return DONE
