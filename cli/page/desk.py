"""One spec on the table: its text, the last good draft, and everything that is done to it.

The text on the disk is the truth. It is read again before every change, so that a change made in
an editor meanwhile is kept; only where both touched the same key is a person asked. Nothing here
waits for anything but the disk; drafting is done by who asks for it.
"""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from outseam.cli.cloth.saved_lay import read_kept
from outseam.cli.fitting.spec_text import data_of
from outseam.cli.page.drafting import DraftOutcome, Fault, broken, draft_of
from outseam.cli.page.flat import CuttingTable
from outseam.cli.page.folder import Folder
from outseam.cli.page.key_text import OtherValueError, Raw, value_in, with_key
from outseam.draft.answer import Answer
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units
from outseam.draft.model import Pattern
from outseam.draft.spec.spec import SHARED

if TYPE_CHECKING:
    from outseam.cli.page.laid import Laid

#: Changes of one key that follow each other within this time are one step of the history, s.
_ONE_STEP_S: Final = 4.0
HISTORY: Final = "history"
KEPT: Final = "kept"


def _stamp(path: Path) -> tuple[int, int, int]:
    s = path.stat()
    return s.st_mtime_ns, s.st_size, s.st_ino


def _stamp_of_other(path: Path) -> tuple[int, int, int]:
    try:
        return _stamp(path)
    except OSError:
        return 0, 0, 0


