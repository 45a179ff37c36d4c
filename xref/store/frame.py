"""The rows of an edition as the DataFrame they were loaded from, so that mended rows can join."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from .engine import memory, named, quoted
from .rows import JSON_COLUMNS, OWN_COLUMNS

if TYPE_CHECKING:
    import pandas as pd

    from .edition import Edition
    from .store import Store

# Of other types a DataFrame would keep an approximation where a cell is missing.
_FROM_TEXT: dict[str, Callable[[str], Any]] = {
    "BIGINT": int,
    "BOOLEAN": "true".__eq__,
    "DATE": date.fromisoformat,
    "DECIMAL(18,6)": Decimal,
}


def frame(store: Store, edition: Edition) -> pd.DataFrame:
    """Return the rows of an edition in their order, with the columns of a reading."""
    source = f"read_parquet({quoted(str(store.lists.file(edition, 'items.parquet')))})"
    con = memory()
    try:
        told = con.execute(f"DESCRIBE SELECT * FROM {source}").fetchall()  # noqa: S608 - our path
        types = {name: kind for name, kind, *_ in told if name not in OWN_COLUMNS}
        cells = ", ".join(
            f"CAST({named(c)} AS VARCHAR) AS {named(c)}" if kind in _FROM_TEXT else named(c)
            for c, kind in types.items()
        )
        rows = con.execute(f"SELECT {cells} FROM {source} ORDER BY item").df()  # noqa: S608
    finally:
        con.close()
    for column, kind in types.items():
        read = json.loads if column in JSON_COLUMNS else _FROM_TEXT.get(kind)
        if read is not None:
            rows[column] = _read(rows[column].tolist(), read)
    return rows


def joined(before: pd.DataFrame, after: pd.DataFrame) -> pd.DataFrame:
    """Return the rows of `frame` with those of a reading after them."""
    import pandas as pd

    plain = after.copy()
    for column in JSON_COLUMNS:
        if column in after and isinstance(after[column].dtype, pd.CategoricalDtype):
            plain[column] = _read(after[column].tolist(), json.loads)
    return pd.concat([before, plain], ignore_index=True)


def _read(texts: list[Any], read: Callable[[str], Any]) -> pd.Series[Any]:
    """Return what the texts say, None for what is no text; the same object for the same text."""
    import pandas as pd

    known = {text: read(text) for text in set(texts) if isinstance(text, str)}
    return pd.Series([known.get(text) for text in texts], dtype=object)
