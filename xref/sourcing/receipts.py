"""Goods in: a part that came, as judged, with the tests that are still open."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible

from . import lookup
from .offers import CONDITIONS
from .teardown import instructions_of

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

Row = dict[str, Any]


def expected(store: Store, order: int, quantity: int | None, on: date) -> Row:
    """Return the order with its offer, want and place, checked for receiving `quantity` of it.

    `quantity` None means all that is still to come. Raises NothingFound for an unknown order,
    Impossible for a cancelled one, more pieces than are awaited, or a day before the order.
    """
    lookup.whole(quantity, "quantity")
    with store.reading() as state:
        return _expected(state, order, quantity, on)


def _expected(state: State, order: int, quantity: int | None, on: date) -> Row:
    row = lookup.record(state, "orders", order)
    if row["cancelled_on"]:
        raise Impossible(f"order {order} was cancelled on {row['cancelled_on']}", at="order")
    if on < row["ordered_on"]:
        raise Impossible(
            f"order {order} was placed on {row['ordered_on']}, after {on.isoformat()}",
            at="on",
            code="impossible-date",
        )
    came = state.rows(
        "SELECT coalesce(sum(quantity), 0) AS n FROM receipts WHERE order_id = ?", [order]
    )[0]["n"]
    awaited = int(row["quantity"] - came)
    if awaited < (quantity or 1):
        raise Impossible(
            f"order {order} is for {row['quantity']}, of which {int(came)} have come: "
            f"{quantity or 1} more cannot be received",
            at="quantity",
            code="impossible-quantity",
        )
    want = lookup.open_want(state, row["want"])
    return {
        "order": row,
        "quantity": quantity or awaited,
        "offer": lookup.record(state, "offers", row["offer"]),
        "want": want,
        "supplier": lookup.suppliers(state)[row["supplier"]],
        "place": state.one("SELECT * FROM places WHERE place = ?", [want["place_id"]])
        if want["place_id"]
        else None,
        "readings": state.rows(
            "SELECT * FROM readings WHERE place = ? ORDER BY reading", [want["place_id"]]
        )
        if want["place_id"]
        else [],
    }


def note(
    store: Store,
    order: int,
    *,
    quantity: int | None,
    decision: str,
    decided_by: str,
    judged: Row | None,
    part: Row,
    place: Row,
    tests: Sequence[str],
    condition: str | None = None,
    repairs: Sequence[str] = (),
    remark: str | None = None,
    on: date,
) -> Row:
    """Record what came and how it was decided; return the receipt as JSON.

    A part to be sent back opens its want again and leaves no tests.
    """
    if condition is not None and condition not in CONDITIONS:
        raise Impossible(
            f"the condition {condition!r} is not one of: {', '.join(CONDITIONS)}", at="condition"
        )
    with store.writing("note goods in") as state:
        seen = _expected(state, order, quantity, on)  # again, within the turn
        want, count = seen["want"]["want"], seen["quantity"]
        receipt = state.next_id("receipts")
        state.record(
            "part received",
            "receipts",
            receipt,
            {
                "order_id": order,
                "want": want,
                "quantity": count,
                "received_on": on,
                "decision": decision,
                "decided_by": decided_by,
                "part": part,
                "place": place,
                "checks": judged["checks"] if judged else [],
                "verdict": judged["verdict"] if judged else None,
                "condition": condition or seen["offer"]["condition"],
                "repairs": list(repairs),
                "remark": remark,
            },
        )
        open_tests = [] if decision == "return" else list(tests)
        for name in open_tests:
            state.record(
                "test to do",
                "part_tests",
                state.next_id("part_tests"),
                {"receipt": receipt, "want": want, "name": name},
            )
        instructions = instructions_of(seen["place"])
    return {
        "receipt": receipt,
        "order": order,
        "want": want,
        "quantity": count,
        "supplier": seen["supplier"]["name"],
        "decision": decision,
        "decided_by": decided_by,
        "open_tests": open_tests,
        "instructions": instructions,
    }


def open_tests(state: State, want: int | None = None) -> list[Row]:
    """Return the tests not yet done, of one want or of all."""
    where = "" if want is None else " AND want = ?"
    return state.rows(
        f"SELECT * FROM part_tests WHERE done_on IS NULL{where} ORDER BY part_test",  # noqa: S608
        [] if want is None else [want],
    )
