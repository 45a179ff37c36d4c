"""The teardown record: a machine, its assemblies, and at each place what was measured.

The engine says what is within limits (`xref.acts`); the user decides reuse, repair, make or
replace, and "replace" makes the want.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NothingFound
from xref.kinds.spec import known_kind, spec
from xref.matching.variants import excludes, variant
from xref.matching.variants import machine as machine_of
from xref.store.number_key import number_key

from . import lookup, wants
from .dates import day
from .reading_text import written_reading
from .wanted_part import WantedPart

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

Row = dict[str, Any]
DECISIONS = ("reuse", "repair", "make", "replace")
# What the manual says about a place, in the order of the assembly sheet.
INSTRUCTIONS = ("lip", "torque", "torque_end", "page", "manual")


def instructions_of(place: Row | None) -> Row:
    """Return what the manual says about a place, for the assembly sheet."""
    said = (place or {}).get("instructions") or {}
    return {name: said[name] for name in INSTRUCTIONS if said.get(name)}


def component_lines(
    store: Store,
    number: str,
    times: int = 1,
    serial: str | None = None,
    _above: tuple[str, ...] = (),
) -> list[Row]:
    """Return an assembly's lines in the parts books, `quantity` multiplied by `times`.

    A line that is itself an assembly is replaced by its own lines. Forms that a serial number
    excludes are left out, and so is a line that only supersedes another one of the assembly:
    the machine has one of the two at that place.
    """
    form = machine_of(serial) if serial else None
    lines = [
        line
        for line in store.items_by_assembly(number)
        if not (form and line["variant"] and excludes(form, variant(line["variant"])))
    ]
    later = {
        number_key(n)
        for line in lines
        for n in line["replacements"] or []
        if line["number_key"] != number_key(n)
    }
    result: list[Row] = []
    for line in lines:
        if line["number_key"] in later:
            continue
        count = int(line["quantity"] or 1) * times
        above = (*_above, number_key(number))
        inner = (
            []
            if line["number_key"] in above
            else component_lines(store, line["number"], count, serial, above)
        )
        result += inner or [{**line, "quantity": count}]
    return result


def add_assembly(
    store: Store, machine: str, number: str, times: int = 1, serial: str | None = None
) -> Row:
    """Note an assembly and one place for each of its lines in the parts book.

    Lines are the rows of the originals lists whose `assembly` is this number; their quantity is
    multiplied by `times`, the number of such assemblies in the machine. Raises NothingFound
    when no list has lines for it, Impossible when the machine already has the assembly.
    """
    lookup.whole(times, "number of assemblies")
    lines = component_lines(store, number, times, serial)
    if not lines:
        raise NothingFound(
            f"no parts book loaded has lines for the assembly {number}; its places can be noted "
            "one by one with --place",
            at="assembly",
            code="unknown-assembly",
        )
    with store.writing("note an assembly") as state:
        key, name = _machine(state, machine)
        same = number_key(number)
        for row in state.rows("SELECT number FROM assemblies WHERE machine = ?", [key]):
            if number_key(row["number"]) == same:
                raise Impossible(f"{name} already has the assembly {number}", at="assembly")
        assembly = state.next_id("assemblies")
        state.record(
            "assembly noted",
            "assemblies",
            assembly,
            {"machine": key, "number": number, "count": times, "source": lines[0]["list"]},
        )
        places = []
        for line in lines:
            place = state.next_id("places")
            quantity = line["quantity"]
            title = line["location"] or line["description"] or line["number"]
            said = {"page": str((line.get("extra") or {}).get("Book page") or "")}
            state.record(
                "place noted",
                "places",
                place,
                {
                    "machine": key,
                    "assembly": assembly,
                    "name": title,
                    "kind": line["kind"],
                    "number": line["number"],
                    "quantity": quantity,
                    "instructions": {k: v for k, v in said.items() if v} or None,
                },
            )
            places.append(
                {
                    "place": place,
                    "name": title,
                    "number": line["number"],
                    "kind": line["kind"],
                    "quantity": quantity,
                    "variant": line["variant"],
                }
            )
    return {"machine": name, "assembly": number, "times": times, "places": places}


def add_place(
    store: Store,
    machine: str,
    place: str,
    *,
    kind: str | None = None,
    number: str | None = None,
    quantity: int | None = None,
    readings: Sequence[str] = (),
    instrument: str | None = None,
    uncertainty: str | None = None,
    score: str | None = None,
    note: str | None = None,
    photograph: str | None = None,
    instructions: Mapping[str, str | None] | None = None,
    decision: str | None = None,
    reason: str | None = None,
    by: str | None = None,
    priority: int = 2,
    on: date,
) -> Row:
    """Note a place, or more about one: readings, score, what the manual says, the decision.

    `readings`: `DIMENSION[@PLANE[,DIRECTION]]=SIZE` with the kind's places as dimensions, as
    in `shaft@1,x=59.93mm`. The decision `replace` makes a want of the place's number.
    Raises Impossible or NeedsAnswer for what cannot be; then nothing is noted.
    """
    if decision is not None and decision not in DECISIONS:
        raise Impossible(
            f"the decision {decision!r} is not one of: {', '.join(DECISIONS)}", at="decision"
        )
    if kind is not None:
        known_kind(kind)
    lookup.whole(quantity, "quantity")
    needed = day(by, "needed-by date")
    lookup.printable(place, "place")
    lookup.printable(number, "number")
    book = store.items_by_number(place, tables=("originals",)) if not number else []
    if number and kind is None:
        found = {i["kind"] for i in store.items_by_number(number, tables=("originals",))}
        kind = found.pop() if len(found) == 1 else None
    with store.writing("note a place") as state:
        key, name = _machine(state, machine)
        row = _place(state, key, place)
        row_id = row["place"] if row else state.next_id("places")
        name_of_place = " ".join(place.split())
        if row is None and book:  # the place was named by its part's number
            number, kind = book[0]["number"], kind or book[0]["kind"]
            name_of_place = book[0]["location"] or book[0]["description"] or name_of_place
        kind = kind or (row or {}).get("kind")
        taken = [written_reading(t, kind, instrument, uncertainty) for t in readings]
        said = {
            **((row or {}).get("instructions") or {}),
            **{k: v for k, v in (instructions or {}).items() if v},
        }
        given = {
            "name": None if row else name_of_place,
            "machine": None if row else key,
            "kind": kind,
            "number": number,
            "score": score,
            "note": note,
            "quantity": quantity or (None if row else 1),
            "photograph": photograph,
            "instructions": said or None,
            "decision": decision,
            "reason": reason,
        }
        values = {k: v for k, v in given.items() if v is not None}
        state.record("place noted", "places", row_id, values)
        for r in taken:
            state.record(
                "reading taken",
                "readings",
                state.next_id("readings"),
                {**r, "place": row_id, "read_on": on},
            )
        after = {**(row or {}), **values}
        want = _want_for(state, row_id, after, decision, needed, priority, on)
        notes = _no_longer_replaced(state, want, decision)
    return {
        "machine": name,
        "place": row_id,
        "name": after["name"],
        "readings": len(taken),
        "decision": after.get("decision"),
        "want": want,
        "notes": notes,
    }


def _no_longer_replaced(state: State, want: int | None, decision: str | None) -> list[str]:
    """Say that a want stays open when its place is no longer to be replaced."""
    if want is None or decision in (None, "replace"):
        return []
    if lookup.record(state, "wants", want)["closed_as"]:
        return []
    end = {"reuse": "reused", "make": "made", "repair": "modified"}[str(decision)]
    return [
        f"want {want} for this place is still open; if it is not wanted any more: "
        f"`xref want close {want} --as {end} --reason TEXT`"
    ]


def _want_for(
    state: State,
    place: int,
    row: Row,
    decision: str | None,
    by: date | None,
    priority: int,
    on: date,
) -> int | None:
    """Make the want of a place that is to be replaced; an open one is not doubled."""
    if decision != "replace":
        return row.get("want")
    if row.get("want"):
        before = lookup.record(state, "wants", row["want"])
        if not before["closed_as"]:
            if by is not None and by != before["needed_by"]:
                state.record("needed-by day changed", "wants", row["want"], {"needed_by": by})
            return int(row["want"])
    if not row.get("number") and not row.get("kind"):
        raise Impossible(
            f"the place {row['name']!r} has neither number nor kind, so it cannot be said what "
            "to look for: give --number or --kind",
            at="place",
        )
    want = _open_want_of(state, row)
    if want is not None:
        state.record("want belongs to a place", "wants", want, {"place_id": place})
    else:
        want = wants.record(
            state,
            WantedPart(row.get("number"), row.get("kind")),
            quantity=int(row.get("quantity") or 1),
            on=on,
            place=row["name"],
            place_id=place,
            priority=priority,
            needed_by=by,
        )
    state.record("place is to be replaced", "places", place, {"want": want})
    return want


def _open_want_of(state: State, row: Row) -> int | None:
    """Return the open want already noted for the same number at the same place, if any."""
    if not row.get("number"):
        return None
    for want in state.rows(
        "SELECT * FROM wants WHERE number_key = ? AND closed_as IS NULL AND place_id IS NULL",
        [number_key(row["number"])],
    ):
        if lookup.supplier_key(want["place"] or "") == lookup.supplier_key(row["name"]):
            return int(want["want"])
    return None


def _machine(state: State, name: str) -> tuple[str, str]:
    """Return key and name of a machine, noting it when it is new."""
    key = lookup.supplier_key(name)
    if not key:
        raise Impossible("a machine needs a name", at="machine")
    lookup.printable(name, "machine")
    row = state.one("SELECT name FROM machines WHERE machine = ?", [key])
    if row:
        return key, str(row["name"])
    plain = " ".join(name.split())
    state.record("machine noted", "machines", key, {"name": plain})
    return key, plain


def _place(state: State, machine: str, name: str) -> Row | None:
    """Return the machine's place of that name, id or number, or None."""
    rows = state.rows("SELECT * FROM places WHERE machine = ? ORDER BY place", [machine])
    return called(rows, name)


