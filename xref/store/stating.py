"""What the rows of a list state about replacements, and which numbers they mention."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np

from .columns import Array, Column
from .edition import ListInfo
from .number_key import number_key
from .statement_index import write_statement_index
from .statements import Statement, statements_of

# What a statement is made of.
_STATED = (
    *("number", "maker", "replacements", "replacement_maker", "supersedes", "relation"),
    *("relation_quantity", "relation_quantities", "variant", "at", "description"),
)


def write_statements(
    path: Path, info: ListInfo, columns: Mapping[str, Column]
) -> tuple[list[int], list[str]]:
    """Index what the rows state about replacements; return the numbers mentioned in which items."""
    statements: list[Statement] = []
    items: list[int] = []
    mentions: list[str] = []
    told = {name: columns[name] for name in _STATED if name in columns}
    for places in _stating(columns):
        rows = zip(*(column.values(places) for column in told.values()), strict=True)
        for item, cells in zip(places.tolist(), rows, strict=True):
            row = dict(zip(told, cells, strict=True))
            own = number_key(row.get("number") or "")
            said = list(statements_of([row], list_name=info.name, table=info.table))
            other = {key for s in said for key in (s.key, *s.to_keys)} - {own, ""}
            statements += said
            items += [item] * len(other)
            mentions += sorted(other)
    write_statement_index(path, statements)
    return items, mentions


def _stating(columns: Mapping[str, Column]) -> Iterator[Array]:
    """Yield the items that state a replacement, some thousands at a time."""
    stating = [columns[name] for name in ("replacements", "supersedes") if name in columns]
    if not stating:
        return
    said = np.logical_or.reduce([column.said() for column in stating])
    items = np.flatnonzero(said)
    for start in range(0, len(items), 10_000):
        yield items[start : start + 10_000]
