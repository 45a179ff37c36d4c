"""Wants: what the machine needs. Their state follows from what happened, nobody sets it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer
from xref.kinds.spec import spec
from xref.store.number_key import number_key

from . import lookup
from .dates import written_day
from .wanted_part import WantedPart, wanted_part

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

ENDS = ("made", "modified", "reused", "dropped")
PRIORITIES = {1: "the machine cannot run without it", 2: "wanted", 3: "when there is time"}

# One row per want with what its state follows from. `covered` counts the pieces ordered and
# neither sent back nor tried in vain; a proof holds until the same part fails after all.
_WANTS = """
SELECT w.*,
  coalesce(a.asked, false) AS asked, coalesce(f.offered, false) AS offered,
  coalesce(o.ordered, 0) AS ordered, coalesce(r.kept, 0) AS kept,
  coalesce(r.returned, 0) AS returned, coalesce(p.proved, false) AS proved
FROM wants w
LEFT JOIN (SELECT l.want, true AS asked FROM enquiry_lines l JOIN enquiries e USING (enquiry)
           WHERE e.sent_on IS NOT NULL GROUP BY l.want) a USING (want)
LEFT JOIN (SELECT want, true AS offered FROM offers
           LEFT JOIN (SELECT offer, sum(quantity) AS taken FROM orders
                      WHERE cancelled_on IS NULL GROUP BY offer) USING (offer)
           WHERE withdrawn_on IS NULL AND (until IS NULL OR until >= CAST(? AS DATE))
             AND (quantity IS NULL OR quantity > coalesce(taken, 0))
           GROUP BY want) f USING (want)
LEFT JOIN (SELECT want, sum(quantity) AS ordered FROM orders
           WHERE cancelled_on IS NULL GROUP BY want) o USING (want)
LEFT JOIN (SELECT want, sum(quantity) FILTER (NOT gone) AS kept,
                  sum(quantity) FILTER (gone) AS returned
           FROM (SELECT *, decision = 'return' OR receipt IN (
                     SELECT receipt FROM misfits WHERE receipt IS NOT NULL) AS gone FROM receipts)
           GROUP BY want) r USING (want)
LEFT JOIN (SELECT want, true AS proved FROM proofs p WHERE NOT EXISTS (
               SELECT 1 FROM misfits m WHERE m.want = p.want
               AND m.by_number_key = p.by_number_key AND m.proofs_before >= p.proof)
           GROUP BY want) p USING (want)
"""


def state_of(row: dict[str, Any]) -> str:
    """Return the state that follows from a want's events."""
    if row["closed_as"]:
        return str(row["closed_as"])
    covered = row["ordered"] - row["returned"]
    # Some pieces proved right, and the others not even ordered: those are still wanted.
    if row["proved"] and not 0 < covered < row["quantity"]:
        return "proved"
    if covered > 0:
        return "received" if row["kept"] >= covered else "ordered"
    if row["offered"]:
        return "offered"
    return "asked" if row["asked"] else "wanted"


def rows(state: State, on: date, want: int | None = None) -> list[dict[str, Any]]:
    """Return wants with `state`, `covered` and `needed` (pieces still to be found)."""
    found = state.rows(
        _WANTS + ("" if want is None else " WHERE want = ?") + " ORDER BY want",
        [on, *([] if want is None else [want])],
    )
    for row in found:
        row["state"] = state_of(row)
        row["covered"] = int(row["ordered"] - row["returned"])
        ended = row["closed_as"] or row["state"] == "proved"
        row["needed"] = 0 if ended else max(row["quantity"] - row["covered"], 0)
    return found


