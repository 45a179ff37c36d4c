"""Number and letter drills against an open data set and the order of the standard."""

from __future__ import annotations

import csv
from fractions import Fraction
from importlib import util
from pathlib import Path

import pytest

from xref.sizes import size
from xref.sizes.special import drill_sizes

NUMBERS = [str(number) for number in range(1, 98)]
LETTERS = [chr(code) for code in range(ord("A"), ord("Z") + 1)]


def test_the_table_is_complete() -> None:
    """ANSI/ASME B94.11M has numbers 1 to 97 and letters A to Z."""
    assert sorted(drill_sizes()) == sorted(NUMBERS + LETTERS)


def test_drills_run_in_order() -> None:
    """Each number is finer than the one before, each letter thicker."""
    table = drill_sizes()
    numbers = [table[key] for key in NUMBERS]
    letters = [table[key] for key in LETTERS]
    assert numbers == sorted(numbers, reverse=True)
    assert len(set(numbers)) == len(numbers)
    assert letters == sorted(letters)
    assert numbers[0] < letters[0]


def test_drills_agree_with_an_open_data_set() -> None:
    """Numbers 1 to 80 and all letters agree with bd_warehouse's table, which rounds to 0.001 in."""
    spec = util.find_spec("bd_warehouse")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("bd_warehouse's data files are not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / "drill_sizes.csv"
    rows = list(csv.DictReader(path.read_text("utf-8").splitlines(), skipinitialspace=True))
    assert len(rows) == 106
    for row in rows:
        ours = drill_sizes()[row["Size"].lstrip("#")]
        assert abs(ours - Fraction(row["Diameter"])) <= Fraction(5, 10_000), row


@pytest.mark.parametrize(
    ("text", "inches"),
    [("#69 drill", "0.0292"), ("letter E", "0.25"), ("No. 18 drill", "0.1695")],
)  # ANSI/ASME B94.11M; 69 read in a published text, 18 from memory
def test_drills_that_rounded_tables_lose(text: str, inches: str) -> None:
    """The fourth decimal of a number drill is kept."""
    assert size(text).nominal == Fraction(inches) * Fraction(127, 5)