def called(rows: Sequence[Row], name: str) -> Row | None:
    """Return the place of that name, id or number among a machine's, or None."""
    same = [r for r in rows if lookup.supplier_key(r["name"]) == lookup.supplier_key(name)]
    if len(same) > 1:
        raise Impossible(
            f"there are {len(same)} places called {name!r}: name one by its number ("
            + ", ".join(f"{r['place']} for {r['number']}" for r in same)
            + ")",
            at="place",
        )
    if same:
        return same[0]
    by_id = [r for r in rows if str(r["place"]) == name.strip()]
    by_number = [r for r in rows if r["number"] and number_key(r["number"]) == number_key(name)]
    found = by_id or by_number
    return found[0] if len(found) == 1 else None


def listing(store: Store) -> Row:
    """Return the machines with how many places are noted, measured and decided."""
    with store.reading() as state:
        rows = state.rows(
            "SELECT m.name AS machine, count(p.place) AS places,"
            " count(p.decision) AS decided, count(DISTINCT r.place) AS measured"
            " FROM machines m LEFT JOIN places p USING (machine)"
            " LEFT JOIN (SELECT DISTINCT place FROM readings) r USING (place)"
            " GROUP BY m.name ORDER BY m.name"
        )
    return {"machines": rows}


def places(store: Store, machine: str) -> tuple[str, list[Row]]:
    """Return the machine's name and its places, each with its readings."""
    with store.reading() as state:
        key = lookup.supplier_key(machine)
        row = state.one("SELECT name FROM machines WHERE machine = ?", [key])
        if row is None:
            known = ", ".join(r["name"] for r in state.rows("SELECT name FROM machines"))
            raise NothingFound(
                f"no machine {machine!r} is noted; known: {known or 'none'}",
                at="machine",
                code="unknown-machine",
            )
        found = state.rows(
            "SELECT p.*, a.number AS assembly_number FROM places p"
            " LEFT JOIN assemblies a USING (assembly)"
            " WHERE p.machine = ? ORDER BY place",
            [key],
        )
        taken = state.rows(
            "SELECT r.* FROM readings r JOIN places p USING (place)"
            " WHERE p.machine = ? ORDER BY reading",
            [key],
        )
    for place in found:
        place["readings"] = [r for r in taken if r["place"] == place["place"]]
        place["titles"] = (
            {p.name: p.title for p in spec(place["kind"]).places} if place["kind"] else {}
        )
    return str(row["name"]), found
