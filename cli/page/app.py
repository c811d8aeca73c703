"""All addresses of the page in one place."""

from __future__ import annotations

import contextlib
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Final

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from outseam.cli.page import at_shelf
from outseam.cli.page.answers import RoomHandler, answering
from outseam.cli.page.folder import Folder
from outseam.cli.page.guard import Guard
from outseam.cli.page.room import ServerState

STATIC: Final = Path(__file__).parent / "static"


def _desk(name: str) -> RoomHandler:
    """A request at a desk; what draws is loaded with the first, so that the shelf is quick."""

    async def handler(room: ServerState, request: Request) -> Response:
        from outseam.cli.page import at_desk

        found: RoomHandler = getattr(at_desk, name)
        return await found(room, request)

    return handler


def _out(name: str) -> RoomHandler:
    """A request for what leaves the desk, loaded likewise."""

    async def handler(room: ServerState, request: Request) -> Response:
        from outseam.cli.page import at_out

        found: RoomHandler = getattr(at_out, name)
        return await found(room, request)

    return handler


def _cloth(name: str) -> RoomHandler:
    """A request about the pieces on the cloth, loaded likewise."""

    async def handler(room: ServerState, request: Request) -> Response:
        from outseam.cli.page import at_cloth

        found: RoomHandler = getattr(at_cloth, name)
        return await found(room, request)

    return handler


_READ: Final[tuple[tuple[str, RoomHandler], ...]] = (
    ("/", at_shelf.show),
    ("/picture/{name}.svg", at_shelf.picture),
    ("/how-to/{key}.svg", _out("how_picture")),
    ("/how-to/{key}", _out("how_to")),
    ("/sign/{sign}.svg", _out("sign_picture")),
    ("/spec/{name}/", _desk("show")),
    *((f"/spec/{{name}}/{x}", _desk(x)) for x in ("state", "later", "events", "history")),
    ("/spec/{name}/kept/{number:int}", _desk("kept")),
    ("/spec/{name}/made/{file}", _out("made")),
    ("/spec/{name}/remedies", _cloth("remedies")),
    *((f"/spec/{{name}}/{x}", _out(x)) for x in ("compare", "shopping", "sewing")),
)
_WRITE: Final[tuple[tuple[str, RoomHandler], ...]] = (
    ("/start", at_shelf.start),
    *((f"/spec/{{name}}/{x}", _desk(x)) for x in ("attempt", "change", "step", "keep")),
    *((f"/spec/{{name}}/{x}", _cloth(x)) for x in ("lay", "place")),
    *(
        (f"/spec/{{name}}/{x}", _out(x))
        for x in (
            *("make", "square", "stretch", "see", "take_off", "tick"),
            *("phone_start", "phone_stop"),
        )
    ),
)


def make_app(folder: Path, secret: str, hosts: frozenset[str]) -> tuple[Guard, ServerState]:
    """Return the application that serves a folder under a secret, and its room."""
    room = ServerState(folder=Folder(root=folder.resolve()), base=f"/{secret}")

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
