"""Workbooks: what the spreadsheet shows, and what it hides."""

from __future__ import annotations

import datetime
import io
import zipfile
from typing import Any

import openpyxl
import pytest
import xlwt
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableProperties
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P

from xref.errors import Refused
from xref.tables.formats import DATE, ERROR, MERGED, ROUNDED, SCIENTIFIC, UNCACHED, Row

from .conftest import Reader


def saved(book: Any) -> bytes:
    """Return a workbook of openpyxl, xlwt or odfpy as bytes."""
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def one_cell(read: Reader, value: Any, code: str = "General") -> Row:
    """Return the row of an XLSX sheet with one formatted cell."""
    book = openpyxl.Workbook()
    book.active["A1"] = value
    book.active["A1"].number_format = code
    return read(saved(book)).grids[0].rows[0]


# Number format codes after ECMA-376 part 1, 18.8.31; what a spreadsheet shows for each value.
SHOWN = [
    (4071, "00000", "04071"),
    (12, '"TW-"0000', "TW-0012"),
    (4071, "000-000", "004-071"),
    (2.375, "# ?/?", "2 3/8"),
    (1.6875, "# ??/??", "1 11/16"),
    (2.1875, "# ?/16", "2 3/16"),
    (0.5, "?/?", "1/2"),
    (12.7, '0.00" mm"', "12.70 mm"),
    (2.375, '0.000\\ "in"', "2.375 in"),
    (1234.5, '"£"#,##0.00', "£1234.50"),
    (3, "[$£-809]#,##0.00", "£3.00"),
    (3.5, "#,##0.00\\ [$€-407]", "3.50 €"),
    (0.12, "0%", "12%"),
    (0.5, "[Red]0.000", "0.5"),
    (25, 'General" mm"', "25 mm"),
    (7, '0.0"Ø"', "7.0Ø"),
]


@pytest.mark.parametrize(("value", "code", "text"), SHOWN)
def test_number_formats(read: Reader, value: float, code: str, text: str) -> None:
    """Leading zeros, masks, fractions, units and currencies come back as shown."""
    assert one_cell(read, value, code).cells == [text]


@pytest.mark.parametrize(
    ("value", "code", "text"),
    [
        (12.699999999999999, "General", "12.7"),
        (12.7, "0", "12.7"),
        (12.375, '0.0" mm"', "12.375 mm"),
    ],
)
def test_digits_are_kept(read: Reader, value: float, code: str, text: str) -> None:
    """Float noise goes, and digits that a format would round away stay."""
    assert one_cell(read, value, code).cells == [text]


@pytest.mark.parametrize(
    ("value", "code", "text", "flag"),
    [
        (datetime.date(2026, 3, 5), "D-MMM", "2026-03-05", DATE),
        (100000, "0.00E+00", "1.00E+05", SCIENTIFIC),
        (12345678901234567, "0", "12345678901234600", ROUNDED),
    ],
)
def test_damage_is_flagged(read: Reader, value: Any, code: str, text: str, flag: str) -> None:
    """A cell that may have been text before the spreadsheet changed it carries a flag."""
    row = one_cell(read, value, code)
    assert row.flags[0] == flag
    assert row.cells[0][:15] == text[:15]


def test_booleans(read: Reader) -> None:
    """A true or false cell reads as the spreadsheet shows it."""
    assert one_cell(read, True).cells == ["TRUE"]


def test_errors_and_uncached_formulas(read: Reader) -> None:
    """Error values keep their text; a formula without a result is flagged and told."""
    book = openpyxl.Workbook()
    book.active.append(["#N/A", "=1+1", "x"])
    book.active["A1"].data_type = "e"
    found = read(saved(book))
    row = found.grids[0].rows[0]
    assert row.cells == ["#N/A", "", "x"]
    assert dict(row.flags) == {0: ERROR, 1: UNCACHED}
    assert any("formulas without a stored result in B1" in note for note in found.notes)


def test_formula_with_a_result_is_its_result(read: Reader) -> None:
    """A formula whose result is stored is that result, without a flag; an empty text is one."""
    xml = (
        b'<row r="1"><c r="A1"><f>1+1</f><v>2</v></c>'
        b'<c r="B1" t="str"><f>IF(1,"")</f><v></v></c><c r="C1"><v>3</v></c></row>'
    )
    row = read(workbook_of(xml)).grids[0].rows[0]
    assert (row.cells, dict(row.flags)) == (["2", "", "3"], {})


