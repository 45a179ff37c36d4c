"""What is due: the rules of `due_rules` over everything in the state."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import calendar_file, due_rules, found_fits, lookup, offers, supply, wants

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

    from .supply import Listing

Row = dict[str, Any]
MOST_UNLISTED = 5  # suppliers named at a time of whom no list tells
MOST_OFFERS = 3  # offers of one want named at a time


@dataclass
class Picture:
    """Everything `due` looks at, read in one go."""

    on: date
    wants: dict[int, Row]
    suppliers: dict[str, Row]
    dates: dict[str, due_rules.Supplier]
    offers: list[Row]
    asked: list[Row]  # enquiry lines with supplier, sent_on
    orders: list[Row]  # still awaited
    receipts: list[Row]  # with open tests
    failed: list[Row]  # receipts whose test failed, and nobody said what becomes of the part
    offered: set[tuple[str, int]] = field(default_factory=set)
    wants_offered: set[int] = field(default_factory=set)
    lapsed: dict[int, dict[str, Row]] = field(default_factory=lambda: defaultdict(dict))
    asked_of: dict[int, list[Row]] = field(default_factory=lambda: defaultdict(list))


def picture(state: State, on: date, *, every_offer: bool = False) -> Picture:
    """Read what stands on that day; of each want's offers the few that press, or all."""
    suppliers = lookup.suppliers(state)
    found = Picture(
        on,
        {w["want"]: w for w in wants.rows(state, on)},
        suppliers,
        {key: lookup.supplier_dates(row) for key, row in suppliers.items()},
        offers.usable(state, on) if every_offer else offers.pressing(state, on, MOST_OFFERS),
        state.rows(
            "SELECT l.*, e.supplier, e.sent_on FROM enquiry_lines l JOIN enquiries e"
            " USING (enquiry) ORDER BY enquiry, want"
        ),
        state.rows(
            "SELECT o.* FROM orders o LEFT JOIN (SELECT order_id, sum(quantity) AS came"
            " FROM receipts GROUP BY order_id) r USING (order_id)"
            " WHERE o.cancelled_on IS NULL AND coalesce(r.came, 0) < o.quantity"
            " ORDER BY order_id"
        ),
        state.rows(
            "SELECT r.receipt, r.want, r.received_on, o.supplier,"
            " list(t.name ORDER BY t.part_test) AS tests"
            " FROM part_tests t JOIN receipts r USING (receipt)"
            " JOIN orders o ON o.order_id = r.order_id"
            " WHERE t.done_on IS NULL GROUP BY ALL ORDER BY r.receipt"
        ),
        state.rows(
            "SELECT r.receipt, r.want, o.supplier, max(t.done_on) AS failed_on,"
            " list(t.name ORDER BY t.part_test) AS tests"
            " FROM part_tests t JOIN receipts r USING (receipt)"
            " JOIN orders o ON o.order_id = r.order_id"
            " WHERE t.result = 'failed' AND r.receipt NOT IN"
            " (SELECT receipt FROM misfits WHERE receipt IS NOT NULL)"
            " GROUP BY r.receipt, r.want, o.supplier ORDER BY r.receipt"
        ),
    )
    for row in offers.offerers(state, on):
        found.wants_offered.add(row["want"])
        found.offered.update((key, row["want"]) for key in row["suppliers"])
    for line in found.asked:
        found.asked_of[line["want"]].append(line)
    for row in offers.lapsed(state, on):
        found.lapsed[row["want"]][row["supplier"]] = row
    return found


def actions(
    seen: Picture,
    listings: Mapping[int, Sequence[Listing]],
    decision_days: int = due_rules.DECISION_DAYS,
) -> list[due_rules.Action]:
    """Return all that is to do, most urgent first; those that start later are among them."""
    todo = [
        *asks(seen, listings, decision_days, seen.wants.values()),
        *_chases(seen),
        *_decisions(seen, decision_days),
        *_tests(seen),
    ]
    return due_rules.most_urgent_first(todo)


def asks(
    seen: Picture,
    listings: Mapping[int, Sequence[Listing]],
    decision_days: int,
    wanted: Iterable[Row],
) -> list[due_rules.Action]:
    """Return whom to ask about these wants: everyone whose list shows the part.

    Suppliers of whom no list tells are named while no current list shows the part and nobody
    offers it, and those about to stop trading also while only a list shows it; of those not
    asked yet, the few that stop soonest. A letter written and not sent is always named, and so
    is, while nobody offers the part, who offered it until his offer ran out.
    """
    unlisted: dict[str | None, list[tuple[str, int]]] = {}
    todo = []
    for want in wanted:
        if not want["needed"]:
            continue
        number, kind = want["want"], want["kind"]
        last = {r["supplier"]: r for r in seen.asked_of.get(number, ())}
        lines = listings.get(number, ())
        listed = supply.listed_by(lines, seen.suppliers)
        chosen = dict(listed)
        for key, line in last.items():
            if not line["sent_on"]:
                chosen.setdefault(key, due_rules.NOT_KNOWN)
        if number not in seen.wants_offered:
            for key in seen.lapsed.get(number, ()):
                chosen.setdefault(key, due_rules.LISTED_BEFORE)
        words = {k: w for k in chosen if (w := _to_ask(seen, number, k, last.get(k), lines))}
        ranked = [(k, r) for k, r in chosen.items() if k in words]
        if number not in seen.wants_offered:
            if kind not in unlisted:
                unlisted[kind] = _soonest_to_stop(seen, kind)
            shown = due_rules.LISTED in listed.values()
            others = (
                (k, r)
                for k, r in unlisted[kind]
                if k not in chosen
                and (seen.dates[k].deadline or not shown)
                and _to_ask(seen, number, k, last.get(k), ())
            )
            ranked += islice(others, MOST_UNLISTED)
        for key, rank in ranked:
            before = last.get(key)
            written = before["enquiry"] if before and not before["sent_on"] else None
            again = words.get(key, _FIRST)
            todo.append(
                due_rules.ask(
                    seen.dates[key],
                    number,
                    want["needed_by"],
                    rank,
                    decision_days,
                    written,
                    None if again == _FIRST else again,
                )
            )
    return todo


