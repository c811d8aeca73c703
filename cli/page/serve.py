"""The server: on this machine alone, on one port, until it is interrupted."""

from __future__ import annotations

import contextlib
import html
import os
import socket
import tempfile
import threading
import webbrowser
from collections.abc import Callable, Iterator
from pathlib import Path
from types import FrameType
from typing import Final

import uvicorn

from outseam.cli.page.app import make_app
from outseam.cli.page.guard import new_secret
from outseam.cli.page.room import ServerState
from outseam.draft.inputs.errors import InputError

LOOPBACK: Final = "127.0.0.1"
#: Tried first, so that the address stays familiar; any free one if it is taken.
USUAL_PORT: Final = 8765


class _Server(uvicorn.Server):
    """Lets the open lines of windows go as soon as it is told to stop."""

    def __init__(self, config: uvicorn.Config, room: ServerState) -> None:
        super().__init__(config)
        self._room = room

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Stop at the first signal."""
        self._room.closing.set()
        for events in self._room.listeners.values():
            for event in events:
                event.set()
        super().handle_exit(sig, frame)


def listen(port: int | None) -> socket.socket:
    """Return a socket that listens on this machine alone. Raises InputError for a port in use."""
    for wanted in (port,) if port is not None else (USUAL_PORT, 0):
        # Named as TCP, so that answers are sent at once and not held back for more of them.
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        if os.name == "posix":
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((LOOPBACK, wanted))
        except OSError:
            found.close()
            continue
        found.listen(64)
        return found
    raise InputError("--port", str(port), "a port that nothing else uses", "try another, or none")


@contextlib.contextmanager
def _door(address: str) -> Iterator[Path]:
    """Yield a file that leads to the address, readable by nobody else.

    What a browser is started with can be read by everybody on a machine; so it is started with the
    file and not with the address, which holds the secret.
    """
    handle, name = tempfile.mkstemp(suffix=".html", prefix="outseam-")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            there = html.escape(address, quote=True)
            file.write(
                '<!doctype html><meta charset="utf-8"><title>outseam</title>'
                f'<meta http-equiv="refresh" content="0; url={there}">'
                f'<p><a href="{there}">Open the page</a></p>'
            )
        yield Path(name)
    finally:
        with contextlib.suppress(OSError):
            os.unlink(name)


def serve(
    folder: Path, *, port: int | None, open_browser: bool, tell: Callable[[str], None]
) -> None:
    """Serve a folder, made if it is not there, until interrupted; `tell` is given the address.

    Raises InputError for a folder or a port that cannot be had.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as e:
        why = "this is a file" if folder.is_file() else f"it cannot be made ({e.strerror})"
        raise InputError(str(folder), why, "a folder", "choose another") from None
    sock = listen(port)
    number = sock.getsockname()[1]
    secret = new_secret()
    hosts = frozenset(f"{name}:{number}" for name in (LOOPBACK, "localhost"))
    app, room = make_app(folder, secret, hosts)
    config = uvicorn.Config(
        app,
        log_level="critical",
        access_log=False,
        timeout_graceful_shutdown=1,
        server_header=False,
    )
    address = f"http://{LOOPBACK}:{number}/{secret}/"
    tell(address)
    with contextlib.ExitStack() as stack:
        if open_browser:
            door = stack.enter_context(_door(address))
            threading.Timer(0.2, webbrowser.open, [door.as_uri()]).start()
        with contextlib.suppress(KeyboardInterrupt):
            _Server(config, room).run(sockets=[sock])
