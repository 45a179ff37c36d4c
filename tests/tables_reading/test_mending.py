"""Rows set aside can be written out, mended and read back; what is written is safe to open."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from xref.errors import Refused
from xref.tables import read_mended, read_table, write_rejects
from xref.tables.writing import plain_text, safe_text, write_rows

LIST = "Part No,Description,Qty,Price\n5-Mar,Pawl,1,4.00\nWN-2,=1+1,2,5.00\n,+44 wheel,3,6.00\n"


def _rejects(tmp_path: Path, name: str = "rejects.csv") -> Path:
    source = tmp_path / "list.csv"
    source.write_text(LIST, encoding="utf-8")
    written = tmp_path / name
    write_rejects(read_table(source), written)
    return written


@pytest.mark.parametrize("name", ["rejects.csv", "rejects.xlsx"])
def test_unmended_rows_are_set_aside_again(tmp_path: Path, name: str) -> None:
    """Reading the file of rejects as it was written sets the same rows aside at the same places."""
    reading = read_mended(_rejects(tmp_path, name))
    assert reading.set_aside["at"].tolist() == [2, 4]
    assert len(reading.rows) == 0


def test_mended_rows_keep_their_place_and_text(tmp_path: Path) -> None:
    """A mended row loads at its first place, and a cell that was made safe comes back as it was."""
    written = _rejects(tmp_path)
    with written.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[2][4] == "'+44 wheel"
    rows[1][3], rows[2][3] = "MAR5", "WN-3"
    with written.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    reading = read_mended(written)
    assert [
        (row["at"], row["number"], row["description"]) for row in reading.document()["rows"]
    ] == [
        (2, "MAR5", "Pawl"),
        (4, "WN-3", "+44 wheel"),
    ]


@given(st.text())
def test_a_safe_text_runs_nothing_and_comes_back(text: str) -> None:
    """No written cell begins a formula, and reading it back gives the text."""
    written = safe_text(text)
    assert not written.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert plain_text(written) == text


def test_a_workbook_holds_text_not_formulas(tmp_path: Path) -> None:
    """An independent reader (openpyxl) finds text in an XLSX cell that looks like a formula."""
    path = tmp_path / "out.xlsx"
    write_rows(path, ["a", "b"], [["=1+1", 2.5], ["<b>&", None], ["\x1b[31m", -3]])
    sheet = openpyxl.load_workbook(path).active
    assert [[cell.value for cell in row] for row in sheet.iter_rows()] == [
        ["a", "b"],
        ["=1+1", 2.5],
        ["<b>&", None],
        ["\ufffd[31m", -3],
    ]
    assert sheet["A2"].data_type == "s"


def test_another_ending_is_refused(tmp_path: Path) -> None:
    """A file whose ending names no table format is not written."""
    with pytest.raises(Refused, match="not known"):
        write_rows(tmp_path / "out.doc", ["a"], [])
    assert list(tmp_path.iterdir()) == []
