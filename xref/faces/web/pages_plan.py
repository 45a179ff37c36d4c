"""The buying plan, with the rates of other currencies typed beside it."""

from __future__ import annotations

import csv
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from starlette.responses import HTMLResponse, Response

from xref.errors import Impossible, NeedsAnswer
from xref.faces.sheets import gather
from xref.faces.web.pages_sheets import paper_of
from xref.faces.web.visit import Visit, sentence

_RATE = re.compile(r"([A-Za-z]{3})\s*[=:,\s]\s*(\d+(?:\.\d+)?)")


def plan(visit: Visit) -> Response:
    """The plan for the open wants; with several currencies, the rates are asked for."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing.plan import plan as act

    store, found, question = visit.bench.store(), None, None
    currencies: list[str] = []
    try:
        with _asked(visit) as asked, store.reading():
            found = act(store, visit.bench.day, find=candidates, **asked)
    except (NeedsAnswer, Impossible) as error:
        currencies = [str(one) for one in getattr(error, "readings", ())]
        question = None if currencies else sentence(error)
    return visit.page(
        "plan.html",
        plan=found,
        question=question,
        currencies=currencies,
        currency=visit.said("currency"),
        rates=_rates(visit),
        work_rate=visit.said("work_rate"),
    )


def sheet(visit: Visit) -> Response:
    """The plan as a sheet to print."""
    with _asked(visit) as asked:
        return HTMLResponse(gather.plan(visit.bench.store(), paper_of(visit), **asked))


@contextmanager
def _asked(visit: Visit) -> Iterator[dict[str, Any]]:
    """Give what the plan is asked with; the rates typed stand in a table while the block runs."""
    currency = visit.said("currency").upper() or None
    text = _rates(visit)
    asked = {"currency": currency, "work_rate": visit.said("work_rate") or None}
    if not text:
        yield asked
        return
    if currency is None:
        raise NeedsAnswer("In which currency is the plan to be? The rates say what buys it.")
    lines = [line.strip() for line in re.split(r"[;\n]", text) if line.strip()]
    rates = []
    for line in lines:
        match = _RATE.fullmatch(line)
        if match is None:
            raise Impossible(
                f"{line!r} is not a currency with its rate, as in EUR 0.86", at="rates"
            )
        rates.append((match[1].upper(), match[2]))
    with tempfile.TemporaryDirectory(prefix="xref-") as folder:
        path = Path(folder) / "rates.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([("currency", "rate"), (currency, "1"), *rates])
        yield {**asked, "rates": path}


def _rates(visit: Visit) -> str:
    """Return the rates as written in one field, or each in its own, as `EUR 0.86; USD 0.74`."""
    own = [
        f"{name.removeprefix('rate_').upper()} {visit.said(name)}"
        for name in visit.request.query_params
        if name.startswith("rate_") and visit.said(name)
    ]
    return visit.said("rates") or "; ".join(own)
