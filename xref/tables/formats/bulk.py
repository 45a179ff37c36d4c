"""Big delimited text straight into columns of the in-memory engine.

A `Row` object costs a microsecond per cell; a million rows want columns. The engine's reader
knows nothing of physical lines, of ditto marks and of inch marks, so it is used only on text
where counting proves that every reader must agree; else `delimited.rows` fills the columns,
slower and right.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from itertools import islice, repeat, zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from xref.store import engine
from xref.tables.formats import delimited
from xref.tables.formats.encodings import decode
from xref.tables.formats.grid import Dialect
from xref.tables.formats.source import Source

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

_MOST_COLUMNS = 300
_LONGEST_LINE = 2_000_000
_BATCH = 50_000
_BLANKS = r"E' \t\r\n\x0b\x0c' || chr(160)"


@dataclass(frozen=True, slots=True)
class BulkText:
    """All records that hold any text; ORDER BY line gives the order of the file.

    `connection` has the view `table` with `line` BIGINT, the physical line the record begins
    on, and `c0` to `c<columns - 1>` VARCHAR, NULL where a cell is empty or missing. The raw text
    is not kept: `raw_records` finds it for the few rows set aside. `fast` says whether the
    engine read the file itself; the result is the same.
    """

    connection: DuckDBPyConnection
    table: str
    columns: int
    rows: int
    fast: bool


def bulk_text(
    path: str | Path,
    dialect: Dialect,
    encoding: str | None = None,
    connection: DuckDBPyConnection | None = None,
    table: str = "bulk",
) -> BulkText:
    """Read a delimited text of any size into `table` of an in-memory database.

    Take `dialect` and `encoding` from `read_grids(path, limit=1000)`, settle the headings on
    those rows, then read all of it here and work on distinct values in SQL. Not for standard
    input, which can be read only once. Raises Refused like `read_grids`.
    """
    source = Source(path)
    connection = connection or engine.memory()
    decoded = decode(source.data, source.label, encoding)
    text = decoded.text
    quote = _quoting(text, dialect)
    if quote is not None:
        as_it_is = decoded.encoding == "utf-8" and decoded.how != "byte order mark"
        with tempfile.TemporaryDirectory() as folder:
            plain = Path(folder) / "records.csv"
            if as_it_is and source.path is not None and dialect.first_line == 1:
                plain = source.path
            else:
                plain.write_text(_from_line(text, dialect.first_line), "utf-8", newline="")
            found = _by_engine(connection, table, plain, text, dialect, quote)
        if found is not None:
            return BulkText(connection, table, *found, fast=True)
    return BulkText(connection, table, *_by_rows(connection, table, text, dialect), fast=False)


def raw_records(
    path: str | Path, lines: set[int], dialect: Dialect, encoding: str | None = None
) -> dict[int, str]:
    """Return the raw text of the records that begin on the physical `lines`."""
    source = Source(path)
    text = decode(source.data, source.label, encoding).text
    records = delimited.records(text, dialect)
    return {at: record.rstrip("\r\n") for at, record, _ in records if at in lines}


def _from_line(text: str, line: int) -> str:
    for _ in range(line - 1):
        text = text.partition("\n")[2]
    return text


def _quoting(text: str, dialect: Dialect) -> str | None:
    """Return the quote to hand to the engine, empty for none, or None if readers could differ.

    They agree where no quotation mark opens a field; and where every one at an even place (from
    0) opens a field or follows the one before, and every one at an odd place closes a field or is
    followed by the next: the grammar of RFC 4180, checked on all marks at once.
    """
    import numpy as np

    ends = text.count("\r\n")
    if not dialect.delimiter or dialect.escape or dialect.skip_space:
        return None
    if text.count("\r") != ends or ends not in (0, text.count("\n")):
        return None
    if '"' not in text:
        return ""
    data = np.frombuffer(f"\n{text}\n".encode(), dtype=np.uint8)
    marks = np.flatnonzero(data == ord('"'))
    edges = [ord("\n"), ord(dialect.delimiter[:1])]
    opens = np.isin(data[marks - 1], edges)
    if not opens.any():
        return ""
    closes = np.isin(data[marks + 1], [*edges, ord("\r")])
    doubled = data[marks[1:] - 1] == ord('"')
    even = opens[0::2] | np.concatenate(([False], doubled))[0::2]
    odd = closes[1::2] | np.concatenate((doubled, [False]))[1::2]
    return '"' if len(marks) % 2 == 0 and even.all() and odd.all() else None


def _by_engine(
    connection: DuckDBPyConnection,
    table: str,
    path: Path,
    text: str,
    dialect: Dialect,
    quote: str,
) -> tuple[int, int] | None:
    """Fill `table` with the engine's reader; None if it does not find one record per line."""
    lines = text.split("\n")[dialect.first_line - 1 :]
    ending = "\r" if lines[0].endswith("\r") else ""
    width = max(map(str.count, lines, repeat(dialect.delimiter))) + 1
    if width > _MOST_COLUMNS or max(map(len, lines)) > _LONGEST_LINE:
        return None
    if not lines[-1]:
        lines.pop()
    blank = [number for number, line in enumerate(lines) if line == ending]
    columns = ", ".join(f"'c{i}': 'VARCHAR'" for i in range(width))
    q = engine.quoted
    cells = engine.named(f"{table} cells")
    try:
        connection.execute(
            f"CREATE OR REPLACE TABLE {cells} AS FROM read_csv({q(str(path))}, "
            f"columns = {{{columns}}}, delim = {q(dialect.delimiter)}, quote = {q(quote)}, "
            f"escape = {q(quote)}, header = false, auto_detect = false, null_padding = true, "
            f"strict_mode = false, comment = '', max_line_size = {4 * _LONGEST_LINE})"
        )
    except Exception:  # noqa: BLE001 - what the engine does not take, the other way reads
        return None
    if _count(connection, cells) != len(lines) - len(blank):
        return None
    while width > dialect.columns and not _count(connection, cells, f"c{width - 1}"):
        width -= 1  # the delimiters counted were within quoted fields
    # Row n is line n plus the blank lines before it, which the engine passes over.
    shifts = [(-1, dialect.first_line)]
    shifts += [(at - i, dialect.first_line + i + 1) for i, at in enumerate(blank)]
    listed = ", ".join(map(str, dict(shifts).items()))
    connection.execute(
        f"CREATE OR REPLACE TABLE {engine.named(f'{table} shifts')} AS "
        f"FROM (VALUES {listed}) AS shifts (first, shift)"
    )
    return _name(connection, table, width)


