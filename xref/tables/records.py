"""Rows of a file behind one door: a grid in memory, or a big text in the in-memory engine."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import zip_longest
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

from xref.tables.column import Column, column
from xref.tables.formats.grid import NO_FLAGS
from xref.tables.text import trimmed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.formats.bulk import BulkText
    from xref.tables.formats.grid import Dialect, Grid


class Records(Protocol):
    """The filled rows of one grid, numbered from 0, blank rows left out."""

    name: str | None
    flagged: frozenset[int]

    def __len__(self) -> int:
        """Return the number of filled rows."""

    def cells(self, row: int) -> list[str]:
        """Return a row's trimmed cells; one merged with its left neighbour counts as blank."""

    def columns(self, start: int) -> list[Column]:
        """Return the columns of all rows from `start` on."""

    def places(self, rows: Any) -> Sequence[Any]:
        """Return where rows stand in their file."""

    def raws(self, rows: Sequence[int]) -> list[str]:
        """Return the raw text of rows."""

    def flags(self, row: int) -> Mapping[int, str]:
        """Return what the workbook says of a row's cells."""

    def hidden(self, row: int) -> bool:
        """Whether the workbook hides a row."""


class GridRecords:
    """The filled rows of a grid."""

    def __init__(self, grid: Grid) -> None:
        self.name = grid.name
        self._rows = [row for row in grid.rows if row.cells and _filled(row.cells)]
        self.flagged = frozenset(n for n, row in enumerate(self._rows) if row.flags or row.hidden)

    def __len__(self) -> int:
        return len(self._rows)

    def cells(self, row: int) -> list[str]:
        """See Records."""
        record = self._rows[row]
        cells = [trimmed(cell) for cell in record.cells]
        for place in _repeated(record.flags, record.cells):
            cells[place] = ""
        return cells

    def columns(self, start: int) -> list[Column]:
        """See Records."""
        cells = [row.cells for row in self._rows[start:]]
        columns = [column(one) for one in zip_longest(*cells)]
        for row in self.flagged:
            record = self._rows[row]
            if row >= start:
                for place in _repeated(record.flags, record.cells):
                    columns[place].blank(row - start)
        return columns

    def places(self, rows: Any) -> Sequence[Any]:
        """See Records."""
        return [self._rows[row].at for row in rows]

    def raws(self, rows: Sequence[int]) -> list[str]:
        """See Records."""
        return [self._rows[row].raw for row in rows]

    def flags(self, row: int) -> Mapping[int, str]:
        """See Records."""
        return self._rows[row].flags

    def hidden(self, row: int) -> bool:
        """See Records."""
        return self._rows[row].hidden


def _filled(cells: Sequence[str]) -> bool:
    first = cells[0]
    return bool(first and not first.isspace()) or any(c and not c.isspace() for c in cells)


def _repeated(flags: Mapping[int, str], cells: Sequence[str]) -> list[int]:
    """Return the cells that only repeat their left neighbour because the two are merged."""
    return [
        place
        for place, flag in flags.items()
        if flag == "merged"
        and 0 < place < len(cells)
        and trimmed(cells[place]) == trimmed(cells[place - 1])
    ]


_FEW = 20_000
"""Columns with more distinct texts than this, and than a quarter of the rows, are not worth
coding: each row is its own text."""
# What `column.ORDINARY` says, for the engine's regular expressions, which do not look ahead.
_ORDINARY = (
    "(regexp_full_match({0}, '[A-Z0-9][A-Z0-9/ ._-]{{1,38}}[A-Z0-9]')"
    " AND regexp_matches({0}, '[0-9]') AND NOT regexp_matches({0}, '[A-Z]{{4}}"
    "|^[0-9](?:\\.[0-9]+)?E[+-]|^[0-9]{{1,4}}[-/.][0-9]{{1,2}}[-/.][0-9]{{2,4}}(?: |$)"
    "|^[PS] ?[0-9]+$'))"
)
_PLAIN = "[^ -~]"  # a character that is not printable ASCII


