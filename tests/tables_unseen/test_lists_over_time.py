"""What a store does with lists it was not built on: an edition or nothing, later ones, mending."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from tests.command_line import Xref
from tests.tables_unseen.test_unseen import EXPECTED, file_of, options

HEADINGS = "Part no,Description,Bin,Qty,Price EUR\n"
FIRST = HEADINGS + (
    "GW 1,oil seal 40x55x8,A1,2,4.00\nGW 2,bronze bush,A2,1,2.00\nGW 3,ring,A3,5,1.00\n"
    "5-Mar,spring,A4,1,1.00\n"
)
LATER = HEADINGS + "GW 1,oil seal 40x55x8,A1,2,5.00\nGW 3,ring,A3,3,1.00\nGW 4,pin,A5,3,1.00\n"
LOAD = ("--supplier", "Gantry & Wick", "--table", "stock", "--json")


def written(place: Path, name: str, text: str) -> Path:
    """Write a list and return its path."""
    path = place / name
    path.write_text(text, encoding="utf-8")
    return path


def test_the_same_file_twice_is_one_edition(xref: Xref, tmp_path: Path) -> None:
    """Loading is idempotent by content: the second time changes nothing."""
    path = written(tmp_path, "list.csv", FIRST)
    first = xref("load", path, *LOAD, "--on", "2026-11-01").document
    again = xref("load", path, *LOAD, "--on", "2026-11-02").document
    assert (first["edition"], first["new"], first["loaded"], first["set_aside"]) == (1, 3, 3, 1)
    assert (again["edition"], again["new"], again["unchanged"]) == (1, 0, True)


def test_a_later_list_replaces_the_earlier(xref: Xref, tmp_path: Path) -> None:
    """Decision 29: new, gone and changed are shown; the gone part is not listed since that day."""
    xref("load", written(tmp_path, "a.csv", FIRST), *LOAD, "--on", "2026-11-01")
    later = xref("load", written(tmp_path, "b.csv", LATER), *LOAD, "--on", "2026-11-05").document
    assert [row["number"] for row in later["change_rows"]["new"]] == ["GW 4"]
    assert [row["number"] for row in later["change_rows"]["gone"]] == ["GW 2"]
    assert {row["number"] for row in later["change_rows"]["changed"]} == {"GW 1", "GW 3"}
    gone = xref("identify", "gw-2", "--json").document
    assert "GW 2" not in [match["number"] for match in gone["matches"]]
    (part,) = gone["no_longer_listed"]
    assert (part["number"], part["last_listed"], part["not_listed_since"]) == (
        "GW 2",
        "2026-11-01",
        "2026-11-05",
    )
    assert "not listed since 2026-11-05" in xref("identify", "gw-2").out
    assert "no_longer_listed" not in xref("identify", "GW 4", "--json").document


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("headings", HEADINGS),
        ("aside", HEADINGS + "5-Mar,spring,A4,1,1.00\n"),
        ("empty", ""),
        ("letter", "Dear Ida,\nwe have closed the stores.\nOle\n"),
        ("binary", "\x00\x01\x02" * 50),
        ("suppliers", "Name,E-mail,Telephone\nOle,ole@example.invalid,01\n"),
        ("two prices", "Part no,Qty,Trade price,Retail price\nGW 9,1,1.00,2.00\n"),
    ],
)
def test_what_cannot_be_loaded_replaces_nothing(
    name: str, text: str, xref: Xref, tmp_path: Path
) -> None:
    """An empty, refused or questionable list never replaces the one before (Rows; decision 30)."""
    xref("load", written(tmp_path, "a.csv", FIRST), *LOAD, "--on", "2026-11-01")
    answer = xref("load", written(tmp_path, f"{name}.csv", text), *LOAD, "--on", "2026-11-05")
    assert answer.status in (3, 4)
    assert answer.document["error"]["message"]
    kept = xref("identify", "GW 2", "--json").document["matches"][0]
    assert (kept["number"], kept["how"]) == ("GW 2", "exact")


def test_rows_set_aside_are_mended_and_merged(xref: Xref, tmp_path: Path) -> None:
    """Rejects written out, mended and merged join the same list once, however often they come."""
    rejects = tmp_path / "rejects.csv"
    first = written(tmp_path, "a.csv", FIRST)
    xref("load", first, *LOAD, "--on", "2026-11-01", "--rejects", rejects)
    with rejects.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    rows[1][rows[0].index("Part no")] = "MAR5"
    with rejects.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    merged = xref("load", "--mended", rejects, *LOAD, "--on", "2026-11-02").document
    again = xref("load", "--mended", rejects, *LOAD, "--on", "2026-11-02").document
    assert (merged["loaded"], merged["new"], merged["gone"]) == (4, 1, 0)
    assert (again["loaded"], again["unchanged"]) == (4, True)
    assert xref("identify", "MAR5", "--json").document["matches"][0]["source"].endswith("row 5")


def test_every_row_of_every_list_is_somewhere_after_loading(xref: Xref, tmp_path: Path) -> None:
    """Loaded, set aside and furniture make up the filled rows also when a list is loaded."""
    loaded = 0
    for path in EXPECTED[::5]:
        expected = json.loads(path.read_text(encoding="utf-8"))
        if expected["exit"] or "nonblank" not in expected or not expected["rows"]:
            continue
        answers = options(expected.get("answers", {}))
        if "--table" not in answers:
            answers += ["--table", expected["table"]]
        read = file_of(path, expected, tmp_path)
        answer = xref("load", read, "--json", "--supplier", path.name, *answers)
        if expected.get("or_asked") and answer.status == 3:
            continue
        assert answer.status == 0, (path.name, answer.out)
        found = answer.document
        total = found["loaded"] + found["set_aside"] + found["furniture"]
        assert total == expected["nonblank"], path.name
        loaded += 1
    assert loaded > 30
    assert xref("store", "check").status == 0
