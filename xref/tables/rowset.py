"""The rows of one block while they are made: values by column, reasons, warnings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from xref.tables.column import Column

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


NO_WARNINGS: list[str] = []
"""The list of every row that has no warnings: one object, never changed."""


class Rows:
    """Rows of one block: columns of the result, reasons to set aside, and warnings by row."""

    def __init__(self, size: int) -> None:
        import numpy as np

        self.size = size
        self.values: dict[str, Any] = {}
        self.aside: dict[int, str] = {}
        self.notes: list[str] = []
        self._single: dict[int, list[str]] = {}
        # Warnings that come from distinct texts are kept as combinations, not row by row.
        self._codes = np.zeros(size, dtype=np.int64)
        self._combinations: list[tuple[str, ...]] = [()]

    def set_aside(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason is the one shown."""
        self.aside.setdefault(row, reason)

    def warn(self, row: int, text: str) -> None:
        """Note something about a row."""
        self._single.setdefault(row, []).append(text)

    def warn_texts(self, column: Column, said: Sequence[tuple[str, ...]]) -> None:
        """Warn every row whose text has something to say."""
        import numpy as np

        if not any(said):
            return
        known: dict[tuple[str, ...], int] = {(): 0}
        by_text = np.fromiter((known.setdefault(one, len(known)) for one in said), np.int64)
        names = list(known)
        both = self._codes * len(names) + by_text[column.codes]
        pairs, self._codes = np.unique(both, return_inverse=True)
        self._combinations = [
            self._combinations[pair // len(names)] + names[pair % len(names)]
            for pair in pairs.tolist()
        ]

    def warning_lists(self) -> NDArray[np.object_]:
        """Return each row's warnings; rows that say the same share one list."""
        import numpy as np

        lists = np.empty(len(self._combinations), dtype=object)
        lists[:] = [list(texts) if texts else NO_WARNINGS for texts in self._combinations]
        found: NDArray[np.object_] = lists[self._codes]
        for row, texts in self._single.items():
            found[row] = [*found[row], *texts]
        return found


def whole_array(values: list[int | None]) -> Any:
    """Return whole numbers that may be unknown as a pandas array."""
    import pandas as pd

    return pd.array([pd.NA if value is None else value for value in values], dtype="Int64")


def one_each(said: list[str | None]) -> list[tuple[str, ...]]:
    """Return each warning as a tuple, empty where there is none."""
    return [(text,) if text else () for text in said]
