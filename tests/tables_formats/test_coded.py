"""Big sheets kept in columns read as the same rows one by one would."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from xref.tables import read_table
from xref.tables.formats import read_grids, workbook
from xref.tables.formats.coded import CodedRows


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Write a sheet with zeros before numbers, gaps, hidden rows, errors, lost results."""
    made = openpyxl.Workbook()
    sheet = made.active
    sheet.append([])
    sheet.append([None, "Part No", "Description", "Qty", "Price", "Remarks"])
    for number in range(120):
        row = sheet.max_row + 1 + (number % 40 == 7)
        for column, value in enumerate((number * 37, "  lever arm ", number % 5, 4.5), 2):
            sheet.cell(row, column, value)
        sheet.cell(row, 2).number_format = "00000"
        if number % 30 == 4:
            sheet.cell(row, 4).value = "call"
            sheet.row_dimensions[row].hidden = True
        if number == 50:
            sheet.cell(row, 5).value = "=D3*2"
        if number == 60:
            sheet.cell(row, 4, "#N/A").data_type = "e"
        if number == 70:
            sheet.cell(row, 6, " ")
    path = tmp_path / "book.xlsx"
    made.save(path)
    return path


def test_rows_of_a_coded_sheet_are_the_rows_of_a_plain_one(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cells, places, raw texts, flags and hidden rows agree; only runs of blank rows differ."""
    plain = read_grids(book).grids[0]
    monkeypatch.setattr(workbook, "_MANY_ROWS", 10)
    coded = read_grids(book).grids[0]
    assert isinstance(coded.rows, CodedRows)
    assert not isinstance(plain.rows, CodedRows)
    assert [row for row in coded.rows if row.cells] == [row for row in plain.rows if row.cells]


def test_a_coded_sheet_is_read_as_a_plain_one(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole reading agrees, with leading zeros and warnings of hidden rows and lost results."""
    plain = read_table(book).document()
    monkeypatch.setattr(workbook, "_MANY_ROWS", 10)
    coded = read_table(book).document()
    assert coded == plain
    assert coded["rows"][1]["number"] == "00037"
    assert any("hidden" in said for row in coded["rows"] for said in row["warnings"])


def test_numbers_a_cell_cannot_keep_go_the_plain_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A figure of more than 15 digits needs a flag, so the sheet is not coded."""
    made = openpyxl.Workbook()
    made.active.append(["Part No", "Qty"])
    for number in range(20):
        made.active.append([number, 1234567890123456789])
    path = tmp_path / "long.xlsx"
    made.save(path)
    monkeypatch.setattr(workbook, "_MANY_ROWS", 10)
    assert not isinstance(read_grids(path).grids[0].rows, CodedRows)
