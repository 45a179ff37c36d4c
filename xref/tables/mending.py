"""Rows that were set aside: written out to be mended, and read back into their list."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from xref.tables.formats.grid import At, Grid, GridSet, Row, SheetRow
from xref.tables.reading import Reading
from xref.tables.text import trimmed
from xref.tables.writing import plain_text, write_rows

AT, REASON, RAW = "set aside at", "set aside because", "raw text"
"""Headings that mark a file of rows set aside; the list's own headings follow."""

_SHEET = re.compile(r"(.*)!(\d+)")


def write_rejects(reading: Reading, path: Path) -> None:
    """Write the rows set aside with their place and reason before their own cells.

    Raises Refused when the file cannot be written.
    """
    rows = reading.set_aside.to_dict("records")
    headings = list(dict.fromkeys(name for row in rows for name in row.get("cells") or {}))
    write_rows(
        path,
        [AT, REASON, RAW, *headings],
        (
            [
                _place(row["at"]),
                row["reason"],
                row["raw"],
                *((row.get("cells") or {}).get(name, "") for name in headings),
            ]
            for row in rows
        ),
    )


def read_mended(path: str | Path, **given: Any) -> Reading:
    """Read a file of rows set aside that were mended since; each keeps its place in the list.

    Takes the answers of `read_table`; give those of the list. A row that is still wrong is set
    aside again. A file that is no such file is read like any other.
    """
    from xref.tables.read import read_table

    return read_table(path, **given)


def is_rejects(grids: GridSet) -> bool:
    """Whether a file holds rows that xref once set aside."""
    return any(_marked(row) for grid in grids.grids for row in grid.rows[:1])


def _marked(row: Row) -> bool:
    return [trimmed(cell) for cell in row.cells[:3]] == [AT, REASON, RAW]


def as_list(grids: GridSet) -> GridSet:
    """Return the grids as the list's own, without our columns, each row at its first place."""
    return replace(grids, grids=[_own(grid) for grid in grids.grids])


def _own(grid: Grid) -> Grid:
    if not grid.rows or not _marked(grid.rows[0]):
        return grid
    rows = []
    for number, row in enumerate(grid.rows):
        cells = [plain_text(cell) for cell in row.cells[3:]]
        at = row.at if number == 0 or not row.cells else _read_place(row.cells[0], row.at)
        raw = row.cells[2] if number and len(row.cells) > 2 else row.raw
        rows.append(Row(at, cells if any(cells) else [], raw))
    return Grid(grid.name, rows, grid.hidden)


def _place(at: At) -> str:
    return f"{at['sheet']}!{at['row']}" if isinstance(at, dict) else str(at)


def _read_place(text: str, otherwise: At) -> At:
    place = trimmed(text)
    if place.isdecimal():
        return int(place)
    if match := _SHEET.fullmatch(plain_text(place)):
        return SheetRow(sheet=match[1], row=int(match[2]))
    return otherwise