def _name(connection: DuckDBPyConnection, table: str, width: int) -> tuple[int, int]:
    """Make `table` a view of the cells with their lines; return its columns and rows."""
    cells, shifts = engine.named(f"{table} cells"), engine.named(f"{table} shifts")
    names = ", ".join(f"c{i}" for i in range(width))
    text = " OR ".join(f"trim(c{i}, {_BLANKS}) <> ''" for i in range(width))
    join = f"ASOF JOIN {shifts} ON {cells}.rowid >= first"
    if _count(connection, shifts) == 1:
        join = f"CROSS JOIN {shifts}"
    connection.execute(
        f"CREATE OR REPLACE VIEW {engine.named(table)} AS SELECT {cells}.rowid + shift AS line, "  # noqa: S608
        f"{names} FROM {cells} {join} WHERE {text}"
    )
    return width, _count(connection, engine.named(table))


def _by_rows(
    connection: DuckDBPyConnection, table: str, text: str, dialect: Dialect
) -> tuple[int, int]:
    """Fill `table` from `delimited.rows`, in batches."""
    import pandas as pd

    records = delimited.rows(text, dialect)
    name = engine.named(f"{table} rows")
    connection.execute(f"CREATE OR REPLACE TABLE {name} (line BIGINT)")
    width = 0
    while batch := list(islice(records, _BATCH)):
        columns = list(zip_longest(*(row.cells for row in batch), fillvalue=""))
        for i in range(width, len(columns)):
            connection.execute(f"ALTER TABLE {name} ADD COLUMN c{i} VARCHAR")
        width = max(width, len(columns))
        frame = pd.DataFrame({f"c{i}": column for i, column in enumerate(columns)}, dtype=object)
        frame.insert(0, "line", [row.at for row in batch])
        cells = ", ".join(f"nullif(c{i}, '') AS c{i}" for i in range(len(columns)))
        any_text = (
            " OR ".join(f"trim(c{i}, {_BLANKS}) <> ''" for i in range(len(columns))) or "false"
        )
        connection.register("batch", frame)
        connection.execute(
            f"INSERT INTO {name} BY NAME SELECT line, {cells or 'NULL'} FROM batch "  # noqa: S608
            f"WHERE {any_text}"
        )
        connection.unregister("batch")
    connection.execute(f"CREATE OR REPLACE VIEW {engine.named(table)} AS FROM {name}")
    return width, _count(connection, name)


def _count(connection: DuckDBPyConnection, name: str, what: str = "*") -> int:
    # All of it is fetched: an unfinished result keeps the connection from the next statement.
    return int(connection.execute(f"SELECT count({what}) FROM {name}").fetchall()[0][0])  # noqa: S608
