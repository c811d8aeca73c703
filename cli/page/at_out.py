"""Requests for what leaves the desk: files, the lay, what a trial shows, lists."""

from __future__ import annotations

from dataclasses import asdict
from functools import partial
from typing import Any

from starlette.requests import Request
from starlette.responses import Response

from outseam.cli.fitting.drawings import sign_drawing
from outseam.cli.fitting.spec_text import data_of, without_last
from outseam.cli.measure.sheet import HOW_TO, HowTo, if_missing_words
from outseam.cli.page import out
from outseam.cli.page.answers import body_of, json_of, text_in, units_of
from outseam.cli.page.at_desk import asked_of, desk_of, shown_of
from outseam.cli.page.desk import KEPT, Desk
from outseam.cli.page.guard import PDF_POLICY, SHEET_POLICY
from outseam.cli.page.phone import Phone
from outseam.cli.page.products import kind_of
from outseam.cli.page.room import ServerState
from outseam.cli.page.signs import altered_text, shown_change
from outseam.cli.write.svg import write_svg_text
from outseam.draft.alter.signs import sign_named
from outseam.draft.inputs.errors import InputError
from outseam.draft.inputs.show import Units, in_system


async def make(room: ServerState, request: Request) -> Response:
    """Make the files of a button."""
    desk, data, shown = await asked_of(room, request)
    return json_of(await room.make(partial(out.make_files, desk, text_in(data, "what"), shown)))


async def made(room: ServerState, request: Request) -> Response:
    """A file that was made; it may carry a style of its own and nothing else."""
    desk = await desk_of(room, request)
    name = request.path_params["file"]
    data = await room.save(partial(out.made_file, desk, name))
    kind = kind_of(name)
    policy = PDF_POLICY if kind == "application/pdf" else SHEET_POLICY
    headers = {
        "content-disposition": f'inline; filename="{name}"',
        "content-security-policy": policy,
    }
    return Response(data, media_type=kind, headers=headers)


async def square(room: ServerState, request: Request) -> Response:
    """What the square of page 1 measured."""
    desk, data, shown = await asked_of(room, request)
    across, along = text_in(data, "across"), text_in(data, "along")
    says = await room.draft(partial(out.calibrate, desk, across, along, shown))
    room.tell(desk)
    return json_of({"says": says})


async def stretch(room: ServerState, request: Request) -> Response:
    """The fold test: what was marked and how far it was pulled."""
    desk, data, shown = await asked_of(room, request)
    way = "along" if data.get("way") == "along" else "across"
    ratio, says = out.stretch_says(text_in(data, "rest"), text_in(data, "pulled"), shown)
    value = f"{round(100.0 * ratio, 1):g} %"
    await room.save(partial(desk.change, "fabric", f"stretch_{way}", value))
    room.tell(desk)
    return json_of({"says": f"It stretches {says} {way}; kept."})


async def shopping(room: ServerState, request: Request) -> Response:
    """What to buy."""
    desk, shown = await shown_of(room, request)
    return json_of(await room.make(partial(out.shopping, desk, shown)))


async def sewing(room: ServerState, request: Request) -> Response:
    """The steps of the sewing order."""
    desk, shown = await shown_of(room, request)
    return json_of([asdict(s) for s in await room.make(partial(out.sewing, desk, shown))])


async def tick(room: ServerState, request: Request) -> Response:
    """A step ticked off, or not."""
    desk, data = await desk_of(room, request), await body_of(request)
    key, done = text_in(data, "key")[:80], bool(data.get("done"))
    await room.save(partial(out.tick, desk, key, done=done))
    return json_of({"ticked": done})


# --- a phone at the machine -----------------------------------------------------------------------


async def phone_start(room: ServerState, request: Request) -> Response:
    """Let a phone in the same network read list and steps, after a code."""
    desk, data = await desk_of(room, request), await body_of(request)
    await phone_stop(room, request)
    shown = units_of(data.get("units"), desk.units)
    room.phone = phone = Phone(desk=desk, shown=shown, pages=room.pages)
    await phone.start()
    return json_of({"address": phone.address, "code": phone.code})


