"""The same dimension in millimetres and in inches, each in a column of its own.

A row may fill one of them or both. The filled one counts; of two that agree the one the part was
made to: round millimetres, or a shop fraction of an inch. Two that differ by more than the
rounding of their print set the row aside.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from xref.tables.sizecells import BAD, BLANK, INCH, NO_UNIT, OWN, SizeCells
from xref.tables.sized import Sized
from xref.tables.text import quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_INCH = 25.4
_SLACK = 1e-6


def has_two_units(listed: Sequence[int], applied: Mapping[int, NDArray[np.int8]]) -> bool:
    """Whether the columns of one dimension are read in two units."""
    return len({int(applied[i][0]) for i in listed if len(applied[i])} - {NO_UNIT}) > 1


def by_unit(
    listed: Sequence[int], applied: Mapping[int, NDArray[np.int8]], inch_first: bool
) -> list[int]:
    """Return the columns of one dimension with those in the wanted unit first."""
    return sorted(listed, key=lambda i: (int(applied[i][0]) == INCH) != inch_first)


def made_to_inches(
    pairs: Iterable[Sequence[int]],
    rows: NDArray[np.int64],
    cells: Mapping[int, SizeCells],
    applied: Mapping[int, NDArray[np.int8]],
) -> NDArray[np.bool_]:
    """Tell for each row which of two units its sizes are round in; millimetres where both are."""
    import numpy as np

    for_inch = np.zeros(len(rows), dtype=np.int64)
    for listed in pairs:
        for index in listed:
            for_inch += round_in_inches(_nominal(cells[index], rows, applied[index]))
    return for_inch > 0


def round_in_inches(nominal: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return 1 for sizes [mm] that are round in inches only, -1 for those in millimetres only."""
    import numpy as np

    inches = nominal / _INCH * 64
    round_in = np.abs(inches - np.round(inches)) < _SLACK * 64
    round_mm = np.abs(nominal * 2 - np.round(nominal * 2)) < _SLACK
    return (round_in & ~round_mm).astype(np.int64) - (round_mm & ~round_in)


def differing(
    result: Sized,
    name: str,
    listed: Sequence[int],
    rows: NDArray[np.int64],
    cells: Mapping[int, SizeCells],
    applied: Mapping[int, NDArray[np.int8]],
    headings: Mapping[int, str],
) -> None:
    """Set aside rows whose two columns of one dimension contradict each other."""
    import numpy as np

    first, *others = listed
    one = _nominal(cells[first], rows, applied[first])
    for index in others:
        other = _nominal(cells[index], rows, applied[index])
        allowed = _rounding(cells[first], rows, applied[first])
        allowed = allowed + _rounding(cells[index], rows, applied[index]) + _SLACK
        for place in np.nonzero(np.abs(one - other) > allowed)[0].tolist():
            row = int(rows[place])
            said = " and ".join(
                f"{quoted(cells[i].column.cell(row), 20)} under {quoted(headings.get(i, ''), 30)}"
                for i in (first, index)
            )
            result.problem(
                row,
                f"the {name.replace('_', ' ')} is {said}, which differ by "
                f"{abs(one[place] - other[place]):.3f} mm: leave only the one that was measured",
            )


def _nominal(
    column: SizeCells, rows: NDArray[np.int64], applied: NDArray[np.int8]
) -> NDArray[np.float64]:
    """Return the nominal sizes of rows [mm], NaN for blank and unreadable cells."""
    import numpy as np

    codes = column.column.codes[rows]
    states = column.state[codes]
    nominal, _, _ = column.values(applied[rows], codes)
    return np.where((states == BLANK) | (states == BAD), np.nan, nominal)


def _rounding(
    column: SizeCells, rows: NDArray[np.int64], applied: NDArray[np.int8]
) -> NDArray[np.float64]:
    """Return half the last printed place of rows [mm]; a fraction is exact.

    Whole figures beside another unit are printed to a tenth: 60 is no rounding of 60.325.
    """
    import numpy as np

    codes = column.column.codes[rows]
    places = np.full((2, len(column.cells)), np.nan)
    for code in np.unique(codes).tolist():
        cell = column.cells[code]
        for which, size in enumerate((cell.own or cell.mm, cell.own or cell.inch)):
            if size is None:
                continue
            if size.decimals is None:
                places[which, code] = 0.0
            else:
                last = 0.5 * 10.0 ** -max(size.decimals, 1)
                places[which, code] = last * (_INCH if size.unit == "in" else 1.0)
    inch = (applied[rows] == INCH) & (column.state[codes] != OWN)
    found: NDArray[np.float64] = np.where(inch, places[1, codes], places[0, codes])
    return found
