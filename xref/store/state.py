"""The state while it is open: record an event, read the current tables.

The events are the truth. `record` writes the event and its effect on the current table in one
go; `project` is the only way a current table changes, so that replaying the events gives the
same tables (`xref store check` does, and compares).
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from .engine import named
from .state_tables import TABLES

if TYPE_CHECKING:
    import duckdb

EVENTS = """CREATE TABLE IF NOT EXISTS events(
    seq BIGINT NOT NULL, recorded_at TIMESTAMP NOT NULL, act VARCHAR NOT NULL,
    in_table VARCHAR NOT NULL, key VARCHAR NOT NULL, content VARCHAR NOT NULL,
    digest VARCHAR)"""
CONTACTS_TABLE = "contacts"
CONTACTS = "CREATE TABLE IF NOT EXISTS contacts(holder VARCHAR, details JSON)"
# The digest before the first event.
BEGINNING = ""


def chained(before: str, event: Sequence[Any]) -> str:
    """Return the digest of an event (seq, recorded_at, act, in_table, key, content).

    It covers the digest of the event before, so that an event altered, lost or slipped in later
    shows at every check.
    """
    import hashlib

    seq, at, *texts = event
    text = json.dumps([before, seq, at.isoformat(), *texts], ensure_ascii=False)
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _plain(value: Any) -> Any:
    """Return `value` as JSON can hold it without loss: money as text, dates as ISO."""
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, datetime):
        if value.tzinfo is not None:
            value = value.astimezone(UTC).replace(tzinfo=None)
        return value.isoformat(sep=" ")
    if isinstance(value, date):
        return value.isoformat()
    if hasattr(value, "item"):  # a numpy scalar
        return value.item()
    raise TypeError(f"{value!r} ({type(value).__name__}) cannot be recorded")


def encoded(values: Mapping[str, Any]) -> str:
    """Return `values` as the JSON text of an event; NaN is refused, it equals not even itself."""
    return json.dumps(
        dict(values), default=_plain, ensure_ascii=False, sort_keys=True, allow_nan=False
    )


def project(
    con: duckdb.DuckDBPyConnection, table: str, key: str | int, values: Mapping[str, Any]
) -> None:
    """Set the columns of row `key` of the current table `table` to `values` (as decoded JSON)."""
    columns = TABLES[table]
    key_column = next(iter(columns))
    cells = {
        column: json.dumps(value, ensure_ascii=False, sort_keys=True)
        if columns[column] == "JSON" and value is not None
        else value
        for column, value in values.items()
        if column != key_column
    }
    # Updated or, failing that, inserted: a primary key would refuse some updates of a row that
    # was already changed in the same transaction, and writers take turns anyway.
    where = f"{named(key_column)} = CAST(? AS {columns[key_column]})"
    setting = ", ".join(f"{named(c)} = CAST(? AS {columns[c]})" for c in cells) or (
        f"{named(key_column)} = {named(key_column)}"
    )
    sql = f"UPDATE {named(table)} SET {setting} WHERE {where}"  # noqa: S608 - declared names only
    changed = con.execute(sql, [*cells.values(), key]).fetchone()
    if changed is None or changed[0] == 0:
        names = ", ".join(named(c) for c in (key_column, *cells))
        marks = ", ".join(f"CAST(? AS {columns[c]})" for c in (key_column, *cells))
        con.execute(
            f"INSERT INTO {named(table)}({names}) VALUES ({marks})",  # noqa: S608 - as above
            [key, *cells.values()],
        )


class State:
    """An open state; made by `Store.reading()` and `Store.writing(act)`, valid inside them."""

    def __init__(self, con: duckdb.DuckDBPyConnection, *, writable: bool) -> None:
        self._con = con
        self.writable = writable
        self._last: tuple[int, str] | None = None

    def rows(self, sql: str, params: Sequence[Any] = ()) -> list[dict[str, Any]]:
        """Return the rows of a query as dicts; JSON columns come back as lists and dicts."""
        result = self._con.execute(sql, list(params))
        names = [column[0] for column in result.description or ()]
        as_json = {i for i, c in enumerate(result.description or ()) if str(c[1]) == "JSON"}
        return [
            {
                name: json.loads(value) if i in as_json and value is not None else value
                for i, (name, value) in enumerate(zip(names, row, strict=True))
            }
            for row in result.fetchall()
        ]

    def one(self, sql: str, params: Sequence[Any] = ()) -> dict[str, Any] | None:
        """Return the first row of a query, or None when there is none."""
        rows = self.rows(sql, params)
        return rows[0] if rows else None

    def next_id(self, table: str) -> int:
        """Return the next free number for a row of `table` (1 for the first)."""
        key = named(next(iter(TABLES[table])))
        found = self._con.execute(
            f"SELECT coalesce(max({key}), 0) + 1 FROM {named(table)}"  # noqa: S608 - declared names
        ).fetchone()
        assert found is not None  # noqa: S101 - an aggregate always gives a row
        return int(found[0])

    def record(self, act: str, table: str, key: str | int, values: Mapping[str, Any]) -> int:
        """Append an event and bring the current table up to it; return the event's number.

        `values` holds the columns that change; the others of row `key` stay as they are. None
        sets a column to unknown. Raises ValueError for a table or column nobody declared.
        """
        if not self.writable:
            raise ValueError("the state is open for reading only; use Store.writing")
        if table not in TABLES:
            raise ValueError(f"no current table {table!r} is declared in state_tables")
        unknown = values.keys() - TABLES[table].keys()
        if unknown:
            raise ValueError(f"table {table!r} has no column {', '.join(sorted(unknown))}")
        content = encoded(values)
        seq = self._append(act, table, str(key), content)
        project(self._con, table, key, json.loads(content))
        return seq

    def note_contact(self, holder: str, details: Mapping[str, Any]) -> None:
        """Keep contact details (address, telephone ...) of `holder`; the event names no detail.

        They lie outside the events, because a person may ask for them to be erased.
        """
        self._append("contact noted", CONTACTS_TABLE, holder, "{}")
        self._con.execute("DELETE FROM contacts WHERE holder = ?", [holder])
        self._con.execute("INSERT INTO contacts VALUES (?, ?)", [holder, encoded(details)])

    def contact(self, holder: str) -> dict[str, Any]:
        """Return the contact details of `holder`; empty if none are kept."""
        row = self.one("SELECT details FROM contacts WHERE holder = ?", [holder])
        return dict(row["details"]) if row else {}

    def drop_contact(self, holder: str) -> bool:
        """Delete the details of `holder`; tell whether there were any. See Store.erase_contact."""
        if not self.contact(holder):
            return False
        self._append("contact erased", CONTACTS_TABLE, holder, "{}")
        self._con.execute("DELETE FROM contacts WHERE holder = ?", [holder])
        return True

    def _append(self, act: str, table: str, key: str, content: str) -> int:
        if self._last is None:
            last = self._con.execute(
                "SELECT seq, digest FROM events ORDER BY seq DESC LIMIT 1"
            ).fetchone()
            self._last = (int(last[0]), str(last[1])) if last else (0, BEGINNING)
        seq = self._last[0] + 1
        event = [seq, datetime.now(UTC).replace(tzinfo=None), act, table, key, content]
        digest = chained(self._last[1], event)
        self._con.execute(
            "INSERT INTO events VALUES (?, CAST(? AS TIMESTAMP), ?, ?, ?, ?, ?)", [*event, digest]
        )
        self._last = (seq, digest)
        return seq
