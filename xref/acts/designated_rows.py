"""Rows of a list that name their size by an open standard only: 6205, AS568-214.

Suppliers list bearings and O-rings by their numbers alone. Loaded with the sizes
of the standard, such rows are found by size like any other; what a row states
itself is kept.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from xref.kinds.designation import Designated, decode, named_in
from xref.kinds.spec import spec
from xref.matching.designated import KINDS, completed

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

_MAY_DESIGNATE = re.compile(r"\s*(?:-?\d|AS|dash)", re.IGNORECASE)
"""How the designations of the standards begin: most numbers of a long list need no more."""


def with_standard_sizes(rows: pd.DataFrame) -> tuple[pd.DataFrame, list[str]]:
    """Return the rows with sizes and traits their designations name, and a note on how many."""
    notes: list[str] = []
    if "kind" not in rows or "number" not in rows:
        return rows, notes  # interchange lists
    for kind in KINDS:
        mine = (rows["kind"] == kind).to_numpy()
        if not mine.any():
            continue
        before = rows[mine]
        columns = {str(name): _dense(before[name]).to_numpy() for name in before.columns}
        sizes = [f"{name}_mm" for name in spec(kind).dimension_names]
        had = before[[name for name in sizes if name in before]].notna().any(axis=1).to_numpy()
        named = _designations(kind, before, had)
        made = completed(kind, named, columns)
        changed = {name: made[name] for name in made if made[name] is not columns.get(name)}
        if not changed:
            continue
        rows = rows.copy()
        for name, values in changed.items():
            if name not in rows:
                rows[name] = None if values.dtype == object else float("nan")
            else:
                rows[name] = _dense(rows[name])
                if values.dtype == object:
                    rows[name] = rows[name].astype(object)
            rows.loc[mine, name] = values
        has = rows.loc[mine, [n for n in sizes if n in rows]].notna().any(axis=1).to_numpy()
        filled = has & ~had
        if filled.any():
            title = spec(kind).title.lower()
            count = int(filled.sum())
            first = next(one for one, new in zip(named, filled, strict=True) if one and new)
            notes.append(
                f"{count} {title}{'' if count == 1 else 's'} without sizes: taken from the "
                f"standard that the designation names, as {first.designation}"
            )
    return rows, notes


def _dense(column: pd.Series[Any]) -> pd.Series[Any]:
    """Return a column with a value in every row, None or NaN where none is known."""
    import pandas as pd

    if not isinstance(column.dtype, pd.CategoricalDtype):
        return column
    if column.cat.categories.dtype == "float64":
        return column.astype("float64")
    plain: pd.Series[Any] = column.astype(object)
    return plain.where(plain.notna(), None)


def _designations(
    kind: str, rows: pd.DataFrame, sized: NDArray[np.bool_]
) -> list[Designated | None]:
    """Return what designates each row: its number, else what its description names.

    A description is looked into only where the row gives no size.
    """
    numbers = rows["number"].tolist()
    told = rows["description"].tolist() if "description" in rows else [None] * len(rows)
    found: list[Designated | None] = []
    for number, description, has_size in zip(numbers, told, sized.tolist(), strict=True):
        named = None
        if isinstance(number, str) and _MAY_DESIGNATE.match(number):
            named = decode(number)
        if named is None and not has_size and isinstance(description, str):
            named = named_in(kind, description)
        found.append(named)
    return found
