"""XLS (and XLSB, without its formats): values by calamine, the rest from the records."""

from __future__ import annotations

from typing import Any

from xref.errors import Refused
from xref.tables.formats import workbook, xlsx
from xref.tables.formats.biff import encrypted, scan_workbook
from xref.tables.formats.compound import Compound
from xref.tables.formats.grid import GridSet
from xref.tables.formats.source import Source
from xref.tables.formats.xlsx_parts import Scan, SheetPart

_MOST_PLACES = 6_000_000


def read_xls(source: Source, sheet: str | None) -> GridSet:
    """Return the grids of an XLS workbook. Raises Refused for other compound files."""
    compound = Compound(source.data, source.label)
    names = {name.casefold(): name for name in compound.entries}
    if "encryptedpackage" in names:
        raise Refused(f"{source.label} is encrypted: save it without a password.")
    stream_name = names.get("workbook") or names.get("book")
    if stream_name is None:
        what = "a word-processor document" if "worddocument" in names else "no workbook"
        raise Refused(f"{source.label} is {what}: copy its table into a spreadsheet.")
    stream = compound.stream(stream_name)
    if encrypted(stream):
        raise Refused(f"{source.label} is encrypted: save it without a password.")
    scans, styles = scan_workbook(stream)
    # Calamine holds every sheet as a full rectangle, all at once.
    if sum(scan.rows * scan.columns for scan in scans) > _MOST_PLACES + 3 * sum(
        scan.cells for scan in scans
    ):
        raise Refused(
            f"{source.label}: its cells lie scattered over millions of places: copy the list alone "
            "into a new workbook."
        )
    book = workbook.opened(source.label, lambda: xlsx.open_book(source.data))
    result = GridSet([], "xls")
    parts = _parts(book)
    known = scans if len(scans) == len(parts) else [Scan() for _ in parts]
    if known is not scans:
        result.notes.append("number formats, hidden rows and error values could not be told")
    for index in workbook.chosen([p.name for p in parts], sheet, source.label):
        part, scan = parts[index], known[index]
        grid = xlsx.read_fast(book, part, scan, styles, source.label, result.notes)
        result.grids.append(grid)
        result.notes.extend(xlsx.scan_notes(part, scan))
    return result


def read_without_styles(source: Source, format_: str, sheet: str | None) -> GridSet:
    """Return the grids of a workbook of which calamine gives the values and nothing else does."""
    book = workbook.opened(source.label, lambda: xlsx.open_book(source.data))
    parts = _parts(book)
    result = GridSet([], format_)
    result.notes.append(
        "number formats (leading zeros), hidden rows, error values and uncached formulas are not "
        "told in this format: save it as XLSX if they matter"
    )
    for index in workbook.chosen([p.name for p in parts], sheet, source.label):
        grid = xlsx.read_fast(book, parts[index], Scan(), {}, source.label, result.notes)
        result.grids.append(grid)
    return result


def _parts(book: Any) -> list[SheetPart]:
    from python_calamine import SheetTypeEnum, SheetVisibleEnum

    return [
        SheetPart(sheet.name, "", sheet.visible != SheetVisibleEnum.Visible)
        for sheet in book.sheets_metadata
        if sheet.typ == SheetTypeEnum.WorkSheet
    ]
