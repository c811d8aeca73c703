"""Who is let in: the address with its secret, from the page itself, and nothing else."""

from __future__ import annotations

import http.client
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from outseam.cli.page.serve import LOOPBACK, _door, listen
from page.conftest import ANA, Server


@dataclass
class Answer:
    status_code: int
    headers: dict[str, str]
    text: str


class Client:
    """Sends exactly what it is told, as no browser would."""

    def __init__(self, server: Server) -> None:
        self.host, self.secret = server.origin.removeprefix("http://"), server.secret

    def send(self, method: str, path: str, body: str = "", **headers: str) -> Answer:
        line = http.client.HTTPConnection(self.host, timeout=20)
        try:
            line.putrequest(method, path, skip_host=True)
            there = {"Host": self.host, **headers}
            if body:
                there |= {"Content-Type": "application/json", "Content-Length": str(len(body))}
            for name, value in there.items():
                line.putheader(name.replace("_", "-"), value)
            line.endheaders(body.encode() or None)
            answer = line.getresponse()
            found = {k.lower(): v for k, v in answer.getheaders()}
            return Answer(answer.status, found, answer.read().decode())
        finally:
            line.close()


@pytest.fixture(scope="module")
def client(serve: Callable[..., Server]) -> Client:
    server = serve(ana=ANA)
    (server.folder / "ana").mkdir()
    (server.folder / "ana" / "page.pdf").write_bytes(b"%PDF-1.7")
    (server.folder / "ana" / "note.html").write_text("<script>hit()</script>", encoding="utf-8")
    return Client(server)


def page(client: Client, path: str, **headers: str) -> Answer:
    return client.send("GET", f"/{client.secret}{path}", **headers)


def post(client: Client, data: Any = None, **headers: str) -> Answer:
    body = json.dumps(data or {"table": "body", "key": "hip", "text": "111"})
    return client.send("POST", f"/{client.secret}/spec/ana/change", body, **headers)


def test_the_page_itself_is_let_in(client: Client) -> None:
    assert page(client, "/").status_code == 200
    own = {"Origin": f"http://{client.host}", "Sec-Fetch-Site": "same-origin"}
    assert post(client, **own).status_code == 200
    # Opened from the file that the browser is started with, or by hand.
    opened = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}
    assert page(client, "/", **opened).status_code == 200


@pytest.mark.parametrize(
    "path", ["/", "/wrong/", "//", "/{}x/", "/x{}/spec/ana/", "/static/page.css"]
)
def test_without_the_secret_nothing(client: Client, path: str) -> None:
    assert client.send("GET", path.format(client.secret)).status_code == 403


@pytest.mark.parametrize("host", ["evil.example", "evil.example:80", "127.0.0.1", "127.0.0.1:1"])
def test_under_another_name_nothing(client: Client, host: str) -> None:
    """A name of another site that was made to lead to this machine."""
    assert page(client, "/", Host=host).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Origin": "https://127.0.0.1"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"},
    ],
)
def test_another_site_writes_nothing(client: Client, headers: dict[str, str]) -> None:
    assert post(client, **headers).status_code == 403


def test_another_site_reads_nothing(client: Client) -> None:
    for headers in ({"Origin": "http://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
        assert page(client, "/spec/ana/state", **headers).status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "/spec/..%2f..%2fetc%2fpasswd/",
        "/spec/%2e%2e/",
        "/spec/nobody/",
        "/spec/ana/made/..%2fana.toml",
        "/spec/ana/made/%2e%2e",
        "/spec/ana/made/nothing.pdf",
        "/spec/ana/kept/1",
        "/static/..%2f..%2fserve.py",
        "/static/%2e%2e/serve.py",
        "/how-to/nobody",
        "/picture/..%2fx.svg",
        "/sign/nothing.svg",
    ],
)
def test_nothing_that_is_not_there(client: Client, path: str) -> None:
    assert page(client, path).status_code == 404


@pytest.mark.parametrize(
    "data",
    [
        {},
        {"table": "body", "key": "nobody", "text": "1"},
        {"table": "body", "key": "hip"},
        {"table": "body", "key": "hip", "text": {"a": 1}},
        {"table": "", "key": "units", "text": "mm"},
        {"table": "print", "key": ["a"], "text": "1"},
    ],
)
def test_a_request_that_the_page_never_makes(client: Client, data: dict[str, Any]) -> None:
    assert post(client, data or {"x": 1}).status_code == 400


def test_a_request_that_is_far_too_long(client: Client) -> None:
    assert post(client, {"text": "x" * 99_999}).status_code == 400


def test_the_headers_forbid_script_in_the_text_and_everything_from_elsewhere(
    client: Client,
) -> None:
    answer = page(client, "/spec/ana/")
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert answer.headers["x-frame-options"] == "DENY"
    assert answer.headers["cache-control"] == "no-store"
    assert "set-cookie" not in answer.headers
    scripts = answer.text.split("<script")[1:]
    assert all("src=" in s.split(">")[0] or "application/json" in s.split(">")[0] for s in scripts)
    assert " style=" not in answer.text
    assert " onclick=" not in answer.text
    assert "http" not in answer.text.replace("http://www.w3.org/", "")
    made = page(client, "/spec/ana/made/note.html")
    assert made.status_code == 200
    assert "sandbox" in made.headers["content-security-policy"]
    assert page(client, "/spec/ana/made/page.pdf").headers["content-type"] == "application/pdf"
    assert "script-src" not in made.headers["content-security-policy"]


def test_this_machine_alone_and_a_door_for_her_alone() -> None:
    sock = listen(None)
    try:
        assert sock.getsockname()[0] == LOOPBACK
    finally:
        sock.close()
    with _door("http://127.0.0.1:1/secret/") as door:
        assert door.stat().st_mode & 0o077 == 0
        assert "secret" in door.read_text("utf-8")
    assert not Path(door).exists()
