"""Finding suppliers, wants and other records in the state, or saying in a sentence why not."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NothingFound
from xref.store.edition import folded

from .due_rules import POSTAGE_DAYS, REPLY_DAYS, Supplier

if TYPE_CHECKING:
    from xref.store.state import State

Row = dict[str, Any]
OWNERS = ("owner", "parts machine")
LONGEST_NAME = 200
_MOST = 1_000_000_000


def supplier_key(name: str) -> str:
    """Return the key of a supplier's name, as names are compared everywhere."""
    return folded(name)


def printable(name: str | None, what: str) -> None:
    """Raise Impossible for a name too long to read, or one that is not what it looks like."""
    if name is not None and not (
        len(name) <= LONGEST_NAME and " ".join(name.split()).isprintable()
    ):
        raise Impossible(
            f"a {what} is written with 1 to {LONGEST_NAME} printable characters", at=what
        )


def suppliers(state: State) -> dict[str, Row]:
    """Return every supplier by key: those noted, and those known only by a list of theirs.

    A list taken back makes nobody known, unless a letter or an offer is his.
    """
    found = {r["supplier"]: r for r in state.rows("SELECT * FROM suppliers ORDER BY name")}
    spoken_of = "SELECT supplier FROM enquiries UNION SELECT supplier FROM offers"
    involved = {r["supplier"] for r in state.rows(spoken_of)}
    for edition in state.rows(
        "SELECT supplier, currency, bool_and(coalesce(withdrawn, false)) AS withdrawn"
        " FROM editions WHERE supplier IS NOT NULL GROUP BY ALL ORDER BY 1, 2"
    ):
        key = supplier_key(edition["supplier"])
        if edition["withdrawn"] and key not in involved:
            continue  # known only by a list that was loaded by mistake
        if key and key not in found:
            found[key] = {
                "supplier": key,
                "name": edition["supplier"],
                "currency": edition["currency"],
            }
        elif key and found[key].get("currency") is None:
            found[key]["currency"] = edition["currency"]
    return found


def supplier(state: State, name: str) -> Row:
    """Return the supplier called `name`; raises NothingFound with the nearest names."""
    known = suppliers(state)
    key = supplier_key(name)
    if key in known:
        return known[key]
    near = [r["name"] for k, r in known.items() if key and (key in k or k in key)]
    hint = f" Did you mean {', '.join(near[:3])}?" if near else ""
    raise NothingFound(
        f"no supplier {name!r} is noted.{hint} `xref supplier add` notes a new one.",
        at="supplier",
        code="unknown-supplier",
    )


def supplier_dates(row: Row) -> Supplier:
    """Return the dates of a supplier's row, with the stated defaults where none are noted."""
    reply, postage = row.get("reply_days"), row.get("postage_days")
    return Supplier(
        row["name"],
        row.get("last_order"),
        row.get("closes"),
        REPLY_DAYS if reply is None else reply,
        POSTAGE_DAYS if postage is None else postage,
    )


def still_trading(row: Row, on: date, purpose: str) -> None:
    """Raise Impossible when nothing can be asked of or ordered from this supplier any more."""
    dates = supplier_dates(row)
    if dates.closed(on):
        assert dates.deadline is not None  # noqa: S101 - closed only with a deadline
        which = "took its last orders" if dates.deadline == dates.last_order else "closed"
        raise Impossible(
            f"{row['name']} {which} on {dates.deadline.isoformat()}, so {purpose} on "
            f"{on.isoformat()} comes too late. If that date has changed, note it with "
            "`xref supplier add`.",
            at="supplier",
            code="supplier-closed",
        )


_NOUNS = {
    "wants": ("want", "want"),
    "enquiries": ("enquiry", "enquiry"),
    "offers": ("offer", "offer"),
    "orders": ("order_id", "order"),
    "receipts": ("receipt", "receipt"),
}


def record(state: State, table: str, key: int) -> Row:
    """Return row `key` of a table of records; raises NothingFound when there is none."""
    column, noun = _NOUNS[table]
    row = state.one(f"SELECT * FROM {table} WHERE {column} = ?", [key])  # noqa: S608 - own names
    if row is None:
        raise NothingFound(
            f"there is no {noun} {key}. `xref {noun} list` shows those there are.",
            at=noun,
            code=f"unknown-{noun}",
        )
    return row


def open_want(state: State, want: int) -> Row:
    """Return a want that has not ended; raises NothingFound or Impossible."""
    row = record(state, "wants", want)
    if row["closed_as"]:
        raise Impossible(
            f"want {want} ended on {row['closed_on']} as {row['closed_as']}"
            f" ({row['reason']}), so nothing more can be noted for it",
            at="want",
            code="want-closed",
        )
    return row


def reason(text: str, missing: str) -> str:
    """Return a reason as it is kept; raises Impossible with `missing` where none is given."""
    if not text.strip():
        raise Impossible(missing, at="reason")
    return text.strip()


def whole(value: int | None, what: str, least: int = 1) -> int | None:
    """Return a count that can be; raises Impossible below `least` or beyond a billion."""
    if value is None:
        return None
    if not least <= value <= _MOST:
        raise Impossible(
            f"a {what} of {value} cannot be: it must be at least {least}"
            + ("" if value < least else f" and at most {_MOST:,}"),
            at=what,
            code="impossible-quantity" if what == "quantity" else "impossible-value",
        )
    return value


def cents(value: Any) -> Decimal | None:
    """Return money from the state with two places."""
    return None if value is None else Decimal(value).quantize(Decimal("0.01"))


def iso(value: date | None) -> str | None:
    """Return a day as ISO text."""
    return value.isoformat() if value else None
