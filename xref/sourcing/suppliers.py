"""Suppliers: what they carry, on what terms, and until when.

Private owners and parts machines are suppliers too. One that has stopped trading stays as
history. Contact details are kept apart from everything else, so that they can be erased.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible
from xref.kinds.spec import known_kind

from . import lookup
from .dates import Written, written_day
from .money import amount, currency_code

if TYPE_CHECKING:
    from xref.store import Store

SORTS = ("supplier", "owner", "parts machine")
TAX_WORDS = ("with tax", "without tax")


def add(
    store: Store,
    name: str,
    *,
    sort: str | None = None,
    closes: str | None = None,
    last_order: str | None = None,
    reply_days: int | None = None,
    postage_days: int | None = None,
    postage: str | None = None,
    currency: str | None = None,
    tax: str | None = None,
    carries: Sequence[str] = (),
    contact: str | None = None,
    remark: str | None = None,
    on: date,
) -> dict[str, Any]:
    """Note a supplier, or what has changed about one; what is not given stays as it was.

    `closes`, `last_order`: a day or a month, which means its first day, or `none` when there is no
    such day after all; `postage`: money per
    parcel; `reply_days`, `postage_days`: days [d]; `carries`: kinds.
    Raises Impossible for a value that cannot be; then nothing is changed.
    """
    key = lookup.supplier_key(name)
    if not key:
        raise Impossible("a supplier needs a name", at="supplier")
    lookup.printable(name, "supplier")
    closing = written_day(closes, "closing date") if closes and not _none(closes) else None
    last = (
        written_day(last_order, "last-order date") if last_order and not _none(last_order) else None
    )
    given = {
        "name": " ".join(name.split()),
        "sort": _one_of(sort, SORTS, "sort of supplier"),
        "closes": closing.day if closing else None,
        "closes_as_written": closing.text if closing else None,
        "last_order": last.day if last else None,
        "reply_days": lookup.whole(reply_days, "number of reply days", 0),
        "postage_days": lookup.whole(postage_days, "number of postage days", 0),
        "postage": amount(postage, "postage"),
        "currency": currency_code(currency),
        "tax_basis": _one_of(tax, TAX_WORDS, "tax basis"),
        "carries": _kinds(carries) or None,
        "remark": remark,
    }
    values: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    if _none(closes):
        values |= {"closes": None, "closes_as_written": None}
    if _none(last_order):
        values |= {"last_order": None}
    with store.writing("note a supplier") as state:
        before = state.one("SELECT * FROM suppliers WHERE supplier = ?", [key]) or {}
        after = {**before, **values}
        if (
            after.get("last_order")
            and after.get("closes")
            and (after["last_order"] > after["closes"])
        ):
            raise Impossible(
                f"last orders on {after['last_order']} would come after the closing on "
                f"{after['closes']}",
                at="last-order date",
                code="impossible-date",
            )
        if not before:
            values.setdefault("sort", "supplier")
        state.record("supplier noted", "suppliers", key, values)
        if contact is not None:
            state.note_contact(key, {"contact": contact})
    notes = _notes(after, closing, last, on)
    return {"supplier": given["name"], "new": not before, "notes": notes}


def _notes(
    after: dict[str, Any], closing: Written | None, last: Written | None, on: date
) -> list[str]:
    notes = [w.note for w in (closing, last) if w and w.note]
    if lookup.supplier_dates(after).closed(on):
        notes.append("this supplier no longer takes orders and is kept as history")
    if after.get("postage") is not None and not after.get("currency"):
        notes.append("the postage has no currency until the supplier's currency is noted")
    return notes


def _none(text: str | None) -> bool:
    return text is not None and text.strip().casefold() == "none"


def _one_of(value: str | None, words: Sequence[str], what: str) -> str | None:
    if value is None or value in words:
        return value
    raise Impossible(f"the {what} {value!r} is not one of: {', '.join(words)}", at=what)


def _kinds(carries: Sequence[str]) -> list[str]:
    names = [w.strip() for text in carries for w in text.split(",") if w.strip()]
    return [known_kind(name, at="carries") for name in dict.fromkeys(names)]


def document(row: dict[str, Any], on: date) -> dict[str, Any]:
    """Return a supplier's row as JSON."""
    dates = lookup.supplier_dates(row)
    return {
        "supplier": row["name"],
        "sort": row.get("sort") or "supplier",
        "carries": row.get("carries") or [],
        "currency": row.get("currency"),
        "tax_basis": row.get("tax_basis"),
        "postage": lookup.cents(row.get("postage")),
        "reply_days": dates.reply_days,
        "postage_days": dates.postage_days,
        "last_order": lookup.iso(dates.last_order),
        "closes_on": lookup.iso(dates.closes),
        "closes_as_written": row.get("closes_as_written"),
        "stopped": dates.closed(on),
        "remark": row.get("remark"),
    }


def listing(store: Store, on: date) -> dict[str, Any]:
    """Return all suppliers, those that stop soonest first, those that have stopped last."""
    with store.reading() as state:
        rows = [document(r, on) for r in lookup.suppliers(state).values()]

    def soonest(row: dict[str, Any]) -> tuple[bool, str, str]:
        limits = [d for d in (row["last_order"], row["closes_on"]) if d]
        return row["stopped"], min(limits, default="9999"), row["supplier"].casefold()

    return {"suppliers": sorted(rows, key=soonest)}


def show(store: Store, name: str, on: date) -> dict[str, Any]:
    """Return one supplier with contact, offers, enquiries and orders."""
    with store.reading() as state:
        row = lookup.supplier(state, name)
        key = row["supplier"]
        offers = state.rows(
            "SELECT offer, want, price, currency, quantity, until, withdrawn_on FROM offers"
            " WHERE supplier = ? ORDER BY offer",
            [key],
        )
        return {
            **document(row, on),
            "contact": state.contact(key).get("contact"),
            "enquiries": state.rows(
                "SELECT enquiry, written_on, sent_on FROM enquiries WHERE supplier = ?"
                " ORDER BY enquiry",
                [key],
            ),
            "offers": [{**o, "price": lookup.cents(o["price"])} for o in offers],
            "orders": state.rows(
                'SELECT order_id AS "order", offer, want, quantity, ordered_on FROM orders'
                " WHERE supplier = ? ORDER BY order_id",
                [key],
            ),
        }


def forget_contact(store: Store, name: str) -> dict[str, Any]:
    """Erase a supplier's contact details for good."""
    with store.reading() as state:
        row = lookup.supplier(state, name)
    erased = store.erase_contact(row["supplier"])
    return {"supplier": row["name"], "erased": erased}
