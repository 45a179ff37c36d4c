"""XLSX: values by calamine, and what it drops put back from the workbook's parts."""

from __future__ import annotations

import io
from functools import partial
from typing import Any

from xref.errors import Refused
from xref.tables.formats import workbook, xlsx_sparse
from xref.tables.formats.archive import Archive
from xref.tables.formats.grid import ERROR, UNCACHED, Grid, GridSet
from xref.tables.formats.source import Source
from xref.tables.formats.xlsx_parts import (
    Renderers,
    Scan,
    SheetPart,
    measure_sheet,
    renderers,
    scan_sheet,
    sheet_parts,
    style_codes,
)

_LARGEST_AREA = 8_000_000
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
    strings: list[str] | None = None
    dates = frozenset(i for i, code in enumerate(codes) if xlsx_sparse.is_date_code(*code))
    for part, scan in zip(wanted, scans, strict=True):
        if scan.regular and not _fits(scan):
            measure_sheet(archive, part.part, scan)
        if scan.regular and _fits(scan):
            if book is None:
                book = workbook.opened(source.label, partial(open_book, source.data))
            grid = read_fast(book, part, scan, styles, source.label, result.notes)
        else:
            if strings is None:
                strings = xlsx_sparse.shared_strings(archive)
            grid = xlsx_sparse.read_sparse(archive, part, scan, styles, dates, strings)
        result.grids.append(grid)
        result.notes.extend(scan_notes(part, scan))
    return result


def _fits(scan: Scan) -> bool:
    return scan.rows * scan.columns <= max(_LARGEST_AREA, 3 * scan.cells)


def open_book(data: bytes) -> Any:
    """Open a workbook with calamine; call it through `workbook.opened`."""
    from python_calamine import CalamineWorkbook

    return CalamineWorkbook.from_filelike(io.BytesIO(data))


def read_fast(
    book: Any, part: SheetPart, scan: Scan, styles: Renderers, label: str, notes: list[str]
) -> Grid:
    """Return one sheet of an open workbook, what `scan` found put in its place."""
    sheet = workbook.opened(label, lambda: book.get_sheet_by_name(part.name))
    data: list[list[Any]] = workbook.opened(label, sheet.to_python)
    start: tuple[int, int] = sheet.start or (0, 0)
    flags: workbook.Flags = {}
    _restore(data, start, scan, styles, flags)
    filled, left = workbook.fill_merged(data, start, sheet.merged_cell_ranges or [], flags)
    if filled:
        notes.append(f"sheet {part.name!r}: merged areas filled with their first cell: {filled}")
    if left:
        notes.append(f"sheet {part.name!r}: merged areas too large to fill: {left}")
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
    for number, column, style in zip(*scan.styled, strict=True):
        row = number - 1
        r, c = row - top, column - left
        if not (0 <= r < height and 0 <= c < width):
            continue
        value = data[r][c]
        if not isinstance(value, float | int) or isinstance(value, bool):
            continue
        render = styles.get(style)
        if render is None:
            continue
        data[r][c], flag = render(float(value))
        if flag is not None:
            flags.setdefault(row, {})[column] = flag
    for row, column, text in scan.errors:
        r, c = row - top, column - left
        if 0 <= r < height and 0 <= c < width:
            data[r][c] = text
            flags.setdefault(row, {})[column] = ERROR
    for row, column in scan.uncached:
        if 0 <= row - top < height and 0 <= column - left < width:
            flags.setdefault(row, {})[column] = UNCACHED


def scan_notes(part: SheetPart, scan: Scan) -> list[str]:
    """Return sentences for the user on what is hidden, uncached or in error."""
    notes = [f"sheet {part.name!r} is hidden"] if part.hidden else []
    if scan.hidden_rows:
        rows = [str(r + 1) for r in sorted(scan.hidden_rows)]
        notes.append(f"sheet {part.name!r}: hidden rows {workbook.few(rows)}")
    if scan.hidden_columns:
        spans = [
            workbook.column_name(a)
            if a == b
            else f"{workbook.column_name(a)} to {workbook.column_name(b)}"
            for a, b in scan.hidden_columns
        ]
        notes.append(f"sheet {part.name!r}: hidden columns {workbook.few(spans)}")
    flags: workbook.Flags = {}
    texts: dict[int, dict[int, str]] = {}
    for row, column in scan.uncached:
        flags.setdefault(row, {})[column] = UNCACHED
    for row, column, text in scan.errors:
        flags.setdefault(row, {})[column] = ERROR
        texts.setdefault(row, {})[column] = text
    return notes + workbook.flag_notes(part.name, flags, texts)
