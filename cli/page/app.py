"""All addresses of the page in one place."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Final

from starlette.applications import Starlette
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from outseam.cli.page import at_desk, at_out, at_shelf
from outseam.cli.page.answers import RoomHandler, answering
from outseam.cli.page.folder import Folder
from outseam.cli.page.guard import Guard
from outseam.cli.page.room import Room

STATIC: Final = Path(__file__).parent / "static"

_READ: Final[tuple[tuple[str, RoomHandler], ...]] = (
    ("/", at_shelf.show),
    ("/picture/{name}.svg", at_shelf.picture),
    ("/how-to/{key}.svg", at_out.how_picture),
    ("/how-to/{key}", at_out.how_to),
    ("/sign/{sign}.svg", at_out.sign_picture),
    ("/spec/{name}/", at_desk.show),
    ("/spec/{name}/state", at_desk.tell_state),
    ("/spec/{name}/later", at_desk.later),
    ("/spec/{name}/events", at_desk.events),
    ("/spec/{name}/history", at_desk.history),
    ("/spec/{name}/kept/{number:int}", at_desk.kept),
    ("/spec/{name}/compare", at_out.compare),
    ("/spec/{name}/made/{file}", at_out.made),
    ("/spec/{name}/shopping", at_out.shopping),
    ("/spec/{name}/sewing", at_out.sewing),
)
_WRITE: Final[tuple[tuple[str, RoomHandler], ...]] = (
    ("/start", at_shelf.start),
    ("/spec/{name}/try", at_desk.attempt),
    ("/spec/{name}/set", at_desk.change),
    ("/spec/{name}/step", at_desk.step),
    ("/spec/{name}/keep", at_desk.keep),
    ("/spec/{name}/make", at_out.make),
    ("/spec/{name}/square", at_out.square),
    ("/spec/{name}/lay", at_out.lay),
    ("/spec/{name}/stretch", at_out.stretch),
    ("/spec/{name}/see", at_out.see),
    ("/spec/{name}/take-off", at_out.take_off),
    ("/spec/{name}/tick", at_out.tick),
)


def make_app(folder: Path, secret: str, hosts: frozenset[str]) -> tuple[Guard, Room]:
    """Return the application that serves a folder under a secret, and its room."""
    room = Room(folder=Folder(root=folder.resolve()), base=f"/{secret}")

    @contextlib.asynccontextmanager
    async def at_work(_: Starlette) -> AsyncIterator[None]:
        async with room.at_work():
            yield

    routes = [
        *(Route(path, answering(room, h), methods=["GET"]) for path, h in _READ),
        *(Route(path, answering(room, h), methods=["POST"]) for path, h in _WRITE),
        Mount("/static", StaticFiles(directory=STATIC)),
    ]
    app = Starlette(routes=[Mount(room.base, routes=routes)], lifespan=at_work)
    return Guard(app, secret, hosts), room
