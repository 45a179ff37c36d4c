"""Small invented files, one difficulty each, read as the reading rules say."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tables_reading.corpus_check import differences, expectation, files
from xref.tables import read_table


@pytest.mark.parametrize("path", files(), ids=lambda path: path.name)
def test_file_is_read_as_the_rules_say(path: Path) -> None:
    """Each corpus file gives the rows, reasons, questions and refusals expected of it."""
    expected = expectation(path)
    actual = read_table(path, **expected["answers"]).document()
    assert differences(expected, actual) == []


def test_corpus_is_large_enough() -> None:
    """The corpus holds at least sixty difficulties."""
    assert len(files()) >= 60