class BulkRecords:
    """The filled rows of a big delimited text that the engine holds as columns."""

    def __init__(
        self, bulk: BulkText, head: Records, path: Path, dialect: Dialect, encoding: str | None
    ) -> None:
        """Take the columns of `bulk`; `head` are the first rows, read one by one."""
        self.name: str | None = None
        self.flagged: frozenset[int] = frozenset()
        self._head = head
        self._path = path
        self._dialect = dialect
        self._encoding = encoding
        self._lines, self._columns = _coded(bulk)

    def __len__(self) -> int:
        return len(self._lines)

    def cells(self, row: int) -> list[str]:
        """See Records."""
        if row < len(self._head):
            return self._head.cells(row)
        return [column.cell(row) for column in self._columns]

    def columns(self, start: int) -> list[Column]:
        """See Records."""
        import numpy as np

        rows = np.arange(start, len(self._lines))
        return [one.taken(rows) for one in self._columns]

    def places(self, rows: Any) -> Sequence[Any]:
        """See Records."""
        return self._lines[rows]  # type: ignore[no-any-return]  # a numpy array

    def raws(self, rows: Sequence[int]) -> list[str]:
        """See Records."""
        from xref.tables.formats.bulk import raw_records

        if not len(rows):
            return []
        lines = [int(self._lines[row]) for row in rows]
        found = raw_records(self._path, set(lines), self._dialect, self._encoding)
        return [found.get(line, "") for line in lines]

    def flags(self, row: int) -> Mapping[int, str]:  # noqa: ARG002 - text has none
        """See Records."""
        return NO_FLAGS

    def hidden(self, row: int) -> bool:  # noqa: ARG002 - text hides nothing
        """See Records."""
        return False


def _coded(bulk: BulkText) -> tuple[NDArray[np.int64], list[Column]]:
    """Return the line of each row and its columns, in three passes over the engine's table.

    The engine finds the distinct texts of a column and codes its cells, in parallel; columns of
    nearly all different texts come as they are.
    """
    con, table = bulk.connection, bulk.table
    names = [f"c{place}" for place in range(bulk.columns)]
    counts = con.execute(
        f"SELECT {', '.join(f'approx_count_distinct({n})' for n in names)} FROM {table}"  # noqa: S608
    ).fetchone()
    most = max(_FEW, bulk.rows // 4)
    few = [name for name, count in zip(names, counts or (), strict=True) if count <= most]
    for name in few:
        words = f"SELECT DISTINCT {name} FROM {table} WHERE {name} IS NOT NULL"  # noqa: S608
        con.execute(f"CREATE OR REPLACE TYPE {name}_words AS ENUM ({words})")
    many = [name for name in names if name not in few]
    plain = ", ".join(
        f"trim({name}, E' \\t\\r\\n') AS {name}, "
        f"coalesce(regexp_matches({name}, '{_PLAIN}'), false) AS {name}_odd, "
        f"coalesce({_ORDINARY.format(name)}, false) AS {name}_plain"
        for name in many
    )
    data: dict[str, Any] = con.execute(
        f"SELECT line{', ' * bool(many)}{plain} FROM {table}"  # noqa: S608 - our own names
    ).fetchnumpy()
    coded: Any = {}
    if few:
        words = ", ".join(f"CAST({name} AS {name}_words) AS {name}" for name in few)
        coded = con.execute(f"SELECT {words} FROM {table}").df()  # noqa: S608 - our own names
    columns = [
        _words(coded[name].cat)
        if name in few
        else _texts(data[name], data[f"{name}_odd"], data[f"{name}_plain"])
        for name in names
    ]
    return data["line"], columns


def _words(coded: Any) -> Column:
    """Return a column of the engine's own coding."""
    import numpy as np

    codes = np.asarray(coded.codes).astype(np.int32)
    texts = [trimmed(text) for text in coded.categories]
    return Column(*_with_blank(codes, texts))


def _texts(cells: Any, odd: Any, ordinary: Any) -> Column:
    """Return a column in which each row is its own text, those with odd characters trimmed."""
    import numpy as np

    missing = np.ma.getmaskarray(cells)
    texts: list[str] = np.ma.getdata(cells).tolist()
    for place in np.nonzero(np.asarray(odd))[0].tolist():
        texts[place] = trimmed(texts[place])
    codes = np.arange(len(texts), dtype=np.int32)
    codes[missing] = -1
    codes, texts = _with_blank(codes, texts)
    flags = np.zeros(len(texts), dtype=bool)
    flags[: len(ordinary)] = ordinary
    return Column(codes, texts, flags)


def _with_blank(codes: NDArray[np.int32], texts: list[str]) -> tuple[NDArray[np.int32], list[str]]:
    if (codes < 0).any():
        codes[codes < 0] = len(texts)
        texts.append("")
    return codes, texts
