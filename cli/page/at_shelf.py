"""Requests at the shelf: the page of cards, their pictures, a new spec."""

from __future__ import annotations

from functools import partial

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from outseam.cli.page import shelf
from outseam.cli.page.answers import form_of
from outseam.cli.page.room import ServerState
from outseam.draft.inputs.errors import OutseamError


async def show(room: ServerState, request: Request, wrong: str = "") -> Response:
    """The cards of the folder."""
    found = await room.save(partial(shelf.cards, room.folder))
    page = room.render(
        "shelf.html",
        cards=found,
        rows=shelf.rows_of(found),
        folder=room.folder.root.name,
        wrong=wrong,
    )
    return HTMLResponse(page, status_code=422 if wrong else 200)


async def picture(room: ServerState, request: Request) -> Response:
    """The pieces of a spec, small."""
    svg = await room.draft(partial(shelf.picture, room.folder, request.path_params["name"]))
    return Response(svg, media_type="image/svg+xml")


async def start(room: ServerState, request: Request) -> Response:
    """A new spec from the form of the shelf; its page is shown."""
    title, units, old = await form_of(request, "title", "units", "old")
    try:
        name = await room.save(
            lambda: shelf.start(
                room.folder, title, "in" if units == "in" else "cm", old if old else None
            )
        )
    except OutseamError as e:
        return await show(room, request, str(e))
    return RedirectResponse(f"{room.base}/spec/{name}/", status_code=303)
