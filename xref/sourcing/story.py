"""The whole story of a want, in the order in which it happened."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

from . import lookup, wants
from .money import minor

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

Row = dict[str, Any]


def show(store: Store, want: int, on: date) -> Row:
    """Return a want, everything that happened to it in order, and what is still to do."""
    with store.reading() as state:
        lookup.record(state, "wants", want)
        row = wants.rows(state, on, want)[0]
        names = {k: r["name"] for k, r in lookup.suppliers(state).items()}
        place = state.one("SELECT * FROM places WHERE place = ?", [row["place_id"]])
        events = _events(state, want, row["place_id"])
        offers = state.rows(
            "SELECT f.*, (until IS NULL OR until >= CAST(? AS DATE))"
            " AND (quantity IS NULL OR quantity > coalesce(taken, 0)) AS stands"
            " FROM offers f LEFT JOIN (SELECT offer, sum(quantity) AS taken FROM orders"
            " WHERE cancelled_on IS NULL GROUP BY offer) USING (offer)"
            " WHERE want = ? ORDER BY offer",
            [on, want],
        )
        tests = state.rows(
            "SELECT part_test, name, done_on, result FROM part_tests WHERE want = ?"
            " ORDER BY part_test",
            [want],
        )
    contents = [json.loads(event["content"]) for event in events]
    # What names no day happened with what came before it; the first, with what came after.
    day = next((named for values in contents if (named := _day(values))), on)
    test_names = {str(t["part_test"]): t["name"] for t in tests}
    told = []
    for event, values in zip(events, contents, strict=True):
        day = _day(values) or day
        if event["in_table"] == "part_tests":
            values = {"name": test_names.get(event["key"]), **values}
        told.append(
            {"on": day.isoformat(), "what": event["act"], "text": _text(event, values, names)}
        )
    return {
        **wants.document(row),
        "story": told,
        "offers": [
            {
                "offer": o["offer"],
                "supplier": names.get(o["supplier"], o["supplier"]),
                "price": lookup.cents(o["price"]),
                "currency": o["currency"],
                "quantity": o["quantity"],
                "until": lookup.iso(o["until"]),
                "stands": o["stands"],
            }
            for o in offers
            if not o["withdrawn_on"]
        ],
        "tests": [
            {"test": t["name"], "done_on": lookup.iso(t["done_on"]), "result": t["result"]}
            for t in tests
        ],
        "instructions": (place or {}).get("instructions") or {},
        "closed_on": lookup.iso(row["closed_on"]),
    }


def _events(state: State, want: int, place: int | None) -> list[Row]:
    """Return the events of every record that belongs to the want."""
    found = state.rows(
        """
        WITH mine(in_table, key) AS (
          SELECT 'wants', CAST(? AS VARCHAR)
          UNION ALL SELECT 'enquiry_lines', line FROM enquiry_lines WHERE want = ?
          UNION ALL SELECT 'enquiries', CAST(enquiry AS VARCHAR) FROM enquiry_lines WHERE want = ?
          UNION ALL SELECT 'offers', CAST(offer AS VARCHAR) FROM offers WHERE want = ?
          UNION ALL SELECT 'orders', CAST(order_id AS VARCHAR) FROM orders WHERE want = ?
          UNION ALL SELECT 'receipts', CAST(receipt AS VARCHAR) FROM receipts WHERE want = ?
          UNION ALL SELECT 'part_tests', CAST(part_test AS VARCHAR) FROM part_tests WHERE want = ?
          UNION ALL SELECT 'proofs', CAST(proof AS VARCHAR) FROM proofs WHERE want = ?
          UNION ALL SELECT 'misfits', CAST(misfit AS VARCHAR) FROM misfits WHERE want = ?
          UNION ALL SELECT 'places', CAST(? AS VARCHAR)
          UNION ALL SELECT 'readings', CAST(reading AS VARCHAR) FROM readings WHERE place = ?
        )
        SELECT e.* FROM events e JOIN (SELECT DISTINCT * FROM mine) m USING (in_table, key)
        ORDER BY e.seq
        """,
        [want] * 9 + [place, place],
    )
    first = next((e["seq"] for e in found if e["in_table"] == "wants"), 0)
    # A letter or a place may be older than the want; what was said there before belongs to it
    # only for the place.
    return [
        e
        for e in found
        if e["seq"] >= first or e["in_table"] in ("places", "readings", "enquiries")
    ]


_DAYS = (
    "answered_on",
    "sent_on",
    "written_on",
    "closed_on",
    "withdrawn_on",
    "cancelled_on",
    "ordered_on",
    "received_on",
    "done_on",
    "proved_on",
    "tried_on",
    "noted_on",
    "read_on",
)


def _day(values: Row) -> date | None:
    """Return the day the event speaks of, if it names one."""
    for name in _DAYS:
        if values.get(name):
            return date.fromisoformat(values[name])
    return None


def _text(event: Row, values: Row, names: dict[str, str]) -> str:
    table = event["in_table"]
    teller = _TELLERS.get((table, event["act"])) or _TELLERS.get((table, ""))
    supplier = names.get(values.get("supplier") or "", values.get("supplier") or "")
    return teller(event, values, supplier) if teller else str(event["act"])


def _price(values: Row) -> str:
    from decimal import Decimal

    if values.get("price") is None:
        return "no price"
    cents = minor(Decimal(values["price"]))
    return f"{values.get('currency') or ''} {cents // 100}.{cents % 100:02d} each".strip()


def _want_noted(_event: Row, v: Row, _supplier: str) -> str:
    by = f", needed by {v['needed_by']}" if v.get("needed_by") else ""
    place = f", for {v['place']}" if v.get("place") else ""
    return f"wanted: {v['quantity']} × {v.get('number') or v.get('kind')}{by}{place}"


def _offer_noted(event: Row, v: Row, supplier: str) -> str:
    pieces = v.get("quantity")
    count = "1 piece" if pieces == 1 else f"{pieces} pieces" if pieces else "any quantity"
    until = f", until {v['until']}" if v.get("until") else ""
    return f"offer {event['key']} of {supplier}: {count}, {_price(v)}{until}"


def _received(event: Row, v: Row, _supplier: str) -> str:
    return (
        f"order {v['order_id']} came in, receipt {event['key']}: {v['quantity']}, "
        f"{v['decision']} ({v.get('verdict') or 'not judged'})"
    )


def _place_noted(_event: Row, v: Row, _supplier: str) -> str:
    parts = [
        f"{name.replace('_', ' ')} {v[name]}"
        for name in ("name", "number", "score", "note", "photograph", "decision", "reason", "want")
        if v.get(name)
    ]
    return "place: " + (", ".join(parts) or "noted")


_Teller = Callable[[Row, Row, str], str]
_TELLERS: dict[tuple[str, str], _Teller] = {
    ("wants", "want noted"): _want_noted,
    ("wants", "needed-by day changed"): lambda _e, v, _s: f"now needed by {v['needed_by']}",
    ("wants", "want closed"): lambda _e, v, _s: f"ended as {v['closed_as']}: {v['reason']}",
    ("enquiries", "enquiry written"): lambda e, _v, s: f"enquiry {e['key']} to {s} written",
    ("enquiries", "enquiry sent"): lambda e, _v, _s: f"enquiry {e['key']} sent",
    ("enquiry_lines", "want put in an enquiry"): lambda _e, v, _s: (
        f"asked for {v['quantity']} in enquiry {v['enquiry']}"
    ),
    ("enquiry_lines", "answer noted"): lambda e, v, _s: (
        f"answer to enquiry {e['key'].split('-')[0]}: {v['answer']}"
    ),
    ("offers", "offer noted"): _offer_noted,
    ("offers", ""): lambda e, v, _s: (
        f"offer {e['key']}: {e['act'].removeprefix('offer ')}"
        + (f": {v['reason']}" if v.get("reason") else "")
    ),
    ("orders", "order noted"): lambda e, v, s: (
        f"order {e['key']} to {s}: {v['quantity']} of offer {v['offer']}"
    ),
    ("orders", "order cancelled"): lambda e, v, _s: f"order {e['key']} cancelled: {v['reason']}",
    ("orders", "rest of the order cancelled"): lambda e, v, _s: (
        f"the rest of order {e['key']} will not come, {v['quantity']} came: {v['reason']}"
    ),
    ("receipts", ""): _received,
    ("part_tests", "test to do"): lambda _e, v, _s: f"test to do: {v['name']}",
    ("part_tests", ""): lambda e, v, _s: (
        f"{e['act']}: {v['name']}" + (f", {v['remark']}" if v.get("remark") else "")
    ),
    ("proofs", ""): lambda _e, v, _s: (
        "proved right: " + " ".join(x for x in (v.get("by_maker"), v["by_number"]) if x)
    ),
    ("misfits", ""): lambda _e, v, _s: (
        "did not fit: "
        + " ".join(x for x in (v.get("by_maker"), v["by_number"]) if x)
        + f", {v['reason']}"
    ),
    ("places", ""): _place_noted,
    ("readings", ""): lambda _e, v, _s: (
        f"reading {v['dimension']}"
        + (f" at {v['plane']} {v['direction']}".rstrip() if v.get("plane") else "")
        + f": {v['text']}"
    ),
}
