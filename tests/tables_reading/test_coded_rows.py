"""Rows handed to the store column by column, each distinct cell once, say what rows say."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from tests.tables_reading.corpus_check import expectation, files
from xref.tables import Reading, read_table
from xref.tables.result import WRITTEN


def unknown(cell: Any) -> bool:
    """Whether a cell says nothing."""
    return not isinstance(cell, list | dict) and bool(pd.isna(cell))


def assert_agree(reading: Reading) -> None:
    """Compare every cell of the coded rows with the same cell of the rows."""
    plain, coded = reading.rows, reading.coded_rows
    assert list(coded.columns) == list(plain.columns)
    assert len(coded) == len(plain) == reading.row_count
    for name in coded.columns:
        codes = coded[name].array
        if isinstance(codes, pd.Categorical):
            assert codes.categories.is_unique
            assert not codes.categories.hasnans
        cells = [None if unknown(cell) else cell for cell in coded[name].tolist()]
        if name in WRITTEN and isinstance(codes, pd.Categorical):
            cells = [None if text is None else json.loads(text) for text in cells]
        expected = [None if unknown(cell) else cell for cell in plain[name].tolist()]
        assert cells == expected, name
        assert list(map(type, cells)) == list(map(type, expected)), name


@pytest.mark.parametrize("path", files(), ids=lambda path: path.name)
def test_coded_rows_say_what_rows_say(path: Path) -> None:
    """Each corpus file gives the same cells coded and one by one, lists and dicts as JSON text."""
    reading = read_table(path, **expectation(path)["answers"])
    assert_agree(reading)


def test_blocks_with_other_columns_are_joined(tmp_path: Path) -> None:
    """What one block lacks is unknown there; warnings and flags stand in all rows."""
    path = tmp_path / "blocks.csv"
    path.write_text(
        "Part No,Qty,Shaft,OD,Width,Remark\nA-11,3+,20 mm,40 mm,7 mm,dusty\nA-12,2-3,,,,\n"
        "Part No,Price,Replaced by\nB-21,4.50 each,B-22\nB-31,,B-31\n",
        encoding="utf-8",
    )
    reading = read_table(path, table="stock", kind="shaft_seal")
    assert reading.row_count == 4
    assert_agree(reading)


def test_different_remarks_are_kept_in_each_row(tmp_path: Path) -> None:
    """Cells of unrecognised columns stay together, quotes, line ends and blanks among them."""
    path = tmp_path / "remarks.csv"
    lines = [f'R-{n},{n % 7},"remark ""{n}""",{"x" * (n % 3)}' for n in range(300)]
    path.write_text("\n".join(["Part No,Qty,Buyer's blurb,ZZ", *lines]), encoding="utf-8")
    reading = read_table(path)
    assert_agree(reading)
    assert reading.rows["extra"].iloc[4] == {"Buyer's blurb": 'remark "4"', "ZZ": "x"}