_FIRST = "not asked yet"


def _to_ask(
    seen: Picture, want: int, key: str, last: Row | None, lines: Sequence[Listing]
) -> str | None:
    """Return why a supplier is to be asked for a want, None while it is not.

    Nobody is asked whose offer stands or whose answer is waited for. Who answered is asked again
    when his offer ran out, or when a list of his from after the answer shows the part.
    """
    if (key, want) in seen.offered or seen.dates[key].closed(seen.on):
        return None
    lapsed = seen.lapsed.get(want, {}).get(key)
    if last is None or not last["sent_on"]:
        if last is None and lapsed:
            return _ran_out(lapsed)
        return _FIRST
    if last["answer"] in (None, "looking"):
        return None
    if lapsed and last["answer"] == "yes":
        return _ran_out(lapsed)
    later = [li.as_of for li in lines if li.supplier == key and supply.shown_after(li, last)]
    newest = max((day for day in later if day), default=None)
    if newest is None:
        return None
    said = "said no" if last["answer"] == "no" else "answered"
    return f"they {said} on {last['answered_on']}, yet their list of {newest} shows it"


def _ran_out(lapsed: Row) -> str:
    return f"their offer {lapsed['offer']} ran out on {lapsed['until']}"


def _soonest_to_stop(seen: Picture, kind: str | None) -> list[tuple[str, int]]:
    """Return the suppliers still trading that may have a kind, those that stop soonest first."""
    ranked = supply.may_have(kind, seen.suppliers)
    return sorted(
        ((k, r) for k, r in ranked.items() if not seen.dates[k].closed(seen.on)),
        key=lambda x: (seen.dates[x[0]].deadline or date.max, x[1], seen.dates[x[0]].name),
    )


def _chases(seen: Picture) -> list[due_rules.Action]:
    todo = []
    for line in seen.asked:
        want, key = seen.wants[line["want"]], line["supplier"]
        waiting = line["sent_on"] and line["answer"] in (None, "looking")
        if (
            not waiting
            or not want["needed"]
            or (key, want["want"]) in seen.offered
            or seen.dates[key].closed(seen.on)
        ):
            continue
        since = line["answered_on"] or line["sent_on"]
        todo.append(
            due_rules.chase(seen.dates[key], want["want"], since, line["enquiry"], line["answer"])
        )
    todo += [
        due_rules.chase_order(seen.dates[o["supplier"]], o["want"], o["ordered_on"], o["order_id"])
        for o in seen.orders
        if not seen.wants[o["want"]]["closed_as"]
    ]
    return todo


def _decisions(seen: Picture, decision_days: int) -> list[due_rules.Action]:
    todo = []
    for offer in seen.offers:
        want, dates = seen.wants[offer["want"]], seen.dates[offer["supplier"]]
        if not want["needed"] or dates.closed(seen.on):
            continue
        number = offer["offer"]
        must = due_rules.order(dates, want["want"], number, want["needed_by"], decision_days)
        if must is not None:
            todo.append(must)
        if offer["until"] is not None or must is None:
            todo.append(due_rules.decide(dates, want["want"], number, offer["until"]))
    return todo


def _tests(seen: Picture) -> list[due_rules.Action]:
    todo = [
        due_rules.decide_failed(
            seen.dates[r["supplier"]], r["want"], r["failed_on"], r["tests"], r["receipt"]
        )
        for r in seen.failed
        if not seen.wants[r["want"]]["closed_as"]
    ]
    return todo + [
        due_rules.test(
            seen.dates[r["supplier"]],
            r["want"],
            r["received_on"],
            r["tests"],
            seen.wants[r["want"]]["needed_by"],
            r["receipt"],
        )
        for r in seen.receipts
        if not seen.wants[r["want"]]["closed_as"]
    ]


def due(
    store: Store,
    on: date,
    *,
    ics: Path | None = None,
    decision_days: int = due_rules.DECISION_DAYS,
    find: found_fits.FindCandidates | None = None,
) -> dict[str, Any]:
    """Return what is due on that day, most urgent first; `ics` writes the calendar as well.

    The calendar also holds what only starts later: when an answer will have to be chased.
    `find` finds the parts that fit a want, so that lists are searched for those as well.
    """
    lookup.whole(decision_days, "number of decision days", 0)
    with store.reading() as state:
        seen = picture(state, on)
    wanted = [w for w in seen.wants.values() if w["needed"]]
    lines = supply.listings(store, wanted, found_fits.remembered(store, wanted, find))
    todo = actions(seen, lines, decision_days)
    document: dict[str, Any] = {
        "on": on.isoformat(),
        "actions": [a.document(on) for a in todo if a.start is None or a.start <= on],
    }
    if ics is not None:
        parts = {
            i: w["number"] or w["description"] or w["kind"] or "" for i, w in seen.wants.items()
        }
        calendar_file.write(ics, calendar_file.calendar(todo, on, parts))
        document["calendar"] = str(ics)
        document["calendar_entries"] = sum(a.by is not None for a in todo)
    return document
