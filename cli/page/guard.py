"""Who may talk to the page: only who knows the secret in its address, from the page itself.

Another site open in the same browser can send requests here, but it does not know the secret, its
Origin is its own, and a name of its own that was made to lead to this machine is not the Host that
is served. There is no cookie, which every other server on this machine would be sent too.
"""

from __future__ import annotations

import secrets
from typing import Final
from urllib.parse import unquote

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Everything comes from here and no script or style stands in the page's text.
POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
#: For sheets that the program made, which carry their own style: no script, no forms, no origin.
SHEET_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "frame-ancestors 'none'; sandbox allow-modals allow-popups"
)
#: For PDFs, which a browser shows with a reader of its own that a policy would stop.
PDF_POLICY: Final = "frame-ancestors 'none'"

HEADERS: Final = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "cache-control": "no-store",
}
_READING: Final = ("GET", "HEAD")


def new_secret() -> str:
    """Return a secret that cannot be guessed, fit for an address."""
    return secrets.token_urlsafe(24)


class Guard:
    """Lets only the page's own requests through to an application, and adds the headers."""

    def __init__(self, app: ASGIApp, secret: str, hosts: frozenset[str]) -> None:
        self.app = app
        self.secret = secret
        self.hosts = hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request or refuse it."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        refusal = self._refusal(scope)

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                there = {name.lower() for name, _ in message["headers"]}
                message["headers"] = [
                    *message["headers"],
                    *(
                        (name.encode(), value.encode())
                        for name, value in HEADERS.items()
                        if name.encode() not in there
                    ),
                ]
            await send(message)

        if refusal is not None:
            answer = PlainTextResponse(refusal[1], status_code=refusal[0])
            await answer(scope, receive, with_headers)
            return
        await self.app(scope, receive, with_headers)

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        """Return a status and a sentence for a request that is not answered."""
        headers = {
            name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]
        }
        host = headers.get("host", "")
        if host not in self.hosts:
            return 421, "This is not served under that name."
        first = unquote(str(scope["path"])).lstrip("/").partition("/")[0]
        if not secrets.compare_digest(first.encode(), self.secret.encode()):
            return 403, "Open the page with the whole address that the command printed."
        origin = headers.get("origin")
        if origin is not None and origin != f"http://{host}":
            return 403, "Another site may not use this page."
        site = headers.get("sec-fetch-site", "same-origin")
        reading = scope["method"] in _READING
        if site not in ("same-origin", "none") and not (
            reading and headers.get("sec-fetch-mode") == "navigate"
        ):
            return 403, "Another site may not use this page."
        if not reading and origin is None and "sec-fetch-site" in headers:
            return 403, "Another site may not use this page."
        return None
