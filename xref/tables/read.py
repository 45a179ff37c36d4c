"""Any file to rows, set-aside rows, furniture and questions: the whole way of a reading."""

from __future__ import annotations

import logging
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.errors import Refused
from xref.tables.answers import Answers, answers
from xref.tables.coded_records import CodedRecords
from xref.tables.formats.coded import CodedRows
from xref.tables.reading import Reading
from xref.tables.records import GridRecords, Records
from xref.tables.work import Work, refused

if TYPE_CHECKING:
    from xref.tables.formats.grid import Grid, GridSet
    from xref.tables.formats.source import Source

BIG_FILE = 2_000_000
"""Bytes from which on a delimited text is read column by column instead of a row at a time."""
HEAD_ROWS = 1000
"""Rows looked at to find the dialect of a big text."""

log = logging.getLogger("xref.tables")


def read_table(path: str | Path, **given: Any) -> Reading:
    """Read the table at `path` and say how it is understood; nothing is loaded.

    Parameters
    ----------
    path : str or Path
        Any file; judged by its content, not its ending
    **given
        Answers: `table, kind, unit, columns` (their heading to our field), `sheet, header_row,
        no_header, decimal, encoding, currency, supplier`, and `profile`, a dict of answers
        remembered from an earlier file, which hold where nothing else is said

    Returns
    -------
    Reading
        With `refused` set where the file cannot be a table; never raises for what is in a file

    Raises
    ------
    Impossible
        An answer that cannot be: an unknown table, kind, heading or field
    """
    said = answers(given)
    from xref.tables.formats.garbage import garbage_left

    with garbage_left():
        reading = _read_table(path, said)
    log.info("%s: %d rows, %d set aside", path, reading.row_count, len(reading.set_aside))
    return reading


def _read_table(path: str | Path, said: Answers) -> Reading:
    from xref.tables.formats import read_grids
    from xref.tables.formats.source import Source

    try:
        source = Source(path)
        limit = HEAD_ROWS if _is_big(path) else None
        grids = read_grids(source, encoding=said.encoding, sheet=said.sheet, limit=limit)
        records = None if grids.complete else _bulk(source, grids)
        if not grids.complete and records is None:
            grids = read_grids(source, encoding=said.encoding, sheet=said.sheet)
        del source
    except Refused as refusal:
        return refused(str(refusal), said)
    return read_grid_set(grids, said, records)


def _is_big(path: str | Path) -> bool:
    """Whether a text of this size is better read column by column."""
    file = Path(path)
    return str(path) != "-" and file.is_file() and file.stat().st_size > BIG_FILE


def _bulk(source: Source, grids: GridSet) -> Records | None:
    """Return the rows of a big text as columns, None where only rows will do."""
    from xref.tables.formats.bulk import bulk_text
    from xref.tables.records import BulkRecords

    bulk = None if grids.dialect is None else bulk_text(source, grids.dialect, grids.encoding)
    return None if bulk is None else BulkRecords(bulk, GridRecords(grids.grids[0]))


def read_grid_set(grids: GridSet, said: Answers, records: Records | None = None) -> Reading:
    """Read the grids of a file; see `read_table`.

    `records` are all rows of a big text of which `grids` holds only the beginning. Rows that were
    set aside, written out and mended are known by their first headings.
    """
    from xref.tables.mending import as_list, is_rejects

    if is_rejects(grids):
        grids = as_list(grids)
    listed = [_records(grid) for grid in grids.grids] if records is None else [records]
    return Work(grids, listed, said).reading()


def _records(grid: Grid) -> Records:
    if isinstance(grid.rows, CodedRows):
        return CodedRecords(grid.rows)
    return GridRecords(grid)
