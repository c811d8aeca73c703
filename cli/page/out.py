"""What leaves the desk: files written beside the spec, the lay, the list to buy, steps to tick."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, Final

from outseam.cli.page.desk import Desk
from outseam.cli.page.products import Made, make
from outseam.cli.write.save import save_all
from outseam.draft.answer import Answer
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.inputs.units import length_mm

_NAME: Final = re.compile(r"[a-z0-9][a-z0-9.-]*")


def answer_of(desk: Desk, shown: Units) -> Answer:
    """Return what follows from a spec. Raises InputError, in words, where it cannot be drafted."""
    answer = desk.answer(shown)
    if answer is None:
        found = desk.draft(shown)
        says = found.fault.says if found.fault and found.fault.says else "not all is measured yet"
        raise InputError("not made", says, hint="see to it first")
    return answer


def folder_of(desk: Desk) -> Path:
    """Return the folder for what is made from a spec: beside it, under its name."""
    return desk.folder.root / desk.name


def make_files(desk: Desk, key: str, shown: Units) -> dict[str, Any]:
    """Make the files of a button and write them; return their names, pages and place.

    Raises InputError, ChecksFailedError, OutputError, and KeyError for no such button.
    """
    answer = answer_of(desk, shown)
    made: Made = make(answer, key)
    place = folder_of(desk)
    save_all(place, made.files)
    if key.startswith("page-1"):
        options = answer.spec.print
        desk.page_one = (options.calibrate_across, options.calibrate_along)
    return {
        "folder": place.name,
        "files": [{"name": name, "pages": made.pages.get(name, 0)} for name in made.files],
    }


def made_file(desk: Desk, name: str) -> bytes:
    """Return a file that was made. Raises KeyError for any other."""
    place = folder_of(desk)
    path = place / name
    if not _NAME.fullmatch(name) or place.is_symlink() or path.is_symlink() or not path.is_file():
        raise KeyError(name)
    return path.read_bytes()


# --- the square on page 1 -------------------------------------------------------------------------


def calibrate(desk: Desk, across: str, along: str, shown: Units) -> str:
    """Put what the square of page 1 measured into the file; return a sentence about it.

    An empty text leaves that direction as it is. Raises InputError where a printer is so far off
    that it must be fitting to the page.
    """
    options = answer_of(desk, shown).spec.print
    before = desk.page_one or (options.calibrate_across, options.calibrate_along)
    told = []
    for key, text, factor in (("across", across, before[0]), ("along", along, before[1])):
        if not text.strip():
            continue
        mm = length_mm(_with_unit(text, shown), shown, f"measured {key}")
        true = 101.6 if shown == "in" else 100.0
        value = round(factor * true / mm, 4) if mm else 0.0
        if not 0.95 <= value <= 1.05:
            raise InputError(
                f"measured {key}",
                show_length(mm, shown),
                f"close to {show_length(true, shown)}",
                "the printer fits the page to the paper: print at 100 % and measure again",
            )
        desk.change("print", f"calibrate_{key}", value)
        told.append(f"{key} {100.0 * (value - 1.0):+.1f} %")
    if not told:
        return "Measure the square both ways and write what it measured."
    return f"Kept: {', '.join(told)}. The pages that are made now come out true."


def _with_unit(text: str, shown: Units) -> str:
    """A bare number near 100 is millimetres, whatever the page shows: so the square is measured."""
    plain = text.strip().replace(",", ".")
    bare = re.fullmatch(r"\d+(\.\d+)?", plain)
    return f"{plain} mm" if bare and float(plain) > 40.0 else text


# --- the cloth ------------------------------------------------------------------------------------


def stretch_says(rest: str, pulled: str, shown: Units) -> tuple[float, str]:
    """Return the stretch of a fold test as a ratio, and in words. Raises InputError."""
    a, b = (length_mm(t, shown, n) for t, n in ((rest, "marked"), (pulled, "pulled to")))
    if a <= 0.0 or b < a:
        raise InputError(
            "pulled to", show_length(b, shown), f"at least {show_length(a, shown)}", "pull again"
        )
    return b / a - 1.0, f"{100.0 * (b / a - 1.0):.0f} %"


# --- at the table ---------------------------------------------------------------------------------


def shopping(desk: Desk, shown: Units) -> dict[str, Any]:
    """Return what to buy: lines of the fabric, of everything else, and what there is to say."""
    from outseam.cli.wording.buying import entry_row, need_row, remarks
    from outseam.draft.buying.shopping_list import plan_buying

    answer = answer_of(desk, shown)
    fabric = answer.spec.fabric
    found = plan_buying(answer.pattern, answer.kept_lay, [])
    sources = list(dict.fromkeys(e.source for e in found.entries))
    return {
        "fabric": [list(need_row(n, fabric, shown)) for n in (found.fabric, *found.widths)],
        "rest": [list(entry_row(e, shown, sources.index(e.source) + 1)) for e in found.entries],
        "says": [
            said.replace("outseam lay finds the lay itself", "the lay finds it itself")
            for said in remarks(found, fabric, shown)
        ],
        "sources": sources,
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class SewingStep:
    """A step of the sewing order as it is ticked off."""

    key: str
    title: str
    sentences: tuple[str, ...]
    caution: str
    ticked: bool


def _ticks(desk: Desk) -> Path:
    return desk.folder.shelf_of("ticked", desk.name) / "steps.json"


def ticked(desk: Desk) -> set[str]:
    """Return the steps that were ticked off."""
    try:
        found = json.loads(_ticks(desk).read_text("utf-8"))
    except (OSError, ValueError):
        return set()
    return {x for x in found if isinstance(x, str)} if isinstance(found, list) else set()


def tick(desk: Desk, key: str, *, done: bool) -> None:
    """Tick a step off, or not; it is kept beside the history of the file."""
    with desk.lock:
        found = ticked(desk)
        found = found | {key} if done else found - {key}
        path = _ticks(desk)
        save_all(path.parent, {path.name: json.dumps(sorted(found)).encode()})


def sewing(desk: Desk, shown: Units) -> list[SewingStep]:
    """Return the sewing order of exactly these pants. Raises InputError, ChecksFailedError."""
    from outseam.draft.sewing.order import sewing_order

    answer = answer_of(desk, shown)
    pattern = replace(answer.pattern, spec=replace(answer.spec, units=shown))
    done = ticked(desk)
    return [
        SewingStep(
            key=f"{n}-{s.key}",
            title=s.title,
            sentences=s.sentences(shown),
            caution=s.warned(shown),
            ticked=f"{n}-{s.key}" in done,
        )
        for n, s in enumerate(sewing_order(pattern), start=1)
    ]
