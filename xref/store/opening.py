"""Opening state.duckdb: late, briefly, with patience, and with its tables as declared."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import StoreUnavailable
from . import lock
from .engine import database, named, quoted
from .migration import FORMAT
from .settling import finish, keep_to_the_log, whole
from .state import CONTACTS, EVENTS
from .state_tables import TABLES

if TYPE_CHECKING:
    import duckdb

_PAUSE_SECONDS = 0.02
# What a disk without room answers; the database passes the system's words on.
_NO_ROOM = {code: os.strerror(code) for code in (errno.ENOSPC, errno.EFBIG, errno.EDQUOT)}


def _declared() -> str:
    """Return the declared tables as a text, to see at a glance whether a file has them."""
    return json.dumps([EVENTS, CONTACTS, TABLES])


def _in_use(error: Exception) -> bool:
    """Tell a file that another reader or writer has open from one that cannot be opened."""
    text = str(error)
    return (
        "Conflicting lock" in text  # another process
        or "Could not set lock" in text
        or "different configuration" in text  # another thread of this process
        or "being used by another process" in text  # Windows
        or "already attached" in text
    )


def open_database(path: Path, *, read_only: bool, wait: float = 8.0) -> duckdb.DuckDBPyConnection:
    """Open the state file, waiting up to `wait` [s] for others to close it.

    To write it the writers' turn must be held. Raises StoreUnavailable when it stays in use, is
    damaged, or is from a newer DuckDB.
    """
    import duckdb

    if not read_only:
        finish(path)
    deadline = time.monotonic() + wait
    while True:
        try:
            con = database(path, read_only=read_only)
            if not read_only:
                keep_to_the_log(con)
            return con
        except duckdb.Error as error:
            if not _in_use(error):
                raise _cannot_open(path, error) from error
            if time.monotonic() >= deadline:
                raise StoreUnavailable(
                    f"the store in {path.parent} is in use by "
                    f"{lock.holder(path.parent / 'writer.lock')}; waited {wait:g} seconds. "
                    "Try again when it is done.",
                    at=str(path),
                    code="store-busy",
                ) from error
        time.sleep(_PAUSE_SECONDS)


def _cannot_open(path: Path, error: Exception) -> StoreUnavailable:
    first = str(error).strip().splitlines()[0]
    if "newer version of DuckDB" in str(error) or "version number" in str(error):
        return StoreUnavailable(
            f"{path} was written by a newer DuckDB than the one installed here ({first}). "
            "Update duckdb, or name another store with --store.",
            at=str(path),
            code="store-newer",
        )
    return StoreUnavailable(
        f"{path} cannot be opened: {first} "
        "`xref store restore FILE` puts a backup in its place and keeps this one aside.",
        at=str(path),
        code="store-damaged",
    )


@contextlib.contextmanager
def in_words(folder: Path, *, writing: bool = True) -> Iterator[None]:
    """Say in a sentence what the disk refused, or gave back damaged, while the block ran.

    With `writing` also what it refused of other files of the store. Raises StoreUnavailable:
    `store-full` when there is no room, `store-damaged` when the state cannot be read.
    """
    import duckdb

    try:
        yield
    except OSError as error:
        if not writing or error.errno not in _NO_ROOM:
            raise
        raise _full(folder, error.strerror or str(error)) from error
    except duckdb.Error as error:
        text = str(error)
        reason = next((words for words in _NO_ROOM.values() if words in text), None)
        if reason is not None:
            raise _full(folder, reason) from error
        broken = duckdb.IOException | duckdb.FatalException | duckdb.InternalException
        if not isinstance(error, broken) and "Corrupt database" not in text:
            raise
        raise _cannot_open(folder / "state.duckdb", error) from error


def undone(con: duckdb.DuckDBPyConnection) -> None:
    """Take the open transaction back; where the database gave up, it has done so itself."""
    import duckdb

    with contextlib.suppress(duckdb.Error):
        con.execute("ROLLBACK")


def _full(folder: Path, reason: str) -> StoreUnavailable:
    return StoreUnavailable(
        f"the store in {folder} cannot be written: {reason[:1].lower()}{reason[1:]}. What was "
        "finished before is kept; make room there and enter this again.",
        at=str(folder),
        code="store-full",
    )


def as_declared(con: duckdb.DuckDBPyConnection) -> bool:
    """Tell whether the open state file has every declared table and column."""
    import duckdb

    try:
        row = con.execute("SELECT value FROM about WHERE name = 'declared'").fetchone()
    except duckdb.CatalogException:  # a file without any tables yet
        return False
    return row is not None and row[0] == _declared()


def declare(con: duckdb.DuckDBPyConnection) -> None:
    """Create what is missing: the events, and every declared table and column."""
    con.execute("BEGIN")
    con.execute(EVENTS)
    con.execute(CONTACTS)
    con.execute("CREATE TABLE IF NOT EXISTS about(name VARCHAR, value VARCHAR)")
    con.execute("DELETE FROM about WHERE name = 'format'")
    con.execute("INSERT INTO about VALUES ('format', ?)", [str(FORMAT)])
    for table, columns in TABLES.items():
        listed = ", ".join(f"{named(c)} {kind}" for c, kind in columns.items())
        con.execute(f"CREATE TABLE IF NOT EXISTS {named(table)}({listed})")
        for column, kind in columns.items():
            con.execute(
                f"ALTER TABLE {named(table)} ADD COLUMN IF NOT EXISTS {named(column)} {kind}"
            )
    con.execute("DELETE FROM about WHERE name = 'declared'")
    con.execute("INSERT INTO about VALUES ('declared', ?)", [_declared()])
    con.execute("COMMIT")


@contextlib.contextmanager
def unwritten_copy(path: Path, new: Path) -> Iterator[None]:
    """Copy the state file to `new`, its log included, and keep others from writing meanwhile.

    Nothing is written where the state lies. Without a state there is no copy.
    """
    from .engine import memory

    if not path.exists():
        yield
        return
    database(new).close()
    con = memory()
    try:
        con.execute(f"ATTACH {quoted(str(whole(path)))} AS kept (READ_ONLY)")
        con.execute(f"ATTACH {quoted(str(new))} AS new")
        con.execute("COPY FROM DATABASE kept TO new")
        con.execute("DETACH new")
        yield
    finally:
        con.close()
