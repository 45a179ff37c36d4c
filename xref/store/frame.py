"""The rows of an edition as the DataFrame they were loaded from, so that mended rows can join."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from .engine import memory, quoted
from .rows import JSON_COLUMNS

if TYPE_CHECKING:
    import pandas as pd

    from .edition import Edition
    from .store import Store


def frame(store: Store, edition: Edition) -> pd.DataFrame:
    """Return the rows of an edition in their order, with the columns of a reading."""
    path = store.lists.file(edition, "items.parquet")
    con = memory()
    try:
        rows = con.execute(
            "SELECT * EXCLUDE (item, key, number_key) "  # noqa: S608 - our own path
            f"FROM read_parquet({quoted(str(path))}) ORDER BY item"
        ).df()
    finally:
        con.close()
    for column in set(JSON_COLUMNS) & set(rows.columns):
        rows[column] = [
            json.loads(cell) if isinstance(cell, str) else None for cell in rows[column]
        ]
    return rows