def workbook_of(sheet_data: bytes, start: bytes = b"") -> bytes:
    """Return a workbook whose one sheet holds just these rows of XML."""
    book = openpyxl.Workbook()
    book.active["A1"] = 1
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(saved(book))) as old, zipfile.ZipFile(out, "w", 8) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                data = (
                    start + b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/'
                    b'2006/main"><sheetData>' + sheet_data + b"</sheetData></worksheet>"
                )
            new.writestr(name, data)
    return out.getvalue()


def test_hidden_is_reported_not_dropped(read: Reader) -> None:
    """Hidden rows, columns and sheets are read, marked and told."""
    book = openpyxl.Workbook()
    sheet = book.active
    for i in range(4):
        sheet.append([f"TW{i}", i])
    sheet.row_dimensions[3].hidden = True
    sheet.column_dimensions["B"].hidden = True
    book.create_sheet("Old").append(["TW9"])
    book["Old"].sheet_state = "hidden"
    found = read(saved(book))
    assert [row.hidden for row in found.grids[0].rows] == [False, False, True, False]
    assert [(grid.name, grid.hidden) for grid in found.grids] == [("Sheet", False), ("Old", True)]
    assert found.notes == [
        "sheet 'Sheet': hidden rows 3",
        "sheet 'Sheet': hidden columns B",
        "sheet 'Old' is hidden",
    ]


def test_merged_cells(read: Reader) -> None:
    """The first cell of a merged area is repeated over it, flagged, and not in the raw text."""
    book = openpyxl.Workbook()
    book.active.append(["TW1", "x", "y"])
    book.active.append([None, None, "z"])
    book.active.merge_cells("A1:A2")
    rows = read(saved(book)).grids[0].rows
    assert rows[1].cells == ["TW1", "", "z"]
    assert (dict(rows[1].flags), rows[1].raw) == ({0: MERGED}, "\t\tz")


def test_positions(read: Reader) -> None:
    """Rows are numbered as the spreadsheet does; cells keep their column; blank runs are one."""
    book = openpyxl.Workbook()
    book.active["B3"] = "No"
    book.active["B9"] = "TW1"
    rows = read(saved(book)).grids[0].rows
    assert [(row.at, row.cells) for row in rows] == [
        ({"sheet": "Sheet", "row": 3}, ["", "No"]),
        ({"sheet": "Sheet", "row": 4}, []),
        ({"sheet": "Sheet", "row": 9}, ["", "TW1"]),
    ]


def test_chosen_sheet(read: Reader) -> None:
    """A sheet is chosen by name in any case; for one that is not there the names are told."""
    book = openpyxl.Workbook()
    book.active.append(["a"])
    book.create_sheet("Seals").append(["b"])
    assert [grid.name for grid in read(saved(book), sheet="seals").grids] == ["Seals"]
    with pytest.raises(Refused, match="'Seals'"):
        read(saved(book), sheet="Gaskets")


def test_judged_by_content(read: Reader) -> None:
    """A workbook named .csv is a workbook, and text named .xlsx is text."""
    assert read(saved(openpyxl_one()), name="list.csv").format == "xlsx"
    assert read("a,b\n1,2\n", name="list.xlsx").format == "csv"


def openpyxl_one() -> Any:
    """Return a workbook with one cell."""
    book = openpyxl.Workbook()
    book.active["A1"] = "TW1"
    return book


def test_stray_cell_far_out(read: Reader) -> None:
    """One cell in the last corner of a sheet costs no memory and loses no row."""
    book = openpyxl.Workbook()
    book.active["A1"] = 4071
    book.active["A1"].number_format = "00000"
    book.active["B1"] = datetime.date(2026, 3, 5)
    book.active["A2"] = "TW"
    book.active["XFD1048576"] = "x"
    rows = read(saved(book)).grids[0].rows
    assert (rows[0].cells, dict(rows[0].flags)) == (["04071", "2026-03-05"], {1: DATE})
    assert rows[-1].at == {"sheet": "Sheet", "row": 1048576}


def test_cells_without_positions(read: Reader) -> None:
    """Some writers leave out where a cell is: it stands after the one before."""
    rows = read(workbook_of(b"<row><c><v>1</v></c><c><v>2</v></c></row>")).grids[0].rows
    assert (rows[0].cells, rows[0].at) == (["1", "2"], {"sheet": "Sheet", "row": 1})