def add(
    store: Store,
    text: str | None,
    *,
    quantity: int,
    kind: str | None = None,
    sizes: Mapping[str, str] | None = None,
    by: str | None = None,
    priority: int = 2,
    variants: Sequence[str] = (),
    place: str | None = None,
    description: str | None = None,
    remark: str | None = None,
    on: date,
) -> dict[str, Any]:
    """Note a want by number or by sizes (`60x80x8mm` with its kind), or by both.

    `sizes`: sizes one by one, as `id`, `od`, `width`, `length`, `thickness`, `section`; `by`:
    the day it is needed, a month means its first day; `priority`: 1 to 3; `variants`: other
    forms and substitutes accepted. Returns its id. Raises Impossible for quantity zero, a day
    past or not in the calendar, NeedsAnswer for sizes without a kind.
    """
    lookup.whole(quantity, "quantity")
    if priority not in PRIORITIES:
        raise Impossible(
            f"the priority {priority} is not 1, 2 or 3 (1 is the most urgent)", at="priority"
        )
    needed = written_day(by, "needed-by date") if by else None
    if needed and needed.day < on:
        raise Impossible(
            f"the needed-by date {needed.day.isoformat()} has passed (today is {on.isoformat()})",
            at="needed-by date",
            code="impossible-date",
        )
    part = wanted_part(store, text, kind, sizes)
    place = " ".join(place.split()) if place else None
    with store.writing("note a want") as state:
        before = _same_before(state, part, place)
        want = record(
            state,
            part,
            quantity=quantity,
            on=on,
            description=description or part.description,
            needed_by=needed.day if needed else None,
            priority=priority,
            variants=[" ".join(v.split()) for v in variants if v.strip()],
            place=place,
            remark=remark,
        )
    notes = [*part.notes, *([needed.note] if needed and needed.note else [])]
    if before is not None:
        notes.append(
            f"want {before} is open for the same part and place; if this is it entered twice: "
            f"`xref want close {want} --as dropped --reason 'entered twice'`"
        )
    return {"want": want, "number": part.number, "kind": part.kind, "notes": notes}


def _same_before(state: State, part: WantedPart, place: str | None) -> int | None:
    """Return the last open want for the same number, or sizes, at the same place."""
    column, value = ("number_key", number_key(part.number)) if part.number else ("kind", part.kind)
    same = [
        row["want"]
        for row in state.rows(
            f"SELECT * FROM wants WHERE {column} = ? AND closed_as IS NULL ORDER BY want",  # noqa: S608
            [value],
        )
        if (row["part"] or None) == (part.sizes or None)
        and lookup.supplier_key(row["place"] or "") == lookup.supplier_key(place or "")
    ]
    return int(same[-1]) if same else None


def record(state: State, part: WantedPart, *, quantity: int, on: date, **columns: Any) -> int:
    """Append the want to an open state and return its id."""
    want = state.next_id("wants")
    state.record(
        "want noted",
        "wants",
        want,
        {
            "number": part.number,
            "number_key": number_key(part.number) if part.number else None,
            "kind": part.kind,
            "part": part.sizes or None,
            "quantity": quantity,
            "noted_on": on,
            **columns,
        },
    )
    return want


def in_order(kind: str | None, sizes: dict[str, Any] | None) -> dict[str, Any]:
    """Return sizes by dimension in the order in which the kind is written."""
    order = spec(kind).written_order if kind else ()
    given = sizes or {}
    return {n: given[n] for n in (*order, *given) if n in given}


def document(row: dict[str, Any]) -> dict[str, Any]:
    """Return a want's row as JSON."""
    return {
        "want": row["want"],
        "number": row["number"],
        "kind": row["kind"],
        "sizes": {n: v["text"] for n, v in in_order(row["kind"], row["part"]).items()},
        "description": row["description"],
        "quantity": row["quantity"],
        "state": row["state"],
        "covered": row["covered"],
        "needed": row["needed"],
        "proved": bool(row["proved"]),
        "priority": row["priority"],
        "by": lookup.iso(row["needed_by"]),
        "variants": row["variants"] or [],
        "place": row["place"],
        "remark": row["remark"],
        "reason": row["reason"],
    }


def listing(store: Store, on: date, *, everything: bool = False) -> dict[str, Any]:
    """Return the wants, most urgent first; those that have ended only with `everything`."""
    with store.reading() as state:
        found = rows(state, on)
    if not everything:
        found = [r for r in found if not r["closed_as"]]
    found.sort(
        key=lambda r: (
            r["state"] in ENDS,
            r["priority"] or 2,
            r["needed_by"] or date.max,
            r["want"],
        )
    )
    return {"wants": [document(r) for r in found]}


def close(store: Store, want: int, as_: str, reason: str, on: date) -> dict[str, Any]:
    """End a want as made, modified, reused or dropped, with the reason.

    Raises Impossible for another word, an empty reason, or a want that has ended.
    """
    if as_ not in ENDS:
        raise Impossible(f"a want ends as one of {', '.join(ENDS)}, not {as_!r}", at="as")
    if not reason.strip():
        raise NeedsAnswer(f"why does want {want} end as {as_}? Give it with --reason", at="reason")
    with store.writing("close a want") as state:
        lookup.open_want(state, want)
        values = {"closed_as": as_, "closed_on": on, "reason": reason.strip()}
        state.record("want closed", "wants", want, values)
    return {"want": want, "state": as_, "reason": reason.strip()}
