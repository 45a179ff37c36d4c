"""Offers: what a supplier said, by letter or by telephone. An offer is never deleted."""

from __future__ import annotations

from datetime import date
from decimal import Decimal, InvalidOperation
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible

from . import lookup
from .dates import written_day
from .money import amount, currency_code
from .suppliers import TAX_WORDS

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.state import State

CONDITIONS = ("new", "NOS", "used", "reman")


def terms(
    *,
    price: str | None = None,
    currency: str | None = None,
    quantity: int | None = None,
    condition: str | None = None,
    until: str | None = None,
    tax: str | None = None,
    work_hours: str | None = None,
    number: str | None = None,
    maker: str | None = None,
    remark: str | None = None,
    on: date,
) -> dict[str, Any]:
    """Check what was offered and return it as columns; raises Impossible for what cannot be.

    `price`: per piece, to the cent; `until`: the last day the offer stands; `work_hours`: work
    per piece to make it fit [h].
    """
    last = written_day(until, "last day of the offer") if until else None
    if last and last.day < on:
        raise Impossible(
            f"the offer ended on {last.day.isoformat()}, before {on.isoformat()}",
            at="last day of the offer",
            code="impossible-date",
        )
    if condition is not None and condition not in CONDITIONS:
        raise Impossible(
            f"the condition {condition!r} is not one of: {', '.join(CONDITIONS)}", at="condition"
        )
    if tax is not None and tax not in TAX_WORDS:
        raise Impossible(f"the tax basis {tax!r} is not one of: {', '.join(TAX_WORDS)}", at="tax")
    return {
        "price": amount(price),
        "currency": currency_code(currency),
        "quantity": lookup.whole(quantity, "quantity"),
        "condition": condition,
        "until": last.day if last else None,
        "tax_basis": tax,
        "work_hours": _hours(work_hours),
        "number": number,
        "maker": maker,
        "remark": remark,
    }


def _hours(text: str | None) -> Decimal | None:
    if text is None:
        return None
    try:
        hours = Decimal(text.strip())
    except InvalidOperation:
        hours = Decimal(-1)
    if not hours.is_finite() or not 0 <= hours <= 10_000:
        raise Impossible(f"{text!r} is not a number of working hours", at="work hours")
    return hours.quantize(Decimal("0.01"))


def record(
    state: State, act: str, supplier: dict[str, Any], want: int, columns: dict[str, Any], on: date
) -> int:
    """Append an offer to an open state; its currency is the supplier's unless stated."""
    offer = state.next_id("offers")
    values = {
        **columns,
        "supplier": supplier["supplier"],
        "want": want,
        "noted_on": on,
        "currency": columns["currency"] or supplier.get("currency"),
        "tax_basis": columns["tax_basis"] or supplier.get("tax_basis"),
    }
    state.record(act, "offers", offer, values)
    return offer


def add(store: Store, supplier: str, want: int, *, on: date, **said: Any) -> dict[str, Any]:
    """Note an offer told by telephone; `said` as in `terms`. Returns its id.

    Raises NothingFound for an unknown supplier or want, Impossible for a supplier that has
    closed or a want that has ended.
    """
    columns = terms(on=on, **said)
    with store.writing("note an offer") as state:
        row = lookup.supplier(state, supplier)
        lookup.open_want(state, want)
        lookup.still_trading(row, on, f"an offer for want {want}")
        same = _said_before(state, row["supplier"], want, columns, on)
        offer = record(state, "offer noted", row, want, columns, on)
    notes = [
        f"offer {n} says the same; if this is it entered twice: "
        f"`xref offer withdraw {offer} --reason 'entered twice'`"
        for n in same
    ]
    if columns["price"] is None:
        notes.append("no price was given: the buying plan cannot use this offer yet")
    elif not (columns["currency"] or row.get("currency")):
        notes.append("no currency is known for this supplier: note it with --currency")
    return {"offer": offer, "supplier": row["name"], "want": want, "notes": notes}


def _said_before(
    state: State, supplier: str, want: int, columns: dict[str, Any], on: date
) -> list[int]:
    """Return the last offer that stands and says the same as these columns."""
    says = ("price", "quantity", "condition", "until", "number", "maker", "work_hours")
    before = [
        row["offer"]
        for row in state.rows(
            "SELECT * FROM offers WHERE supplier = ? AND want = ? AND withdrawn_on IS NULL"
            " AND (until IS NULL OR until >= CAST(? AS DATE)) ORDER BY offer",
            [supplier, want, on],
        )
        if all(row[name] == columns[name] for name in says)
    ]
    return before[-1:]


