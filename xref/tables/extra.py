"""What no field takes, kept under its heading: a dict for each combination of such cells."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from xref.tables.coded import Coded, combinations
from xref.tables.columns import Columns
from xref.tables.heading_answers import label
from xref.tables.layout import Block

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_json = json.JSONEncoder(ensure_ascii=False).encode


def extra_cells(
    block: Block, columns: Columns, kept: Mapping[int, Mapping[str, str]], codes: NDArray[Any]
) -> Coded:
    """Return for each row a dict of the cells under unrecognised headings, None without any.

    `kept[codes[row]]` are cells of other columns that fit no field of the row's kind. The dicts
    are made when they are asked for: a column of remarks, all different, makes a million.
    """
    import numpy as np

    named = [
        (label(block.headings, index), block.columns[index])
        for index in columns.kept
        if index < block.width
    ]
    keys = [(column.codes, len(column.texts)) for _, column in named]
    if kept:
        further = np.zeros(int(codes.max()) + 1, dtype=np.int64)
        further[list(kept)] = np.arange(1, len(kept) + 1)
        keys.append((further[codes], len(kept) + 1))
    both, first = combinations(keys, len(block.at))
    texts = [(name, [column.texts[code] for code in column.codes[first]]) for name, column in named]
    others: list[Mapping[str, str]] = []
    if kept:
        others = [kept.get(code, {}) for code in codes[first].tolist()]

    @cache
    def make() -> NDArray[np.object_]:
        return _dicts(texts, others, len(first))

    def write() -> list[str | None]:
        if others or len(named) != len({name for name, _ in named}):
            return [None if one is None else _json(one) for one in make().tolist()]
        return _written(texts, len(first))

    return Coded(both, None, make, write)


def _dicts(
    texts: list[tuple[str, list[str]]], others: list[Mapping[str, str]], size: int
) -> NDArray[np.object_]:
    import numpy as np

    found: list[dict[str, str] | None] = [None] * size
    for name, cells in texts:
        for place, text in enumerate(cells):
            if text:
                one = found[place]
                if one is None:
                    found[place] = {name: text}
                else:
                    one[name] = text
    for place, more in enumerate(others):
        if more:
            found[place] = {**(found[place] or {}), **more}
    array = np.empty(size, dtype=object)
    array[:] = found
    return array


def _written(texts: list[tuple[str, list[str]]], size: int) -> list[str | None]:
    """Return the dicts as JSON without making them."""
    parts: list[list[str]] = []
    for name, cells in texts:
        start = f"{_json(name)}: "
        known = {text: f"{start}{_json(text)}" if text else "" for text in set(cells)}
        parts.append([known[text] for text in cells])
    if not parts:
        return [None] * size
    joined = parts[0]
    if len(parts) > 1:
        joined = [", ".join(filter(None, row)) for row in zip(*parts, strict=True)]
    return [f"{{{one}}}" if one else None for one in joined]
