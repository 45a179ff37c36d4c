"""Goods in: the part that came is measured, judged while it is measured, and decided."""

from __future__ import annotations

from typing import Any

from starlette.responses import HTMLResponse, Response

from xref.acts.ask_box import in_unit
from xref.errors import XrefError
from xref.faces.drawings.of_match import picture
from xref.faces.web.visit import Visit, sentence
from xref.faces.web.words import templates
from xref.kinds.spec import spec
from xref.sourcing import orders, receipts, wants

Row = dict[str, Any]


def arrived(visit: Visit) -> Response:
    """The orders that are awaited."""
    store, day = visit.bench.store(), visit.bench.day
    named = {w["want"]: w for w in wants.listing(store, day, everything=True)["wants"]}
    awaited = [
        {**o, "part": named.get(o["want"], {})}
        for o in orders.listing(store)["orders"]
        if not o["cancelled_on"] and o["received"] < o["quantity"]
    ]
    return visit.page("arrived.html", orders=awaited)


def measure(visit: Visit) -> Response:
    """The form for one order, with the decision so far; nothing is recorded.

    With `only=decision` the decision alone comes back, for the script that asks while sizes are
    typed.
    """
    from xref.acts.receive import judge_so_far

    order = visit.key("order")
    store, day = visit.bench.store(), visit.bench.day
    seen = receipts.expected(store, order, None, day)
    kind = seen["want"]["kind"]
    declared = spec(kind) if kind else None
    judged: Row | None = None
    problem = None
    if _named(visit, declared):
        try:
            judged = judge_so_far(store, order, **_measured(visit, declared), on=day)
            judged["checks"] = [
                {**c, "picture": picture(c, f"k{n}", visit.unit)}
                for n, c in enumerate(judged["checks"])
            ]
        except XrefError as error:
            problem = sentence(error)
    if visit.said("only") == "decision":
        text = (
            templates()
            .get_template("decision.html")
            .render(judged=judged, problem=problem, unit=visit.unit)
        )
        return HTMLResponse(text)
    return visit.page(
        "measure.html",
        seen=seen,
        order=order,
        dimensions=declared.dimensions if declared else (),
        places=declared.places if declared else (),
        given={name: visit.said(name) for name in visit.request.query_params},
        judged=judged,
        problem=problem,
    )


def record(visit: Visit) -> Response:
    """Record what came: as judged, or as the user decided."""
    from xref.acts.receive import receive

    order = visit.key("order")
    store, day = visit.bench.store(), visit.bench.day
    kind = receipts.expected(store, order, None, day)["want"]["kind"]
    done = receive(
        store,
        order,
        **_measured(visit, spec(kind) if kind else None),
        quantity=visit.whole("quantity") if visit.said("quantity") else None,
        condition=visit.said("condition") or None,
        decision=visit.said("decision") or None,
        remark=visit.said("remark") or None,
        on=day,
    )
    tests = f" Still to do: {', '.join(done['open_tests'])}." if done["open_tests"] else ""
    return visit.go(
        f"/wanted/{done['want']}",
        f"Receipt {done['receipt']}: {done['decision']} {done['quantity']}.{tests}",
    )


def _named(visit: Visit, declared: Any) -> dict[str, str]:
    """Return the sizes typed, by dimension; a bare figure is in the unit shown."""
    names = [d.name for d in declared.dimensions] if declared else []
    return {n: in_unit(visit.said(n), visit.unit) for n in names if visit.said(n)}


def _measured(visit: Visit, declared: Any) -> Row:
    names = [p.name for p in declared.places] if declared else []
    place = {n: in_unit(visit.said(f"at_{n}"), visit.unit) for n in names if visit.said(f"at_{n}")}
    uncertainty = in_unit(visit.said("uncertainty"), visit.unit)
    return {
        "named": _named(visit, declared),
        "place": place,
        "uncertainty": uncertainty or None,
    }
