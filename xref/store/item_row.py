"""An item as callers see it, from the cells of its file."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..kinds.spec import dimension_names, kinds, spec, trait_names
from .edition import Edition
from .rows import ITEM_TYPES, JSON_COLUMNS


@dataclass(frozen=True, slots=True)
class _Cells:
    """Which cells of a file's columns make up an item of a kind, by the names callers know."""

    plain: tuple[str, ...]
    as_json: tuple[str, ...]
    sizes: tuple[tuple[str, str], ...]
    limits: tuple[tuple[str, str, str], ...]
    written: tuple[tuple[str, str], ...]
    traits: tuple[tuple[str, str], ...]


@lru_cache(maxsize=256)
def _cells(columns: tuple[str, ...], kind: str | None) -> _Cells:
    """Choose among the columns of an edition; a large list gives hundreds of items a look-up."""
    there = set(columns)
    # The dimensions as the trade writes them for the kind, then any others.
    own = spec(kind).dimension_names if kind in kinds() else ()
    order = tuple(dict.fromkeys((*own, *dimension_names())))
    ends = [(d, f"{d}_low_mm", f"{d}_high_mm") for d in order]
    return _Cells(
        tuple(c for c in ITEM_TYPES if c in there and c not in JSON_COLUMNS),
        tuple(c for c in ITEM_TYPES if c in there and c in JSON_COLUMNS),
        tuple((d, f"{d}_mm") for d in order if f"{d}_mm" in there),
        tuple((d, low, high) for d, low, high in ends if low in there and high in there),
        tuple((d, f"{d}_text") for d in order if f"{d}_text" in there),
        tuple((t, t) for t in trait_names() if t in there),
    )


_NOTHING_SAID = dict.fromkeys(ITEM_TYPES)


def item_row(edition: Edition, cells: dict[str, Any]) -> dict[str, Any]:
    """Return an item as callers see it, from the cells of its file.

    Every column of a reading is there (None: unknown), sizes as `dimensions_mm`, `limits_mm`
    (pairs) and `written` (text), traits as `traits`, with the list it stands in.
    """
    chosen = _cells(edition.item_columns, cells.get("kind"))
    get = cells.get
    row: dict[str, Any] = {
        "edition": edition.edition,
        "list": edition.name,
        "table": edition.table,
        "supplier": edition.supplier,
        "item": cells["item"],
        "key": cells["key"],
        "number_key": get("number_key"),
        **_NOTHING_SAID,
    }
    for column in chosen.plain:
        row[column] = get(column)
    for column in chosen.as_json:
        value = get(column)
        row[column] = None if value is None else json.loads(value)
    if row["currency"] is None:
        row["currency"] = edition.currency
    if row["as_of"] is None:
        row["as_of"] = edition.as_of
    row["dimensions_mm"] = _present(cells, chosen.sizes)
    row["limits_mm"] = {
        dimension: (cells[low], cells[high])
        for dimension, low, high in chosen.limits
        if get(low) is not None and get(high) is not None
    }
    row["written"] = _present(cells, chosen.written)
    row["traits"] = _present(cells, chosen.traits)
    return row


def _present(cells: dict[str, Any], names: tuple[tuple[str, str], ...]) -> dict[str, Any]:
    get = cells.get
    return {name: value for name, column in names if (value := get(column)) is not None}
