"""Load the tables that go into the records rather than into a list: suppliers and wanted lists."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, XrefError
from xref.sourcing import lookup, suppliers, wants
from xref.store.number_key import number_key

if TYPE_CHECKING:
    from xref.store import Store
    from xref.tables import Reading

Row = dict[str, Any]
# Notes a row: whether something new was noted, and what is to be said of it.
Note = Callable[[Row], tuple[bool, list[str]]]
TABLES = ("suppliers", "wanted")
_TAX = {"included": "with tax", "excluded": "without tax"}


def load(store: Store, table: str, reading: Reading, on: date) -> dict[str, Any]:
    """Note every row of the reading; a row that cannot be is named, the others are kept.

    A want with the same number, place and pieces as an open one, and a supplier already noted
    with the same terms, count as unchanged. What a row says beyond the fields goes into its
    remark, and what was not understood of it into `notes`: nothing that was written is dropped.
    """
    rows = reading.document()["rows"]
    note: Note = _supplier(store, on) if table == "suppliers" else _want(store, on)
    new = 0
    problems: list[Row] = []
    notes: list[str] = []
    for row in rows:
        try:
            added, told = note(row)
        except XrefError as error:
            problems.append({"at": row["at"], "raw": _raw(row), "reason": str(error)})
            continue
        new += added
        notes += [f"row {row['at']}: {text}" for text in (*row.get("warnings", ()), *told)]
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
        "notes": notes,
    }


def _raw(row: Row) -> str:
    """Return a row's own words, so that nothing of it is lost."""
    names = ("number", "name", "maker", "description", "quantity", "by", "variant", "place")
    said = {name: row[name] for name in names if row.get(name) is not None}
    return _words({**said, **(row.get("extra") or {})})


def _words(said: Mapping[str, Any]) -> str:
    """Return `heading: cell` of what is not blank."""
    return "; ".join(
        f"{name}: {text}" for name, text in said.items() if text is not None and str(text).strip()
    )


def _supplier(store: Store, on: date) -> Note:
    def note(row: Row) -> tuple[bool, list[str]]:
        given: dict[str, Any] = {
            name: None if row.get(name) is None else str(row[name])
            for name in ("closes", "last_order", "postage", "currency")
        }
        days = row.get("reply_days")
        reach = [row.get(name) for name in ("contact", "address", "telephone", "email")]
        remark = [row.get("remark"), _words(row.get("extra") or {})]
        answer = suppliers.add(
            store,
            str(row["name"]),
            **given,
            tax=_TAX.get(row.get("tax") or ""),
            reply_days=None if days is None else int(days),
            carries=[row["carries"]] if row.get("carries") else (),
            contact="; ".join(str(text) for text in reach if text) or None,
            remark="; ".join(str(text) for text in remark if text) or None,
            on=on,
        )
        return bool(answer["new"]), []

    return note


def _want(store: Store, on: date) -> Note:
    known = {
        _same(w["number"], w["place"]): (w["want"], w["quantity"])
        for w in wants.listing(store, on)["wants"]
    }

    def note(row: Row) -> tuple[bool, list[str]]:
        if not row.get("number"):
            raise Impossible(
                "it has no part number, and a want without one needs sizes: add it with "
                "`xref want add --kind KIND --id SIZE ...`",
                code="want-without-number",
            )
        key = _same(row["number"], row.get("place"))
        pieces, told = _pieces(row)
        if key in known:
            want, before = known[key]
            if before != pieces:
                raise Impossible(
                    f"want {want} is open for this number and place (pieces: {before}), and "
                    f"this row says {pieces}; note what is wanted besides with `xref want add`",
                    code="want-twice",
                )
            return False, []
        more = {name: row.get(name) for name in ("maker", "assembly")}
        dimensions = (row.get("dimensions_mm") or {}).items()
        sizes = {name: _written(mm, row.get("written_unit")) for name, mm in dimensions}
        done = wants.add(
            store,
            str(row["number"]),
            quantity=pieces,
            kind=row.get("kind"),
            sizes=sizes if row.get("kind") else None,
            by=row.get("by"),
            priority=int(row.get("priority") or 2),
            variants=[row["variant"]] if row.get("variant") else (),
            place=row.get("place"),
            description=row.get("description"),
            remark=_words({**more, **(row.get("extra") or {})}) or None,
            on=on,
        )
        known[key] = done["want"], pieces
        return True, told

    return note


def _written(mm: float, unit: str | None) -> str:
    """Return a size [mm] as text in the unit of its row: the system it belongs to is told by it."""
    return f"{mm / 25.4:.10g}in" if unit == "in" else f"{mm:.10g}mm"


def _same(number: str | None, place: str | None) -> tuple[str, str]:
    return number_key(number or ""), lookup.supplier_key(place or "")


def _pieces(row: Row) -> tuple[int, list[str]]:
    """Return how many pieces a row wants, and what is to be said of it."""
    if row.get("quantity") is not None:
        return int(row["quantity"]), []
    said = row.get("quantity_words")
    missing = f"{said!r} is no number of pieces" if said else "no number of pieces stands there"
    return 1, [f"{missing}: 1 is noted"]
