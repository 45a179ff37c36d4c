"""State and log made one again: written into a new file, never into the one that holds the state.

What is entered goes into the log beside the state (state.duckdb.wal). The engine would bring it
into the state file whenever that is closed, and write anew, in its place, the block that says what
the file holds: a process killed in the midst of that, seen once in some thousands, leaves a file
that nobody can open. Hence the state file stays as it is; when the log has grown, both are copied
into a new file, which takes their place.

The log is put aside before the new file takes the state's name, and removed after: wherever that
is broken off, `finish` knows what was done, and no entry is lost or made twice.
"""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING

from .engine import database, named, quoted
from .layout import sync_file, sync_folder

if TYPE_CHECKING:
    import duckdb

log = logging.getLogger("xref.store")

LONG_LOG = 1 << 16
"""Bytes of log from which on it is made one with the state: every opening reads it again."""


def log_of(path: Path) -> Path:
    """Return the log of the state at `path`, which need not be there."""
    return path.with_name(f"{path.name}.wal")


def _aside(path: Path) -> Path:
    return path.with_name(f"{path.name}.wal.settled")


def _new(path: Path) -> Path:
    return path.with_name(f".new-{path.name}")


def keep_to_the_log(con: duckdb.DuckDBPyConnection) -> None:
    """See that nothing is written into the state file of `con`, open for writing."""
    con.execute("PRAGMA disable_checkpoint_on_shutdown")
    con.execute("SET wal_autocheckpoint = '1TB'")


def is_broken_off(path: Path) -> bool:
    """Whether settling the state at `path` was broken off, so that it must be finished first."""
    return _aside(path).exists()


def whole(path: Path) -> Path:
    """Return the file that holds all of the state at `path`, but for a log beside it."""
    return _new(path) if is_broken_off(path) and _new(path).exists() else path


def finish(path: Path) -> None:
    """Finish a settling that was broken off; the writers' turn is held."""
    if not is_broken_off(path):
        return
    if whole(path) != path:
        whole(path).replace(path)
        sync_folder(path.parent)
    _aside(path).unlink()


def settle_grown(con: duckdb.DuckDBPyConnection, path: Path, *, anyway: bool = False) -> None:
    """Settle if the log has grown long, or `anyway`; the writers' turn is held.

    What was entered stands in the log already: where this cannot be done, the next writer tries.
    """
    import duckdb

    log_file = log_of(path)
    if not anyway and not (log_file.exists() and log_file.stat().st_size > LONG_LOG):
        return
    try:
        settle(con, path)
    except (OSError, duckdb.Error) as error:
        log.warning("the state was not settled: %s", error)


def settle(con: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Put the state at `path` and its log into one new file; the writers' turn is held.

    `con` has the state open for writing, with nothing uncommitted, and is closed. A deleted row's
    bytes, which stay in the free blocks of a database file, are not in the new one.
    """
    new = _new(path)
    for left in (new, log_of(new)):
        left.unlink(missing_ok=True)
    database(new).close()  # with our settings: ATTACH alone would choose its own storage version
    try:
        con.execute(f"ATTACH {quoted(str(new))} AS new")
        con.execute(f"COPY FROM DATABASE {named(path.stem)} TO new")
        con.execute("CHECKPOINT new")
        con.execute("DETACH new")
    finally:
        con.close()
    log_of(new).unlink(missing_ok=True)  # empty
    sync_file(new)
    sync_folder(path.parent)
    if log_of(path).exists():
        log_of(path).replace(_aside(path))
    new.replace(path)
    sync_folder(path.parent)
    _aside(path).unlink(missing_ok=True)
