"""The pieces on the cloth: laid, drawn to scale, moved by hand, kept as `lay` keeps them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from outseam.cli.cloth.data import lay_text
from outseam.cli.cloth.drawing import border_levels
from outseam.cli.cloth.files import lay_pages
from outseam.cli.cloth.saved_lay import kept_path, read_lay
from outseam.cli.page.desk import Desk
from outseam.cli.page.laid import Laid
from outseam.cli.page.out import answer_of
from outseam.cli.page.path_data import points_data
from outseam.cli.wording.fabric import needed
from outseam.cli.wording.findings import finding_line
from outseam.cli.wording.lay import bound_says, fabric_says
from outseam.cli.write.save import save_all
from outseam.cli.write.svg import write_inline_svg
from outseam.draft.answer import ChecksFailedError
from outseam.draft.inputs.show import Units, show_length
from outseam.draft.lay.check.verify import outline_points
from outseam.draft.lay.model.cloth import Cloth
from outseam.draft.lay.model.result import Lay, Placed
from outseam.draft.lay.ways.by_hand import NotThereError, moved
from outseam.draft.lay.ways.hold import Hold, holds
from outseam.draft.lay.ways.length_in_hand import Trying, looked_for
from outseam.draft.lay.ways.plan import Plan, plan
from outseam.draft.lay.ways.rules import Rules, rules_of
from outseam.draft.lay.ways.saved import kept_data
from outseam.draft.model import Pattern

#: Time for a lay that a person waits for, s.
_LAY_S: Final = 2.0
#: Lines of the fabric are drawn this much beyond what is needed of it, mm.
_BEYOND_MM: Final = 60.0


def _laid(desk: Desk, pattern: Pattern, *, again: bool = False) -> tuple[Laid, str]:
    """Return the lay of a pattern, searched for where it must be, and what became of one kept."""
    kept_at = kept_path((desk.path,))
    kept = read_lay(kept_at)
    there = desk.laid
    if not again and there is not None and (there.version, there.kept) == (desk.version, kept):
        return there, ""
    version = desk.version
    planned: Plan = plan([pattern], kept=kept, again=again, seconds=_LAY_S)
    lay = planned.lay
    if lay.errors:
        raise ChecksFailedError(lay.errors, pattern.spec.units, "lay")
    if planned.fresh:
        kept = _keep(desk, planned.keep)
    desk.laid = Laid(version=version, kept=kept, lay=lay, rules=rules_of([pattern], lay.cloth))
    return desk.laid, planned.remark


def _keep(desk: Desk, data: dict[str, Any]) -> object:
    """Write positions beside the spec; return what a reader finds there."""
    path = kept_path((desk.path,))
    assert path is not None, "a desk has a file"
    text = lay_text(data)
    save_all(path.parent, {path.name: text.encode()})
    found: object = json.loads(text)
    return found


def lay_of(desk: Desk, shown: Units, *, again: bool) -> dict[str, Any]:
    """Lay the pieces on the cloth: the cloth to drag on, what there is to say, printed drawings."""
    pattern = answer_of(desk, shown).pattern
    laid, remark = _laid(desk, pattern, again=again)
    pages = lay_pages([pattern], laid.lay, shown, desk.title)
    return {
        **_told(laid.lay, pattern, shown, remark),
        "cloth": cloth_drawing(laid.lay, laid.rules, shown),
        "drawings": [write_inline_svg(page) for page in pages],
    }


def _told(lay: Lay, pattern: Pattern, shown: Units, remark: str = "") -> dict[str, Any]:
    """Return what is said of a lay, and whether the length in hand is too short."""
    bound = bound_says(lay, shown)
    says = [
        *filter(None, (remark,)),
        f"Length needed: {needed(lay.length_mm, shown)}, {fabric_says(lay, shown)}.",
        f"{bound[:1].upper()}{bound[1:]}.",
        *(
            finding_line(f, shown)
            for f in lay.findings
            if f.level in ("warning", "note") and f.check != "length in hand"
        ),
    ]
    have = lay.cloth.in_hand_mm
    short = have is not None and lay.length_mm > have
    if have is not None:
        says.append(f"Your {show_length(have, shown)} are {'too short' if short else 'enough'}.")
    return {"says": says, "short": short}


# --- moved by hand --------------------------------------------------------------------------------


def place(
    desk: Desk, key: str, x_mm: float, y_mm: float, shown: Units, *, keep: bool
) -> dict[str, Any]:
    """Return what a lay comes to with one piece elsewhere; kept beside the spec where asked.

    A piece that may not lie there is no error of the request: `refused` says why, and the lay is as
    it was. Raises InputError, ChecksFailedError, OutputError, and KeyError for no such piece.
    """
    pattern = answer_of(desk, shown).pattern
    laid, _ = _laid(desk, pattern)
    before = laid.lay
    try:
        lay = moved(before, laid.rules, key, x_mm, y_mm)
    except NotThereError as e:
        back = f"{e} It goes back to its place." if keep else str(e)
        found = {"refused": back, "needs": _needs(before, shown)}
        return {**found, "cloth": cloth_drawing(before, laid.rules, shown)} if keep else found
    found = {"refused": "", "needs": _needs(lay, shown, before if not keep else None)}
    if not keep:
        return found
    kept = _keep(desk, kept_data(lay, laid.rules.items, [pattern]))
    desk.laid = Laid(version=laid.version, kept=kept, lay=lay, rules=laid.rules)
    cloth = cloth_drawing(lay, laid.rules, shown)
    return {**found, **_told(lay, pattern, shown), "cloth": cloth}


def _needs(lay: Lay, shown: Units, before: Lay | None = None) -> str:
    """Return the length needed as it runs along, and how that compares."""
    says = f"Length needed: {needed(lay.length_mm, shown)}"
    by = 0.0 if before is None else lay.length_mm - before.length_mm
    if abs(by) >= 1.0:
        says += f", {show_length(abs(by), shown)} {'more' if by > 0 else 'less'} than before"
    have = lay.cloth.in_hand_mm
    if have is not None:
        short = lay.length_mm - have
        over = f"{show_length(short, shown)} more than your {show_length(have, shown)}"
        says += f"; {over}" if short > 0 else f"; your {show_length(have, shown)} are enough"
    return f"{says}."


# --- drawn ----------------------------------------------------------------------------------------


def cloth_drawing(lay: Lay, rules: Rules, shown: Units) -> dict[str, Any]:
    """Return the cloth and its pieces as plain data, mm, y down from the far edge.

    `size` is length and breadth of what is drawn; `lines` are [kind, words, x1, y1, x2, y2];
    `pieces` say what each is called, where it lies, how it may move, and its outline about that.
    """
    wide, high = lay.length_mm + _BEYOND_MM, lay.table_mm
    have = lay.cloth.in_hand_mm
    if have is not None:
        wide = max(wide, have + _BEYOND_MM)
    found = holds(lay, rules.patterns)
    return {
        "size": (round(wide, 1), round(high, 1)),
        "length": lay.length_mm,
        "says": f"the cloth with the pieces on it, {fabric_says(lay, shown)}",
        "needs": _needs(lay, shown),
        "keeps": _keeps(lay.cloth),
        "lines": [
            (kind, words, *(round(v, 1) for v in (x1, high - y1, x2, high - y2)))
            for kind, words, x1, y1, x2, y2 in _lines(lay, wide)
        ],
        "pieces": [
            _piece(p, n, lay, found[p.key], shown) for n, p in enumerate(lay.placed, start=1)
        ],
    }


def _keeps(cloth: Cloth) -> str:
    """Return what a print holds the pieces to, "" where nothing does."""
    border, held = cloth.border, []
    if border is not None:
        held.append("to the border")
    if cloth.striped or (border is not None and border.repeat_mm is not None):
        held.append("to whole repeats")
    return f"It keeps {' and '.join(held)}." if held else ""


def _lines(lay: Lay, wide: float) -> Iterator[tuple[str, str, float, float, float, float]]:
    """Yield the edges, folds and borders of the fabric, and where it ends."""
    high, cloth = lay.table_mm, lay.cloth
    opened, turned_in = lay.opened_mm, lay.turned_in_mm
    folded = cloth.folded and opened != 0.0
    yield "edge", "selvedges" if folded else "selvedge", 0.0, 0.0, wide, 0.0
    if folded:
        yield "fold", "fold", 0.0, cloth.breadth_mm, opened or wide, cloth.breadth_mm
    elif turned_in is not None:
        yield "fold", "fold", 0.0, high, wide, high
        yield "edge", "selvedge turned in", 0.0, turned_in, wide, turned_in
    else:
        yield "edge", "selvedge", 0.0, high, wide, high
    if opened:
        yield "edge", "opened out, one layer", opened, high, wide, high
        yield "edge", "", opened, 0.0, opened, high
    yield "end", "cut end", 0.0, 0.0, 0.0, high
    for name, y in border_levels(lay):
        yield "eye" if name == "eye" else "border", name, 0.0, y, wide, y
    if cloth.in_hand_mm is not None:
        have = cloth.in_hand_mm
        yield "hand", "your fabric ends here", have, 0.0, have, high
    yield "needed", "", lay.length_mm, 0.0, lay.length_mm, high


def _piece(p: Placed, number: int, lay: Lay, hold: Hold, shown: Units) -> dict[str, Any]:
    x, y = p.x_mm, p.y_mm
    low, high = lay.room_mm(p.part)
    outline = (outline_points(p, lay) - (x, y)) * (1.0, -1.0)
    middle = np.round((outline.min(axis=0) + outline.max(axis=0)) / 2.0, 1).tolist()
    return {
        "key": p.key,
        "number": number,
        "name": p.name,
        "d": points_data(outline, closed=True),
        "middle": middle,
        "down": p.lie.face == "down",
        "x": x,
        "y": round(lay.table_mm - y, 2),
        "length": p.length_mm,
        "breadth": p.breadth_mm,
        "along": hold.along_mm,
        "across": hold.across_mm,
        "fixed": hold.level_mm is not None,
        "low": round(lay.table_mm - (high - p.breadth_mm), 2),
        "high": round(lay.table_mm - low, 2),
        "start": lay.opened_mm or 0.0 if p.part.zone == "opened" else 0.0,
        "place": f"{show_length(x, shown)} from the cut end, "
        f"{show_length(y, shown)} from the selvedge",
    }


# --- too short ------------------------------------------------------------------------------------


def remedies(desk: Desk, shown: Units) -> Iterator[dict[str, Any]]:
    """Yield what would make the length in hand enough, as it is found, each drafted and laid.

    What is `trying` is told before each trial; at the end there is one `done` that sums up.
    """
    pattern = answer_of(desk, shown).pattern
    lay = _laid(desk, pattern)[0].lay
    have = lay.cloth.in_hand_mm
    fits = helps = 0
    for found in () if have is None else looked_for([pattern], lay, have, 0.0):
        if isinstance(found, Trying):
            yield {"trying": found.says}
            continue
        helps += 1
        fits += found.fits
        length = show_length(found.length_mm, shown)
        yield {"help": f"{found.says} (needs {length})", "fits": found.fits}
    if fits:
        says = "Any one of those marked makes it enough."
    elif helps:
        says = "Nothing alone makes it enough; these help, perhaps together."
    else:
        says = "Nothing that was tried makes it enough."
    yield {"done": says}
