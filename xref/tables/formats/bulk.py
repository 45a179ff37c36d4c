"""Big delimited text straight into columns of the in-memory engine.

A `Row` object costs a microsecond per cell; a million rows want columns. The engine's reader
knows nothing of physical lines, of ditto marks and of inch marks, so it is used only on text
where counting proves that every reader must agree; else `delimited.rows` fills the columns,
slower and right.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from itertools import islice, zip_longest
from pathlib import Path
from typing import TYPE_CHECKING

from xref.store import engine
from xref.tables.formats import delimited
from xref.tables.formats.encodings import decode, find_encoding
from xref.tables.formats.grid import Dialect
from xref.tables.formats.source import Source

if TYPE_CHECKING:
    import numpy as np
    from duckdb import DuckDBPyConnection
    from numpy.typing import NDArray

_MOST_COLUMNS = 300
_LONGEST_LINE = 2_000_000
_BATCH = 50_000
_FEW = 100  # blank lines that are cheaper counted than joined
_BLANKS = r"E' \t\r\n\x0b\x0c'"
_END, _RETURN, _QUOTE = 10, 13, 34


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
    name, how = find_encoding(source.data, source.label, encoding)
    as_it_is = name == "utf-8" and how != "byte order mark" and dialect.first_line == 1
    text = None if as_it_is else decode(source.data, source.label, encoding).text
    data = source.data if text is None else _from_line(text, dialect.first_line).encode()
    shape = _shape(data, dialect)
    if shape is not None:
        with tempfile.TemporaryDirectory() as folder:
            plain = source.path
            if plain is None or text is not None:
                plain = Path(folder) / "records.csv"
                plain.write_bytes(data)
            found = _by_engine(connection, table, plain, dialect, shape)
        if found is not None:
            return BulkText(connection, table, *found, fast=True)
    text = text or decode(source.data, source.label, encoding).text
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


@dataclass(frozen=True, slots=True)
class _Shape:
    """What counting bytes tells: the quote, the most fields of a line, lines, blank lines."""

    quote: str
    width: int
    lines: int
    blank: list[int]


def _shape(data: bytes, dialect: Dialect) -> _Shape | None:
    """Return the shape of UTF-8 text that every reader must read alike, else None.

    They agree on lines if all end alike, and on fields if no quotation mark opens one, or if
    every mark at an even place (from 0) opens a field or follows the one before, and every mark
    at an odd place closes a field or is followed by the next: the grammar of RFC 4180.
    """
    import numpy as np

    mark = dialect.delimiter
    if len(mark) != 1 or not mark.isascii() or dialect.escape or dialect.skip_space:
        return None
    if b"\x00" in data:
        return None  # the engine ends a text there
    returns = data.count(b"\r")
    if returns and not returns == data.count(b"\r\n") == data.count(b"\n"):
        return None
    codes = np.frombuffer(data, dtype=np.uint8)
    ends = np.flatnonzero(codes == _END)
    if not data.endswith(b"\n"):
        ends = np.append(ends, len(data))
    lengths = np.diff(ends, prepend=-1) - 1 - bool(returns)
    delimiters = np.flatnonzero(codes == ord(mark))
    most = np.diff(np.searchsorted(delimiters, ends), prepend=0).max()
    if most >= _MOST_COLUMNS or lengths.max() > _LONGEST_LINE:
        return None
    quote = _quote(codes, ord(mark))
    if quote is None:
        return None
    blank = np.flatnonzero(lengths <= 0).tolist()
    return _Shape(quote, int(most) + 1, len(ends), blank)


def _quote(codes: NDArray[np.uint8], mark: int) -> str | None:
    import numpy as np

    quotes = np.flatnonzero(codes == _QUOTE)
    before = codes[quotes - 1]  # of a mark at the very start: the last byte, mended below
    opens = (before == _END) | (before == mark)
    if len(quotes) and quotes[0] == 0:
        opens[0] = True
    if not opens.any():
        return ""
    behind = codes[np.minimum(quotes + 1, len(codes) - 1)]
    closes = (behind == _END) | (behind == mark) | (behind == _RETURN)
    if quotes[-1] == len(codes) - 1:
        closes[-1] = True
    doubled = np.diff(quotes) == 1
    opens[1:] |= doubled
    closes[:-1] |= doubled
    clean = len(quotes) % 2 == 0 and opens[0::2].all() and closes[1::2].all()
    return '"' if clean else None


def _by_engine(
    connection: DuckDBPyConnection, table: str, path: Path, dialect: Dialect, shape: _Shape
) -> tuple[int, int] | None:
    """Fill `table` with the engine's reader; None if it does not find one record per line."""
    columns = ", ".join(f"'c{i}': 'VARCHAR'" for i in range(shape.width))
    q = engine.quoted
    cells = engine.named(f"{table} cells")
    try:
        connection.execute(
            f"CREATE OR REPLACE TABLE {cells} AS FROM read_csv({q(str(path))}, "
            f"columns = {{{columns}}}, delim = {q(dialect.delimiter)}, quote = {q(shape.quote)}, "
            f"escape = {q(shape.quote)}, header = false, auto_detect = false, "
            "null_padding = true, strict_mode = false, comment = '', "
            f"max_line_size = {4 * _LONGEST_LINE})"
        )
    except Exception:  # noqa: BLE001 - what the engine does not take, the other way reads
        return None
    if _count(connection, cells) != shape.lines - len(shape.blank):
        return None
    width = shape.width
    while width > dialect.columns and not _count(connection, cells, f"c{width - 1}"):
        width -= 1  # the delimiters counted were within quoted fields
    # Row n is line n plus the blank lines before it, which the engine passes over.
    passed = [at - i for i, at in enumerate(shape.blank)]
    line = f"rowid + {dialect.first_line}"
    join = ""
    if len(passed) <= _FEW:
        line += "".join(f" + (rowid >= {row})::BIGINT" for row in passed)
    else:
        shifts = engine.named(f"{table} shifts")
        listed = ", ".join(f"({row}, {i + 1})" for i, row in enumerate(passed))
        connection.execute(
            f"CREATE OR REPLACE TABLE {shifts} AS SELECT first, max(shift) AS shift "  # noqa: S608
            f"FROM (VALUES (-1, 0), {listed}) AS passed (first, shift) GROUP BY first"
        )
        join = f"ASOF JOIN {shifts} ON {cells}.rowid >= first"
        line += " + shift"
    text = _any_text(width)
    filled = _count(connection, f"{cells} WHERE {text}")
    where = f"WHERE {text}" if filled < shape.lines - len(shape.blank) else ""
    names = ", ".join(f"c{i}" for i in range(width))
    connection.execute(
        f"CREATE OR REPLACE VIEW {engine.named(table)} AS "  # noqa: S608
        f"SELECT {line} AS line, {names} FROM {cells} {join} {where}"
    )
    return width, filled


def _any_text(width: int) -> str:
    """Return a condition that some cell holds more than blanks; `!` is the first that is none."""
    quick = " OR ".join(f"c{i} >= '!'" for i in range(width))
    return quick + "".join(f" OR trim(c{i}, {_BLANKS}) <> ''" for i in range(width))


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
