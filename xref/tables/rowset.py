"""The rows of one block while they are made: values by column, reasons, warnings."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from xref.tables.column import Column


@dataclass(slots=True)
class Rows:
    """Rows of one block: columns of the result, reasons to set aside, and warnings by row."""

    size: int
    values: dict[str, Any] = field(default_factory=dict)
    aside: dict[int, str] = field(default_factory=dict)
    warnings: dict[int, list[str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def set_aside(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason is the one shown."""
        self.aside.setdefault(row, reason)

    def warn(self, row: int, text: str) -> None:
        """Note something about a row."""
        self.warnings.setdefault(row, []).append(text)

    def warn_texts(self, column: Column, said: list[tuple[str, ...]]) -> None:
        """Warn every row whose distinct text has something to say."""
        import numpy as np

        if not any(said):
            return
        has = np.fromiter((bool(one) for one in said), bool, len(said))
        for row in np.nonzero(has[column.codes])[0].tolist():
            for text in said[column.codes[row]]:
                self.warn(row, text)


def whole_array(values: list[int | None]) -> Any:
    """Return whole numbers that may be unknown as a pandas array."""
    import pandas as pd

    return pd.array([pd.NA if value is None else value for value in values], dtype="Int64")


def one_each(said: list[str | None]) -> list[tuple[str, ...]]:
    """Return each warning as a tuple, empty where there is none."""
    return [(text,) if text else () for text in said]
