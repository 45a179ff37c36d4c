"""The bench page's addresses."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.convertors import Convertor, register_url_convertor
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from xref.faces.web import (
    pages_arrived,
    pages_code,
    pages_evidence,
    pages_find,
    pages_lists,
    pages_machine,
    pages_plan,
    pages_sheets,
    pages_wanted,
)
from xref.faces.web.bench import Bench
from xref.faces.web.guard import Guard, refusal
from xref.faces.web.visit import Page, handler
from xref.faces.web.words import HERE

if TYPE_CHECKING:
    from collections.abc import AsyncIterator


class _Key(Convertor[int]):
    """A number of the store's records; a longer row of figures is no address of the page."""

    regex = "[0-9]{1,18}"

    def convert(self, value: str) -> int:
        return int(value)

    def to_string(self, value: int) -> str:
        return str(value)


register_url_convertor("key", _Key())

LOOK: dict[str, Page] = {
    "/": pages_find.box,
    "/fits": pages_find.fits,
    "/wanted": pages_wanted.wanted,
    "/wanted/{want:key}": pages_wanted.show,
    "/today": pages_wanted.today,
    "/plan": pages_plan.plan,
    "/letters/{enquiry:key}": pages_wanted.letter,
    "/machines": pages_machine.machines,
    "/machines/place": pages_machine.place,
    "/lists": pages_lists.lists,
    "/lists/file/{key}": pages_lists.preview,
    "/lists/load/{job}": pages_lists.job,
    "/arrived": pages_arrived.arrived,
    "/arrived/{order:key}": pages_arrived.measure,
    "/sheet/{paper}.css": pages_sheets.style,
    "/sheet/fit": pages_sheets.fit,
    "/sheet/enquiry/{enquiry:key}": pages_sheets.enquiry,
    "/sheet/wanted": pages_sheets.wanted,
    "/sheet/plan": pages_plan.sheet,
    "/sheet/receiving/{order:key}": pages_sheets.receiving,
    "/sheet/assembly": pages_sheets.assembly,
    "/sheet/shop/{want:key}": pages_sheets.shop,
    "/sheet/make": pages_sheets.make,
    "/code": pages_code.ask,
}
CHANGE: dict[str, Page] = {
    "/unit": pages_find.set_unit,
    "/wanted": pages_wanted.add,
    "/wanted/{want:key}/offer": pages_wanted.note_offer,
    "/wanted/{want:key}/gone": pages_wanted.fall_away,
    "/wanted/{want:key}/close": pages_wanted.close,
    "/wanted/{want:key}/prove": pages_wanted.prove,
    "/evidence": pages_evidence.note,
    "/evidence/{evidence:key}/withdraw": pages_evidence.withdraw,
    "/orders": pages_wanted.place_order,
    "/letters": pages_wanted.write_letter,
    "/letters/{enquiry:key}/sent": pages_wanted.sent,
    "/letters/{enquiry:key}/answer": pages_wanted.answered,
    "/suppliers": pages_wanted.add_supplier,
    "/machines": pages_machine.add_assembly,
    "/machines/place": pages_machine.decide,
    "/machines/reading": pages_machine.take_reading,
    "/lists": pages_lists.send,
    "/lists/file/{key}/load": pages_lists.load,
    "/lists/file/{key}/mend": pages_lists.mend,
    "/arrived/{order:key}": pages_arrived.record,
    "/code": pages_code.enter,
}


async def _no_page(request: Request, error: Exception) -> Response:
    """Say that an address is none of the page's, or that it is not looked at but sent to."""
    status = getattr(error, "status_code", 404)
    if status == 404:
        return refusal("Not found", f"There is no page {request.url.path} here.", 404)
    if status == 405:
        words = "This address takes a form; it is no page to look at."
        return refusal("Not a page", words, 405)
    return refusal("Not understood", str(getattr(error, "detail", error)), status)


def application(bench: Bench) -> Starlette:
    """Return the bench page as an ASGI application."""
    routes: list[BaseRoute] = [
        Route(path, handler(bench, page), methods=["GET"]) for path, page in LOOK.items()
    ]
    routes += [Route(path, handler(bench, page), methods=["POST"]) for path, page in CHANGE.items()]
    routes.append(Mount("/static", StaticFiles(directory=HERE / "static")))

    @asynccontextmanager
    async def lifespan(_app: Any) -> AsyncIterator[None]:
        yield
        bench.close()

    return Starlette(
        routes=routes,
        middleware=[Middleware(GZipMiddleware, minimum_size=1000), Middleware(Guard, bench=bench)],
        lifespan=lifespan,
        exception_handlers={404: _no_page, 405: _no_page, 400: _no_page},
    )
