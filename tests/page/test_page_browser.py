"""The page in a real browser: a person's whole way, by keys alone and by mouse alone."""

from __future__ import annotations

import io
import re
import time
import tomllib
from collections.abc import Callable
from typing import Any

import pypdf
import pytest

from page.conftest import ANA


@pytest.fixture(scope="module")
def server(serve: Callable[..., Any]) -> Any:
    return serve(ana=ANA)


def saved(server: Any, name: str, wanted: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
    """The file's data once it is as wanted; a busy machine may take its time."""
    end = time.monotonic() + 20.0
    data: dict[str, Any] = {}
    while time.monotonic() < end:
        data = tomllib.loads(server.text(name))
        if wanted(data):
            return data
        time.sleep(0.05)
    raise AssertionError(data)


def press(page: Any, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def tab_to(page: Any, name: str, most: int = 160) -> None:
    """Go on by the tabulator until what has that name and the keyboard's attention is reached."""
    for _ in range(most):
        page.keyboard.press("Tab")
        here = page.evaluate(
            "(() => { const e = document.activeElement;"
            " return e.getAttribute('aria-label') || (e.labels && e.labels[0]?.textContent.trim())"
            " || e.textContent.trim(); })()"
        )
        if here == name:
            return
    raise AssertionError(f"the tabulator does not reach {name!r}")


def test_from_an_empty_folder_to_a_printed_file_by_keys_alone(
    serve: Callable[..., Any], open_page: Callable[..., Any]
) -> None:
    server = serve()
    page = open_page(server.address)
    tab_to(page, "name of the pants")
    page.keyboard.type("Trousers for Ida")
    press(page, "Enter")
    page.wait_for_selector("html[data-ready]")
    assert page.locator("#needed").inner_text().startswith("All four are still to be measured")
    for name, typed in (("height", "5 ft 6"), ("waist", "83,5"), ("hip", "41 1/4")):
        tab_to(page, name)
        page.keyboard.type(typed)
    tab_to(page, "inside leg")
    page.keyboard.type("78.2")
    press(page, "Tab")
    page.wait_for_selector("#flat .paths path.cut")
    body = saved(server, "trousers-for-ida", lambda d: "inside_leg" in d["body"])["body"]
    assert body == {"height": "5 ft 6", "waist": 83.5, "hip": "41 1/4 in", "inside_leg": 78.2}
    assert page.get_by_role("img", name=re.compile("^pattern")).count() == 1
    # A handle is a slider that arrow keys move.
    page.locator("#handles [data-handle=hem_width]").focus()
    before = float(page.locator("#handles [data-handle=hem_width]").get_attribute("aria-valuenow"))
    press(page, "ArrowUp", "ArrowUp", "ArrowUp")
    style = saved(server, "trousers-for-ida", lambda d: "hem_width" in d["style"])["style"]
    assert _mm(style["hem_width"]) == pytest.approx(before + 6.0, abs=0.6)
    for link in ("Print and sew",):
        page.get_by_role("link", name=link).focus()
        press(page, "Enter")
    tab_to(page, "Make the pattern on A4 pages (PDF)")
    press(page, "Enter")
    page.get_by_role("link", name="pattern-a4.pdf").wait_for(timeout=20000)
    file = server.folder / "trousers-for-ida" / "pattern-a4.pdf"
    assert len(pypdf.PdfReader(io.BytesIO(file.read_bytes())).pages) > 8


def _mm(value: Any) -> float:
    return float(value) * 10.0 if not isinstance(value, str) else float(value.split()[0]) * 10.0


def test_the_same_by_mouse_alone(server: Any, open_page: Callable[..., Any]) -> None:
    page = open_page(server.address)
    page.get_by_role("link", name="Summer flares", exact=True).click()
    page.wait_for_selector("html[data-ready]")
    handle = page.get_by_role("slider", name="hem width, on the drawing")
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    before = float(handle.get_attribute("aria-valuenow"))
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 9):
        page.mouse.move(x + 2 * step, y)
    page.mouse.up()
    saved(server, "ana", lambda d: "hem_width" in d["style"])
    page.wait_for_function(
        "b => Number(document.querySelector('[data-handle=hem_width]').ariaValueNow) > b + 20",
        arg=before,
    )
    page.wait_for_function("() => /hem .* → /.test(document.getElementById('live').textContent)")
    page.locator("#flat .ghost path").nth(1).wait_for(state="attached")  # the version before
    page.get_by_role("link", name="Style").click()
    page.get_by_label("leg", exact=True).select_option("palazzo")
    saved(server, "ana", lambda d: d["style"]["leg"] == "palazzo")
    page.get_by_role("button", name="Undo").click()
    saved(server, "ana", lambda d: d["style"]["leg"] == "flare")
    page.get_by_role("button", name="hip, tape on the figure", exact=True).click()
    assert page.get_by_label("hip", exact=True).evaluate("e => e === document.activeElement")
    page.get_by_role("img", name="how to measure: Hip").wait_for()
    page.get_by_role("link", name="Print and sew").click()
    page.get_by_role("button", name="Make page 1 on A4").click()
    page.get_by_role("link", name="page-1-a4.pdf").wait_for(timeout=20000)
    page.get_by_label("the square measured across").fill("99")
    page.get_by_role("button", name="Keep what it measured").click()
    data = saved(server, "ana", lambda d: "print" in d)
    assert data["print"]["calibrate_across"] == pytest.approx(100 / 99, abs=1e-4)
    text = server.text("ana")
    for comment in ("# Ana's summer flares", "# against the door", "# leaves on a light"):
        assert comment in text


def test_bad_input_is_said_at_its_field_and_the_draft_stays(
    server: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page(f"{server.address}spec/ana/")
    before = server.text("ana")
    drawn = page.locator("#flat .paths path").first.get_attribute("d")
    page.get_by_label("foot", exact=True).fill("32")  # on its way while the next is typed
    field = page.get_by_label("waist", exact=True)
    field.fill("880")
    field.blur()
    note = page.locator("[data-id='body.waist'] .note")
    page.wait_for_function("() => document.querySelector('#f-body\\\\.waist').ariaInvalid")
    assert "allowed: 45 cm to 220 cm" in note.inner_text()
    assert field.input_value() == "880"
    page.get_by_label("foot", exact=True).fill("")
    saved(server, "ana", lambda d: "foot" not in d["body"])
    assert [x for x in server.text("ana").splitlines() if "#foot" not in x] == [
        x for x in before.splitlines() if "#foot" not in x
    ]
    page.wait_for_function(
        "d => document.querySelector('#flat .paths path').getAttribute('d') === d", arg=drawn
    )
    # Another change does not wipe away what was typed and why it was refused.
    page.get_by_label("height", exact=True).fill("163")
    saved(server, "ana", lambda d: d["body"]["height"] == 163)
    page.get_by_label("height", exact=True).fill("162")
    saved(server, "ana", lambda d: d["body"]["height"] == 162)
    assert field.input_value() == "880"
    assert "allowed" in note.inner_text()
    field.fill("87")
    saved(server, "ana", lambda d: d["body"]["waist"] == 87)
    field.fill("88")
    saved(server, "ana", lambda d: d["body"]["waist"] == 88)


def test_typing_on_while_a_change_is_on_its_way_is_no_conflict(
    server: Any, open_page: Callable[..., Any]
) -> None:
    page = open_page(f"{server.address}spec/ana/")
    page.evaluate(
        """() => { const quick = window.fetch; window.fetch = async (...asked) => {
             await new Promise((done) => setTimeout(done, 400)); return quick(...asked); }; }"""
    )
    field = page.get_by_label("calf", exact=True)
    for typed in ("38", "38.5", "39"):
        field.fill(typed)
        page.wait_for_timeout(330)
    saved(server, "ana", lambda d: d["body"].get("calf") == 39)
    assert page.get_by_role("button", name="Keep mine").count() == 0
    field.fill("")
    saved(server, "ana", lambda d: "calf" not in d["body"])


def test_two_windows_and_an_editor_stay_in_step(server: Any, open_page: Callable[..., Any]) -> None:
    one, other = (open_page(f"{server.address}spec/ana/") for _ in range(2))
    one.get_by_label("hip", exact=True).fill("111")
    other.wait_for_function("() => document.getElementById('f-body.hip').value === '111'")
    path = server.folder / "ana.toml"
    path.write_text(server.text("ana").replace("hip = 111", "hip = 112  # again"), "utf-8")
    for page in (one, other):
        page.wait_for_function("() => document.getElementById('f-body.hip').value === '112'")
    # Both touched the same key: she is asked.
    one.evaluate("() => { window.EventSource = null; }")
    one.route("**/state*", lambda route: route.abort())
    path.write_text(server.text("ana").replace("waist = 88", "waist = 89"), "utf-8")
    time.sleep(0.6)
    one.get_by_label("waist", exact=True).fill("90")
    one.get_by_role("button", name="Keep mine").click()
    data = saved(server, "ana", lambda d: d["body"]["waist"] == 90)
    assert data["body"]["hip"] == 112
    path.write_text(server.text("ana").replace("waist = 90", "waist = 88"), "utf-8")
    one.close()  # asks no more: a complaint of the line cut on purpose cannot come late
    open_page.said.clear()


def test_markup_in_a_file_stays_text(
    serve: Callable[..., Any], open_page: Callable[..., Any]
) -> None:
    evil = "<img src=x onerror=window.hit=1></script><script>window.hit=1</script>"
    server = serve(
        bad=ANA.replace('"Summer flares"', f"'{evil}'").replace('"Ana"', f"'{evil}'"[:60] + "'")
    )
    page = open_page(server.address)
    assert page.get_by_role("link", name="<img src=x").count() == 1
    page.goto(f"{server.address}spec/bad/")
    page.wait_for_selector("html[data-ready]")
    assert page.locator("#title").input_value() == evil
    assert page.evaluate("window.hit") is None


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_it_fits_and_axe_finds_nothing(
    server: Any, open_page: Callable[..., Any], width: int
) -> None:
    """axe-core's rules, an outside judge of whether everybody can use it."""
    axe_playwright = pytest.importorskip("axe_playwright_python.sync_playwright")
    axe = axe_playwright.Axe()
    page = open_page(server.address, width=width)
    _no_violation(axe, page)
    page.goto(f"{server.address}spec/ana/")
    page.wait_for_selector("html[data-ready]")
    for section in ("Herself", "Style", "Cloth", "Trial", "Print and sew"):
        page.get_by_role("link", name=section).click()
        if width == 1440 or section in ("Herself", "Cloth"):
            if section == "Herself":
                page.get_by_role("button", name="how to measure: hip", exact=True).click()
                page.get_by_role("img", name="how to measure: Hip").wait_for()
            if section == "Trial":
                page.get_by_role("button", name="Waist dips on one side").click()
            _no_violation(axe, page)
        wide, window = page.evaluate("[document.documentElement.scrollWidth, innerWidth]")
        assert wide <= window, section


def _no_violation(axe: Any, page: Any) -> None:
    # The policy forbids inline script, so the rules are put in from outside of the page.
    results = axe.run(page)
    assert len(results.response["passes"]) > 5, "the rules were run"
    assert results.violations_count == 0, results.generate_report()


def test_at_twice_the_size(server: Any, open_page: Callable[..., Any]) -> None:
    """200 % zoom is a window of half the size; nothing scrolls sideways (WCAG 1.4.10)."""
    page = open_page(f"{server.address}spec/ana/", width=720, height=450)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_label("hip", exact=True).fill("112")
    assert page.get_by_label("hip", exact=True).is_visible()


def test_another_site_can_neither_read_nor_write(
    server: Any, browser: Any, open_page: Callable[..., Any]
) -> None:
    """A hostile page that even knows the secret, from an origin of its own."""
    before = server.text("ana")
    page = browser.new_page()
    page.route(
        "http://hostile.example/",
        lambda r: r.fulfill(body="<!doctype html><p>hello", content_type="text/html"),
    )
    page.goto("http://hostile.example/")
    read = page.evaluate(
        "async u => { try { const r = await fetch(u); return r.status + await r.text(); }"
        " catch (e) { return 'blocked'; } }",
        server.address + "spec/ana/state",
    )
    assert read == "blocked"
    for kind, mode in (("application/json", "cors"), ("text/plain", "no-cors")):
        page.evaluate(
            """async ([u, kind, mode]) => {
              const body = JSON.stringify({table: 'body', key: 'hip', text: '99'});
              const headers = {'Content-Type': kind};
              try { await fetch(u, {method: 'POST', mode, headers, body}); } catch (e) {}
            }""",
            [server.address + "spec/ana/change", kind, mode],
        )
    page.set_content(
        f'<form method="post" action="{server.address}start"><input name="title" value="x"></form>'
        f'<iframe src="{server.address}"></iframe>'
    )
    page.evaluate("document.forms[0].submit()")
    page.get_by_text("Another site").wait_for()
    assert server.text("ana") == before
    assert sorted(p.name for p in server.folder.glob("*.toml")) == ["ana.toml"]
    page.close()
