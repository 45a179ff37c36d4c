"""How many of each number an interchange cell asks for (decision 30), down to what is told."""

from __future__ import annotations

import pytest

from tests.command_line import Xref
from xref.store.statement_index import StatementIndex, write_statement_index
from xref.store.statements import Statement, statements_of
from xref.tables.cells.replacement import read_replacement


@pytest.mark.parametrize(
    ("written", "alternatives", "quantity"),
    [
        ("2 x KM 1", ("KM 1",), 2),
        ("2xKM 1", ("KM 1",), 2),
        ("KM 1 *2", ("KM 1",), 2),
        ("KM 1 x 2", ("KM 1",), 2),
        ("two of KM 1", ("KM 1",), 2),
        ("use two KM 1", ("KM 1",), 2),
        ("a pair of KM 1", ("KM 1",), 2),
        ("KM 1 (pair)", ("KM 1",), 2),
        ("KM 1 (two off)", ("KM 1",), 2),
        ("KM 1, 2 off", ("KM 1",), 2),
        ("KM 1 - 2 off", ("KM 1",), 2),
        ("KM 1 qty 2", ("KM 1",), 2),
        ("zwei KM 1", ("KM 1",), 2),
        ("2 Stück KM 1", ("KM 1",), 2),
        ("KM 1 + KM 1", ("KM 1",), 2),
        ("1 x KM 1 + 1 x KM 2", ("KM 1 + KM 2",), 1),
        # Numbers of parts that only look like counts.
        ("EN 12", ("EN 12",), None),
        ("SIX 4", ("SIX 4",), None),
        ("PAIR 7", ("PAIR 7",), None),
        ("2X45", ("2X45",), None),
        ("TX-2", ("TX-2",), None),
        ("M8 x 20", ("M8 x 20",), None),
        ("30 x 42 x 7", ("30 x 42 x 7",), None),
        ("KM 30 (4 cyl)", ("KM 30 (4 cyl)",), None),
    ],
)
def test_a_count_is_told_from_a_number(
    written: str, alternatives: tuple[str, ...], quantity: int | None
) -> None:
    """Counts in figures and words stand apart from the number; a number keeps its own."""
    read = read_replacement(written)
    assert (read.alternatives, read.quantity, read.counts, read.problem) == (
        alternatives,
        quantity,
        (),
        None,
    )


@pytest.mark.parametrize(
    ("written", "alternatives", "counts"),
    [
        ("2 x KM 1 + KM 2", ("KM 1 + KM 2",), ((2, 1),)),
        ("2 off KM 1 + 1 off KM 2", ("KM 1 + KM 2",), ((2, 1),)),
        ("KM 1 & 3 x KM 2", ("KM 1 + KM 2",), ((1, 3),)),
        ("KM 1 (x2) / KM 2", ("KM 1", "KM 2"), ((2,), (1,))),
        ("use 2 of KM 1 or 1 x KM 2 + KM 3", ("KM 1", "KM 2 + KM 3"), ((2,), (1, 1))),
    ],
)
def test_each_number_has_its_own_count(
    written: str, alternatives: tuple[str, ...], counts: tuple[tuple[int, ...], ...]
) -> None:
    """Where the counts of a cell differ, each number keeps its own."""
    read = read_replacement(written)
    assert (read.alternatives, read.counts, read.quantity) == (alternatives, counts, None)


def test_statements_carry_the_counts(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """A set of two and one is one statement with both counts, also when written and mapped."""
    rows = [
        {
            "number": "TW 1",
            "replacements": ["KM 1 + KM 2", "KM 3"],
            "relation_quantities": "[[2, 1], [3]]",
        }
    ]
    both, alone = statements_of(rows, list_name="list", table="interchange")
    assert (both.to, both.quantity, both.quantities) == (("KM 1", "KM 2"), 1, (2, 1))
    assert (alone.to, alone.quantity, alone.quantities) == (("KM 3",), 3, ())
    assert both.sentence() == "TW 1 may be served by 2 of KM 1 + KM 2"
    write_statement_index(tmp_path / "s.index", [both, alone])
    assert StatementIndex.open(tmp_path / "s.index").about("TW1") == [both, alone]
    before = Statement("TW 2", ("KM 9",), quantity=2)
    assert [before.pieces_of(key) for key in before.to_keys] == [2]


def test_identify_tells_how_many_of_each(xref: Xref, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """From the cell to the answer: two of one number together with one of the other."""
    path = tmp_path / "interchange.csv"
    path.write_text("Old number,Replaced by\nTW 1,2 x KM 1 + KM 2\n", encoding="utf-8")
    (row,) = xref("read", path, "--json").document["rows"]
    assert (row["replacements"], row["relation_quantities"]) == (["KM 1", "KM 2"], [2, 1])
    said = xref("read", path).out
    assert "2 of KM 1 + KM 2" in said
    assert "None" not in said
    xref("load", path, "--table", "interchange", "--supplier", "Orlo", "--json")
    found = {one["number"]: one for one in xref("identify", "TW1", "--json").document["matches"]}
    (first,), (second,) = found["KM 1"]["path"], found["KM 2"]["path"]
    assert (first["quantity"], first["together_quantities"]) == (2, [1])
    assert (second["quantity"], second["together_quantities"]) == (1, [2])
    said = xref("identify", "TW 1").out
    assert "KM 1, 2 of it, together with KM 2" in said
    assert "together with 2 of KM 1" in said
