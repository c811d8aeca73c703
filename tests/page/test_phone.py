"""A phone at the machine: in with the code, out after wrong ones, and only list and steps."""

from __future__ import annotations

import asyncio
import http.client
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from outseam.cli.page import out
from outseam.cli.page.desk import Desk
from outseam.cli.page.folder import Folder
from outseam.cli.page.phone import Phone
from outseam.cli.page.room import templates
from page.conftest import ANA

Ask = Callable[..., tuple[int, str, str]]


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    (tmp_path / "ana.toml").write_text(ANA, encoding="utf-8")
    return Desk(folder=Folder(root=tmp_path.resolve()), name="ana")


def at_the_door(desk: Desk, visit: Callable[[Phone, Ask], None]) -> None:
    """Run a visit while the phone's server listens on this machine."""

    async def run() -> None:
        phone = Phone(desk=desk, shown="cm", pages=templates(), bind="127.0.0.1")
        await phone.start()
        host = phone.address.removeprefix("http://").rstrip("/")

        def ask(path: str, body: str = "", name: str = host) -> tuple[int, str, str]:
            line = http.client.HTTPConnection(host, timeout=20)
            try:
                headers = {"Host": name}
                if body:
                    headers["Content-Type"] = "application/x-www-form-urlencoded"
                line.request("POST" if body else "GET", path, body or None, headers)
                answer = line.getresponse()
                return answer.status, answer.getheader("location") or "", answer.read().decode()
            finally:
                line.close()

        try:
            await asyncio.get_running_loop().run_in_executor(None, visit, phone, ask)
        finally:
            await phone.stop()

    # In a thread of its own: a browser's tests leave a loop running in this one.
    with ThreadPoolExecutor(1) as own:
        own.submit(lambda: asyncio.run(run())).result()


def test_in_with_the_code_to_tick_off_steps(desk: Desk) -> None:
    def visit(phone: Phone, ask: Ask) -> None:
        assert ask("/")[0] == 200
        assert ask("/", name="evil.example")[0] == 421
        assert ask("/spec/ana/")[0] == 403
        assert "Sewing steps" not in ask("/code", "code=12")[2]
        status, inside, _ = ask("/code", f"code={phone.code}")
        assert (status, inside) == (303, f"/{phone.secret}/")
        steps = out.sewing(desk, "cm")
        assert steps[0].title in ask(inside)[2]
        assert ask(f"{inside}tick", f"key={steps[0].key}&done=1")[0] == 303
        assert [s.ticked for s in out.sewing(desk, "cm")][:2] == [True, False]
        assert ask(f"{inside}spec/ana/change", "x=1")[0] == 404

    at_the_door(desk, visit)


def let_in(phone: Phone, ask: Ask) -> bool:
    try:
        return ask("/code", f"code={phone.code}")[0] == 303
    except OSError:  # the server is gone already
        return False


def test_gone_after_wrong_codes(desk: Desk) -> None:
    def visit(phone: Phone, ask: Ask) -> None:
        wrong = "000000" if phone.code != "000000" else "000001"
        for _ in range(5):
            assert ask("/code", f"code={wrong}")[0] == 403
        assert not let_in(phone, ask), "not even with the right code any more"
        assert phone.wrong >= 5

    at_the_door(desk, visit)
