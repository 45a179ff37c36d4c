"""Which rows of a list are judged alike: their judgement keys, numbered in the order of size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from .columns import Array, Column
from .rows import key_columns

_MOST_COMBINED = 1 << 62
_WORTH_LISTING = 4
"""Combinations for each row up to which a table of all is quicker than a look-up of each."""


@dataclass(frozen=True)
class Keys:
    """The keys of the rows of a list.

    `columns` make up a key. `of_row` is the key of each row; `rows` are the rows key by key, each
    key's in their order; `starts` says where in `rows` each key begins, and the last one ends.
    """

    columns: list[str]
    of_row: Array
    rows: Array
    starts: Array

    def __len__(self) -> int:
        return len(self.starts) - 1

    @property
    def first_rows(self) -> Array:
        """Return a row of each key."""
        found: Array = self.rows[self.starts[:-1]]
        return found


def judgement_keys(columns: Mapping[str, Column], count: int) -> Keys:
    """Return the keys of `count` rows with these columns.

    Keys are numbered in their sort order (kind, sizes, traits; nothing said comes last), so that
    files sorted by key are sorted by size too.
    """
    parts = [name for name in key_columns() if name in columns]
    combined = np.zeros(count, np.int64)
    size = 1
    for name in parts:
        ranks, width = _ranks(columns[name])
        if size * width > _MOST_COMBINED:
            combined, size = _numbered(combined, size)
        combined = combined * width + ranks
        size *= width
    of_row, number = _numbered(combined, size)
    of_row = of_row.astype(np.min_scalar_type(number))
    starts = np.zeros(number + 1, np.int64)
    np.cumsum(np.bincount(of_row, minlength=number), out=starts[1:])
    rows = np.argsort(of_row, kind="stable").astype(np.uint32)
    return Keys(parts, of_row, rows, starts)


def _ranks(column: Column) -> tuple[Array, int]:
    """Return the place of each row's cell among the sorted cells, and how many places there are."""
    cells = column.cells
    assert column.codes is not None  # noqa: S101 - columns of a key are coded
    order = np.argsort(cells, kind="stable")
    rank = np.empty(len(cells) + 1, np.int64)
    rank[order] = np.arange(len(cells))
    rank[-1] = len(cells)  # nothing said: the code -1
    return rank[column.codes], len(cells) + 1


def _numbered(combined: Array, size: int) -> tuple[Array, int]:
    """Return the rank of each number among those that occur (all are below `size`), how many."""
    if size > _WORTH_LISTING * len(combined):
        import pandas as pd

        codes, distinct = pd.factorize(combined)
        rank = np.empty(len(distinct), np.int64)
        rank[np.argsort(distinct)] = np.arange(len(distinct))
        return rank[codes], len(distinct)
    occurs = np.zeros(size, np.bool_)
    occurs[combined] = True
    rank = np.cumsum(occurs)
    return rank[combined] - 1, int(rank[-1])
