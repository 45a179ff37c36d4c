"""The machine taken apart: its places, readings taken one after another, what was decided."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from xref.acts.ask_box import in_unit
from xref.acts.next_reading import DIRECTIONS, PLANES, next_reading
from xref.errors import Impossible, NothingFound
from xref.faces.drawings.of_match import picture
from xref.faces.web.pages_evidence import form
from xref.faces.web.visit import Visit, link
from xref.kinds.spec import kinds, spec
from xref.sourcing import teardown

Row = dict[str, Any]


def machines(visit: Visit) -> Response:
    """The machines, and the form that notes one with an assembly of its parts book."""
    found = teardown.listing(visit.bench.store())["machines"]
    if visit.said("name"):
        return _machine(visit)
    return visit.page("machines.html", machines=found)


def _machine(visit: Visit) -> Response:
    from xref.acts.teardown import show

    machine = show(visit.bench.store(), visit.said("name"))
    return visit.page("machine.html", machine=machine, kinds=[(k, spec(k).title) for k in kinds()])


def add_assembly(visit: Visit) -> Response:
    """Note an assembly: one place for each of its lines in the parts book."""
    machine = visit.said("machine")
    done = teardown.add_assembly(
        visit.bench.store(),
        machine,
        visit.said("assembly"),
        visit.whole("times", 1),
        visit.said("serial") or None,
    )
    words = f"{len(done['places'])} places of {done['assembly']} are noted."
    return visit.go(link("/machines", name=done["machine"]), words)


def place(visit: Visit) -> Response:
    """One place: the next reading to take, what was read so far, what was seen and decided."""
    from xref.acts.shop_sketch import MADE
    from xref.acts.teardown import show

    machine = show(visit.bench.store(), visit.said("machine"))
    found = next((p for p in machine["places"] if str(p["place"]) == visit.said("place")), None)
    if found is None:
        raise NothingFound(f"{machine['machine']} has no place {visit.said('place')!r}.")
    found["checks"] = [
        {**check, "picture": picture(check, f"k{n}", visit.unit)}
        for n, check in enumerate(found["checks"])
    ]
    declared = spec(found["kind"]).places if found["kind"] else ()
    return visit.page(
        "place.html",
        machine=machine["machine"],
        place=found,
        titles={p.name: p.title for p in declared},
        planes=PLANES,
        directions=DIRECTIONS,
        following=next_reading(found),
        made=MADE,
        seen=form(visit.bench.store(), found["number"], found["kind"], machine["machine"]),
        used_uncertainty=visit.said("uncertainty"),
    )


def take_reading(visit: Visit) -> Response:
    """Note one reading and lead to the next."""
    dimension = visit.said("dimension")
    plane, direction = visit.said("plane"), visit.said("direction")
    if any(c in dimension + plane + direction for c in ",=@"):
        raise Impossible("a plane and a direction are words without , = or @", at="plane")
    where = f"@{plane},{direction}" if plane and direction else f"@{plane}" if plane else ""
    size = in_unit(visit.said("size"), visit.unit)
    uncertainty = in_unit(visit.said("uncertainty"), visit.unit)
    done = teardown.add_place(
        visit.bench.store(),
        visit.said("machine"),
        visit.said("place"),
        readings=[f"{dimension}{where}={size}"],
        uncertainty=uncertainty or None,
        on=visit.bench.day,
    )
    back = link(
        "/machines/place",
        machine=done["machine"],
        place=done["place"],
        uncertainty=visit.said("uncertainty"),
    )
    return visit.go(back, f"Noted: {dimension.replace('_', ' ')} {plane} {direction}: {size}")


def decide(visit: Visit) -> Response:
    """Note what was seen at a place, what the manual says, and the decision."""
    names = ("lip", "torque", "torque_end", "page")
    done = teardown.add_place(
        visit.bench.store(),
        visit.said("machine"),
        visit.said("place"),
        kind=visit.said("kind") or None,
        number=visit.said("number") or None,
        score=visit.said("score") or None,
        note=visit.said("note") or None,
        photograph=visit.said("photograph") or None,
        instructions={name: visit.said(name) or None for name in names},
        decision=visit.said("decision") or None,
        reason=visit.said("reason") or None,
        by=visit.said("by") or None,
        on=visit.bench.day,
    )
    if done["want"] and done["decision"] == "replace":
        words = f"{done['name']}: to be replaced, want {done['want']}."
    else:
        words = " ".join([f"{done['name']} is noted.", *done["notes"]])
    return visit.go(link("/machines/place", machine=done["machine"], place=done["place"]), words)
