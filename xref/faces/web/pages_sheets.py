"""The sheets, served as pages to print."""

from __future__ import annotations

from starlette.responses import HTMLResponse, Response

from xref.errors import NothingFound
from xref.faces.sheets import gather
from xref.faces.sheets.sheets import PAPERS, Paper, style_text
from xref.faces.web.pages_find import beside_the_box
from xref.faces.web.visit import Visit


def style(visit: Visit) -> Response:
    """The style of the sheets for a size of paper."""
    paper = visit.request.path_params["paper"]
    if paper not in PAPERS:
        raise NothingFound(f"There is no paper {paper!r} here: {', '.join(PAPERS)}.")
    return Response(style_text(paper), media_type="text/css")


def fit(visit: Visit) -> Response:
    """The fit sheet of what is asked."""
    asked = beside_the_box(visit)
    return _sheet(gather.fit(visit.bench.store(), paper_of(visit), visit.said("q"), **asked))


def enquiry(visit: Visit) -> Response:
    """The letter of an enquiry."""
    return _sheet(gather.enquiry(visit.bench.store(), paper_of(visit), visit.key("enquiry")))


def wanted(visit: Visit) -> Response:
    """The wanted list for the wall."""
    return _sheet(gather.wanted(visit.bench.store(), paper_of(visit)))


def receiving(visit: Visit) -> Response:
    """The receiving sheet of an order."""
    return _sheet(gather.receiving(visit.bench.store(), paper_of(visit), visit.key("order")))


def assembly(visit: Visit) -> Response:
    """The assembly sheet of a machine."""
    return _sheet(gather.assembly(visit.bench.store(), paper_of(visit), visit.said("machine")))


def shop(visit: Visit) -> Response:
    """The sketch for a shop."""
    return _sheet(gather.shop(visit.bench.store(), paper_of(visit), visit.key("want")))


def make(visit: Visit) -> Response:
    """The sketch of the part that a place of a machine needs made."""
    machine, place = visit.said("machine"), visit.said("place")
    return _sheet(gather.make(visit.bench.store(), paper_of(visit), machine, place))


def paper_of(visit: Visit) -> Paper:
    """Return the paper and the unit that a sheet is asked for in."""
    paper = "Letter" if visit.said("paper").lower() == "letter" else "A4"
    return Paper(visit.bench.day, unit=visit.unit, paper=paper, linked=True)


def _sheet(html: str) -> Response:
    return HTMLResponse(html)
