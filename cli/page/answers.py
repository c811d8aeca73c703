"""Requests read and answers written: JSON in and out, one sentence for what cannot be done."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable
from functools import wraps
from typing import Any, Final, TypeAlias
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response

from outseam.cli.page.drafting import in_words
from outseam.cli.page.key_text import OtherValueError
from outseam.cli.page.room import ServerState
from outseam.draft.inputs.errors import OutseamError
from outseam.draft.inputs.show import UNITS, Units

_MOST_BYTES: Final = 64_000

Handler: TypeAlias = Callable[[Request], Awaitable[Response]]
RoomHandler: TypeAlias = Callable[[ServerState, Request], Awaitable[Response]]


class BadRequestError(Exception):
    """A request that the page itself would never make."""


def json_of(data: Any, status: int = 200) -> JSONResponse:
    """Return data as an answer."""
    return JSONResponse(data, status_code=status)


async def _raw(request: Request, kind: str) -> bytes:
    """Return the body of a request of a media type, if it is not too long."""
    if not request.headers.get("content-type", "").startswith(kind):
        raise BadRequestError
    raw = bytearray()
    async for chunk in request.stream():
        raw += chunk
        if len(raw) > _MOST_BYTES:
            raise BadRequestError
    return bytes(raw)


async def form_of(request: Request, *names: str) -> list[str]:
    """Return fields of a form that was sent, empty where one is not. Raises BadRequestError."""
    raw = await _raw(request, "application/x-www-form-urlencoded")
    try:
        found = parse_qs(raw.decode("utf-8"), max_num_fields=20)
    except ValueError:
        raise BadRequestError from None
    return [found.get(name, [""])[0] for name in names]


async def body_of(request: Request) -> dict[str, Any]:
    """Return the JSON object of a request. Raises BadRequestError."""
    raw = await _raw(request, "application/json")
    try:
        data = json.loads(raw)
    except (ValueError, RecursionError):
        raise BadRequestError from None
    if not isinstance(data, dict):
        raise BadRequestError
    return data


def text_in(data: dict[str, Any], key: str) -> str:
    """Return a text of a request. Raises BadRequestError for anything else."""
    value = data.get(key, "")
    if not isinstance(value, str):
        raise BadRequestError
    return value


def units_of(value: object, otherwise: Units) -> Units:
    """Return the unit that a window shows: centimetres or inches."""
    return value if value in UNITS else otherwise


def answering(room: ServerState, handler: RoomHandler) -> Handler:
    """Return a handler whose errors are answers: a sentence, or not found."""

    @wraps(handler)
    async def wrapped(request: Request) -> Response:
        try:
            return await handler(room, request)
        except KeyError:
            return HTMLResponse(
                room.render("lost.html", title="Nothing here by that name"), status_code=404
            )
        except BadRequestError:
            return PlainTextResponse("This is no request of the page.", status_code=400)
        except OtherValueError as e:
            return json_of({"theirs": e.theirs}, 409)
        except OutseamError as e:
            fault = in_words(e)
            return json_of({"says": fault.says, "field": fault.field}, 422)

    return wrapped
