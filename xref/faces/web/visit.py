"""One request: its fields, its answer, and every failure as a sentence with what to do next."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import quote, urlencode

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.formparsers import MultiPartException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from xref.errors import Impossible, NeedsAnswer, NothingFound, Refused, StoreUnavailable, XrefError
from xref.faces.web.bench import Bench
from xref.faces.web.words import templates

log = logging.getLogger("xref.bench")
MOST_FIELDS, LONGEST_FIELD = 600, 200_000
MOST_RECORDS = 1_000_000_000  # as the records themselves are counted
UNIT_COOKIE = "xref_unit"
_STATUS = {NothingFound: 404, Impossible: 422, NeedsAnswer: 422, Refused: 422}

Page = Callable[["Visit"], Response]


@dataclass
class Visit:
    """What a page is given: the bench, the address and the fields of its form."""

    bench: Bench
    request: Request
    form: dict[str, list[str]] = field(default_factory=dict)
    files: dict[str, UploadFile] = field(default_factory=dict)

    @property
    def session(self) -> str:
        """The session's name, set by the guard."""
        return str(self.request.scope["session"])

    @property
    def unit(self) -> str:
        """The unit the user thinks in; for display only."""
        return "in" if self.request.cookies.get(UNIT_COOKIE) == "in" else "mm"

    def said(self, name: str) -> str:
        """Return a field of the form or the address, stripped; empty when not given."""
        sent = self.form.get(name)
        value = sent[-1] if sent else self.request.query_params.get(name, "")
        return value.strip()

    def stated(self, *names: str) -> dict[str, str]:
        """Return those of these fields that were filled in."""
        return {name: self.said(name) for name in names if self.said(name)}

    def whole(self, name: str, default: int | None = None) -> int:
        """Return a field as a whole number; raises Impossible with a sentence."""
        text = self.said(name)
        if not text and default is not None:
            return default
        number = digits(text)
        if number is None:
            raise Impossible(f"{text[:40]!r} is not a whole number.", at=name)
        return number

    def count(self, name: str, default: int, most: int) -> int:
        """Return a field as a count of things to show, kept between 0 and `most`."""
        number = digits(self.said(name))
        return default if number is None else min(number, most)

    def key(self, name: str) -> int:
        """Return a number that is part of the address; raises NothingFound for an absurd one."""
        number = int(self.request.path_params[name])
        if number > MOST_RECORDS:
            raise NothingFound(f"there is no {name} {number}")
        return number

    def page(self, template: str, status: int = 200, /, **values: Any) -> Response:
        """Return a page from a template."""
        common = {
            "visit": self,
            "unit": self.unit,
            "here": self.request.url.path,
            "token": self.bench.token(self.session),
            "once": secrets.token_urlsafe(9),
            "today": self.bench.day,
            "told": self.bench.told(self.session) if status == 200 else None,
            "retry": None,
            "link": link,
        }
        text = templates().get_template(template).render({**common, **values})
        return HTMLResponse(text, status)

    def go(self, address: str, say: str | None = None) -> Response:
        """Lead to another page, with a sentence on it."""
        if say:
            self.bench.tell(self.session, say)
        return RedirectResponse(address, 303)


def digits(text: str) -> int | None:
    """Return what is written with up to nine figures 0 to 9; None for anything else."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 9 else None


def link(path: str, **query: Any) -> str:
    """Return an address of this page's own, safely quoted."""
    given = {name: value for name, value in query.items() if value not in (None, "")}
    return quote(path) + (f"?{urlencode(given)}" if given else "")


def handler(bench: Bench, page: Page) -> Callable[[Request], Awaitable[Response]]:
    """Return the endpoint of a page: fields parsed, a change checked, failures said."""

    async def endpoint(request: Request) -> Response:
        visit = Visit(bench, request)
        if request.method == "POST":
            try:
                form = await request.form(
                    max_files=1, max_fields=MOST_FIELDS, max_part_size=LONGEST_FIELD
                )
            except MultiPartException as error:
                return visit.page("sorry.html", 400, heading="Not understood", words=str(error))
            async with form_closed(form):
                _fill(visit, form)
                return await run_in_threadpool(_change, visit, page)
        return await run_in_threadpool(_answer, visit, page)

    return endpoint


class form_closed:  # noqa: N801 - a context, written as one
    """Close a form's files when its page is done."""

    def __init__(self, form: FormData) -> None:
        self.form = form

    async def __aenter__(self) -> FormData:
        """Give the form."""
        return self.form

    async def __aexit__(self, *_: object) -> None:
        """Close its files."""
        await self.form.close()


def _fill(visit: Visit, form: FormData) -> None:
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            visit.files[name] = value
        else:
            visit.form.setdefault(name, []).append(value)


def _change(visit: Visit, page: Page) -> Response:
    """Act on a form once, if it is one of this session's own."""
    if not visit.bench.is_token(visit.session, visit.said("token")):
        return visit.page(
            "sorry.html",
            403,
            heading="Not changed",
            words="This form is from before the page was started again, or from elsewhere. "
            "Open the page anew and send it again.",
        )
    once = visit.said("once")
    with visit.bench.acting(once) as led:
        if led is not None:
            return RedirectResponse(led, 303)
        response = _answer(visit, page)
        if once and response.status_code == 303:
            visit.bench.remember(once, response.headers["location"])
    return response


def _answer(visit: Visit, page: Page) -> Response:
    try:
        return page(visit)
    except StoreUnavailable as error:
        if error.code == "store-busy":
            return _busy(visit, error)
        return visit.page(
            "sorry.html", 503, heading="The store cannot be used", words=sentence(error)
        )
    except XrefError as error:
        status = next((code for sort, code in _STATUS.items() if isinstance(error, sort)), 422)
        heading = {404: "Not found"}.get(status, "That cannot be")
        if isinstance(error, NeedsAnswer):
            heading = "One question first"
        return visit.page("sorry.html", status, heading=heading, words=sentence(error))
    except Exception:  # the last fence before the user: never a traceback
        log.exception("unexpected failure at %s", visit.request.url.path)
        return visit.page(
            "sorry.html",
            500,
            heading="This page met something it was not built for",
            words="What was finished before is kept. Start xref serve with --log FILE, do it "
            "again, and send that file to report it.",
        )


def _busy(visit: Visit, error: StoreUnavailable) -> Response:
    """Say that the store is busy, and try again: by itself when only looking, else by a button."""
    retry = None
    if visit.request.method == "POST" and not visit.files:
        retry = [(name, value) for name, values in visit.form.items() for value in values]
    response = visit.page("busy.html", 503, words=str(error), retry=retry)
    response.headers["retry-after"] = "3"
    return response


def sentence(error: XrefError) -> str:
    """Return an error's sentence, with the field or place it is about."""
    text = str(error)
    return f"{text} ({error.at})" if error.at and str(error.at) not in text else text
