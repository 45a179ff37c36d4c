"""A user's DataFrame as the judges take it: plain columns, sizes in millimetres.

Columns whose suffix `_in` states inches become millimetres; pandas' nullable and arrow columns
become floats and texts, so that one cell of theirs that says nothing stops no row.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from xref.kinds.spec import dimension_names, kinds, spec

if TYPE_CHECKING:
    import pandas as pd

MM_PER_INCH = 25.4


def plain(frame: pd.DataFrame) -> pd.DataFrame:
    """Return the frame with None or NaN for every cell that says nothing, in columns of numpy.

    A frame of plain columns comes back as it is.
    """
    import pandas as pd

    changed = {}
    for name, column in frame.items():
        if isinstance(column.dtype, np.dtype) and column.dtype != object:
            continue
        if pd.api.types.is_numeric_dtype(column.dtype):
            changed[name] = column.to_numpy(dtype=np.float64, na_value=np.nan)
            continue
        cells = column.to_numpy(dtype=object)
        silent = pd.isna(cells)
        if silent.any() or not isinstance(column.dtype, np.dtype):
            changed[name] = cells = cells.copy()
            cells[silent] = None
    return frame.assign(**{str(name): cells for name, cells in changed.items()})


def in_millimetres(frame: pd.DataFrame) -> pd.DataFrame:
    """Return the frame with `<size>_in` [in] put where `<size>_mm` [mm] says nothing.

    A row whose own sizes came so is written in inches, unless `written_unit` says otherwise.
    A frame without such columns comes back as it is.
    """
    own = _with_limits(dimension_names())
    named = own | _with_limits({place.name for kind in kinds() for place in spec(kind).places})
    stated = {str(c): str(c)[:-3] for c in frame.columns if str(c)[-3:] == "_in"}
    stated = {column: name for column, name in stated.items() if name in named}
    if not stated:
        return frame
    changed: dict[str, NDArray[Any]] = {}
    inch_rows = np.zeros(len(frame), dtype=np.bool_)
    for column, name in stated.items():
        value = MM_PER_INCH * floats(frame, column)
        if f"{name}_mm" in frame.columns:
            before = floats(frame, f"{name}_mm")
            value = np.where(np.isnan(before), value, before)
        changed[f"{name}_mm"] = value
        if name in own:
            inch_rows |= frame[column].notna().to_numpy()
    unit = frame["written_unit"] if "written_unit" in frame.columns else None
    units = np.full(len(frame), None, dtype=object) if unit is None else unit.to_numpy(dtype=object)
    unsaid = np.array([value not in ("mm", "in") for value in units], dtype=np.bool_)
    changed["written_unit"] = np.where(inch_rows & unsaid, "in", units)
    return frame.assign(**changed)


def _with_limits(names: Iterable[str]) -> set[str]:
    """Return names with those of their limits and of their uncertainty."""
    return {f"{name}{more}" for name in names for more in ("", "_low", "_high", "_uncertainty")}


def finite(frame: pd.DataFrame, column: str) -> NDArray[np.float64]:
    """Return a column as floats, NaN where it holds no finite number."""
    values = floats(frame, column)
    values[np.isinf(values)] = np.nan
    return values


def floats(frame: pd.DataFrame, column: str) -> NDArray[np.float64]:
    """Return a column as floats, NaN where it holds no number."""
    import pandas as pd

    try:
        values = pd.to_numeric(frame[column], errors="coerce")
    except OverflowError:  # a whole number larger than any float
        values = frame[column]
    if values.dtype.kind not in "biuf":
        values = values.map(float_or_nan)
    return np.array(values.to_numpy(dtype=np.float64, na_value=np.nan))


def float_or_nan(value: object) -> float:
    """Return a cell as a float, NaN where it is no number that a float holds."""
    try:
        return float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, OverflowError):
        return float("nan")