def withdraw(store: Store, offer: int, reason: str, on: date) -> dict[str, Any]:
    """Note that an offer stands no more: sold, taken back, or noted by mistake; its record stays.

    What was ordered from it stays ordered. Raises NothingFound for an unknown offer, Impossible
    if it was withdrawn already or no reason is given.
    """
    reason = lookup.reason(reason, "say why it stands no more with --reason")
    with store.writing("withdraw an offer") as state:
        row = lookup.record(state, "offers", offer)
        if row["withdrawn_on"]:
            raise Impossible(f"offer {offer} was withdrawn on {row['withdrawn_on']}", at="offer")
        values = {"withdrawn_on": on, "reason": reason}
        state.record("offer withdrawn", "offers", offer, values)
        ordered = state.rows(
            "SELECT order_id FROM orders WHERE offer = ? AND cancelled_on IS NULL", [offer]
        )
        supplier = lookup.suppliers(state)[row["supplier"]]["name"]
    return {
        "offer": offer,
        "supplier": supplier,
        "want": row["want"],
        "withdrawn_on": on.isoformat(),
        "reason": reason,
        "notes": [
            f"order {o['order_id']} of it stands; if it will not come either: "
            f"`xref order cancel {o['order_id']} --reason TEXT`"
            for o in ordered
        ],
    }


_STANDING = """
  FROM offers f
  LEFT JOIN (SELECT offer, sum(quantity) AS ordered FROM orders WHERE cancelled_on IS NULL
             GROUP BY offer) USING (offer)
  LEFT JOIN suppliers s USING (supplier)
  WHERE withdrawn_on IS NULL
    AND (until IS NULL OR until >= CAST(? AS DATE)) AND noted_on <= CAST(? AS DATE)
    AND (quantity IS NULL OR quantity > coalesce(ordered, 0))"""


def usable(state: State, on: date) -> list[dict[str, Any]]:
    """Return the offers that stand on that day, with `left`: pieces not yet ordered or None."""
    return state.rows(
        "SELECT f.*, quantity - coalesce(ordered, 0) AS left" + _STANDING + " ORDER BY offer",
        [on, on],
    )


def pressing(state: State, on: date, most: int) -> list[dict[str, Any]]:
    """Return of each want the `most` offers that end first, by their day or their supplier's.

    Suppliers that take no more orders are left out.
    """
    return state.rows(
        "SELECT offer, supplier, want, until"
        + _STANDING
        + " AND coalesce(least(last_order, closes), CAST(? AS DATE)) >= CAST(? AS DATE)"
        " QUALIFY row_number() OVER (PARTITION BY want ORDER BY"
        " least(until, last_order, closes) NULLS LAST, offer) <= ? ORDER BY offer",
        [on, on, on, on, most],
    )


def offerers(state: State, on: date) -> list[dict[str, Any]]:
    """Return per want the suppliers whose offers stand on that day."""
    return state.rows(
        "SELECT want, list(DISTINCT supplier) AS suppliers" + _STANDING + " GROUP BY want",
        [on, on],
    )


def lapsed(state: State, on: date) -> list[dict[str, Any]]:
    """Return per want and supplier the last offer that ran out with pieces not ordered."""
    return state.rows(
        """
        SELECT f.want, f.supplier, max(f.offer) AS offer, arg_max(f.until, f.offer) AS until
        FROM offers f
        LEFT JOIN (SELECT offer, sum(quantity) AS ordered FROM orders
                   WHERE cancelled_on IS NULL GROUP BY offer) USING (offer)
        WHERE withdrawn_on IS NULL AND until < CAST(? AS DATE)
          AND (quantity IS NULL OR quantity > coalesce(ordered, 0))
        GROUP BY f.want, f.supplier ORDER BY f.want, f.supplier""",
        [on],
    )


def listing(
    store: Store, on: date, *, want: int | None = None, supplier: str | None = None
) -> dict[str, Any]:
    """Return the offers, newest last, each with whether it still stands."""
    with store.reading() as state:
        key = lookup.supplier(state, supplier)["supplier"] if supplier else None
        names = {k: r["name"] for k, r in lookup.suppliers(state).items()}
        stand = {r["offer"] for r in usable(state, on)}
        rows = state.rows("SELECT * FROM offers ORDER BY offer")
    return {
        "offers": [
            {
                "offer": r["offer"],
                "supplier": names.get(r["supplier"], r["supplier"]),
                "want": r["want"],
                "number": r["number"],
                "maker": r["maker"],
                "price": lookup.cents(r["price"]),
                "currency": r["currency"],
                "tax_basis": r["tax_basis"],
                "quantity": r["quantity"],
                "condition": r["condition"],
                "until": lookup.iso(r["until"]),
                "noted_on": lookup.iso(r["noted_on"]),
                "enquiry": r["enquiry"],
                "work_hours": r["work_hours"],
                "stands": r["offer"] in stand,
                "remark": r["remark"],
            }
            for r in rows
            if (want is None or r["want"] == want) and (key is None or r["supplier"] == key)
        ]
    }
