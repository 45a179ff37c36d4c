"""The box, and what fits."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from xref.errors import Impossible, NeedsAnswer, Refused
from xref.faces.drawings.of_match import pictured, pictured_misses
from xref.faces.web.visit import UNIT_COOKIE, Visit, link, sentence
from xref.kinds.spec import kinds, spec

PLACES = ("shaft", "housing", "depth", "gap", "fillet", "groove_diameter", "groove_width",
          "mating_diameter")  # fmt: skip
SERVICE = ("gland", "motion", "rpm", "medium", "temperature", "pressure_bar", "load", "load_n",
           "life_hours", "rotating", "wear_track")  # fmt: skip
MOST_SHOWN = 50
Row = dict[str, Any]


def box(visit: Visit) -> Response:
    """The first page: the box, and the closing dates, soonest first."""
    from xref.sourcing import suppliers

    known = suppliers.listing(visit.bench.store(), visit.bench.day)["suppliers"]
    closing = [s for s in known if s["closes_on"] and not s["stopped"]]
    lists = len(visit.bench.store().editions())
    return visit.page("box.html", closing=closing, lists=lists, q="", **_fields(visit))


def fits(visit: Visit) -> Response:
    """What the box's text means, and what fits."""
    from xref.acts.ask_box import answer

    problem = None
    try:
        found = answer(
            visit.bench.store(),
            visit.said("q"),
            **beside_the_box(visit),
            top=max(visit.count("top", 10, MOST_SHOWN), 1),
            on=visit.bench.day,
        )
    except (Impossible, NeedsAnswer, Refused) as error:  # said above the box that has the text
        problem = sentence(error)
        found = {"asked": {"text": "", "reading": "refused"}, "match": None, "matches": []}
    if found["asked"]["reading"] == "nothing":
        return visit.go("/")
    open_ = visit.count("open", 0, MOST_SHOWN)
    match = found["match"]
    shown = [] if match is None else pictured(match, visit.unit, open_)
    misses = [] if match is None else pictured_misses(match, visit.unit)
    return visit.page(
        "fits.html",
        200 if problem is None else 422,
        problem=problem,
        q=visit.said("q"),
        sheet=link("/sheet/fit", **_asked(visit)),
        asked=found["asked"],
        match=match,
        matches=found["matches"],
        candidates=shown,
        misses=misses,
        again=lambda name, value: link("/fits", **{**_asked(visit), name: value}),
        reopened=lambda rank: link("", **{**_asked(visit), "open": rank}).lstrip("?"),
        wanted_text=_wanted(found),
        **_fields(visit),
    )


def set_unit(visit: Visit) -> Response:
    """Keep the unit the user thinks in; it changes what is shown, nothing else."""
    back = visit.said("back")
    own = back.startswith("/") and not back.startswith(("//", "/\\"))  # browsers take \ for /
    response = visit.go(back if own else "/")
    unit = "in" if visit.said("unit") == "in" else "mm"
    response.set_cookie(UNIT_COOKIE, unit, samesite="strict", httponly=True, max_age=31_536_000)
    return response


def beside_the_box(visit: Visit) -> Row:
    """Return what the fields beside the box say, as `xref.acts.ask_box.answer` takes it."""
    service: Row = visit.stated(*SERVICE)
    if visit.said("dirt"):
        service["dirt"] = True
    return {
        "kind": visit.said("kind") or None,
        "unit": visit.said("unit") or None,
        "place": visit.stated(*PLACES),
        "uncertainty": visit.said("uncertainty") or None,
        "service": service,
    }


def _asked(visit: Visit) -> Row:
    """Return what this page was asked with."""
    names = ("q", "unit", "kind", *PLACES, *SERVICE, "uncertainty", "dirt", "top")
    return visit.stated(*names)


def _wanted(found: Row) -> str:
    """Return what a want for this is called: its number, else the old part's sizes, if any."""
    asked = found["asked"]
    if asked.get("number"):
        return str(asked["number"])
    return " x ".join(asked.get("part", {}).values())


def _fields(visit: Visit) -> Row:
    """Return what the fields beside the box hold and offer."""
    names = ("kind", *PLACES, "uncertainty", *SERVICE, "dirt")
    return {
        "fields": {name: visit.said(name) for name in names},
        "kinds": [(k, spec(k).title) for k in kinds() if k != "other"],
    }
