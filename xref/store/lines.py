"""Texts into the database: as some long ones that it takes apart, not as a million objects."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

from ..texts import Texts
from .engine import named

if TYPE_CHECKING:
    import duckdb

_TAKEN_APART = "unnest(string_split(given, chr(10)))"


@contextlib.contextmanager
def registered(con: duckdb.DuckDBPyConnection, name: str, texts: Texts) -> Iterator[str]:
    """Register `texts` as `name` and give the query of them, as `text`, in their order."""
    import pandas as pd

    if texts.is_lines():
        given, column = [block.written.decode() for block in texts.blocks()], _TAKEN_APART
    else:  # some hold line feeds themselves
        given, column = texts.listed(), "given"
    con.register(name, pd.DataFrame({"given": pd.Series(given, dtype=object)}, copy=False))
    try:
        yield f"SELECT {column} AS text FROM {named(name)}"  # noqa: S608 - our own names
    finally:
        con.unregister(name)
