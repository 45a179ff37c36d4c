"""Big texts take another way, column by column, and come out the same."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.tables_reading.corpus_check import expectation, files
from xref.store.number_key import keyed, number_keys
from xref.tables import packed, read, read_table
from xref.tables.column import ORDINARY
from xref.tables.formats import byte_cells, read_grids
from xref.tables.formats.byte_cells import ByteCells
from xref.tables.formats.read import _head
from xref.texts import Texts


@pytest.mark.parametrize(
    "path",
    [
        path
        for path in files()
        if path.suffix in (".csv", ".txt")
        and path.name != "mail_answered.txt"  # a big text is taken for no mail
    ],
    ids=lambda path: path.name,
)
def test_both_ways_read_the_same(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file read column by column gives the document that reading row by row gives."""
    answers = expectation(path)["answers"]
    by_row = read_table(path, **answers).document()
    monkeypatch.setattr(read, "BIG_FILE", -1)
    monkeypatch.setattr(read, "HEAD_ROWS", 4)
    assert read_table(path, **answers).document() == by_row
    monkeypatch.setattr("xref.tables.formats.read._HEAD", 200)
    monkeypatch.setattr("xref.tables.formats.read.LOOK_AHEAD", 1)
    assert read_table(path, **answers).document() == by_row


def test_a_long_text_is_not_decoded_to_find_its_dialect(tmp_path: Path) -> None:
    """The first rows and the dialect of a long list come from its beginning alone."""
    path = tmp_path / "long.csv"
    line = "TW-1;2,50;Dichtring für Welle\n"
    path.write_text("Nr;Preis;Text\n" + line * 80_000, encoding="utf-8")
    part, whole = read_grids(path, limit=1000), read_grids(path)
    assert (part.dialect, part.encoding) == (whole.dialect, whole.encoding)
    assert part.encoding_how == whole.encoding_how
    assert part.grids[0].rows == whole.grids[0].rows[:1000]
    assert _head(path.read_bytes(), None) is not None
    assert _head(path.read_bytes() + b"\xff", None) is None


def test_a_long_list_may_end_its_lines_with_carriage_returns_only(tmp_path: Path) -> None:
    """No beginning can be cut off it at a line feed; it is read like any other."""
    path = tmp_path / "old.csv"
    lines = [f"TW-{n:06},Oil seal,{n % 9}" for n in range(100_000)]
    path.write_text("\r".join(["Part No,Description,Qty", *lines]), encoding="utf-8", newline="")
    assert path.stat().st_size > read.BIG_FILE
    reading = read_table(path)
    assert (reading.refused, reading.row_count) == (False, len(lines))
    assert reading.rows["at"].iloc[-1] == len(lines) + 1


@pytest.mark.parametrize("rows", [1_000, 40_000, 59_999, 60_000, 200_000])
def test_a_column_that_repeats_is_worth_coding(rows: int) -> None:
    """Whatever share of it is looked at; a long one whose cells all differ is not."""
    few = [f"{n % 173}" for n in range(rows)]
    many = [f"{n:07}" for n in range(rows)]
    for texts, worth in ((few, True), (many, rows < 60_000)):
        data = "\n".join(texts).encode()
        own = Texts.of(texts)
        cells = ByteCells(data, own.begins.astype(np.uint32), own.ends.astype(np.uint32))
        assert cells.worth_coding() == worth


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
        patch.setattr(byte_cells, "_SAMPLE", 5_000)
        return read_table(path)


TEXTS = st.text(alphabet="A0EPS/ -.1+Maé\n\0", max_size=9)


@given(st.lists(TEXTS, min_size=1, max_size=30))
@settings(max_examples=100, deadline=None)
def test_all_at_once_finds_the_same_ordinary_numbers(texts: list[str]) -> None:
    """What is taken for an ordinary part number among many is one by the rule of `column`."""
    expected = [ORDINARY.fullmatch(text) is not None for text in texts]
    assert packed.ordinary(texts, ORDINARY).tolist() == expected


@given(st.lists(TEXTS | st.text(min_size=60, max_size=99), min_size=1, max_size=30))
@settings(max_examples=100, deadline=None)
def test_hashes_tell_texts_apart(texts: list[str]) -> None:
    """Equal texts have equal hashes and different ones different; so have searching forms."""
    keys = number_keys(texts)
    for words, found in (
        (texts, packed.hashes(texts).tolist()),
        (keys, packed.hashes(keyed(Texts.of(texts))).tolist()),
    ):
        assert len(set(zip(words, found, strict=True))) == len(set(words)) == len(set(found))
        assert all((number == 0) == (word == "") for word, number in zip(words, found, strict=True))
