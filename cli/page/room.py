"""What all requests share: the folder, the desks that are open, who listens, and the helpers."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import json
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from outseam.cli.page.folder import Folder
from outseam.cli.page.newest import Newest

if TYPE_CHECKING:
    from outseam.cli.page.desk import Desk

T = TypeVar("T")

#: How often the folder is looked at for changes made elsewhere, and how often a silent line is
#: kept open, s.
_LOOK_S = 0.4
_ALIVE_S = 15.0
_MOST_LINES = 500


def as_json(value: Any) -> Markup:
    """Return data as JSON that may stand inside a page."""
    text = json.dumps(value, ensure_ascii=False, default=str)
    for char in "<>&\u2028\u2029":
        text = text.replace(char, f"\\u{ord(char):04x}")
    return Markup(text)


def templates() -> Environment:
    """Return the templates of the page; text from files is never markup."""
    environment = Environment(
        loader=PackageLoader("outseam.cli.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["as_json"] = as_json
    return environment


class Guest(Protocol):
    """Somebody else who was let in, and can be asked to leave."""

    async def stop(self) -> None:
        """Let nobody in any more."""


@dataclass(kw_only=True)
class ServerState:
    """The state of a server. `base` is the path under which everything lies: `/` and the secret."""

    folder: Folder
    base: str
    desks: dict[str, Desk] = field(default_factory=dict)
    listeners: dict[str, set[asyncio.Event]] = field(default_factory=dict)
    phone: Guest | None = None

    def __post_init__(self) -> None:
        self.pages = templates()
        self.drafting = ThreadPoolExecutor(1, "drafting")
        self.saving = ThreadPoolExecutor(2, "saving")
        self.making = ThreadPoolExecutor(1, "making")
        self._newest: dict[tuple[str, str], Newest] = {}
        self.closing = asyncio.Event()

    def render(self, template: str, **values: Any) -> str:
        """Return a page."""
        return self.pages.get_template(template).render(base=self.base, **values)

    async def desk(self, name: str) -> Desk:
        """Return the desk of a spec, opened if it is not. Raises KeyError."""
        found = self.desks.get(name)
        if found is None:
            from outseam.cli.page.desk import Desk

            found = await self.save(partial(Desk, folder=self.folder, name=name))
            found = self.desks.setdefault(name, found)
        return found

    async def save(self, work: Callable[[], T]) -> T:
        """Do something with files, beside any draft."""
        return await asyncio.get_running_loop().run_in_executor(self.saving, work)

    async def draft(self, work: Callable[[], T]) -> T:
        """Draft, after drafts that were asked for before."""
        return await asyncio.get_running_loop().run_in_executor(self.drafting, work)

    async def make(self, work: Callable[[], T]) -> T:
        """Make files or lays, which takes seconds."""
        return await asyncio.get_running_loop().run_in_executor(self.making, work)

    def newest(self, desk: Desk, window: str) -> Newest:
        """Return the line in which only the newest request of a window counts for a spec."""
        if len(self._newest) > _MOST_LINES:
            self._newest.clear()
        return self._newest.setdefault((desk.name, window), Newest(self.drafting))

    # --- windows in step -------------------------------------------------------------------------

    def tell(self, desk: Desk) -> None:
        """Wake every window that shows a spec."""
        for event in self.listeners.get(desk.name, ()):
            event.set()

    async def events(self, desk: Desk) -> AsyncIterator[str]:
        """Yield the version of a spec, as server-sent events, whenever it changes."""
        event = asyncio.Event()
        self.listeners.setdefault(desk.name, set()).add(event)
        told = -1
        try:
            while not self.closing.is_set():
                if desk.version != told:
                    told = desk.version
                    yield f"data: {told}\n\n"
                event.clear()
                try:
                    await asyncio.wait_for(event.wait(), _ALIVE_S)
                except TimeoutError:
                    yield ": still here\n\n"
        finally:
            self.listeners[desk.name].discard(event)

    async def watch(self) -> None:
        """Notice files that were changed elsewhere, while anybody looks at them."""
        while True:
            await asyncio.sleep(_LOOK_S)
            for name, events in list(self.listeners.items()):
                desk = self.desks.get(name)
                if desk is not None and events and await self.save(desk.refresh):
                    self.tell(desk)

    @contextlib.asynccontextmanager
    async def at_work(self) -> AsyncIterator[None]:
        """Watch the folder while the server runs; let everybody go when it ends."""
        watching = asyncio.create_task(self.watch())
        warming = self.drafting.submit(warm)
        try:
            yield
        finally:
            watching.cancel()
            if self.phone is not None:
                await self.phone.stop()
            self.closing.set()
            for events in self.listeners.values():
                for event in events:
                    event.set()
            warming.cancel()
            for pool in (self.drafting, self.saving, self.making):
                pool.shutdown(wait=False, cancel_futures=True)


def warm() -> None:
    """Draft the demo once, so that the first draft of a person need not wait for libraries."""
    from importlib.resources import files

    from outseam.cli.page.figure import figure_of, pants_on
    from outseam.cli.page.flat import flat_paths, laid_out
    from outseam.draft.pattern import draft_pattern
    from outseam.draft.spec.spec import parse_spec

    demo = files("outseam.draft").joinpath("data/demo.toml").read_text("utf-8")
    pattern = draft_pattern(parse_spec(demo))
    flat_paths(laid_out(pattern))
    figure_of(pattern.measures)
    pants_on(pattern)
    # What is loaded now stays: looking through it again and again would hold a drag up.
    gc.collect()
    gc.freeze()
