"""XLSX: values by calamine, and what it drops put back from the workbook's parts."""

from __future__ import annotations

import io
from typing import Any

from xref.errors import Refused
from xref.tables.formats import workbook
from xref.tables.formats.archive import Archive
from xref.tables.formats.grid import ERROR, UNCACHED, Grid, GridSet
from xref.tables.formats.source import Source
from xref.tables.formats.xlsx_parts import (
    Renderers,
    Scan,
    SheetPart,
    column_name,
    renderers,
    scan_sheet,
    sheet_parts,
    style_codes,
)

_LARGEST_AREA = 4_000_000
"""Calamine keeps a sheet as a full rectangle: beyond this a few far cells would cost gigabytes."""


def read_xlsx(source: Source, archive: Archive, sheet: str | None) -> GridSet:
    """Return the grids of the sheets. Raises Refused for a damaged, encrypted or bloated file."""
    parts = sheet_parts(archive)
    wanted = [parts[i] for i in workbook.chosen([p.name for p in parts], sheet, source.label)]
    codes = style_codes(archive)
    styles = renderers(codes)
    for name in archive.names:  # measured before calamine inflates them
        if name.lower().endswith("sharedstrings.xml"):
            for _ in archive.portions(name):
                pass
    scans = [scan_sheet(archive, part.part, styles) for part in wanted]
    cells = sum(scan.cells for scan in scans)
    if cells > 2_000_000 + archive.size // 2:
        raise Refused(
            f"{source.label} ({archive.size:,} bytes) unpacks to {cells:,} cells: copy the list "
            "into a new workbook."
        )
    result = GridSet([], "xlsx")
    book: Any = None
    for part, scan in zip(wanted, scans, strict=True):
        if scan.regular and scan.rows * scan.columns <= max(_LARGEST_AREA, 3 * scan.cells):
            if book is None:
                from python_calamine import CalamineWorkbook

                data = io.BytesIO(source.data)
                book = workbook.opened(
                    source.label, lambda d=data: CalamineWorkbook.from_filelike(d)
                )
            grid = _read_fast(book, part, scan, styles, source.label, result.notes)
        else:
            from xref.tables.formats.xlsx_sparse import read_sparse

            grid = read_sparse(archive, part, scan, codes, styles, result.notes)
        result.grids.append(grid)
        result.notes.extend(_notes(part, scan))
    return result


def _read_fast(
    book: Any, part: SheetPart, scan: Scan, styles: Renderers, label: str, notes: list[str]
) -> Grid:
    sheet = workbook.opened(label, lambda: book.get_sheet_by_name(part.name))
    data: list[list[Any]] = workbook.opened(label, sheet.to_python)
    start: tuple[int, int] = sheet.start or (0, 0)
    flags: workbook.Flags = {}
    _restore(data, start, scan, styles, flags)
    filled, left = workbook.fill_merged(data, start, sheet.merged_cell_ranges or [], flags)
    if filled:
        notes.append(f"sheet {part.name!r}: {filled} merged areas filled with their first cell")
    if left:
        notes.append(f"sheet {part.name!r}: {left} merged areas too large to fill")
    return workbook.grid(part.name, part.hidden, data, start, flags, scan.hidden_rows)


def _restore(
    data: list[list[Any]],
    start: tuple[int, int],
    scan: Scan,
    styles: Renderers,
    flags: workbook.Flags,
) -> None:
    """Put formatted numbers, error values and uncached formulas in their places."""
    top, left = start
    height = len(data)
    width = len(data[0]) if data else 0
    known: dict[tuple[int, float], tuple[str, str | None]] = {}
    numbers = iter(scan.styled)
    for row, column, style in zip(numbers, numbers, numbers, strict=True):
        r, c = row - top, column - left
        if not (0 <= r < height and 0 <= c < width):
            continue
        value = data[r][c]
        if type(value) is not float:
            continue
        shown = known.get((style, value))
        if shown is None:
            shown = known[style, value] = styles[style](value)
        data[r][c] = shown[0]
        if shown[1]:
            flags.setdefault(row, {})[column] = shown[1]
    for row, column, text in scan.errors:
        r, c = row - top, column - left
        if 0 <= r < height and 0 <= c < width:
            data[r][c] = text
            flags.setdefault(row, {})[column] = ERROR
    for row, column in scan.uncached:
        if 0 <= row - top < height and 0 <= column - left < width:
            flags.setdefault(row, {})[column] = UNCACHED


def _notes(part: SheetPart, scan: Scan) -> list[str]:
    notes = [f"sheet {part.name!r} is hidden"] if part.hidden else []
    if scan.hidden_rows:
        rows = [str(r + 1) for r in sorted(scan.hidden_rows)]
        notes.append(f"sheet {part.name!r}: hidden rows {workbook.few(rows)}")
    if scan.hidden_columns:
        spans = [
            column_name(a) if a == b else f"{column_name(a)} to {column_name(b)}"
            for a, b in scan.hidden_columns
        ]
        notes.append(f"sheet {part.name!r}: hidden columns {workbook.few(spans)}")
    if scan.uncached:
        cells = [f"{column_name(c)}{r + 1}" for r, c in scan.uncached]
        notes.append(
            f"sheet {part.name!r}: formulas without a stored result in {workbook.few(cells)}; "
            "open the file in a spreadsheet program and save it"
        )
    if scan.errors:
        cells = [f"{column_name(c)}{r + 1} {text}" for r, c, text in scan.errors]
        notes.append(f"sheet {part.name!r}: error values in {workbook.few(cells)}")
    return notes
