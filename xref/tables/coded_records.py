"""The filled rows of a big sheet that its format already holds as coded columns."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from xref.tables.column import Column
from xref.tables.formats.coded import CodedRows
from xref.tables.formats.grid import NO_FLAGS
from xref.tables.text import trimmed

if TYPE_CHECKING:
    import numpy as np


class CodedRecords:
    """The filled rows of a sheet; see `records.Records`."""

    def __init__(self, rows: CodedRows) -> None:
        """Leave out blank rows, and columns that no row reaches."""
        import numpy as np

        self.name: str | None = rows.name
        self._sheet = rows
        self._columns: list[tuple[Any, list[str]]] = []
        filled = np.zeros(rows.size, dtype=bool)
        width = 0
        for place, (codes, texts) in enumerate(rows.columns):
            plain = [trimmed(text) for text in texts]
            self._columns.append((codes, plain))
            filled |= np.fromiter(map(bool, plain), bool, len(plain))[codes]
            if any(texts):
                width = place + 1
        del self._columns[width:]
        self._places: np.ndarray[Any, Any] = np.nonzero(filled)[0]
        self.flagged = frozenset(self._marked())

    def _marked(self) -> list[int]:
        import numpy as np

        numbers = sorted({*self._sheet.flags, *self._sheet.hidden})
        places = np.array(numbers, dtype=np.int64) - self._sheet.top
        here = np.searchsorted(self._places, places)
        inside = here < len(self._places)
        found = here[inside][self._places[here[inside]] == places[inside]]
        return found.tolist()  # type: ignore[no-any-return]  # whole numbers

    def __len__(self) -> int:
        """Return the number of filled rows."""
        return len(self._places)

    def _number(self, row: int) -> int:
        return self._sheet.top + int(self._places[row])

    def cells(self, row: int) -> list[str]:
        """See Records."""
        place = self._places[row]
        cells = [texts[codes[place]] for codes, texts in self._columns]
        last = max(self.flags(row), default=-1)
        while len(cells) > last + 1 and not cells[-1]:
            cells.pop()
        return cells

    def columns(self, start: int) -> list[Column]:
        """See Records."""
        places = self._places[start:]
        return [Column(codes[places], list(texts)) for codes, texts in self._columns]

    def places(self, rows: Any) -> Sequence[Any]:
        """See Records."""
        first = self._sheet.top + 1
        listed = self._places[rows if isinstance(rows, list) else list(rows)].tolist()
        return [{"sheet": self.name, "row": first + place} for place in listed]

    def raws(self, rows: Sequence[int]) -> list[str]:
        """See Records."""
        return [self._sheet.row(int(self._places[row])).raw for row in rows]

    def flags(self, row: int) -> Mapping[int, str]:
        """See Records."""
        return self._sheet.flags.get(self._number(row), NO_FLAGS)

    def hidden(self, row: int) -> bool:
        """See Records."""
        return self._number(row) in self._sheet.hidden
