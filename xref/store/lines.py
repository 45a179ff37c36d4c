"""Texts into the database: as some long ones that it takes apart, not as a million objects."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ..texts import Texts
from .engine import named

if TYPE_CHECKING:
    import duckdb


@contextlib.contextmanager
def registered(con: duckdb.DuckDBPyConnection, name: str, texts: Texts) -> Iterator[str]:
    """Register `texts` as `name` and give the query of their `text` and `place`, in order."""
    import pandas as pd

    data: dict[str, Any]
    if texts.is_lines():
        blocks = [block.written.decode() for block in texts.blocks()]
        counts = np.array([len(block) for block in texts.blocks()], np.int64)
        last = np.cumsum(counts)
        data = {"lines": pd.Series(blocks, dtype=object), "first": last - counts, "last": last}
        columns = (
            "unnest(string_split(lines, chr(10))) AS text, unnest(range(first, last)) AS place"
        )
    else:
        data = {"text": pd.Series([*texts], dtype=object), "place": np.arange(len(texts))}
        columns = "text, place"
    con.register(name, pd.DataFrame(data, copy=False))
    try:
        yield f"SELECT {columns} FROM {named(name)}"  # noqa: S608 - our own names
    finally:
        con.unregister(name)