async def phone_stop(room: ServerState, request: Request) -> Response:
    """Let no phone read along any more."""
    if room.phone is not None:
        await room.phone.stop()
        room.phone = None
    return json_of({})


# --- what the trial shows -------------------------------------------------------------------------


async def see(room: ServerState, request: Request) -> Response:
    """The change that a sign asks for: shown, and kept only where that is asked."""
    desk, data, shown = await asked_of(room, request)
    sign, amount, side = (text_in(data, key) for key in ("sign", "amount", "side"))

    def work() -> dict[str, Any]:
        text = altered_text(desk, sign, amount, side, shown)
        found = shown_change(desk, text, shown)
        if data.get("keep"):
            if not found["allowed"]:
                raise InputError("this change", "does not pass the checks", hint="take less")
            desk.replace_text(text)
        return found

    found = await room.draft(work)
    room.tell(desk)
    return json_of(found)


async def take_off(room: ServerState, request: Request) -> Response:
    """The last alteration taken off again."""
    desk = await desk_of(room, request)
    await body_of(request)
    await room.save(lambda: desk.replace_text(without_last(desk.source)))
    room.tell(desk)
    return json_of({"version": desk.version})


async def sign_picture(room: ServerState, request: Request) -> Response:
    """The drawing of a sign."""
    s = sign_named(request.path_params["sign"])
    return _picture(write_svg_text(sign_drawing(s.key, s.view, s.look)))


# --- how to measure -------------------------------------------------------------------------------


async def how_to(room: ServerState, request: Request) -> Response:
    """How a measurement is taken, in words."""
    how = _how_named(request.path_params["key"])
    shown = "in" if request.query_params.get("units") == "in" else "cm"
    told = ("key", "title", "tape", "stand", "mistakes", "used_for")
    words = {name: in_system(getattr(how, name), shown) for name in told}
    return json_of(words | {"if_missing": if_missing_words(how, shown)})


async def how_picture(room: ServerState, request: Request) -> Response:
    """The drawing of how a measurement is taken."""
    return _picture(write_svg_text(_how_named(request.path_params["key"]).drawing()))


def _how_named(key: str) -> HowTo:
    """Return how a measurement is taken. Raises KeyError."""
    return {how.key: how for how in HOW_TO}[key]


def _picture(svg: str) -> Response:
    return Response(
        svg, media_type="image/svg+xml", headers={"content-security-policy": SHEET_POLICY}
    )


# --- versions side by side ------------------------------------------------------------------------


async def compare(room: ServerState, request: Request) -> Response:
    """The kept versions and the spec as it is, side by side and laid on each other."""
    desk, shown = await shown_of(room, request)
    html = await room.make(partial(_comparison, desk, shown))
    headers = {"content-security-policy": SHEET_POLICY}
    return Response(html, media_type="text/html", headers=headers)


def _comparison(desk: Desk, shown: Units) -> bytes:
    from outseam.cli.compare.files import compare_files
    from outseam.cli.page.drafting import spec_of
    from outseam.draft.variants import MOST_VARIANTS, Candidate, compare_specs

    now = Candidate(label="as it is now", spec=out.answer_of(desk, shown).spec)
    older = desk.folder.stored(KEPT, desk.name)[-(MOST_VARIANTS - 1) :]
    candidates = [now]
    for number, path in enumerate(older, start=1):
        try:
            spec = spec_of(desk.folder, data_of(path.read_text("utf-8")), shown)
        except InputError as e:
            candidates.append(Candidate(label=f"version {number}", refused=str(e)))
        else:
            candidates.append(Candidate(label=f"version {number}", spec=spec))
    if len(candidates) < 2:
        raise InputError("compare", "no version is kept yet", hint="keep one, then change it")
    return compare_files(compare_specs(candidates, title=desk.title))["compare.html"]