def test_xls(read: Reader) -> None:
    """XLS: formats, dates, errors, hidden rows and sheets, merged cells."""
    book = xlwt.Workbook()
    sheet = book.add_sheet("A")
    sheet.write(0, 0, 4071, xlwt.easyxf(num_format_str="00000"))
    sheet.write(0, 1, datetime.date(2026, 3, 5), xlwt.easyxf(num_format_str="D-MMM"))
    sheet.write(0, 2, 12.5, xlwt.easyxf(num_format_str='"£"#,##0.00'))
    sheet.write(1, 0, 2.375, xlwt.easyxf(num_format_str="# ?/?"))
    sheet.row(1).set_cell_error(1, 42)  # #N/A
    sheet.row(1).hidden = True
    sheet.write_merge(2, 3, 0, 0, "TW1")
    sheet.write(3, 1, "x")
    book.add_sheet("B").write(0, 0, "old")
    book.get_sheet(1).visibility = 1
    found = read(saved(book))
    rows = found.grids[0].rows
    assert found.format == "xls"
    assert [row.cells for row in rows] == [
        ["04071", "2026-03-05", "£12.50"],
        ["2 3/8", "#N/A"],
        ["TW1"],
        ["TW1", "x"],
    ]
    assert [dict(row.flags) for row in rows] == [{1: DATE}, {1: ERROR}, {}, {0: MERGED}]
    assert (rows[1].hidden, found.grids[1].hidden) == (True, True)


def ods() -> bytes:
    """Return an ODS workbook with every kind of cell."""
    book = OpenDocumentSpreadsheet()
    hidden = Style(name="gone", family="table")
    hidden.addElement(TableProperties(display="false"))
    book.automaticstyles.addElement(hidden)
    table = Table(name="S")

    def row(*cells: Any, **attributes: Any) -> None:
        line = TableRow(**attributes)
        for cell in cells:
            line.addElement(cell)
        table.addElement(line)

    def cell(text: str | None, **attributes: Any) -> Any:
        found = TableCell(**attributes)
        if text is not None:
            found.addElement(P(text=text))
        return found

    row(
        cell("04071", valuetype="float", value="4071"),
        cell("12.4", valuetype="float", value="12.375"),
        cell("£12.50", valuetype="currency", currency="GBP", value="12.5"),
        cell("1,200", valuetype="float", value="1200"),
    )
    row(
        cell("5-Mar", valuetype="date", datevalue="2026-03-05"),
        cell("2 3/8", valuetype="float", value="2.375"),
        cell("12%", valuetype="percentage", value="0.12"),
        visibility="collapse",
    )
    row(
        cell("TW1", valuetype="string", numberrowsspanned="2"),
        cell("#N/A", valuetype="string"),
        cell(None, formula="of:=A1"),
    )
    row(CoveredTableCell(), cell("x", valuetype="string", numbercolumnsrepeated="3"))
    row(TableCell(numbercolumnsrepeated="16000"), numberrowsrepeated="1000000")
    row(cell("12.4 mm", valuetype="float", value="12.375"))
    book.spreadsheet.addElement(table)
    other = Table(name="Old", stylename=hidden)
    line = TableRow()
    line.addElement(cell("x", valuetype="string"))
    other.addElement(line)
    book.spreadsheet.addElement(other)
    return saved(book)


def test_ods(read: Reader) -> None:
    """ODS: shown text where it says more than the value, repeats, spans, hidden, errors."""
    found = read(ods())
    assert found.format == "ods"
    rows = found.grids[0].rows
    assert [(row.at["row"], row.cells) for row in rows] == [  # type: ignore[index]
        (1, ["04071", "12.375", "£12.50", "1200"]),
        (2, ["2026-03-05", "2 3/8", "12%"]),
        (3, ["TW1", "#N/A", ""]),
        (4, ["TW1", "x", "x", "x"]),
        (5, []),
        (1000005, ["12.375 mm"]),
    ]
    assert [dict(row.flags) for row in rows[1:4]] == [
        {0: DATE},
        {1: ERROR, 2: UNCACHED},
        {0: MERGED},
    ]
    assert (rows[1].hidden, found.grids[1].hidden) == (True, True)


def test_two_blocks_in_a_sheet(read: Reader) -> None:
    """A block under another stays in its grid, parted by one empty row."""
    book = openpyxl.Workbook()
    for row in (["No", "Qty"], ["TW1", 4], [], [], ["No", "Price"], ["TW1", 9]):
        book.active.append(row)
    assert [row.cells for row in read(saved(book)).grids[0].rows] == [
        ["No", "Qty"],
        ["TW1", "4"],
        [],
        ["No", "Price"],
        ["TW1", "9"],
    ]
