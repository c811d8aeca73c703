"""Requests about the pieces on the cloth: laid, moved, and what would make a length enough."""

from __future__ import annotations

import json
import math
from collections.abc import AsyncIterator, Iterator
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from outseam.cli.page import cloth
from outseam.cli.page.answers import BadRequestError, json_of, text_in
from outseam.cli.page.at_desk import asked_of, shown_of
from outseam.cli.page.drafting import in_words
from outseam.cli.page.room import ServerState
from outseam.draft.inputs.errors import OutseamError


async def lay(room: ServerState, request: Request) -> Response:
    """The pieces on the cloth."""
    desk, data, shown = await asked_of(room, request)
    work = partial(cloth.lay_of, desk, shown, again=bool(data.get("again")))
    return json_of(await room.make(work))


async def place(room: ServerState, request: Request) -> Response:
    """A piece while it is moved, or where it was put: then it is kept."""
    desk, data, shown = await asked_of(room, request)
    x, y = _mm(data, "x"), _mm(data, "y")
    keep = data.get("keep") is True
    work = partial(cloth.place, desk, text_in(data, "piece"), x, y, shown, keep=keep)
    return json_of(await room.make(work))


def _mm(data: dict[str, Any], key: str) -> float:
    """Return a position of a request, mm. Raises BadRequestError."""
    value = data.get(key)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadRequestError
    if not math.isfinite(value) or abs(value) > 1e6:
        raise BadRequestError
    return float(value)


async def remedies(room: ServerState, request: Request) -> Response:
    """What would make the length in hand enough, as server-sent events while it is found.

    Each trial is work of its own, so that files can be made in between; whoever closes the line
    stops the search with the trial that is going on.
    """
    desk, shown = await shown_of(room, request)
    return StreamingResponse(
        _as_found(room, cloth.remedies(desk, shown)), media_type="text/event-stream"
    )


async def _as_found(room: ServerState, found: Iterator[dict[str, Any]]) -> AsyncIterator[str]:
    while not room.closing.is_set():
        try:
            one = await room.make(partial(next, found, None))
        except OutseamError as e:
            one = {"done": in_words(e).says}
        if one is None:
            return
        yield f"data: {json.dumps(one, ensure_ascii=False)}\n\n"
