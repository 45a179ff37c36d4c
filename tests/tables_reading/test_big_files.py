"""Big texts take another way, through the engine, and come out the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tables_reading.corpus_check import expectation, files
from xref.tables import read, read_table

pytestmark = pytest.mark.store


@pytest.mark.parametrize(
    "path",
    [path for path in files() if path.suffix in (".csv", ".txt")],
    ids=lambda path: path.name,
)
def test_both_ways_read_the_same(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file read through the engine gives the document that reading row by row gives."""
    answers = expectation(path)["answers"]
    by_row = read_table(path, **answers).document()
    monkeypatch.setattr(read, "BIG_FILE", -1)
    monkeypatch.setattr(read, "HEAD_ROWS", 4)
    assert read_table(path, **answers).document() == by_row


def test_many_different_numbers_are_not_coded(tmp_path: Path) -> None:
    """Columns of all different texts keep leading zeros, damage and odd characters apart."""
    numbers = [f"WN-{n:05}" for n in range(21_000)]
    numbers[5], numbers[6], numbers[7] = "5-Mar", "  А100 ", ""
    path = tmp_path / "big.csv"
    lines = [f"{number},Pawl,{n % 9}" for n, number in enumerate(numbers)]
    path.write_text("\n".join(["Part No,Description,Qty", *lines]) + "\n", encoding="utf-8")
    reading = read_table(path)
    assert path.stat().st_size < read.BIG_FILE
    read_big = read_table_big(path)
    assert read_big.document() == reading.document()
    assert reading.set_aside["at"].tolist() == [7, 9]
    assert reading.rows["number"].iloc[5] == "А100"


def read_table_big(path: Path) -> read.Reading:
    """Read `path` as if it were big."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(read, "BIG_FILE", 0)
        return read_table(path)