@dataclass(kw_only=True)
class Desk:
    """A spec that is open in one window or several. Its methods may be called from any thread."""

    folder: Folder
    name: str
    source: str = ""
    data: dict[str, Any] = field(default_factory=dict)
    fault: Fault | None = None
    version: int = 0
    #: The pattern on view, and the one before the run of changes that led to it.
    good: Pattern | None = None
    ghost: Pattern | None = None
    table: CuttingTable | None = None
    #: Calibration in force when page 1 was last made, across and along.
    page_one: tuple[float, float] | None = None
    #: The lay on view.
    laid: Laid | None = None

    def __post_init__(self) -> None:
        self.lock = threading.RLock()
        self.path = self.folder.path(self.name)
        self._seen: tuple[tuple[int, int, int], ...] | None = None
        self._others: tuple[tuple[int, int, int], ...] = ()
        self._at: int | None = None
        self._last = ("", "", 0.0)
        self._drafts: dict[tuple[int, Units], DraftOutcome] = {}
        self.refresh()

    @property
    def units(self) -> Units:
        """The unit of the file."""
        units = self.data.get("units", "cm")
        return units if units in ("cm", "mm", "in") else "cm"

    # --- a body or a fabric in a file of its own -------------------------------------------------

    def shared(self, table: str) -> Path | None:
        """Return the file that a table is left to, None where it stands in the spec itself."""
        name = self.data.get(table) if table in SHARED else None
        return self.folder.root / name if isinstance(name, str) else None

    def _in_file(self, path: Path, table: str) -> tuple[str, dict[str, Any], str]:
        """Return text and data of a shared file, and its heading for the table ("" without one)."""
        text = self.folder.read(path)
        try:
            data = data_of(text)
        except ValueError as e:
            raise InputError(path.name, f"it cannot be read ({e})", hint="mend it") from None
        return text, data, table if isinstance(data.get(table), dict) else ""

    def whole(self) -> dict[str, Any]:
        """Return the data with tables from shared files in their place, as far as they are read."""
        data = dict(self.data)
        for table in SHARED:
            path = self.shared(table)
            if path is not None:
                try:
                    _, there, heading = self._in_file(path, table)
                except InputError:
                    continue
                data[table] = there[heading] if heading else there
        return data

    def units_of(self, table: str) -> Units:
        """Return the unit of bare numbers in a table."""
        path = self.shared(table)
        if path is not None:
            try:
                units = self._in_file(path, table)[1].get("units", self.units)
            except InputError:
                return self.units
            return units if units in ("cm", "mm", "in") else "cm"
        return self.units

    def _change_shared(self, path: Path, table: str, key: str, value: Raw | None) -> None:
        text, _, heading = self._in_file(path, table)
        made = with_key(text, heading, key, value)
        if made != text:
            self.ghost = self.good
            self.folder.save(path, made)
            self._seen = self._stamps()
            self._take(self.source)

    @property
    def title(self) -> str:
        """What it is called: its title, or the name of the file."""
        title = self.data.get("title")
        return title.strip() if isinstance(title, str) and title.strip() else self.name

    # --- the file --------------------------------------------------------------------------------

    def refresh(self) -> bool:
        """Read the file again if it changed; return whether it did. Keeps the last text it had."""
        with self.lock:
            others = self._others
            try:
                stamp = self._stamps()
            except OSError:
                return self._faulty("", f"{self.path.name} is no longer in the folder.")
            if stamp == self._seen:
                return False
            self._seen = stamp
            try:
                text = self.folder.read(self.path)
            except InputError as e:
                return self._faulty("", str(e))
            if text == self.source and self.version and self._others == others:
                return False
            wrong = broken(text, self.path.name)
            if wrong is not None:
                return self._faulty(wrong.field, wrong.says)
            self._take(text)
            self._seen = self._stamps()
            self._remember(text)
            return True

    def _stamps(self) -> tuple[tuple[int, int, int], ...]:
        """Return what tells whether the file, or one that it leaves a table to, was changed."""
        others = (path for path in map(self.shared, SHARED) if path is not None)
        self._others = tuple(map(_stamp_of_other, others))
        return _stamp(self.path), *self._others

    def _faulty(self, key: str, says: str) -> bool:
        fault = Fault(field=key, says=says)
        changed = self.fault != fault
        self.fault = fault
        self.version += changed
        return changed

    def _take(self, text: str) -> None:
        self.source, self.data, self.fault = text, data_of(text), None
        self.version += 1
        self._drafts = {k: v for k, v in self._drafts.items() if k[0] >= self.version - 2}

    def _write(self, text: str) -> None:
        self.folder.save(self.path, text)
        self._take(text)
        self._seen = self._stamps()

    def change(
        self, table: str, key: str, value: Raw | None, *, seen: Any = ..., anyway: bool = False
    ) -> None:
        """Set or leave out one key and save at once.

        `seen` is the value that the window knew, as it stands in the file. Raises InputError,
        OutputError, and OtherValueError where the file has another one by now.
        """
        with self.lock:
            self._ready()
            there = value_in(self.whole(), table, key)
            if seen is not ... and not anyway and there != seen and there != value:
                raise OtherValueError(there)
            path = self.shared(table)
            if path is not None:
                self._change_shared(path, table, key, value)
                return
            made = with_key(self.source, table, key, value)
            if made != self.source:
                self._write(made)
                self._remember(made, table, key)

    def replace_text(self, text: str) -> None:
        """Save another text of the file, as one step of its history. Raises OutputError."""
        with self.lock:
            self._ready()
            self._write(text)
            self._remember(text)

    def _ready(self) -> None:
        self.refresh()
        if self.fault is not None:
            raise InputError(
                self.path.name, self.fault.says, hint="mend it in the editor, or undo here"
            )

    # --- history ---------------------------------------------------------------------------------

    def _remember(self, text: str, table: str = "", key: str = "") -> None:
        """Store a text as a step; a run of changes of one key is one step."""
        there = self.folder.stored(HISTORY, self.name)
        now = time.monotonic()
        run = bool(key) and self._last[:2] == (table, key) and now - self._last[2] < _ONE_STEP_S
        self._last = (table, key, now)
        if not run:
            self.ghost = self.good
        if there and self._at is not None and self._at < len(there) - 1:
            # A step back was taken before: what stands there now is stored again, then the new one.
            self.folder.store(HISTORY, self.name, _text_at(there[self._at]))
        elif there and _text_at(there[-1]) == text:
            self._at = len(there) - 1
            return
        elif run and len(there) > 1:
            there[-1].unlink(missing_ok=True)
        self.folder.store(HISTORY, self.name, text)
        self._at = len(self.folder.stored(HISTORY, self.name)) - 1

    def step(self, by: int) -> bool:
        """Go a step back (-1) or forth (1) in the history; return whether there was one."""
        with self.lock:
            self.refresh()
            there = self.folder.stored(HISTORY, self.name)
            at = len(there) - 1 if self._at is None else self._at
            to = at if self.fault is not None and by < 0 else at + by
            if not 0 <= to < len(there):
                return False
            self.ghost = self.good
            self._write(_text_at(there[to]))
            self._at, self._last = to, ("", "", 0.0)
            return True

    def steps(self) -> tuple[bool, bool]:
        """Return whether there is a step back, and one forth."""
        count = len(self.folder.stored(HISTORY, self.name))
        at = count - 1 if self._at is None else self._at
        return at > 0 or self.fault is not None, at < count - 1

    def earlier(self) -> list[tuple[int, float]]:
        """Return the steps of the history, the newest first: number and time."""
        there = self.folder.stored(HISTORY, self.name)
        return [(i, p.stat().st_mtime) for i, p in reversed(list(enumerate(there)))]

    def go_to(self, number: int) -> bool:
        """Go to a step of the history."""
        with self.lock:
            at = len(self.folder.stored(HISTORY, self.name)) - 1 if self._at is None else self._at
            return self.step(number - at)

    # --- versions to keep ------------------------------------------------------------------------

    def keep(self) -> None:
        """Keep the text as it is as a version to compare with."""
        with self.lock:
            self._ready()
            self.folder.store(KEPT, self.name, self.source)

    def kept(self) -> list[Path]:
        """Return the kept versions, the oldest first."""
        return self.folder.stored(KEPT, self.name)

    # --- drafts ----------------------------------------------------------------------------------

    def draft(self, shown: Units) -> DraftOutcome:
        """Return the draft of the text as it is; it becomes the pattern on view if there is one."""
        with self.lock:
            version, data, fault = self.version, self.data, self.fault
        found = self._drafts.get((version, shown))
        if found is None:
            found = draft_of(self.folder, data, shown)
            self._drafts[version, shown] = found
        if fault is not None:
            found = DraftOutcome(spec=found.spec, pattern=found.pattern, fault=fault)
        if found.pattern is not None:
            self.good = found.pattern
        return found

    def trying(self, table: str, key: str, value: Raw | None, shown: Units) -> DraftOutcome:
        """Return the draft that a value would make; nothing is saved."""
        with self.lock:
            data = self.whole() if self.shared(table) is not None else dict(self.data)
            units = self.units_of(table)
        if units != self.units:
            return self.draft(shown)  # its numbers cannot stand here: drawn once it is kept
        holder = dict(data.get(table, {})) if table else data
        if value is None:
            holder.pop(key, None)
        else:
            holder[key] = value
        if table:
            data[table] = holder
        return draft_of(self.folder, data, shown)

    def answer(self, shown: Units) -> Answer | None:
        """Return what follows from the text as it is, None while it cannot be drafted."""
        found = self.draft(shown)
        if found.spec is None or found.pattern is None or found.fault is not None:
            return None
        answer = Answer(spec=found.spec, kept_lay=read_kept(self.path))
        answer.__dict__["drafted"] = found.pattern  # it is drafted already
        return answer


def _text_at(path: Path) -> str:
    return path.read_bytes().decode("utf-8")
