"""The rows of one block while they are made: values by column, reasons, warnings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from xref.tables.coded import Coded, coded, combinations
from xref.tables.column import Column

if TYPE_CHECKING:
    from numpy.typing import NDArray

NO_WARNINGS: list[str] = []
"""The list of every row that has no warnings: one object, never changed."""

Texts = tuple[str, ...]


class _Said:
    """What is said of each row, as combinations that many rows share."""

    def __init__(self, size: int) -> None:
        import numpy as np

        self.codes: NDArray[Any] = np.zeros(size, dtype=np.int64)
        self.texts: list[Texts] = [()]

    def add(self, codes: NDArray[Any], said: Sequence[Texts]) -> None:
        """Add `said[codes[row]]` to each row."""
        import numpy as np

        if not any(said):
            return
        known: dict[Texts, int] = {(): 0}
        by_code = np.fromiter((known.setdefault(one, len(known)) for one in said), np.int64)
        names = list(known)
        added = by_code[codes]
        keys = [(self.codes, len(self.texts)), (added, len(names))]
        both, first = combinations(keys, len(codes))
        pairs = zip(self.codes[first].tolist(), added[first].tolist(), strict=True)
        self.texts = [self.texts[before] + names[then] for before, then in pairs]
        self.codes = both

    def add_rows(self, rows: Mapping[int, Sequence[str]]) -> None:
        """Add texts to single rows."""
        import numpy as np

        if rows:
            codes = np.zeros(len(self.codes), dtype=np.int64)
            codes[list(rows)] = np.arange(1, len(rows) + 1)
            self.add(codes, [(), *map(tuple, rows.values())])

    def by_row(self) -> list[Texts]:
        """Return the texts of each row."""
        return [self.texts[code] for code in self.codes.tolist()]


class Rows:
    """Rows of one block: columns of the result, reasons to set aside, and warnings by row.

    Warnings about the text of a single cell come first, then those about the row.
    """

    def __init__(self, size: int) -> None:
        self.size = size
        self.values: dict[str, Any] = {}
        self.aside: dict[int, str] = {}
        self.notes: list[str] = []
        self._of_cells = _Said(size)
        self._of_rows = _Said(size)
        self._single: dict[int, list[str]] = {}  # not yet among those of rows

    def set_aside(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason is the one shown."""
        self.aside.setdefault(row, reason)

    def set_aside_all(self, codes: NDArray[Any], reasons: Mapping[int, str]) -> None:
        """Set aside the rows whose code has a reason."""
        import numpy as np

        if not reasons:
            return
        has = np.zeros(max(int(codes.max(initial=0)), *reasons) + 1, dtype=bool)
        has[list(reasons)] = True
        rows = np.flatnonzero(has[codes])
        for row, code in zip(rows.tolist(), codes[rows].tolist(), strict=True):
            self.aside.setdefault(row, reasons[code])

    def warn(self, row: int, text: str) -> None:
        """Note something about a row."""
        self._single.setdefault(row, []).append(text)

    def warn_texts(self, column: Column, said: Sequence[Texts]) -> None:
        """Warn every row whose text has something to say."""
        self._of_cells.add(column.codes, said)

    def take_over(self, made: Rows, codes: NDArray[Any]) -> None:
        """Give every row what was made for the one that stands for it, `codes[row]` of `made`."""
        for name, values in made.values.items():
            self.values[name] = coded(values).through(codes)
        self.set_aside_all(codes, made.aside)
        self.notes += made.notes
        self._of_cells.add(codes, made._of_cells.by_row())
        made._settle()
        self._settle()
        self._of_rows.add(codes, made._of_rows.by_row())

    def _settle(self) -> None:
        self._of_rows.add_rows(self._single)
        self._single = {}

    def warning_lists(self) -> Coded:
        """Return each row's warnings; rows that say the same share one list."""
        import numpy as np

        self._settle()
        cells, rows = self._of_cells, self._of_rows
        codes, first = combinations(
            [(cells.codes, len(cells.texts)), (rows.codes, len(rows.texts))], self.size
        )
        lists = np.empty(len(first), dtype=object)
        for place, row in enumerate(first.tolist()):
            texts = cells.texts[cells.codes[row]] + rows.texts[rows.codes[row]]
            lists[place] = list(texts) if texts else NO_WARNINGS
        return Coded(codes, lists)


def whole_array(values: list[int | None]) -> Any:
    """Return whole numbers that may be unknown as a pandas array."""
    import pandas as pd

    return pd.array([pd.NA if value is None else value for value in values], dtype="Int64")


def one_each(said: list[str | None]) -> list[Texts]:
    """Return each warning as a tuple, empty where there is none."""
    return [(text,) if text else () for text in said]
