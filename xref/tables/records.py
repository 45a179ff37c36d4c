"""Rows of a file behind one door: a grid in memory, or a big text as columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, Protocol

from xref.tables.column import ORDINARY, Column, column
from xref.tables.formats.byte_cells import ByteCells
from xref.tables.formats.grid import NO_FLAGS
from xref.tables.text import trimmed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.formats.bulk import BulkText
    from xref.tables.formats.grid import Grid


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


class BulkRecords:
    """The filled rows of a big delimited text, held as columns."""

    def __init__(self, bulk: BulkText, head: Records) -> None:
        """Take the columns of `bulk`; `head` are the first rows, read one by one."""
        from concurrent.futures import ThreadPoolExecutor

        import numpy as np

        self.name: str | None = None
        self.flagged: frozenset[int] = frozenset()
        self._head = head
        self._bulk = bulk
        cells = partial(ByteCells, bulk.data)
        with ThreadPoolExecutor(2) as pool:
            made = [*pool.map(_column, map(cells, bulk.begins, bulk.ends))]
        filled = np.zeros(len(bulk.lines), dtype=bool)
        for _, any_text in made:
            filled |= any_text
            if filled.all():
                break
        self._rows = np.flatnonzero(filled)
        self._columns = [column.taken(self._rows) for column, _ in made]

    def __len__(self) -> int:
        return len(self._rows)

    def cells(self, row: int) -> list[str]:
        """See Records."""
        if row < len(self._head):
            return self._head.cells(row)
        return [column.cell(row) for column in self._columns]

    def columns(self, start: int) -> list[Column]:
        """See Records."""
        import numpy as np

        rows = np.arange(start, len(self))
        return [one.taken(rows) for one in self._columns]

    def places(self, rows: Any) -> Sequence[Any]:
        """See Records."""
        return self._bulk.lines[self._rows[rows]]  # type: ignore[no-any-return]  # a numpy array

    def raws(self, rows: Sequence[int]) -> list[str]:
        """See Records."""
        return [self._bulk.raw(int(self._rows[row])) for row in rows]

    def flags(self, row: int) -> Mapping[int, str]:  # noqa: ARG002 - text has none
        """See Records."""
        return NO_FLAGS

    def hidden(self, row: int) -> bool:  # noqa: ARG002 - text hides nothing
        """See Records."""
        return False


def _column(cells: ByteCells) -> tuple[Column, NDArray[np.bool_]]:
    """Return the column and which of its cells hold any text."""
    import numpy as np

    if cells.worth_coding():
        codes, texts = cells.coded()
        any_text = np.fromiter((_any(text) for text in texts), bool, len(texts))[codes]
        return Column(codes.astype(np.int32), [trimmed(text) for text in texts]), any_text
    # Nearly all texts are different: each row is its own text.
    own = cells.texts()
    found = Column(np.arange(len(own), dtype=np.int32), own)
    any_text = found.ordinary.copy()
    changed = {}
    for place in np.flatnonzero(~found.ordinary).tolist():
        text = own[place]
        any_text[place] = _any(text)
        if (plain := trimmed(text)) != text:
            changed[place] = plain
            found.ordinary[place] = ORDINARY.fullmatch(plain) is not None
    return Column(found.codes, own.replaced(changed), found.ordinary), any_text


def _any(text: str) -> bool:
    return bool(text) and not text.isspace()
