"""Where each number of a list stands: as a row's own, or mentioned as a replacement."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from ..texts import Texts
from .columns import Array, Column, coded_text, objects, of_texts
from .lines import registered
from .number_key import keyed, number_keys
from .parquet import copy_rows

if TYPE_CHECKING:
    import duckdb


@dataclass(frozen=True)
class Standing:
    """The numbers of a list in their order, and the rows each stands in.

    `keys`, `items` and `own` are aligned, sorted by number and then by row; `starts` says where
    each number begins, and the last one ends. `own` is False where a number is only mentioned.
    """

    keys: Texts
    items: Array
    own: Array
    starts: Array

    @property
    def numbers(self) -> Texts:
        """Return the distinct numbers in their order."""
        return self.keys.taken(self.starts[:-1])


def number_key_column(number: Column | None, count: int) -> Column:
    """Return the searching forms of a column of numbers; `count` rows of nothing without one."""
    if number is None:
        return Column("number_key", "VARCHAR", np.zeros(0, object), np.full(count, -1, np.int8))
    if number.texts is not None:
        return of_texts("number_key", keyed(number.texts))
    assert number.codes is not None  # noqa: S101 - numbers are texts
    return coded_text("number_key", objects(number_keys(number.cells)), number.codes)


def write_numbers(
    con: duckdb.DuckDBPyConnection,
    path: Path,
    number_key: Column,
    key_of_item: Array,
    mentions: tuple[Sequence[int], Sequence[str]],
) -> Standing:
    """Write numbers.parquet to `path`: where each number of a list stands; return the same.

    `mentions` are items and the numbers mentioned in them.
    """
    import pandas as pd

    own = _row_texts(number_key)
    items = np.flatnonzero(own.lengths)
    roles = np.zeros(len(items), np.int8)
    keys = own if len(items) == len(own) else own.taken(items)
    if mentions[0]:  # merged in by item, so that the place alone decides among equal numbers
        roles = np.concatenate([roles, np.ones(len(mentions[0]), np.int8)])
        items = np.concatenate([items, np.array(mentions[0], np.int64)])
        order = np.argsort(items, kind="stable")
        keys = Texts.joined([keys, Texts.of(mentions[1])]).taken(order)
        roles, items = roles[order], items[order]
    places = keys.order()
    keys, items, roles = keys.taken(places), items[places], roles[places]
    words = pd.CategoricalDtype(pd.Index(["own", "mentioned"], dtype="object"))
    rest = pd.DataFrame(
        {
            "role": pd.Categorical.from_codes(roles, dtype=words),
            "item": items,
            "key": key_of_item[items].astype(np.int64),
        },
        copy=False,
    )
    con.register("rest", rest)
    with registered(con, "entries", keys) as lines:
        query = f"SELECT text AS number_key, rest.* FROM ({lines}) POSITIONAL JOIN rest"  # noqa: S608
        copy_rows(con, path, query)
    con.unregister("rest")
    begins = np.append(~keys.repeats(), True)
    return Standing(keys, items, roles == 0, np.flatnonzero(begins))


def _row_texts(column: Column) -> Texts:
    """Return the text of each row, an empty one where nothing is said."""
    if column.texts is not None:
        return column.texts
    assert column.codes is not None  # noqa: S101 - numbers are texts
    return Texts.of([*column.cells.tolist(), ""]).taken(column.codes)
