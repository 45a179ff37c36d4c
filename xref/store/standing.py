"""Where each number of a list stands: as a row's own, or mentioned as a replacement."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from .columns import Array, Column, coded_text
from .number_key import number_keys
from .parquet import copy_rows

if TYPE_CHECKING:
    import duckdb


@dataclass(frozen=True)
class Standing:
    """The numbers of a list in their order, and the rows each stands in.

    `keys`, `items` and `own` are aligned, sorted by number and then by row; `starts` says where
    each number begins, and the last one ends. `own` is False where a number is only mentioned.
    """

    keys: Array
    items: Array
    own: Array
    starts: Array

    @property
    def numbers(self) -> list[str]:
        """Return the distinct numbers in their order."""
        found: list[str] = self.keys[self.starts[:-1]].tolist()
        return found


def number_key_column(number: Column | None, count: int) -> Column:
    """Return the searching forms of a column of numbers; `count` rows of nothing without one."""
    if number is None:
        return Column("number_key", "VARCHAR", np.zeros(0, object), np.full(count, -1, np.int8))
    cells = number.cells
    keys = np.array(number_keys(cells), object)
    keys[cells == None] = None  # noqa: E711 - cell by cell
    return coded_text("number_key", keys, number.codes)


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

    own, _ = number_key.taken(np.arange(len(key_of_item)))
    items = np.flatnonzero(own.astype(np.bool_))
    roles = np.zeros(len(items), np.int8)
    keys = own if len(items) == len(own) else own[items]
    if mentions[0]:  # merged in by item, so that the place alone decides among equal numbers
        roles = np.concatenate([roles, np.ones(len(mentions[0]), np.int8)])
        items = np.concatenate([items, np.array(mentions[0], np.int64)])
        order = np.argsort(items, kind="stable")
        keys = np.concatenate([keys, np.array(mentions[1], object)])[order]
        roles, items = roles[order], items[order]
    keys, places = _sorted(con, keys)
    items, roles = items[places], roles[places]
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
    copy_rows(con, path, "SELECT number_key, role, item, key FROM numbers POSITIONAL JOIN rest")
    con.unregister("rest")
    con.execute("DROP TABLE numbers")
    begins = np.ones(len(keys) + 1, np.bool_)
    begins[1:-1] = keys[1:] != keys[:-1]
    return Standing(keys, items, roles == 0, np.flatnonzero(begins))


def _sorted(con: duckdb.DuckDBPyConnection, keys: Array) -> tuple[Array, Array]:
    """Return the keys sorted and their places before, making the table `numbers` of them.

    They come back as new texts that lie in memory in their order, which all that follows is
    quicker for.
    """
    import pandas as pd

    entries = {
        "number_key": pd.Series(keys, dtype="object"),
        "place": np.arange(len(keys), dtype=np.uint32),
    }
    con.register("entries", pd.DataFrame(entries, copy=False))
    con.execute("CREATE TABLE numbers AS SELECT * FROM entries ORDER BY number_key, place")
    con.unregister("entries")
    found = con.execute("SELECT * FROM numbers").fetchnumpy()
    return np.asarray(found["number_key"], object), np.asarray(found["place"])
