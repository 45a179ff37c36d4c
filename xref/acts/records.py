"""Load the tables that go into the records rather than into a list: suppliers and wanted lists."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, XrefError
from xref.sourcing import suppliers, wants

if TYPE_CHECKING:
    from xref.store import Store
    from xref.tables import Reading

TABLES = ("suppliers", "wanted")


def load(store: Store, table: str, reading: Reading, on: date) -> dict[str, Any]:
    """Note every row of the reading; a row that cannot be is named, the others are kept.

    A want with the same number and place as an open one, and a supplier already noted with the
    same terms, count as unchanged.
    """
    rows = reading.document()["rows"]
    note: Callable[[dict[str, Any]], bool] = (
        _supplier(store, on) if table == "suppliers" else _want(store, on)
    )
    new = 0
    problems: list[dict[str, Any]] = []
    for row in rows:
        try:
            new += note(row)
        except XrefError as error:
            problems.append({"at": row["at"], "raw": _raw(row), "reason": str(error)})
    return {
        "list": table,
        "table": table,
        "loaded": len(rows) - len(problems),
        "new": new,
        "gone": 0,
        "changed": 0,
        "fills": [],
        "problems": [f"row {one['at']}: {one['reason']}" for one in problems],
        "set_aside_rows": problems,
    }


def _raw(row: dict[str, Any]) -> str:
    """Return a row's own words, so that nothing of it is lost."""
    return "; ".join(
        f"{name}: {row[name]}"
        for name in ("number", "name", "description", "quantity", "by", "place")
        if row.get(name)
    )


def _supplier(store: Store, on: date) -> Callable[[dict[str, Any]], bool]:
    def note(row: dict[str, Any]) -> bool:
        given: dict[str, Any] = {
            name: None if row.get(name) is None else str(row[name])
            for name in ("closes", "last_order", "postage", "currency", "contact", "remark")
        }
        days = row.get("reply_days")
        answer = suppliers.add(
            store,
            str(row["name"]),
            **given,
            reply_days=None if days is None else int(days),
            carries=[row["carries"]] if row.get("carries") else (),
            on=on,
        )
        return bool(answer["new"])

    return note


def _want(store: Store, on: date) -> Callable[[dict[str, Any]], bool]:
    known = {(w["number"], w["place"]) for w in wants.listing(store, on)["wants"]}

    def note(row: dict[str, Any]) -> bool:
        if not row.get("number"):
            raise Impossible(
                "it has no part number, and a want without one needs sizes: add it with "
                "`xref want add --kind KIND --id SIZE ...`",
                code="want-without-number",
            )
        key = (row["number"], row.get("place"))
        if key in known:
            return False
        wants.add(
            store,
            str(row["number"]),
            quantity=int(row.get("quantity") or 1),
            kind=row.get("kind"),
            by=row.get("by"),
            priority=int(row.get("priority") or 2),
            variants=[row["variant"]] if row.get("variant") else (),
            place=row.get("place"),
            on=on,
        )
        known.add(key)
        return True

    return note
