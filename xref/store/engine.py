"""DuckDB, opened the same way everywhere: no network, files readable by every supported version.

Only this package imports duckdb, and only inside functions, so that a command that needs no
data (`xref --help`, `xref fit`) does not pay for it.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import duckdb

# The oldest storage that all supported DuckDB versions (1.5 and 2.x) both read and write.
# Without a name DuckDB 2 would be free to write what 1.5 refuses.
STORAGE_VERSION = "v1.5.0"

# Off, or DuckDB tries the network for extensions that a query seems to need.
_SETTINGS: dict[str, str | bool | int | float | list[str]] = {
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
}


def memory() -> duckdb.DuckDBPyConnection:
    """Return a fresh in-memory database: the engine for DataFrames and for lists."""
    import duckdb

    return duckdb.connect(":memory:", config=dict(_SETTINGS))


def loading(one: duckdb.DuckDBPyConnection | None = None) -> duckdb.DuckDBPyConnection:
    """Return a connection that takes columns of objects for texts, to `one` or to a fresh database.

    Otherwise their type is guessed from a sample of them.
    """
    con = memory() if one is None else one.cursor()
    con.execute("SET pandas_analyze_sample = 0")
    return con


def database(path: Path, *, read_only: bool = False) -> duckdb.DuckDBPyConnection:
    """Open (or, unless `read_only`, create) the database file at `path`.

    Raises duckdb.Error when the file is locked by another process, damaged or too new.
    """
    import duckdb

    settings = dict(_SETTINGS) | {"storage_compatibility_version": STORAGE_VERSION}
    return duckdb.connect(str(path), read_only=read_only, config=settings)


def quoted(text: str) -> str:
    """Return `text` as an SQL string literal."""
    return "'" + text.replace("'", "''") + "'"


def named(name: str) -> str:
    """Return `name` as an SQL identifier."""
    return '"' + name.replace('"', '""') + '"'
