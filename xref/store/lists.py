"""Reading the current editions: keys to judge, items to show, numbers to find.

No lock, no state: lists/current.json says which editions are current, and editions never change.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import StoreUnavailable
from ..kinds.spec import spec
from . import layout
from .edition import Edition, from_row
from .engine import memory, quoted
from .item_row import item_row
from .number_key import number_key

if TYPE_CHECKING:
    import duckdb
    import numpy as np

    from .description_index import DescriptionIndex
    from .key_file import Column
    from .number_index import NumberIndex
    from .row_index import RowIndex
    from .statement_index import StatementIndex

# Numbers times lists from which on one query finds them sooner than looking in each index.
_MANY = 5_000


class Lists:
    """The current lists in `folder`; notices by itself when another edition becomes current."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._stamp: tuple[int, int] | None = None
        self._editions: list[Edition] = []
        self._con: duckdb.DuckDBPyConnection | None = None
        # Mapped files by name and edition; one of a restored store may have another's number.
        self._mapped: dict[tuple[str, int, datetime], Any] = {}
        self._guard = threading.Lock()

    def connection(self) -> duckdb.DuckDBPyConnection:
        """Return a connection of its own (for this thread) to the engine that reads lists."""
        with self._guard:
            if self._con is None:
                self._con = memory()
                # Editions never change: what was read of their directories stays true.
                self._con.execute("SET parquet_metadata_cache = true")
        return self._con.cursor()

    def editions(self, table: str | None = None) -> list[Edition]:
        """Return the current editions, by list; of one `table` if named."""
        path = self.folder / "current.json"
        try:
            status = path.stat()
        except FileNotFoundError:
            return []
        stamp = (status.st_ino, status.st_mtime_ns)
        if stamp != self._stamp:
            try:
                self._editions = [from_row(row) for row in layout.read_json(path)["editions"]]
            except (ValueError, KeyError, TypeError) as error:
                raise StoreUnavailable(
                    f"{path} cannot be read ({error!r}). `xref store check` writes it anew.",
                    at=str(path),
                    code="store-damaged",
                ) from error
            current = {(e.edition, e.loaded_at) for e in self._editions}
            self._mapped = {name: v for name, v in self._mapped.items() if name[1:] in current}
            self._stamp = stamp
        return [e for e in self._editions if table is None or e.table == table]

    def file(self, edition: Edition, name: str) -> Path:
        """Return the path of one of an edition's files."""
        return self.folder / edition.folder / name

    def query(self, sql: str, params: Sequence[Any] = ()) -> duckdb.DuckDBPyConnection:
        """Run a query over list files; a file that cannot be read is StoreUnavailable."""
        import duckdb

        try:
            return self.connection().execute(sql, list(params))
        except (duckdb.IOException, duckdb.InvalidInputException) as error:
            raise StoreUnavailable(
                f"a list cannot be read: {str(error).splitlines()[0]} "
                "`xref store check` says which; load it again, or `xref store restore FILE`.",
                at=str(self.folder),
                code="store-damaged",
            ) from error

    def source(self, editions: Sequence[Edition], name: str) -> str:
        """Return SQL that reads one file of several editions, columns matched by name."""
        files = ", ".join(quoted(str(self.file(e, name))) for e in editions)
        union = ", union_by_name=true" if len(editions) > 1 else ""
        return f"read_parquet([{files}]{union})"

    def keys(self, kind: str, tables: Iterable[str]) -> dict[str, np.ndarray[Any, Any]]:
        """See `Store.keys`."""
        from .key_file import Words

        return {
            name: column.texts() if isinstance(column, Words) else column
            for name, column in self.coded_keys(kind, tables).items()
        }

    def coded_keys(self, kind: str, tables: Iterable[str]) -> dict[str, Column]:
        """See `Store.coded_keys`."""
        import numpy as np

        from .key_file import filled, joined

        wanted = set(tables)
        declared = _declared_columns(kind)
        editions = [e for e in self.editions() if e.table in wanted and e.kinds.get(kind)]
        parts = [self._keys_of(edition, kind, declared) for edition in editions]
        parts = parts or [filled(np.zeros(0, np.int64), {}, declared)]
        numbers = [
            np.full(len(part["key"]), edition.edition, np.int64)
            for edition, part in zip(editions, parts, strict=False)
        ]
        return {"edition": np.concatenate(numbers) if numbers else np.zeros(0, np.int64)} | {
            name: joined([part[name] for part in parts]) for name in parts[0]
        }

    def _keys_of(self, edition: Edition, kind: str, declared: dict[str, bool]) -> dict[str, Column]:
        """Return `key` and the declared columns of the keys of a kind in one edition."""
        from .key_file import FILE, KeyFile, filled, queried

        file: KeyFile | None = self._opened(edition, FILE, KeyFile.open, optional=True)
        if file is not None:
            return file.columns(kind, declared)
        there = {c: n for c, n in declared.items() if c in edition.key_columns}
        source = self.source([edition], "keys.parquet")
        return filled(*queried(self.query, source, kind, there), declared)

    def items(self, wanted: Iterable[tuple[int, int]], per_key: int | None) -> list[dict[str, Any]]:
        """See `Store.items`."""
        pairs = list(dict.fromkeys((int(e), int(k)) for e, k in wanted))
        by_number = {e.edition: e for e in self.editions()}
        rows: list[dict[str, Any]] = []
        older: list[tuple[int, int]] = []
        for number in dict.fromkeys(e for e, _ in pairs if e in by_number):
            edition, keys = by_number[number], [k for e, k in pairs if e == number]
            index = self.row_index(edition)
            if index is None:
                older += [(number, key) for key in keys]
                continue
            places = [row for key in keys for row in index.of_key(key, per_key)]
            rows += [item_row(edition, cells) for cells in index.cells(places)]
        rows += self._items_queried(older, by_number, per_key)
        order = {pair: i for i, pair in enumerate(pairs)}
        rows.sort(key=lambda row: order[row["edition"], row["key"]])
        return rows

    def _items_queried(
        self, pairs: Sequence[tuple[int, int]], by_number: dict[int, Edition], per_key: int | None
    ) -> list[dict[str, Any]]:
        """Return the items of these keys, of editions without an index of rows."""
        if not pairs:
            return []
        editions = [by_number[e] for e in dict.fromkeys(e for e, _ in pairs)]
        index = {e.edition: i for i, e in enumerate(editions)}
        values = ", ".join(f"({index[e]}, {k})" for e, k in pairs)
        keys = ", ".join(str(k) for k in sorted({k for _, k in pairs}))
        limit = (
            f"QUALIFY row_number() OVER (PARTITION BY file_index, key ORDER BY item) <= {per_key}"
            if per_key is not None
            else ""
        )
        return self._rows(
            editions,
            f"SELECT file_index, * FROM {self.source(editions, 'items.parquet')} "  # noqa: S608
            f"WHERE key IN ({keys}) AND (file_index, key) IN ({values}) "
            f"{limit} ORDER BY file_index, key, item",
        )

    def by_number(
        self, keys: Sequence[str], editions: Sequence[Edition], role: str
    ) -> list[dict[str, Any]]:
        """Return the items of `editions` whose number (or replacement) has one of the keys."""
        if not editions or not keys:
            return []
        indexed = [e for e in editions if self.row_index(e) is not None]
        if len(keys) * len(indexed) > _MANY:
            indexed = []
        rows: list[dict[str, Any]] = []
        for edition in indexed:
            index, numbers = self.row_index(edition), self.number_index(edition)
            assert index is not None  # noqa: S101 - of those chosen above
            found = (numbers.position(key) for key in keys)
            places = {
                row
                for position in found
                if position is not None
                for row in index.of_number(position, own=role == "own")
            }
            rows += [item_row(edition, cells) for cells in index.cells(sorted(places))]
        done = {e.edition for e in indexed}
        rows += self._by_number_queried(keys, [e for e in editions if e.edition not in done], role)
        order = {e.edition: i for i, e in enumerate(editions)}
        rows.sort(key=lambda row: (order[row["edition"]], row["item"]))
        return rows

    def _by_number_queried(
        self, keys: Sequence[str], editions: Sequence[Edition], role: str
    ) -> list[dict[str, Any]]:
        if not editions:
            return []
        marks = ", ".join("?" * len(keys))
        found = self.query(
            f"SELECT DISTINCT file_index, item FROM {self.source(editions, 'numbers.parquet')} "  # noqa: S608
            f"WHERE number_key IN ({marks}) AND role = ?",
            [*keys, role],
        ).fetchall()
        return self.by_place([(editions[file], item) for file, item in found])

    def by_assembly(self, key: str, editions: Sequence[Edition]) -> list[dict[str, Any]]:
        """Return the items of `editions` that belong to the assembly whose number has this key."""
        having = [e for e in editions if "assembly" in e.item_columns]
        if not having or not key:
            return []
        items = self.source(having, "items.parquet")
        written = self.query(
            f"SELECT DISTINCT assembly FROM {items} WHERE assembly IS NOT NULL"  # noqa: S608
        ).fetchall()
        same = ", ".join(quoted(text) for (text,) in written if number_key(text) == key)
        if not same:
            return []
        return self._rows(
            having,
            f"SELECT file_index, * FROM {items} WHERE assembly IN ({same}) "  # noqa: S608
            "ORDER BY file_index, item",
        )

    def by_place(self, places: Sequence[tuple[Edition, int]]) -> list[dict[str, Any]]:
        """Return the items at these places (edition, item), each once, in the order asked for."""
        if not places:
            return []
        rows: list[dict[str, Any]] = []
        older: list[tuple[Edition, int]] = []
        for edition in {e.edition: e for e, _ in places}.values():
            items = dict.fromkeys(int(item) for e, item in places if e.edition == edition.edition)
            index = self.row_index(edition)
            if index is None:
                older += [(edition, item) for item in items]
                continue
            rows += [item_row(edition, cells) for cells in index.cells(index.of_items(items))]
        if older:
            editions = list({e.edition: e for e, _ in older}.values())
            file = {e.edition: i for i, e in enumerate(editions)}
            pairs = ", ".join(f"({file[e.edition]}, {item})" for e, item in older)
            rows += self._rows(
                editions,
                f"SELECT file_index, * FROM {self.source(editions, 'items.parquet')} "  # noqa: S608
                f"WHERE (file_index, item) IN ({pairs})",
            )
        order = {(e.edition, item): i for i, (e, item) in reversed(list(enumerate(places)))}
        rows.sort(key=lambda row: order[row["edition"], row["item"]])
        return rows

    def replacements(
        self, keys: Sequence[str] | None, editions: Sequence[Edition]
    ) -> list[dict[str, Any]]:
        """Return the items of `editions` that state a replacement, of all numbers or of some."""
        stating = [e for e in editions if {"replacements", "supersedes"} & set(e.item_columns)]
        if keys is not None:
            rows = self.by_number(keys, stating, "own") + self.by_number(keys, stating, "mentioned")
            unique = {(row["edition"], row["item"]): row for row in rows}
            return [row for row in unique.values() if row["replacements"] or row["supersedes"]]
        if not stating:
            return []
        there = {c for e in stating for c in e.item_columns}
        said = ", ".join(c for c in ("replacements", "supersedes") if c in there)
        return self._rows(
            stating,
            f"SELECT file_index, * FROM {self.source(stating, 'items.parquet')} "  # noqa: S608
            f"WHERE coalesce({said}) IS NOT NULL ORDER BY file_index, item",
        )

    def number_index(self, edition: Edition) -> NumberIndex:
        """Return the likeness index of an edition's numbers, mapped."""
        from .number_index import NumberIndex

        found: NumberIndex = self._opened(edition, "numbers.index", NumberIndex.open)
        return found

    def row_index(self, edition: Edition) -> RowIndex | None:
        """Return the rows of an edition, mapped; None if an earlier xref wrote it without them."""
        from .row_index import RowIndex

        found: RowIndex | None = self._opened(edition, "rows.index", RowIndex.open, optional=True)
        return found

    def statement_index(self, edition: Edition) -> StatementIndex:
        """Return what an edition states of replacements, mapped."""
        from .statement_index import StatementIndex

        found: StatementIndex = self._opened(edition, "statements.index", StatementIndex.open)
        return found

    def description_index(self, edition: Edition) -> DescriptionIndex | None:
        """Return an edition's descriptions, mapped; None if an earlier xref wrote it without."""
        from .description_index import FILE, DescriptionIndex

        found: DescriptionIndex | None = self._opened(
            edition, FILE, DescriptionIndex.open, optional=True
        )
        return found

    def _opened(
        self,
        edition: Edition,
        name: str,
        open_: Callable[[Path], Any],
        *,
        optional: bool = False,
    ) -> Any:
        """Return a mapped file of an edition, opened once; None if an optional one is missing."""
        key = (name, edition.edition, edition.loaded_at)
        if key in (mapped := self._mapped):
            return mapped[key]
        path = self.file(edition, name)
        mapped[key] = None if optional and not path.exists() else open_(path)
        return mapped[key]

    def _rows(
        self, editions: Sequence[Edition], sql: str, params: Sequence[Any] = ()
    ) -> list[dict[str, Any]]:
        result = self.query(sql, params)
        names = [column[0] for column in result.description or ()]
        return [
            item_row(editions[row[0]], dict(zip(names[1:], row[1:], strict=True)))
            for row in result.fetchall()
        ]


def _declared_columns(kind: str) -> dict[str, bool]:
    """Return the columns of a kind's keys, and of each whether it holds figures."""
    declared = spec(kind)
    ends = ("_mm", "_low_mm", "_high_mm")
    sizes = {f"{name}{end}": True for name in declared.dimension_names for end in ends}
    return sizes | {t.name: t.is_number for t in declared.traits} | {"written_unit": False}
