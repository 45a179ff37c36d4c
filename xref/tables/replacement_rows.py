"""Replacements of a block: alternatives, sets, relations, self-references."""

from __future__ import annotations

import json
from functools import partial
from typing import TYPE_CHECKING

from xref.tables.cells import number as numbers
from xref.tables.cells.replacement import (
    read_relation,
    read_replacement,
    relation_of_heading,
    use_count,
)
from xref.tables.column import Column
from xref.tables.columns import Columns
from xref.tables.grouped import by_groups
from xref.tables.layout import Block
from xref.tables.rowset import Rows, one_each, whole_array
from xref.tables.text import quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def add_replacements(rows: Rows, block: Block, columns: Columns, table: str) -> None:
    """Read the numbers that replace each row's number, or are replaced by it."""
    required = table == "interchange"
    if indices := columns.fields.get("replacements", []):
        step = partial(_replacements, columns=columns, required=required)
        by_groups(rows, block, [*indices, columns.first("relation")], step)
        _self_references(rows)
    if indices := columns.fields.get("supersedes", []):
        listed = partial(_listed, name="supersedes", indices=indices, required=required)
        by_groups(rows, block, indices, listed)


def _replacements(rows: Rows, block: Block, columns: Columns, required: bool) -> None:
    indices = columns.fields["replacements"]
    import numpy as np

    quantity, counts, said_none = _listed(rows, block, "replacements", indices, required)
    listed = rows.values["replacements"].tolist()
    if any(quantity):
        rows.values["relation_quantity"] = whole_array(quantity)
    if any(counts):
        rows.values["relation_quantities"] = np.array(counts, dtype=object)
    if required:
        for row in range(rows.size):
            if not listed[row] and not said_none[row]:
                rows.set_aside(row, "no other number is given")
    _relations(rows, block, columns, listed, indices)


def _listed(
    rows: Rows, block: Block, name: str, indices: list[int], required: bool
) -> tuple[list[int | None], list[str | None], NDArray[np.bool_]]:
    """Read lists of numbers; return how many are needed, and where it is said there is none.

    How many is one figure for each row, and where numbers of a row differ in it JSON text of all.
    """
    import numpy as np

    listed: list[list[str]] = [[] for _ in range(rows.size)]
    quantity: list[int | None] = [None] * rows.size
    counts: list[dict[str, tuple[int, ...]]] = [{} for _ in range(rows.size)]
    said_none = np.zeros(rows.size, dtype=bool)
    for index in indices:
        column = block.columns[index]
        read = [read_replacement(text) for text in column.texts]
        for row in np.nonzero(column.filled)[0].tolist():
            one = read[column.codes[row]]
            if damaged := _damaged(one.alternatives):
                rows.set_aside(row, damaged)
            if one.problem and required:
                rows.set_aside(row, one.problem)
            elif one.problem:
                rows.warn(row, one.problem)
            listed[row] = list(dict.fromkeys([*listed[row], *one.alternatives]))
            quantity[row] = one.quantity or quantity[row]
            for alternative, count in zip(one.alternatives, one.counts, strict=False):
                counts[row][alternative] = count
            said_none[row] |= one.no_part
            for text in one.warnings:
                rows.warn(row, text)
    array = np.empty(rows.size, dtype=object)
    array[:] = listed
    rows.values[name] = array
    told = [
        _counts_text(known, others) if known else None
        for known, others in zip(counts, listed, strict=True)
    ]
    return quantity, told, said_none


def _counts_text(counts: dict[str, tuple[int, ...]], alternatives: list[str]) -> str:
    """Return how many of each number of each alternative, as JSON: one of each unless said."""
    each = [counts.get(other) or (1,) * len(other.split(" + ")) for other in alternatives]
    return json.dumps(each)


def _damaged(alternatives: tuple[str, ...]) -> str | None:
    return next((d for text in alternatives if (d := numbers.damage(text))), None)


def _self_references(rows: Rows) -> None:
    import numpy as np

    from xref.store.number_key import number_key, number_keys

    own = rows.values.get("number")
    if own is None:
        return
    listed = rows.values["replacements"]
    keys = [
        {number_key(piece) for other in others for piece in other.split(" + ")}
        for others in listed.values
    ]
    naming = np.fromiter(map(bool, keys), bool, len(keys))
    places = np.flatnonzero(naming[listed.codes])
    texts = own.taken(places).dense().tolist()
    codes = listed.codes[places].tolist()
    for row, text, key, code in zip(places.tolist(), texts, number_keys(texts), codes, strict=True):
        if text and key in keys[code]:
            rows.warn(row, f"{quoted(text)} is named as its own replacement")


def _counts_in_words(rows: Rows, column: Column) -> None:
    """Take quantities from remarks such as `use 2 of` beside the numbers."""
    import numpy as np
    import pandas as pd

    counts = [use_count(text) for text in column.texts]
    if not any(counts):
        return
    known = rows.values.get("relation_quantity")
    listed: list[int | None] = [None] * rows.size
    if known is not None:
        listed = [None if value is pd.NA else int(value) for value in known]
    has = np.fromiter((bool(count) for count in counts), bool, len(counts))
    for row in np.nonzero(has[column.codes])[0].tolist():
        listed[row] = counts[column.codes[row]]
    rows.values["relation_quantity"] = whole_array(listed)


def _relations(
    rows: Rows, block: Block, columns: Columns, listed: list[list[str]], indices: list[int]
) -> None:
    import numpy as np

    general = relation_of_heading(columns.headings[indices[0]].text)
    index = columns.first("relation")
    found = np.full(rows.size, None, dtype=object)
    if index is not None:
        column = block.columns[index]
        read = [(None, None) if use_count(text) else read_relation(text) for text in column.texts]
        _counts_in_words(rows, column)
        found = column.spread([value for value, _ in read])
        rows.warn_texts(column, one_each([w for _, w in read]))
    for row in range(rows.size):
        if found[row] is None and listed[row]:
            found[row] = general
    rows.values["relation"] = found
