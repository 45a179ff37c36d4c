"""Every written form of tests/sources/written_sizes.csv: accepted, asked about or refused.

The notation is common practice from memory; the values are exact (1 in = 25.4 mm).
Each row carries its source and how sure it is; a failure prints them.
"""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import pytest

from xref.errors import NeedsAnswer, Refused
from xref.sizes import sizes

SOURCE = Path(__file__).parents[1] / "sources" / "written_sizes.csv"
ROWS = list(csv.DictReader(SOURCE.read_text("utf-8").splitlines()))
ACCEPTED = [row for row in ROWS if row["status"].startswith("accept")]
ASKED = [row for row in ROWS if row["status"] == "ask"]
REFUSED = [row for row in ROWS if row["status"] == "refuse"]


def _text(row: dict[str, str]) -> str:
    return row["text"]


def _about(row: dict[str, str]) -> str:
    return f"{row['interpretation']} ({row['source']}; {row['confidence']})"


def test_no_row_is_left_out() -> None:
    """The three groups hold every row of the table."""
    assert len(ACCEPTED) + len(ASKED) + len(REFUSED) == len(ROWS) == 73


@pytest.mark.parametrize("row", ACCEPTED, ids=_text)
def test_accepted_forms_have_their_exact_value(row: dict[str, str]) -> None:
    """A form to accept gives the exact millimetres of the table, in the table's unit."""
    unit = "in" if row["status"] == "accept if unit known" else None
    read = sizes(row["text"], unit)
    found = [value for each in read for value in dict.fromkeys((each.low, each.high))]
    expected = [Fraction(value) for value in row["value_mm_exact"].split(" ; ")]
    assert found == expected, _about(row)
    assert {each.unit for each in read} == {row["unit"]}, _about(row)


@pytest.mark.parametrize("row", ASKED, ids=_text)
def test_open_forms_are_asked_about(row: dict[str, str]) -> None:
    """A form with two readings is a question whose readings hold those of the table."""
    with pytest.raises(NeedsAnswer) as caught:
        sizes(row["text"])
    asked = caught.value
    held = {value for each in asked.readings for value in (each.low, each.high)}
    expected = {Fraction(value) for value in row["value_mm_exact"].split(" | ")}
    assert expected <= held, _about(row)
    assert "?" in asked.question
    assert row["text"] in asked.question


@pytest.mark.parametrize("row", REFUSED, ids=_text)
def test_slips_are_refused_in_a_sentence(row: dict[str, str]) -> None:
    """A slip is refused, and the sentence shows what was read and what to do."""
    with pytest.raises(Refused) as caught:
        sizes(row["text"])
    assert row["text"] in caught.value.message, _about(row)
    assert caught.value.message.endswith(".")
