"""A supplier's next list whose columns were renamed, moved or joined by others: never misread."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command_line import Xref
from tests.tables_reading.corpus_check import expectation, files
from xref.tables import read_table
from xref.tables.reading import Reading

HEADLESS = {
    "no_header": True,
    "table": "stock",
    "columns": {"1": "number", "2": "description", "3": "quantity", "4": "price"},
}
SEALS = "Part no,Kind,ID,OD,Width,Qty\nA 1,oil seal,2.375,3.125,.5,2\n"


def next_reading(
    place: Path, first: str, then: str, answers: dict[str, Any], again: dict[str, Any]
) -> Reading:
    """Read a list with `answers`, and the next one with what was remembered and `again`."""
    (place / "first.csv").write_text(first, encoding="utf-8")
    (place / "next.csv").write_text(then, encoding="utf-8")
    before = read_table(place / "first.csv", **answers)
    assert not before.questions, before.questions
    return read_table(place / "next.csv", profile=before.profile, **again)


@pytest.mark.parametrize(
    ("first", "then", "answers", "asked"),
    [
        (  # the price that was taken is gone, the one that was not is still there
            "Part no,Qty,Trade price,Retail price\nA 1,2,3.00,6.00\n",
            "Part no,Qty,Retail price\nA 1,2,6.50\n",
            {"columns": {"Trade price": "price"}},
            "price stood under 'Trade price'",
        ),
        (  # a better named column joins the one that was taken
            "Code,Description,Qty\nR-1,seal,2\nR-2,bush,1\n",
            "Code,Part No,Description,Qty\n901,R-1,seal,2\n902,R-2,bush,1\n",
            {},
            "number stood under 'Code'",
        ),
        (  # columns without headings change places
            "A 1,oil seal,2,3.50\nA 2,bush,1,4.50\n",
            "oil seal,A 1,3.50,2\nbush,A 2,4.50,1\n",
            HEADLESS,
            "column 1, which held the number, holds words",
        ),
        (
            "A 1,oil seal,2,3.50\nA 2,bush,1,4.50\n",
            "A 1,oil seal,3.50,2\nA 2,bush,4.50,1\n",
            HEADLESS,
            "column 3, which held the quantity, holds something else",
        ),
        (
            "A 1,oil seal,2,3.50\nA 2,bush,1,4.50\n",
            "A 1,NOS,oil seal,2,3.50\nA 2,used,bush,1,4.50\n",
            HEADLESS,
            "had 4 columns, this one has 5",
        ),
        (  # the sizes of an inch list are now those of a metric one
            SEALS,
            "Part no,Kind,ID,OD,Width,Qty\nA 1,oil seal,8,14,4,2\nA 2,oil seal,40,55,8,1\n",
            {"unit": "in"},
            "look like millimetres",
        ),
        (  # another table altogether
            "Part no,Description,Qty,Price\nA 1,seal,2,3.00\n",
            "Part no,Superseded by\nA 1,B 1\n",
            {},
            "--table interchange or --table stock",
        ),
    ],
)
def test_a_column_that_moved_is_asked_about(
    first: str, then: str, answers: dict[str, Any], asked: str, tmp_path: Path
) -> None:
    """What fed a field before and does no longer is a question, and nothing is read meanwhile."""
    again = {"no_header": True} if "no_header" in answers else {}
    reading = next_reading(tmp_path, first, then, answers, again)
    assert any(asked in question for question in reading.questions), reading.questions
    assert reading.document()["rows"] == []


@pytest.mark.parametrize(
    ("first", "then", "answers", "rows"),
    [
        (  # `No.` held numbers and now counts the rows
            "No.,Description,Qty\n40712,oil seal,2\n40801,ring,1\n",
            "No.,Part,Description,Qty\n1,40712,oil seal,2\n2,40801,ring,1\n",
            {},
            [{"number": "40712"}, {"number": "40801"}],
        ),
        (  # moved under the same headings, or renamed in another language
            "Part no,Qty,Price\nA 1,2,3.00\n",
            "Price,Qty,Part no\n3.00,2,A 1\n",
            {},
            [{"number": "A 1", "quantity": 2, "price": 3}],
        ),
        (
            "Part no,Qty,Price\nA 1,2,3.00\n",
            "Teilenummer,Menge,Preis\nA 1,2,3.00\n",
            {},
            [{"number": "A 1", "quantity": 2, "price": 3}],
        ),
        (  # the file's own word on its unit, decimal sign and kinds counts first
            SEALS,
            "All sizes in mm,,,,,\nPart no,Kind,ID,OD,Width,Qty\nA 1,oil seal,8,14,4,2\n",
            {"unit": "in"},
            [{"written_unit": "mm"}],
        ),
        (
            "Part no;Qty;Price\nA 1;2;1.200\n",
            "Part no;Qty;Price\nA 1;2;12.50\nA 2;1;1.250\n",
            {"decimal": ","},
            [{"price": 12.5}, {"price": 1.25}],
        ),
        (  # sizes together in one column
            "Part no,Kind,Size,Qty\nA 1,oil seal,2.375x3.125x0.5,2\n",
            "Part no,Kind,Size,Qty\nA 1,oil seal,1.5x2.25x0.375,2\n",
            {"unit": "in"},
            [{"written_unit": "in"}],
        ),
        (
            "Part no,ID,OD,Width,Qty\nA 1,40mm,55mm,8mm,2\n",
            "Part no,Description,ID,OD,Width,Qty\nA 2,ball bearing,25mm,52mm,15mm,2\n"
            "A 3,,40mm,55mm,8mm,2\n",
            {"kind": "shaft_seal"},
            [{"kind": "rolling_bearing"}, {"kind": "shaft_seal"}],
        ),
        (  # without headings, but as before
            "A 1,oil seal,2,3.50\nA 2,bush,1,4.50\n",
            "A 3,ring,call,3.50\nA 4,bush,1,POA\n",
            HEADLESS,
            [{"number": "A 3", "price": 3.5}, {"number": "A 4", "quantity": 1}],
        ),
        (  # an answer against the recognised table holds for a list of the same make
            "Part no,Description,Qty,Price\nA 1,seal,2,3.00\n",
            "Part no,Description,Qty,Price\nA 2,seal,1,3.00\n",
            {"table": "wanted"},
            [{"number": "A 2"}],
        ),
    ],
)
def test_what_the_next_list_shows_itself_counts_first(
    first: str, then: str, answers: dict[str, Any], rows: list[dict[str, Any]], tmp_path: Path
) -> None:
    """Cells and words of the new file decide before what was remembered of the earlier one."""
    again = {"no_header": True} if "no_header" in answers else {}
    found = next_reading(tmp_path, first, then, answers, again).document()
    assert found["questions"] == []
    pairs = zip(found["rows"], rows, strict=True)
    assert [{key: row[key] for key in wanted} for row, wanted in pairs] == rows


def test_what_is_remembered_reads_the_same_file_the_same_way() -> None:
    """Every list of the corpus reads alike with its own profile, what is of one file said again."""
    read = 0
    for path in files():
        answers = expectation(path)["answers"]
        first = read_table(path, **answers)
        if first.refused or first.questions:
            continue
        own = ("sheet", "header_row", "no_header", "encoding", "supplier")
        again = {name: value for name, value in answers.items() if name in own}
        after = read_table(path, profile=first.profile, **again)
        assert after.questions == [], path.name
        assert after.document()["rows"] == first.document()["rows"], path.name
        read += 1
    assert read > 60


def test_the_answer_about_a_moved_column_is_remembered(xref: Xref, tmp_path: Path) -> None:
    """Loading asks once where the price went; the list after the answer is read without asking."""
    path = tmp_path / "list.csv"
    to = ("--supplier", "Gantry", "--table", "stock", "--json")
    path.write_text("Part no,Trade price,Retail price\nA 1,3.00,6.00\n", encoding="utf-8")
    assert xref("load", path, *to, "--column", "Trade price=price").status == 0
    path.write_text("Part no,Retail price\nA 1,6.50\n", encoding="utf-8")
    refused = xref("load", path, *to)
    assert refused.status == 3
    assert "Trade price" in refused.document["error"]["message"]
    assert xref("load", path, *to, "--column", "Retail price=price").status == 0
    path.write_text("Part no,Retail price\nA 1,7.00\n", encoding="utf-8")
    assert xref("load", path, *to).document["changed"] == 1
