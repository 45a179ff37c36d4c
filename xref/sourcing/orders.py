"""Orders: an offer taken up, within its quantity and while the supplier still trades."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible

from . import lookup, offers, wants

if TYPE_CHECKING:
    from xref.store import Store


def add(store: Store, offer: int, quantity: int, on: date) -> dict[str, Any]:
    """Note that an offer was ordered. Nothing is sent by the program.

    Raises Impossible when the offer has expired or was withdrawn, holds fewer pieces, the
    supplier has closed, or the want has ended.
    """
    lookup.whole(quantity, "quantity")
    with store.writing("note an order") as state:
        row = lookup.record(state, "offers", offer)
        supplier = lookup.suppliers(state)[row["supplier"]]
        lookup.open_want(state, row["want"])
        lookup.still_trading(supplier, on, f"an order for offer {offer}")
        if row["withdrawn_on"]:
            raise Impossible(f"offer {offer} was withdrawn on {row['withdrawn_on']}", at="offer")
        if row["until"] and row["until"] < on:
            raise Impossible(
                f"offer {offer} expired after {row['until']}: ask {supplier['name']} again",
                at="offer",
                code="offer-expired",
            )
        taken = state.rows(
            "SELECT coalesce(sum(quantity), 0) AS n FROM orders"
            " WHERE offer = ? AND cancelled_on IS NULL",
            [offer],
        )[0]["n"]
        if row["quantity"] is not None and taken + quantity > row["quantity"]:
            raise Impossible(
                f"offer {offer} is for {row['quantity']} and {int(taken)} of them are ordered "
                f"already: {quantity} more cannot be",
                at="quantity",
                code="impossible-quantity",
            )
        needed = wants.rows(state, on, row["want"])[0]["needed"]
        order = state.next_id("orders")
        state.record(
            "order noted",
            "orders",
            order,
            {
                "offer": offer,
                "supplier": row["supplier"],
                "want": row["want"],
                "quantity": quantity,
                "price": row["price"],
                "currency": row["currency"],
                "ordered_on": on,
            },
        )
    notes = []
    if quantity > needed:
        notes.append(f"want {row['want']} needed only {needed} more; {quantity} are ordered")
    return {
        "order": order,
        "offer": offer,
        "supplier": supplier["name"],
        "want": row["want"],
        "quantity": quantity,
        "notes": notes,
    }


def cancel(store: Store, order: int, reason: str, on: date) -> dict[str, Any]:
    """Note that an order, or what has not come of it, will not come; its want is open again.

    Of an order that came in part the pieces that came stay, and it is for those alone from then
    on. Raises Impossible without a reason, for a cancelled order or one that came in whole.
    """
    reason = lookup.reason(reason, "a cancelled order needs a reason (--reason)")
    with store.writing("cancel an order") as state:
        row = lookup.record(state, "orders", order)
        if row["cancelled_on"]:
            raise Impossible(f"order {order} was cancelled on {row['cancelled_on']}", at="order")
        found = state.rows(
            "SELECT coalesce(sum(quantity), 0) AS n FROM receipts WHERE order_id = ?", [order]
        )
        came = int(found[0]["n"])
        if came >= row["quantity"]:
            raise Impossible(
                f"order {order} has come in whole; what does not fit is noted with `xref proof "
                "add WANT --failed WHY`",
                at="order",
            )
        act, values = "order cancelled", {"cancelled_on": on, "reason": reason}
        if came:
            act, values = (
                "rest of the order cancelled",
                {"quantity": came, "reason": reason},
            )
        state.record(act, "orders", order, values)
        stands = [o for o in offers.usable(state, on) if o["offer"] == row["offer"]]
    return {
        "order": order,
        "cancelled_on": on.isoformat(),
        "reason": reason,
        "came": came,
        "cancelled": int(row["quantity"]) - came,
        "notes": [
            f"offer {o['offer']} still stands; if they have no more: "
            f"`xref offer withdraw {o['offer']} --reason TEXT`"
            for o in stands
        ],
    }


def listing(store: Store) -> dict[str, Any]:
    """Return all orders with the pieces that came and were kept or sent back."""
    with store.reading() as state:
        names = {k: r["name"] for k, r in lookup.suppliers(state).items()}
        rows = state.rows(
            "SELECT o.*, coalesce(r.came, 0) AS came, coalesce(r.back, 0) AS back FROM orders o"
            " LEFT JOIN (SELECT order_id, sum(quantity) AS came,"
            "  sum(quantity) FILTER (decision = 'return') AS back FROM receipts GROUP BY order_id"
            ") r USING (order_id) ORDER BY order_id"
        )
    return {
        "orders": [
            {
                "order": r["order_id"],
                "offer": r["offer"],
                "supplier": names.get(r["supplier"], r["supplier"]),
                "want": r["want"],
                "quantity": r["quantity"],
                "price": lookup.cents(r["price"]),
                "currency": r["currency"],
                "ordered_on": lookup.iso(r["ordered_on"]),
                "received": int(r["came"]),
                "sent_back": int(r["back"] or 0),
                "cancelled_on": lookup.iso(r["cancelled_on"]),
            }
            for r in rows
        ]
    }
