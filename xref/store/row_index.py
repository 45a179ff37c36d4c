"""The rows of one edition, findable by number or judgement key without a query.

A query over a Parquet file of sixty columns costs 10 ms and more for a single row, however well
its row groups are chosen; unpacking a few rows from a mapped file costs a tenth of one. Hence
`rows.index`, in the layout of `array_file`, holds the rows of items.parquet once more, in the
same order (by key, then item) and without the columns that keys.parquet has:

- `rows`, `row_blocks`: per row a line of JSON, the list of its cells as text (null: nothing
  said), 64 lines compressed together (zlib); where each block starts, and the last one ends.
- `keys`, `key_blocks`: the cells of each judgement key, in the same way.
- `row_columns`, `key_columns`: names and SQL types of the cells, as JSON.
- `key_starts`: the first row of each key, and the number of rows.
- `row_of_item`: the row of each item, counted from 0 as `item` is.
- `number_starts`, `number_rows`, `number_own`: per number of numbers.index, in its order, the
  rows that bear or mention it, and whether as their own.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..errors import StoreUnavailable
from .array_file import open_arrays, write_arrays
from .engine import named, quoted

if TYPE_CHECKING:
    import duckdb

_ABOUT = "rows of a list, version 1"
_BLOCK = 64  # rows compressed together: some 15 kB, unpacked in a twentieth of a millisecond
_FETCHED = 64 * 1024  # rows at a time while writing
_FASTEST = 1  # level of compression: the higher ones save a tenth and cost as much again

_FROM_TEXT: dict[str, Callable[[str], Any]] = {
    "VARCHAR": str,
    "BIGINT": int,
    "DOUBLE": float,
    "BOOLEAN": "true".__eq__,
    "DATE": date.fromisoformat,
    "DECIMAL(18,6)": Decimal,
}

Columns = list[tuple[str, str]]


class RowIndex:
    """The rows of one edition, mapped; a row is known by its place in items.parquet."""

    def __init__(self, arrays: dict[str, NDArray[Any]], path: Path) -> None:
        self._arrays = arrays
        self._path = path
        self._columns = {
            part: [
                (name, None if kind == "VARCHAR" else _FROM_TEXT[kind])
                for name, kind in json.loads(arrays[f"{part[:-1]}_columns"].tobytes())
            ]
            for part in ("rows", "keys")
        }

    @classmethod
    def open(cls, path: Path) -> RowIndex:
        """Return the index written to `path`, mapped."""
        return cls(open_arrays(path, _ABOUT), path)

    def of_number(self, position: int, *, own: bool) -> list[int]:
        """Return the rows that bear the number at `position`, or those that only mention it."""
        starts = self._arrays["number_starts"]
        here = slice(int(starts[position]), int(starts[position + 1]))
        rows: list[int] = self._arrays["number_rows"][here][
            self._arrays["number_own"][here] == own
        ].tolist()
        return rows

    def of_key(self, key: int, most: int | None) -> range:
        """Return the first `most` rows (or all) of a judgement key."""
        starts = self._arrays["key_starts"]
        if not 0 <= key < len(starts) - 1:
            return range(0)
        first, last = int(starts[key]), int(starts[key + 1])
        return range(first, last if most is None else min(last, first + most))

    def of_items(self, items: Iterable[int]) -> list[int]:
        """Return the rows of these items; items that are not there are left out."""
        places = self._arrays["row_of_item"]
        return [int(places[item]) for item in items if 0 <= item < len(places)]

    def cells(self, rows: Sequence[int]) -> list[dict[str, Any]]:
        """Return the cells of these rows, by column, in the order asked for.

        Raises StoreUnavailable if the file is damaged.
        """
        try:
            found = self._unpacked("rows", rows)
            keys = self._unpacked("keys", [row["key"] for row in found])
        except (zlib.error, ValueError, IndexError, ArithmeticError) as error:
            raise StoreUnavailable(
                f"The file {self._path.name} of this list is damaged; load the list again, or "
                "`xref store restore FILE`.",
                at=str(self._path),
                code="store-damaged",
            ) from error
        return [key | row for key, row in zip(keys, found, strict=True)]

    def _unpacked(self, part: str, places: Sequence[int]) -> list[dict[str, Any]]:
        columns = self._columns[part]
        starts, packed = self._arrays[f"{part[:-1]}_blocks"], self._arrays[part]
        blocks: dict[int, list[bytes]] = {}
        lines: dict[int, dict[str, Any]] = {}
        for place in sorted(set(places)):
            number, within = divmod(place, _BLOCK)
            if number not in blocks:  # places are sorted: the blocks before are done with
                text = zlib.decompress(
                    packed[int(starts[number]) : int(starts[number + 1])].tobytes()
                )
                blocks = {number: text.split(b"\n")}
            lines[place] = {
                name: cell if cell is None or read is None else read(cell)
                for (name, read), cell in zip(
                    columns, json.loads(blocks[number][within]), strict=True
                )
            }
        return [lines[place] for place in places]


def write_row_index(con: duckdb.DuckDBPyConnection, folder: Path, key_columns: list[str]) -> None:
    """Write rows.index of the edition in `folder`.

    items.parquet and keys.parquet are there; the table `standing` has `number_key, role, item,
    key, row`, where `row` counts in the order of items.parquet.
    """
    items = f"read_parquet({quoted(str(folder / 'items.parquet'))})"
    keys = f"read_parquet({quoted(str(folder / 'keys.parquet'))})"
    row_columns = [c for c in _described(con, items) if c[0] not in key_columns]
    rows, row_blocks = _packed(con, row_columns, items)
    judged = [c for c in _described(con, keys) if c[0] in key_columns]
    cells, key_blocks = _packed(con, judged, keys)
    of_key = con.execute(
        f"SELECT count(*) AS n FROM {items} GROUP BY key ORDER BY key"  # noqa: S608
    ).fetchnumpy()["n"]
    items_in_order = con.execute(f"SELECT item FROM {items}").fetchnumpy()["item"]  # noqa: S608
    row_of_item = np.empty(len(items_in_order), np.uint32)
    row_of_item[items_in_order] = np.arange(len(items_in_order), dtype=np.uint32)
    standing = con.execute(
        """SELECT CAST(row AS UINTEGER) AS row, role = 'own' AS own,
                  number_key IS DISTINCT FROM lag(number_key) OVER (ORDER BY number_key, item)
                  AS first
           FROM standing ORDER BY number_key, item"""
    ).fetchnumpy()
    firsts = np.flatnonzero(standing["first"])
    arrays: dict[str, NDArray[Any]] = {
        "rows": rows,
        "row_blocks": row_blocks,
        "keys": cells,
        "key_blocks": key_blocks,
        "row_columns": _as_bytes(row_columns),
        "key_columns": _as_bytes(judged),
        "key_starts": np.concatenate([[0], np.cumsum(of_key)]).astype(np.uint32),
        "row_of_item": row_of_item,
        "number_starts": np.append(firsts, len(standing["row"])).astype(np.uint32),
        "number_rows": np.asarray(standing["row"], np.uint32),
        "number_own": np.asarray(standing["own"], np.bool_),
    }
    write_arrays(folder / "rows.index", arrays, _ABOUT)


def _described(con: duckdb.DuckDBPyConnection, source: str) -> Columns:
    told = con.execute(f"DESCRIBE SELECT * FROM {source}").fetchall()  # noqa: S608
    return [(name, kind) for name, kind, *_ in told]


def _packed(
    con: duckdb.DuckDBPyConnection, columns: Columns, source: str
) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    """Return the rows of `source` in compressed blocks, and where each block starts."""
    cells = ", ".join(f"CAST({named(name)} AS VARCHAR)" for name, _ in columns)
    line = f"to_json([{cells}])" if columns else "'[]'"
    result = con.execute(f"SELECT {line} FROM {source}")  # noqa: S608
    packed = bytearray()
    starts = [0]
    while lines := result.fetchmany(_FETCHED):
        for first in range(0, len(lines), _BLOCK):
            block = "\n".join([text for (text,) in lines[first : first + _BLOCK]])
            packed += zlib.compress(block.encode(), _FASTEST)
            starts.append(len(packed))
    return np.frombuffer(packed, np.uint8), np.array(starts, np.int64)


def _as_bytes(columns: Columns) -> NDArray[np.uint8]:
    return np.frombuffer(json.dumps(columns).encode(), np.uint8)
