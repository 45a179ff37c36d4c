"""Rows of a reading as the JSON document shows them: unknown is null, prices are numbers."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.kinds.spec import dimension_names, trait_names

if TYPE_CHECKING:
    import pandas as pd

_PLAIN = (
    "number", "maker", "description", "quantity", "quantity_words", "or_more", "price",
    "price_words", "currency", "tax", "condition", "variant", "assembly", "location", "as_of",
    "relation", "relation_quantity", "replacement_maker", "written_unit",
)  # fmt: skip
_LISTS = ("replacements", "supersedes", "warnings")


def rows_document(rows: pd.DataFrame, table: str | None) -> list[dict[str, Any]]:
    """Return the rows as JSON values, in their order."""
    if rows.empty:
        return []
    present = set(rows.columns)
    own = [name for name in _PLAIN if name in present]
    further = [
        name
        for name in rows.columns
        if name
        not in {"at", "kind", "extra", "relation_quantities", *_PLAIN, *_LISTS, *trait_names()}
        and not name.endswith(("_mm", "_text"))
    ]
    dims = [name for name in dimension_names() if f"{name}_mm" in present]
    traits = [name for name in trait_names() if name in present]
    records = rows.to_dict("records")
    return [_row(record, own, further, dims, traits, table) for record in records]


def _row(
    record: dict[Any, Any],
    own: list[str],
    further: list[str],
    dims: list[str],
    traits: list[str],
    table: str | None,
) -> dict[str, Any]:
    row: dict[str, Any] = {"at": value(record["at"])}
    row |= {name: value(record[name]) for name in own}
    row |= {name: value(record[name]) for name in further}
    if table not in ("suppliers",):
        row["kind"] = value(record.get("kind"))
        row["dimensions_mm"] = _dimensions(record, dims)
        limits = {
            name: [record[f"{name}_low_mm"], record[f"{name}_high_mm"]]
            for name in dims
            if f"{name}_low_mm" in record and value(record[f"{name}_low_mm"]) is not None
        }
        if limits:
            row["limits_mm"] = limits
        found = {name: value(record[name]) for name in traits}
        row["traits"] = {name: one for name, one in found.items() if one is not None}
        row |= _replaced(record.get("replacements"))
        if counts := value(record.get("relation_quantities")):
            each = json.loads(counts)
            row["relation_quantities"] = each[0] if row.get("together") else _alone(each)
    row["warnings"] = list(record.get("warnings") or [])
    extra = record.get("extra")
    if extra:
        row["extra"] = {str(name): value(text) for name, text in extra.items()}
    return row


def _dimensions(record: dict[Any, Any], dims: list[str]) -> dict[str, float]:
    found = {}
    for name in dims:
        number = record[f"{name}_mm"]
        if number is not None and number == number:
            found[name] = round(float(number), 9)
    return found


def _replaced(replacements: Any) -> dict[str, Any]:
    """Return the replacements one by one; parts used together stand apart with a mark."""
    listed = list(replacements) if isinstance(replacements, list) else []
    if len(listed) == 1 and " + " in listed[0]:
        return {"replacements": listed[0].split(" + "), "together": True}
    return {"replacements": listed}


def _alone(alternatives: list[list[int]]) -> list[int | list[int]]:
    """Return for each alternative its count, or the counts of what is used together."""
    return [counts[0] if len(counts) == 1 else counts for counts in alternatives]


def set_aside_document(rows: pd.DataFrame) -> list[dict[str, Any]]:
    """Return the rows set aside as JSON values."""
    return [
        {"at": value(at), "raw": raw, "reason": reason}
        for at, raw, reason in zip(rows["at"], rows["raw"], rows["reason"], strict=True)
    ]


def value(cell: Any) -> Any:
    """Return one cell as a JSON value; NaN, NaT and NA are null."""
    if cell is None or isinstance(cell, str | bool | dict | list):
        return cell
    if type(cell).__name__ in ("NAType", "NaTType"):  # pandas need not be imported to know them
        return None
    if isinstance(cell, Decimal):
        return int(cell) if cell == cell.to_integral_value() else float(cell)
    if isinstance(cell, date):
        return cell.isoformat()[:10]
    if cell != cell or str(cell) in ("<NA>", "NaT"):
        return None
    if hasattr(cell, "item"):
        cell = cell.item()
    return cell
