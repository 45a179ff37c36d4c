"""The rows of one edition, findable by number or judgement key without a query.

A query over a Parquet file of sixty columns costs 10 ms and more for a single row, however well
its row groups are chosen; reading one code per column from a mapped file costs a hundredth of
that. Hence `rows.index`, in the layout of `array_file`, holds the rows once more, item by item,
and the columns of keys.parquet key by key:

- `columns`: JSON, for each column its name, SQL type, whether of the `keys`, its form and where
  its cells are. A column is kept in one of the forms
  - `one`: every row has the same cell;
  - `coded`: `<n>/codes` has for each row 0 (nothing said) or the number of its cell, from 1;
  - `text`: texts that hardly repeat: `<n>/text` and where each starts in it, `<n>/starts`;
    `<n>/unsaid` marks rows that say nothing, if any do;
  - `whole`: texts that are whole numbers, `<n>/whole`.
- `text`, `text_starts`, `figures`, `wholes`: the distinct cells of all columns in the first two
  forms, by type: texts, DOUBLE, and all others as whole numbers (see `columns.Column`).
- `key_of_item`, `key_starts`, `key_items`: the key of each item; and the items key by key, where
  those of each key begin, and the number of items.
- `number_starts`, `number_rows`, `number_own`: per number of numbers.index, in its order, the
  items that bear or mention it, and whether as their own.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from ..errors import StoreUnavailable
from ..texts import Texts
from .array_file import about, open_arrays, write_arrays
from .columns import Array, Column, plain
from .number_key import number_key

if TYPE_CHECKING:
    from .judgement_keys import Keys
    from .standing import Standing

_BEFORE = "rows of a list, version 1"
_ABOUT = "rows of a list, version 2"

Reader = Callable[[int], Any]


class RowIndex:
    """The rows of one edition, mapped; a row is known by its item."""

    def __init__(self, arrays: Mapping[str, Array], path: Path) -> None:
        self._arrays = arrays
        self._path = path
        self._readers: dict[str, list[tuple[str, Reader]]] = {"rows": [], "keys": []}
        with self._sound():
            for number, told in enumerate(json.loads(arrays["columns"].tobytes())):
                name, kind, part, form, first, count = told
                reader = self._reader(number, kind, form, first, count)
                self._readers[part].append((name, reader))

    @classmethod
    def open(cls, path: Path) -> RowIndex | None:
        """Return the index written to `path`, mapped; None if an earlier xref wrote it."""
        if about(path) == _BEFORE:
            return None
        return cls(open_arrays(path, _ABOUT), path)

    def of_number(self, position: int, *, own: bool) -> list[int]:
        """Return the rows that bear the number at `position`, or those that only mention it."""
        starts = self._arrays["number_starts"]
        here = slice(int(starts[position]), int(starts[position + 1]))
        rows: list[int] = self._arrays["number_rows"][here][
            self._arrays["number_own"][here] == own
        ].tolist()
        return rows

    def of_key(self, key: int, most: int | None) -> list[int]:
        """Return the first `most` rows (or all) of a judgement key."""
        starts = self._arrays["key_starts"]
        if not 0 <= key < len(starts) - 1:
            return []
        first, last = int(starts[key]), int(starts[key + 1])
        rows: list[int] = self._arrays["key_items"][
            first : last if most is None else min(last, first + most)
        ].tolist()
        return rows

    def of_items(self, items: Iterable[int]) -> list[int]:
        """Return the rows of these items; items that are not there are left out."""
        count = len(self._arrays["key_of_item"])
        return [item for item in items if 0 <= item < count]

    def cells(self, rows: Sequence[int]) -> list[dict[str, Any]]:
        """Return the cells of these rows, by column, in the order asked for.

        Raises StoreUnavailable if the file is damaged.
        """
        with self._sound():
            key_of = self._arrays["key_of_item"]
            keys = [int(key_of[row]) for row in rows]
            judged = {key: self._read("keys", key) for key in set(keys)}
            found = [
                judged[key] | {"item": int(row), "key": key} | self._read("rows", row)
                for row, key in zip(rows, keys, strict=True)
            ]
        for row in found:
            number = row.get("number")
            row["number_key"] = None if number is None else number_key(number)
        return found

    def _read(self, part: str, place: int) -> dict[str, Any]:
        return {name: read(place) for name, read in self._readers[part]}

    @contextlib.contextmanager
    def _sound(self) -> Iterator[None]:
        try:
            yield
        except (ValueError, IndexError, KeyError, TypeError, OverflowError) as error:
            raise StoreUnavailable(
                f"The file {self._path.name} of this list is damaged; load the list again, or "
                "`xref store restore FILE`.",
                at=str(self._path),
                code="store-damaged",
            ) from error

    def _reader(self, number: int, kind: str, form: str, first: int, count: int) -> Reader:
        """Return what reads the cell of a row in a column."""
        arrays = self._arrays
        if form == "whole":
            wholes = arrays[f"{number}/whole"]
            return lambda row: str(int(wholes[row]))
        if form == "text":
            text = _text_reader(arrays[f"{number}/text"], arrays[f"{number}/starts"])
            unsaid = arrays.get(f"{number}/unsaid")
            if unsaid is None:
                return text
            return lambda row: None if unsaid[row] else text(row)
        distinct = self._distinct(kind)
        if form == "one":
            return lambda _: distinct(first)
        codes = arrays[f"{number}/codes"]

        def cell(row: int) -> Any:
            code = int(codes[row])
            if code > count:
                raise IndexError(code)
            return distinct(first + code - 1) if code else None

        return cell

    def _distinct(self, kind: str) -> Reader:
        """Return what reads a distinct cell of a column of this type."""
        if kind == "VARCHAR":
            return _text_reader(self._arrays["text"], self._arrays["text_starts"])
        cells = self._arrays["figures" if kind == "DOUBLE" else "wholes"]
        return lambda place: plain(kind, cells[place].item())


def _text_reader(text: Array, starts: Array) -> Reader:
    def cell(place: int) -> str:
        first, last = int(starts[place]), int(starts[place + 1])
        if not first <= last <= len(text):
            raise IndexError(first, last)
        return text[first:last].tobytes().decode()

    return cell


def write_row_index(
    path: Path, columns: Mapping[str, Column], keys: Keys, standing: Standing | None
) -> None:
    """Write rows.index of an edition whose rows have these columns and keys to `path`.

    Without `standing` no row is found by its number.
    """
    written = _Written()
    judged = set(keys.columns)
    for name, column in columns.items():
        if name not in judged:
            written.add("rows", column)
    for name in keys.columns:
        written.add("keys", columns[name].of_rows(keys.first_rows))
    write_arrays(
        path,
        written.arrays()
        | {
            "key_of_item": keys.of_row,
            "key_starts": keys.starts.astype(np.uint32),
            "key_items": keys.rows,
        }
        | ({} if standing is None else _by_number(standing)),
        _ABOUT,
    )


def _by_number(standing: Standing) -> dict[str, Array]:
    return {
        "number_starts": standing.starts.astype(np.uint32),
        "number_rows": standing.items.astype(np.uint32),
        "number_own": standing.own,
    }


class _Written:
    """The arrays of the columns of one edition, as they come together."""

    def __init__(self) -> None:
        self._arrays: dict[str, Array] = {}
        self._columns: list[tuple[str, str, str, str, int, int]] = []
        self._texts: list[str] = []
        self._figures: list[Array] = [np.zeros(0, np.float64)]
        self._wholes: list[Array] = [np.zeros(0, np.int64)]

    def add(self, part: str, column: Column) -> None:
        """Add a column of the `rows` or of the `keys`."""
        number, cells, codes = len(self._columns), column.cells, column.codes
        form, first = "coded", 0
        if column.texts is not None:
            form = "text"
            self._arrays[f"{number}/text"], self._arrays[f"{number}/starts"] = _apart(column.texts)
        elif codes is None:
            form = "whole"
            span = np.min_scalar_type(cells.min(initial=0)), np.min_scalar_type(cells.max())
            self._arrays[f"{number}/whole"] = cells.astype(np.result_type(*span))
        else:
            first = self._add_distinct(column.kind, cells)
            if len(cells) == 1 and codes.min() == 0:
                form = "one"
            else:  # -1 wraps round to 0
                size = np.min_scalar_type(len(cells))
                self._arrays[f"{number}/codes"] = codes.astype(size) + size.type(1)
        self._columns.append((column.name, column.kind, part, form, first, len(cells)))

    def _add_distinct(self, kind: str, cells: Array) -> int:
        """Add the distinct cells of a column; return the place of the first."""
        if kind == "VARCHAR":
            self._texts += cells.tolist()
            return len(self._texts) - len(cells)
        known = self._figures if kind == "DOUBLE" else self._wholes
        first = sum(map(len, known))
        known.append(cells)
        return first

    def arrays(self) -> dict[str, Array]:
        """Return all arrays."""
        told = json.dumps(self._columns, ensure_ascii=False).encode()
        text, starts = _apart(Texts.of(self._texts))
        return {
            "columns": np.frombuffer(told, np.uint8),
            "text": text,
            "text_starts": starts,
            "figures": np.concatenate(self._figures),
            "wholes": np.concatenate(self._wholes),
            **self._arrays,
        }


def _apart(texts: Texts) -> tuple[Array, Array]:
    """Return texts as one, in UTF-8, and where each starts and the last one ends."""
    content = texts.unseparated()
    starts = np.append(0, np.cumsum(texts.lengths))
    return content, starts.astype(np.uint32 if len(content) < 1 << 32 else np.int64)
