"""Stepped tables: a value for each range of sizes, read from `tables/*.csv` with its source.

Every table has the columns `over_mm` (exclusive), `to_mm` (inclusive), one or
more value columns, `source` and `basis`. Outside its ranges a table says NaN;
nothing is extrapolated.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.fits.quantity import EPSILON_MM, Floats

TABLES = Path(__file__).resolve().parent / "tables"


@dataclass(frozen=True, slots=True)
class StepTable:
    """One value column of a stepped table."""

    name: str
    over_mm: Floats
    to_mm: Floats
    values: Floats
    """One value for each range, and NaN after the last."""

    def __call__(self, size_mm: ArrayLike) -> Floats:
        """Return the value for each size [mm]; NaN where the table does not reach."""
        return np.asarray(self.values[self.ranges(size_mm)])

    def ranges(self, size_mm: ArrayLike) -> NDArray[np.intp]:
        """Return which range of the table each size [mm] is in; past the last for none.

        Columns of one table share its ranges: they are found once for several columns.
        """
        size = np.asarray(size_mm, dtype=np.float64) - EPSILON_MM
        last = len(self.to_mm)
        row = np.searchsorted(self.to_mm, size, side="left")
        covered = size > np.append(self.over_mm, np.nan)[row]
        return np.where(covered, row, last)

    @property
    def reach_mm(self) -> float:
        """Largest size the table covers [mm]."""
        return float(self.to_mm[-1])


@cache
def read_rows(file: str) -> tuple[dict[str, str], ...]:
    """Read a table file of `tables/` as dictionaries of text."""
    with (TABLES / file).open(encoding="utf-8", newline="") as handle:
        return tuple(csv.DictReader(handle))


@cache
def step_table_for(file: str, column: str, item: str) -> StepTable:
    """Return `column` of the rows of the file whose `item` is given."""
    rows = tuple(row for row in read_rows(file) if row["item"] == item)
    if not rows:
        raise KeyError(f"{file} has no rows for {item!r}")
    return _build(f"{file}:{item}:{column}", rows, column)


def _build(name: str, rows: tuple[dict[str, str], ...], column: str) -> StepTable:
    ordered = sorted(rows, key=lambda row: float(row["to_mm"]))
    return StepTable(
        name,
        np.array([float(row["over_mm"]) for row in ordered]),
        np.array([float(row["to_mm"]) for row in ordered]),
        np.array([*(float(row[column]) for row in ordered), np.nan]),
    )
