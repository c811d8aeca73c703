"""A phone at the machine: list and steps for whoever has the code, on this network, while asked.

A server of its own with nothing else on it. The code is asked for once and then stands for a
secret in the address; after a few wrong ones the server is gone.
"""

from __future__ import annotations

import asyncio
import contextlib
import secrets
import socket
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final

import uvicorn
from jinja2 import Environment
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from outseam.cli.page import out
from outseam.cli.page.answers import BadRequestError, form_of
from outseam.cli.page.desk import Desk
from outseam.cli.page.guard import HEADERS, Guard, new_secret
from outseam.draft.inputs.errors import InputError, OutseamError
from outseam.draft.inputs.show import Units

_TRIES: Final = 5
_STYLE: Final = (Path(__file__).parent / "static" / "page.css").read_text("utf-8")


def own_address() -> str:
    """Return this machine's address in its network. Raises InputError where it has none.

    Nothing is sent: the socket is only asked which way it would go.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            asked.connect(("192.0.2.1", 9))
            found = str(asked.getsockname()[0])
        except OSError:
            found = "127.0.0.1"
    if found.startswith("127."):
        raise InputError("phone", "this machine is in no network", hint="join one first")
    return found


class _Quiet(uvicorn.Server):
    """A server beside another: the signals are the other's."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave the signals alone."""
        yield


class _Door:
    """Asks for the code before anything; behind it the guard of the page itself."""

    def __init__(self, inside: Guard, ask: ASGIApp, host: str) -> None:
        self.inside, self.ask, self.host = inside, ask, host

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer at the door, or let in."""
        host = dict(scope.get("headers", ())).get(b"host", b"").decode("latin-1")
        door = scope["type"] == "http" and scope["path"] in ("/", "/code") and host == self.host
        await (self.ask if door else self.inside)(scope, receive, send)


@dataclass(kw_only=True)
class Phone:
    """What a phone may see of one spec; raises InputError where there is no network."""

    desk: Desk
    shown: Units
    pages: Environment
    address: str = ""
    bind: str = ""

    def __post_init__(self) -> None:
        self.code = f"{secrets.randbelow(1_000_000):06d}"
        self.secret = new_secret()
        self.wrong = 0
        self._server: _Quiet | None = None
        self._serving: asyncio.Task[None] | None = None

    async def start(self) -> None:
        """Listen in the network this machine is in."""
        ip = self.bind or own_address()
        sock = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        sock.bind((ip, 0))
        sock.listen(16)
        host = f"{ip}:{sock.getsockname()[1]}"
        self.address = f"http://{host}/"
        base = f"/{self.secret}"
        inside = Starlette(
            routes=[
                Route(f"{base}/", self.show, methods=["GET"]),
                Route(f"{base}/tick", self.tick, methods=["POST"]),
            ]
        )
        ask = Starlette(
            routes=[
                Route("/", self.knock, methods=["GET"]),
                Route("/code", self.try_code, methods=["POST"]),
            ]
        )
        door = _Door(Guard(inside, self.secret, frozenset({host})), ask, host)
        config = uvicorn.Config(
            door, log_level="critical", access_log=False, lifespan="off", server_header=False
        )
        self._server = _Quiet(config)
        self._serving = asyncio.create_task(self._server.serve(sockets=[sock]))

    async def stop(self) -> None:
        """Let nobody in any more."""
        if self._server is not None and self._serving is not None:
            self._server.should_exit = True
            self._server.force_exit = True
            await asyncio.wait([self._serving], timeout=2.0)

    # --- at the door -----------------------------------------------------------------------------

    def _page(self, status: int = 200, **values: Any) -> Response:
        html = self.pages.get_template("phone.html").render(style=_STYLE, **values)
        policy = (
            "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; "
            "frame-ancestors 'none'"
        )
        headers = {**HEADERS, "content-security-policy": policy}
        return HTMLResponse(html, status_code=status, headers=headers)

    async def knock(self, request: Request) -> Response:
        """Ask for the code."""
        return self._page(title="The code", steps=None, wrong="")

    async def try_code(self, request: Request) -> Response:
        """Let in with the right code; be gone after a few wrong ones."""
        try:
            (typed,) = await form_of(request, "code")
        except BadRequestError:
            typed = ""
        if self.wrong < _TRIES and secrets.compare_digest(
            typed.replace(" ", "").encode(), self.code.encode()
        ):
            return RedirectResponse(f"/{self.secret}/", status_code=303, headers=HEADERS)
        self.wrong += 1
        if self.wrong >= _TRIES and self._server is not None:
            self._server.should_exit = True
        return self._page(403, title="The code", steps=None, wrong="That is not the code.")

    # --- inside ----------------------------------------------------------------------------------

    async def show(self, request: Request) -> Response:
        """The list and the steps."""
        loop = asyncio.get_running_loop()
        try:
            steps = await loop.run_in_executor(None, partial(out.sewing, self.desk, self.shown))
            shopping = await loop.run_in_executor(
                None, partial(out.shopping, self.desk, self.shown)
            )
        except OutseamError as e:
            return self._page(422, title=self.desk.title, steps=[], shopping=None, wrong=str(e))
        return self._page(
            title=self.desk.title,
            steps=[asdict(s) for s in steps],
            shopping=shopping,
            wrong="",
        )

    async def tick(self, request: Request) -> Response:
        """A step ticked off, or not: a form without script."""
        try:
            key, done = await form_of(request, "key", "done")
        except BadRequestError:
            return Response(status_code=400)
        loop = asyncio.get_running_loop()
        await loop.run_in_executor(None, partial(out.tick, self.desk, key[:80], done=bool(done)))
        return RedirectResponse("./#" + key[:80], status_code=303)
