"""Workbooks and PDF files of the cases, made when asked for from the JSON beside the others."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any


def make(book: dict[str, Any], place: Path) -> None:
    """Write the workbook or PDF that `book` describes, in the format of `place`'s ending."""
    {".xlsx": _xlsx, ".xls": _xls, ".ods": _ods, ".pdf": _pdf}[place.suffix](book, place)


def _value(cell: Any) -> tuple[Any, str | None]:
    """Return what a cell holds and its number format: plain, {"v"|"d"|"x": value, "f": format}."""
    if not isinstance(cell, dict):
        return cell, None
    if "d" in cell:
        return dt.date.fromisoformat(cell["d"]), cell.get("f")
    return cell.get("v", cell.get("x")), cell.get("f")


def _xlsx(book: dict[str, Any], place: Path) -> None:
    """Write XLSX; formulas carry no cached value, as the writer knows none."""
    import openpyxl

    made = openpyxl.Workbook()
    made.remove(made.active)
    for described in book["sheets"]:
        sheet = made.create_sheet(described["name"])
        for at, row in enumerate(described["rows"], 1):
            for across, cell in enumerate(row, 1):
                value, shown = _value(cell)
                if value is None:
                    continue
                written = sheet.cell(at, across, value)
                if isinstance(value, str) and value.startswith("#"):
                    written.data_type = "e"
                if shown:
                    written.number_format = shown
        for joined in described.get("merge", ()):
            sheet.merge_cells(joined)
        for hidden in described.get("hidden_rows", ()):
            sheet.row_dimensions[hidden].hidden = True
        if described.get("hidden"):
            sheet.sheet_state = "hidden"
    made.save(place)


def _xls(book: dict[str, Any], place: Path) -> None:
    """Write the older XLS."""
    import xlwt

    made = xlwt.Workbook()
    for described in book["sheets"]:
        sheet = made.add_sheet(described["name"])
        for at, row in enumerate(described["rows"]):
            for across, cell in enumerate(row):
                value, shown = _value(cell)
                if value is None:
                    continue
                style = xlwt.easyxf(num_format_str=shown) if shown else xlwt.Style.default_style
                sheet.write(at, across, value, style)
        for hidden in described.get("hidden_rows", ()):
            sheet.row(hidden - 1).hidden = True
        if described.get("hidden"):
            sheet.visibility = 1
    made.save(str(place))


def _ods(book: dict[str, Any], place: Path) -> None:
    """Write ODS."""
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P

    made = OpenDocumentSpreadsheet()
    for described in book["sheets"]:
        table = Table(name=described["name"])
        for row in described["rows"]:
            line = TableRow()
            for cell in row or [None]:
                value, _ = _value(cell)
                if value is None:
                    line.addElement(TableCell())
                    continue
                number = isinstance(value, int | float)
                made_cell = (
                    TableCell(valuetype="float", value=value)
                    if number
                    else TableCell(valuetype="string")
                )
                made_cell.addElement(P(text=str(value)))
                line.addElement(made_cell)
            table.addElement(line)
        made.spreadsheet.addElement(table)
    made.save(str(place))


def _pdf(book: dict[str, Any], place: Path) -> None:
    """Write one ruled table to a page."""
    from reportlab.lib import colors
    from reportlab.platypus import PageBreak, SimpleDocTemplate, Table

    story: list[Any] = []
    for page in book["pdf"]:
        story += [Table(page, style=[("GRID", (0, 0), (-1, -1), 0.5, colors.black)]), PageBreak()]
    SimpleDocTemplate(str(place)).build(story)
