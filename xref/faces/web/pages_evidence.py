"""What the machine itself shows against the book: noted and taken back, on a want and a place."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from xref.acts.ask_box import in_unit
from xref.faces.web.visit import Visit, link
from xref.kinds.spec import known_kind, spec
from xref.matching.experience import experience
from xref.sourcing import evidence, teardown
from xref.store import Store
from xref.store.number_key import number_key

Row = dict[str, Any]


def form(store: Store, number: str | None, kind: str | None, machine: str | None = None) -> Row:
    """Return what the form of a page shows: what is noted of the number, the sizes of its kind.

    `machine`: the one the page is about; without, all that are noted can be chosen.
    """
    noted = experience(store).about([number_key(number or "")])
    known = [] if machine else [m["machine"] for m in teardown.listing(store)["machines"]]
    return {
        "noted": [one.document() for one in noted if machine is None or one.is_on(machine)],
        "dimensions": spec(kind).dimensions if kind else (),
        "machines": known,
    }


def note(visit: Visit) -> Response:
    """Note what the part fitted shows where the book gives its number."""
    kind = visit.said("kind") or None
    names = [one.name for one in spec(known_kind(kind)).dimensions] if kind else []
    texts = {name: visit.said(name) or None for name in ("machine", "serial", "place")}
    texts |= {name: visit.said(name) or None for name in ("bears", "maker", "form", "remark")}
    done = evidence.add(
        visit.bench.store(),
        visit.said("number"),
        kind=kind,
        sizes={n: in_unit(visit.said(n), visit.unit) for n in names if visit.said(n)},
        on=visit.bench.day,
        **texts,
    )
    return visit.go(_back(visit), " ".join([f"Noted: {done['says']}.", *done["notes"]]))


def withdraw(visit: Visit) -> Response:
    """Take back what was noted by mistake; the record of it stays."""
    number, reason = visit.key("evidence"), visit.said("reason")
    evidence.withdraw(visit.bench.store(), number, reason, visit.bench.day)
    return visit.go(_back(visit), f"Evidence {number} is taken back: {reason}")


def _back(visit: Visit) -> str:
    """Return the page that the form stands on: of a want, or of a machine's place."""
    if visit.said("want"):
        return f"/wanted/{visit.whole('want')}"
    return link("/machines/place", machine=visit.said("machine"), place=visit.said("spot"))
