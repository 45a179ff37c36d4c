"""The access code, asked where the page is open to the local network."""

from __future__ import annotations

import secrets

from starlette.responses import Response

from xref.faces.web.guard import COOKIE
from xref.faces.web.visit import Visit


def ask(visit: Visit) -> Response:
    """Ask for the code that `xref serve --lan` printed."""
    if visit.bench.admitted(visit.session):
        return visit.go("/")
    return visit.page("code.html", words=None)


def enter(visit: Visit) -> Response:
    """Let a session in whose code is right; say what to do otherwise."""
    fresh = secrets.token_hex(16)  # a session that nobody knew before it was let in
    answer = visit.bench.try_code(fresh, visit.said("code"))
    if answer == "right":
        response = visit.go("/")
        response.set_cookie(COOKIE, fresh, httponly=True, samesite="strict")
        return response
    if answer == "wait":
        return visit.page(
            "code.html",
            429,
            words="Too many wrong codes were tried. Wait five minutes, then try again.",
        )
    return visit.page("code.html", 403, words="That is not the code. It stands where xref runs.")
