"""Sizes and traits that a number names by an open standard, where a row does not give them.

A bearing listed as 6205 is 25 x 52 x 15 mm and deep groove (ISO/DIN 623), an
O-ring listed as AS568-214 is 24.99 x 3.53 mm. A row's own sizes are kept; a
designation that contradicts them names nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.fits.quantity import PRINT_ROUNDING_MM
from xref.kinds.designation import Designated, decode
from xref.matching.inches import float_or_nan

KINDS = ("rolling_bearing", "o_ring")


def completed(
    kind: str, numbers: Sequence[object | Designated], columns: Mapping[str, NDArray[Any]]
) -> dict[str, NDArray[Any]]:
    """Return the columns with what the numbers designate put in where nothing is stated.

    `numbers` may hold what was already decoded.
    """
    made = dict(columns)
    if kind not in KINDS:
        return made
    named = [decode(one) if isinstance(one, str) else one for one in numbers]
    for row, found in enumerate(named):
        if (
            not isinstance(found, Designated)
            or found.kind != kind
            or _contradicts(found, columns, row)
        ):
            continue
        for name, value in {**found.dimensions_mm, **found.more_mm}.items():
            _put(made, columns, f"{name}_mm", row, value, len(named), np.nan)
        for name, word in found.traits.items():
            _put(made, columns, name, row, word, len(named), None)
    return made


def _contradicts(found: Designated, columns: Mapping[str, NDArray[Any]], row: int) -> bool:
    given = {name: columns.get(f"{name}_mm") for name in found.dimensions_mm}
    return any(
        column is not None
        and abs(float_or_nan(column[row]) - found.dimensions_mm[name]) > PRINT_ROUNDING_MM
        for name, column in given.items()
    )


def _put(
    made: dict[str, NDArray[Any]],
    given: Mapping[str, NDArray[Any]],
    name: str,
    row: int,
    value: Any,
    length: int,
    empty: Any,
) -> None:
    column = made.get(name)
    if column is None:
        column = np.full(length, empty, dtype=np.float64 if empty is not None else object)
    elif not _is_empty(column[row] if empty is None else float_or_nan(column[row])):
        return
    elif column is given.get(name):  # the caller's is never written to; a copy is made once
        if empty is not None and column.dtype == object:
            column = np.array([float_or_nan(cell) for cell in column])
        else:
            column = column.astype(np.float64 if empty is not None else object)
    column[row] = value
    made[name] = column


def _is_empty(value: Any) -> bool:
    return value is None or value == "" or value != value
