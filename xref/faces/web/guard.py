"""What stands before every page: the host asked for, the size sent, the access code, headers."""

from __future__ import annotations

import secrets
from http.cookies import CookieError, SimpleCookie
from typing import Any

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from xref.faces.web.bench import Bench
from xref.faces.web.words import templates

COOKIE = "xref_bench"
OPEN_PATHS = ("/code", "/static/")
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), microphone=(), geolocation=()",
}


class TooLarge(Exception):
    """Raised while a body is read that has more bytes than a request may have."""


class Guard:
    """Middleware that refuses what no page should see, and marks every answer with its policy."""

    def __init__(self, app: ASGIApp, bench: Bench) -> None:
        self.app = app
        self.bench = bench

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through to the pages, or answer it here."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        session = session_of(headers)
        fresh = session is None
        if session is None:
            session = secrets.token_hex(16)
        scope["session"] = session

        async def marked(message: Message) -> None:
            if message["type"] == "http.response.start":
                out = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    out.setdefault(name, value)
                out.setdefault("cache-control", "no-store")
                if fresh:
                    out.append(
                        "set-cookie", f"{COOKIE}={session}; Path=/; HttpOnly; SameSite=Strict"
                    )
            await send(message)

        refusal = self._refusal(scope, headers, session)
        if refusal is not None:
            await refusal(scope, receive, marked)
            return
        taken = 0

        async def limited() -> Message:
            nonlocal taken
            message = await receive()
            taken += len(message.get("body", b""))
            if taken > self.bench.largest:
                raise TooLarge
            return message

        try:
            await self.app(scope, limited, marked)
        except TooLarge:
            await _too_large(self.bench)(scope, receive, marked)

    def _refusal(self, scope: Scope, headers: Headers, session: str) -> Response | None:
        """Return the answer to what may not pass, or None."""
        host = host_name(headers.get("host", ""))
        if host not in self.bench.hosts:
            return refusal(
                "Not this page",
                "This page was asked for by a name that is not its own. Use the address that "
                "`xref serve` printed.",
                400,
            )
        length = headers.get("content-length")
        if length is not None and not _within(length, self.bench.largest):
            return _too_large(self.bench)
        origin = headers.get("origin")
        if scope["method"] not in ("GET", "HEAD") and origin is not None:
            theirs = origin.partition("://")[2]
            if theirs != headers.get("host"):
                return refusal(
                    "Not changed", "This change was sent by another page and was not made.", 403
                )
        path = scope["path"]
        if not path.startswith(OPEN_PATHS) and not self.bench.admitted(session):
            return RedirectResponse("/code", 303)
        return None


def refusal(heading: str, words: str, status: int) -> Response:
    """Return a page for what never reached a page: a sentence, and the way back."""
    page = templates().get_template("refusal.html")
    return HTMLResponse(page.render(heading=heading, words=words), status)


def session_of(headers: Headers) -> str | None:
    """Return the session of a request, None when it has none of ours."""
    try:
        morsel: Any = SimpleCookie(headers.get("cookie", "")).get(COOKIE)
    except CookieError:
        return None
    value = morsel.value if morsel is not None else ""
    known = len(value) == 32 and all(c in "0123456789abcdef" for c in value)
    return value if known else None


def host_name(host: str) -> str:
    """Return the name in a Host header, lower case and without its port."""
    name, _, port = host.rpartition(":")
    return (name if name and port.isdigit() else host).lower()


def _within(length: str, most: int) -> bool:
    return length.isascii() and length.isdigit() and len(length) < 20 and int(length) <= most


def _too_large(bench: Bench) -> Response:
    return refusal(
        "Too large",
        f"That is larger than this page takes ({bench.largest // 1_000_000} MB). Load the file "
        "from the command line: xref load FILE",
        413,
    )
