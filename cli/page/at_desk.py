"""Requests at a desk: its page, its state, a value tried or set, a step back, a version kept."""

from __future__ import annotations

from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response, StreamingResponse

from outseam.cli.fitting.spec_text import data_of
from outseam.cli.page import live
from outseam.cli.page import state as states
from outseam.cli.page.answers import BadRequestError, body_of, json_of, text_in, units_of
from outseam.cli.page.clock import told_time
from outseam.cli.page.desk import Desk
from outseam.cli.page.figure import VIEWS
from outseam.cli.page.flat import outlines
from outseam.cli.page.forms import GROUPS, field_named, form_of, name_of
from outseam.cli.page.key_text import Raw
from outseam.cli.page.products import PRODUCTS
from outseam.cli.page.room import ServerState
from outseam.cli.page.signs import sign_rows
from outseam.cli.page.typed import length_value, value_of
from outseam.draft.inputs.show import Units


async def desk_of(room: ServerState, request: Request) -> Desk:
    """Return the desk that a request is about. Raises KeyError."""
    return await room.desk(request.path_params["name"])


async def shown_of(room: ServerState, request: Request) -> tuple[Desk, Units]:
    """Return the desk that is looked at, and the unit to show it in. Raises KeyError."""
    desk = await desk_of(room, request)
    return desk, units_of(request.query_params.get("units"), desk.units)


async def asked_of(room: ServerState, request: Request) -> tuple[Desk, dict[str, Any], Units]:
    """Return desk, data and unit of what is asked. Raises KeyError and BadRequestError."""
    desk, data = await desk_of(room, request), await body_of(request)
    return desk, data, units_of(data.get("units"), desk.units)


async def show(room: ServerState, request: Request) -> Response:
    """The page of a spec, drawn as it is now."""
    desk = await desk_of(room, request)
    await room.save(desk.refresh)
    shown = units_of(request.query_params.get("units"), "in" if desk.units == "in" else "cm")
    now = await room.draft(partial(states.state, desk, shown))
    page = room.render(
        "desk.html",
        name=desk.name,
        title=desk.title,
        shown=shown,
        state=now,
        sections={key: form_of(groups, shown) for key, groups in GROUPS.items()},
        views=VIEWS,
        products=PRODUCTS,
        signs=sign_rows(shown),
    )
    return HTMLResponse(page)


async def state(room: ServerState, request: Request) -> Response:
    """The state of a spec as data."""
    desk = await desk_of(room, request)
    await room.save(desk.refresh)
    shown = units_of(request.query_params.get("units"), desk.units)
    return await _state(room, desk, shown)


async def _state(room: ServerState, desk: Desk, shown: Units) -> Response:
    """Answer with the state as it is when its turn comes, drafted once for all windows."""
    return json_of(await room.draft(partial(states.state, desk, shown)))


def _value(desk: Desk, data: dict[str, Any], shown: Units) -> tuple[str, str, Raw | None]:
    """Return table, key and value of a request. Raises InputError and BadRequestError."""
    table, key = text_in(data, "table"), text_in(data, "key")
    try:
        field = field_named(table, key)
    except KeyError:
        raise BadRequestError from None
    typed: Any = data.get("text")
    mm = data.get("mm")
    if isinstance(mm, int | float) and not isinstance(mm, bool):
        typed = length_value(float(mm), shown, signed=bool(data.get("signed")))
    plain = isinstance(typed, str | bool)
    if not plain and not (isinstance(typed, list) and all(isinstance(x, str) for x in typed)):
        raise BadRequestError
    return table, key, value_of(field.kind, typed, shown, desk.units_of(table), name_of(table, key))


async def attempt(room: ServerState, request: Request) -> Response:
    """A value while it moves: the draft it makes, nothing saved."""
    desk, data, shown = await asked_of(room, request)
    table, key, value = _value(desk, data, shown)

    def work() -> dict[str, Any]:
        found = desk.trying(table, key, value, shown)
        if found.pattern is None:
            fault = found.fault
            return {"fault": {"field": fault.field, "says": fault.says} if fault else None}
        drawn = live.drawn(desk, found.pattern, shown)
        if table == "body":
            drawn["figure"] = live.figure(found.spec, found.pattern)
        return drawn

    done = await room.newest(desk, text_in(data, "window")[:40]).run(work)
    return json_of({"late": True} if done is None else done)


async def change(room: ServerState, request: Request) -> Response:
    """A value that is kept: saved at once, then drafted."""
    desk, data, shown = await asked_of(room, request)
    table, key, value = _value(desk, data, shown)
    seen = data.get("seen", ...)
    anyway = bool(data.get("anyway"))
    await room.save(partial(desk.change, table, key, value, seen=seen, anyway=anyway))
    room.tell(desk)
    if data.get("only_save"):
        return json_of({"version": desk.version})
    return await _state(room, desk, shown)


async def step(room: ServerState, request: Request) -> Response:
    """A step back or forth in the history, or to one of its steps."""
    desk, data = await desk_of(room, request), await body_of(request)
    by, to = data.get("by"), data.get("to")
    if by in (-1, 1):
        await room.save(partial(desk.step, by))
    elif isinstance(to, int) and not isinstance(to, bool):
        await room.save(partial(desk.go_to, to))
    else:
        raise BadRequestError
    room.tell(desk)
    return await _state(room, desk, units_of(data.get("units"), desk.units))


async def history(room: ServerState, request: Request) -> Response:
    """The steps of the history, the newest first."""
    desk = await desk_of(room, request)
    found = await room.save(desk.earlier)
    return json_of([{"number": n, "when": told_time(at)} for n, at in found])


async def keep(room: ServerState, request: Request) -> Response:
    """Keep the spec as it is as a version."""
    desk, data = await desk_of(room, request), await body_of(request)
    await room.save(desk.keep)
    room.tell(desk)
    return await _state(room, desk, units_of(data.get("units"), desk.units))


async def kept(room: ServerState, request: Request) -> Response:
    """The outlines of a kept version, as they lie on the table now."""
    desk = await desk_of(room, request)
    versions = desk.kept()
    number = request.path_params["number"]
    if not 1 <= number <= len(versions):
        raise KeyError(number)

    def work() -> list[tuple[str, str]]:
        from outseam.cli.page.drafting import draft_of

        found = draft_of(desk.folder, data_of(versions[number - 1].read_text("utf-8")))
        if found.pattern is None or desk.table is None:
            return []
        return outlines(found.pattern, desk.table)

    return json_of(await room.draft(work))


async def later(room: ServerState, request: Request) -> Response:
    """What takes longer than a draft."""
    desk, shown = await shown_of(room, request)
    return json_of(await room.make(partial(states.afterwards, desk, shown)))


async def events(room: ServerState, request: Request) -> Response:
    """The line by which windows hear of changes."""
    desk = await desk_of(room, request)
    return StreamingResponse(room.events(desk), media_type="text/event-stream")
