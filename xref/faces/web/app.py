"""The bench page's addresses."""

from __future__ import annotations

from contextlib import asynccontextmanager
from typing import TYPE_CHECKING, Any

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from xref.faces.web import pages_find
from xref.faces.web.bench import Bench
from xref.faces.web.guard import Guard
from xref.faces.web.visit import Page, handler
from xref.faces.web.words import HERE

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

LOOK: dict[str, Page] = {
    "/": pages_find.box,
    "/fits": pages_find.fits,
}
CHANGE: dict[str, Page] = {
    "/unit": pages_find.set_unit,
}


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
    )
