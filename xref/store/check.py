"""Is the store what its events say? Rebuild, compare, and recompute every digest."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from ..errors import StoreUnavailable
from . import layout
from .engine import memory, named, quoted
from .files import FILES, digest_of
from .migration import found_format
from .state import BEGINNING, CONTACTS_TABLE, State, chained
from .state_tables import TABLES
from .writing import current_document

if TYPE_CHECKING:
    from pathlib import Path

    from .store import Store

Finding = dict[str, str]


def check(store: Store) -> dict[str, Any]:
    """See `Store.check`."""
    try:
        with store.writing("check the store") as state:
            damage, notes, events, editions = _records(store.folder, state)
    except StoreUnavailable as error:
        if error.code != "store-read-only":
            raise
        with store.reading() as state:  # nothing is put right then, only told
            damage, notes, events, editions = _records(store.folder, state)
    for edition in editions:
        damage += _wrong_files(store.folder / "lists" / edition["folder"], edition)
    known = {str(edition["folder"]) for edition in editions}
    for path in sorted((store.folder / "lists").glob("[0-9]*/[0-9]*")):
        folder = f"{path.parent.name}/{path.name}"
        if folder not in known:
            notes.append(_finding("left-over", "of a load that was broken off; harmless", folder))
    return {
        "folder": str(store.folder),
        "events": events,
        "editions": len(editions),
        "damage": damage,
        "notes": notes,
    }


def _records(
    folder: Path, state: State
) -> tuple[list[Finding], list[Finding], int, list[dict[str, Any]]]:
    """Return damage and notes of the records, the count of events, and the editions."""
    events = state.rows(
        "SELECT seq, recorded_at, act, in_table, key, content, digest FROM events ORDER BY seq"
    )
    damage = _broken_chain(events)
    con = memory()
    try:
        for table in TABLES:
            damage += _differences(State(con, writable=False), state, table, events)
    finally:
        con.close()
    notes = _undeclared(events)
    path = folder / "lists" / "current.json"
    if not path.exists() and current_document(state)["editions"]:
        what = "was not there, so that no list was found" + _put_right(state)
        notes.append(_finding("current-missing", what, str(path)))
    damage += _wrong_current(path, state)
    return damage, notes, len(events), state.rows("SELECT * FROM editions ORDER BY edition")


def _put_right(state: State) -> str:
    """Say that what was wrong is written anew; in a store that cannot be written nothing is."""
    return "; written anew" if state.writable else ""


def unreadable(store: Store, error: StoreUnavailable) -> dict[str, Any]:
    """Return what a check finds where the records cannot even be opened."""
    damage = [_finding("state-unreadable", error.message, "state.duckdb")]
    return {"folder": str(store.folder), "events": 0, "editions": 0, "damage": damage, "notes": []}


def _finding(code: str, what: str, where: str) -> Finding:
    return {"code": code, "what": what, "where": where}


def _broken_chain(events: list[dict[str, Any]]) -> list[Finding]:
    before = BEGINNING
    for expected, event in enumerate(events, 1):
        where = f"event {event['seq']}"
        if event["seq"] != expected:
            return [_finding("event-lost", f"event {expected} is missing or double", where)]
        *values, digest = event.values()
        if chained(before, values) != digest:
            return [_finding("event-altered", "the event or one before it was altered", where)]
        before = digest
    return []


def merged(events: list[dict[str, Any]], table: str) -> dict[str, dict[str, Any]]:
    """Return, by key, the last value of each column of `table` that the events speak of."""
    rows: dict[str, dict[str, Any]] = {}
    for event in events:
        if event["in_table"] == table:
            rows.setdefault(event["key"], {}).update(json.loads(event["content"]))
    return rows


def _differences(
    engine: State, state: State, table: str, events: list[dict[str, Any]]
) -> list[Finding]:
    """Rebuild one current table with `engine` and compare it with the one kept."""
    columns = TABLES[table]
    key = next(iter(columns))
    rows = merged(events, table)
    for name, row in rows.items():
        row[key] = name
    cells = ", ".join(
        f"content->{quoted(c)} AS {named(c)}"
        if kind == "JSON"
        else f"CAST(content->>{quoted(c)} AS {kind}) AS {named(c)}"
        for c, kind in columns.items()
    )
    rebuilt = engine.rows(
        f"SELECT {cells} FROM (SELECT unnest(?::JSON[]) AS content)",  # noqa: S608
        [[json.dumps(row) for row in rows.values()]],
    )
    listed = ", ".join(map(named, columns))
    kept = state.rows(f"SELECT {listed} FROM {named(table)}")  # noqa: S608 - declared names
    expected = {row[key]: row for row in rebuilt}
    found: list[Finding] = []
    seen: set[Any] = set()
    for row in kept:
        where = f"{table} {row[key]}"
        if row[key] in seen:
            found.append(_finding("row-double", "two current rows for one key", where))
        elif row[key] not in expected:
            found.append(_finding("row-unfounded", "no event speaks of it", where))
        elif row != expected[row[key]]:
            wrong = ", ".join(c for c in columns if row[c] != expected[row[key]][c])
            found.append(_finding("row-wrong", f"differs from its events in {wrong}", where))
        seen.add(row[key])
    missing = [name for name in expected if name not in seen]
    found += [
        _finding("row-lost", "its events are there, it is not", f"{table} {n}") for n in missing
    ]
    return found


def _undeclared(events: list[dict[str, Any]]) -> list[Finding]:
    tables = {event["in_table"] for event in events} - TABLES.keys() - {CONTACTS_TABLE}
    return [
        _finding("table-unknown", "written by another version of xref", table)
        for table in sorted(tables)
    ]


def _wrong_current(path: Path, state: State) -> list[Finding]:
    """Compare lists/current.json with the state; one merely behind is brought up by the writer."""
    expected = current_document(state)
    try:
        shown = layout.read_json(path)
    except FileNotFoundError:
        return []  # nothing loaded yet, or a load broken off before its last step
    except ValueError:
        shown = None
    if isinstance(shown, dict) and shown.get("seq", -1) < expected["seq"]:
        return []
    if shown == expected:
        return []
    if state.writable:
        layout.write_json(path, expected)
    what = "did not show the current lists" + _put_right(state)
    return [_finding("current-wrong", what, str(path))]


def _wrong_files(folder: Path, edition: dict[str, Any]) -> list[Finding]:
    where = f"lists/{edition['folder']}"
    meta = folder / "meta.json"
    if not meta.is_file():
        return [_finding("list-lost", "the files of this edition are missing", where)]
    if digest_of(meta) != edition["meta_digest"]:
        return [_finding("list-altered", "meta.json is not as it was written", where)]
    found = []
    for name, digest in layout.read_json(meta)["files"].items():
        path = folder / name
        if name not in FILES or not path.is_file():
            found.append(_finding("list-lost", f"{name} is missing", where))
        elif digest_of(path) != digest:
            found.append(_finding("list-altered", f"{name} is not as it was written", where))
    return found


def info(store: Store) -> dict[str, Any]:
    """See `Store.info`."""
    import duckdb

    with store.reading() as state:
        events = state.one("SELECT count(*) AS n, max(recorded_at) AS last FROM events") or {}
        editions = state.one("SELECT count(*) AS n FROM editions") or {}
    files = [path for path in store.folder.rglob("*") if path.is_file()]
    return {
        "folder": str(store.folder),
        "format": found_format(store.folder),
        "duckdb": duckdb.__version__,
        "bytes": sum(path.stat().st_size for path in files),
        "lists": [
            {
                "list": e.list,
                "table": e.table,
                "name": e.name,
                "supplier": e.supplier,
                "as_of": e.day.isoformat(),
                "edition": e.number,
                "items": e.items,
                "keys": e.keys,
            }
            for e in store.editions()
        ],
        "editions": editions.get("n", 0),
        "events": events.get("n", 0),
        "last_event": None if events.get("last") is None else events["last"].isoformat(),
    }
