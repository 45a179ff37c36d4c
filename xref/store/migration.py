"""The format of a store: a newer one is left alone, an older one is brought up after a backup.

Format 1: events without digests. Format 2: every event carries a digest that covers the event
before it. A step changes the state in one transaction, which also notes the format reached, and
only then the mark in store.json: a step interrupted anywhere is taken up again at the next opening.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ..errors import StoreUnavailable
from . import layout

if TYPE_CHECKING:
    import duckdb

FORMAT = 2


def agree_on_format(folder: Path) -> None:
    """Check the format of the store in `folder`; mark a new one, bring an older one up.

    Raises StoreUnavailable for a folder that is no store, or a store of a newer format.
    """
    found = found_format(folder)
    if found is None:
        strangers = [p.name for p in folder.iterdir() if not p.name.startswith(".")]
        if strangers:
            raise StoreUnavailable(
                f"{folder} is not a store of xref: it holds {strangers[0]} but no store.json. "
                "Name an empty or new folder with --store or XREF_STORE.",
                at=str(folder),
                code="store-not-one",
            )
        layout.write_json(folder / "store.json", {"format": FORMAT})
    elif found > FORMAT:
        raise StoreUnavailable(
            f"the store in {folder} has format {found}, this xref knows formats up to {FORMAT}: "
            "a newer xref wrote it. Update xref, or name another store with --store.",
            at=str(folder),
            code="store-newer",
        )
    elif found < FORMAT:
        _bring_up(folder)


def found_format(folder: Path) -> int | None:
    """Return the format the store in `folder` is marked with, None if it bears no mark."""
    mark = folder / "store.json"
    try:
        return int(layout.read_json(mark)["format"])
    except FileNotFoundError:
        return None
    except (ValueError, KeyError, TypeError) as error:
        raise StoreUnavailable(
            f"{mark} cannot be read ({error}). `xref store restore FILE` puts a backup in place.",
            at=str(mark),
            code="store-damaged",
        ) from error


def _bring_up(folder: Path) -> None:
    from . import lock
    from .backup import write_backup
    from .opening import open_database

    with lock.held(folder / "writer.lock", "bring the store up to a newer format"):
        found = found_format(folder)
        if found is None or found >= FORMAT:  # another process was quicker
            return
        state = folder / "state.duckdb"
        if state.exists():
            stamp = f"{datetime.now(UTC):%Y%m%dT%H%M%SZ}-{layout.token()}"
            layout.make_private(folder / "backups")
            write_backup(folder, folder / "backups" / f"format-{found}-{stamp}.zip")
            con = open_database(state, read_only=False)
            try:
                for step in range(_state_format(con), FORMAT):
                    con.execute("BEGIN")
                    _STEPS[step](con)
                    con.execute("CREATE TABLE IF NOT EXISTS about(name VARCHAR, value VARCHAR)")
                    con.execute("DELETE FROM about WHERE name = 'format'")
                    con.execute("INSERT INTO about VALUES ('format', ?)", [str(step + 1)])
                    con.execute("COMMIT")
            finally:
                con.close()
        layout.write_json(folder / "store.json", {"format": FORMAT})


def _state_format(con: duckdb.DuckDBPyConnection) -> int:
    import duckdb

    try:
        row = con.execute("SELECT value FROM about WHERE name = 'format'").fetchone()
    except duckdb.CatalogException:
        return 1
    return int(row[0]) if row else 1


def _chain_events(con: duckdb.DuckDBPyConnection) -> None:
    """Format 1 to 2: give every event its digest."""
    from .state import BEGINNING, EVENTS, chained

    con.execute(EVENTS)
    con.execute("ALTER TABLE events ADD COLUMN IF NOT EXISTS digest VARCHAR")
    events = con.execute(
        "SELECT seq, recorded_at, act, in_table, key, content FROM events ORDER BY seq"
    ).fetchall()
    digest = BEGINNING
    digests = []
    for event in events:
        digest = chained(digest, event)
        digests.append(digest)
    con.execute(
        """UPDATE events SET digest = d.digest
           FROM (SELECT unnest(?::BIGINT[]) AS seq, unnest(?::VARCHAR[]) AS digest) d
           WHERE events.seq = d.seq""",
        [[event[0] for event in events], digests],
    )


_STEPS: dict[int, Callable[[duckdb.DuckDBPyConnection], None]] = {1: _chain_events}
