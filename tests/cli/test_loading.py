"""Loading at the command line: newer lists, mended rows, remembered answers, what a list fills."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.command_line import Xref

pytestmark = pytest.mark.store

# Everything here is invented for the test.
STOCK = "Part;Pcs;Cost\nAB-1;3;4,50\nAB-2;1;7,00\nAB-3;;9,00\n"


def write(place: Path, text: str) -> Path:
    """Write a list to load."""
    place.write_text(text, encoding="utf-8")
    return place


LOAD = ["--table", "stock", "--supplier", "Fennick", "--currency", "EUR"]


def test_the_same_list_again_changes_nothing(xref: Xref, tmp_path: Path) -> None:
    """Sending a list twice makes one edition; the second answer says that nothing changed."""
    path = write(tmp_path / "stock.csv", STOCK)
    first = xref("load", path, *LOAD, "--on", "2027-01-05", "--json").document
    again = xref("load", path, *LOAD, "--on", "2027-01-05", "--json").document
    assert (first["loaded"], first["new"], first["gone"], first["changed"]) == (3, 3, 0, 0)
    assert (again["loaded"], again["new"], again["gone"], again["changed"]) == (3, 0, 0, 0)
    assert again["edition"] == first["edition"] == 1


def test_a_newer_list_shows_what_it_changes(xref: Xref, tmp_path: Path) -> None:
    """Against the list before: new, gone, dearer, cheaper and other quantities are named."""
    xref("load", write(tmp_path / "a.csv", STOCK), *LOAD)
    newer = "Part;Pcs;Cost\nAB-1;3;5,50\nAB-2;4;7,00\nAB-4;2;1,00\n"
    answer = xref("load", write(tmp_path / "b.csv", newer), *LOAD, "--json").document
    assert (answer["new"], answer["gone"], answer["dearer"], answer["cheaper"]) == (1, 1, 1, 0)
    assert answer["changed"] == 2
    assert [row["number"] for row in answer["change_rows"]["gone"]] == ["AB-3"]
    text = xref("load", write(tmp_path / "a2.csv", STOCK + "AB-9;1;1,00\n"), *LOAD).out
    assert "cheaper: AB-1, EUR 5.50 -> 4.50" in text


def test_a_supplier_s_answers_are_remembered(xref: Xref, tmp_path: Path) -> None:
    """What a heading means is asked once; the supplier's next list is read the same way."""
    odd = "Part;Qty;Bestand am Lager;Wert je St\nAB-1;;3;4,50\nAB-2;;1;7,00\n"
    path = write(tmp_path / "odd.csv", odd)
    columns = ["--column", "Bestand am Lager=quantity", "--column", "Wert je St=price"]
    assert xref("load", path, *LOAD, *columns).status == 0
    later = write(tmp_path / "later.csv", odd.replace("4,50", "4,75"))
    answer = xref("load", later, "--table", "stock", "--supplier", "FENNICK", "--json").document
    (row,) = answer["change_rows"]["dearer"]
    assert (row["number"], float(row["price"]), row["currency"]) == ("AB-1", 4.75, "EUR")
    shown = xref("read", later, "--supplier", "Fennick", "--json").document
    assert shown["columns"]["Bestand am Lager"] == "quantity"
    assert shown["rows"][0]["price"] == 4.75


def test_a_heading_row_of_zero_is_an_answer(xref: Xref, tmp_path: Path) -> None:
    """Rows are counted from 1: 0 is refused like -1, not taken for no answer."""
    path = write(tmp_path / "stock.csv", STOCK)
    for row in ("0", "-1"):
        answer = xref("read", path, "--header-row", row)
        assert answer.status == 2
        assert f"there is no row {row}" in answer.err


def test_reading_makes_no_store(xref: Xref, tmp_path: Path) -> None:
    """A supplier named to `read` where there is no store yet leaves none behind."""
    path, folder = write(tmp_path / "stock.csv", STOCK), tmp_path / "not yet"
    answer = xref("read", path, "--supplier", "Fennick", "--store", folder, "--json")
    assert len(answer.document["rows"]) == 3
    assert not folder.exists()


def test_mended_rows_join_the_current_list(xref: Xref, tmp_path: Path) -> None:
    """Rows set aside are exported, mended and merged; sending them again changes nothing."""
    path = write(tmp_path / "stock.csv", STOCK + "5-Mar;2;1,00\n")
    rejects = tmp_path / "rejects.csv"
    first = xref("load", path, *LOAD, "--rejects", rejects, "--json").document
    assert (first["loaded"], first["set_aside"]) == (3, 1)
    text = rejects.read_text(encoding="utf-8-sig")
    assert "5-Mar" in text
    # Mended where the cell stands: after place and reason, in the list's own columns.
    rows = list(csv.reader(text.splitlines()))
    at = rows[0].index("Part")
    rows[1][at] = "MAR-5"
    with rejects.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows(rows)
    mended = xref("load", "--mended", rejects, *LOAD, "--json").document
    assert (mended["loaded"], mended["new"], mended["gone"]) == (4, 1, 0)
    assert xref("identify", "MAR-5").status == 0
    again = xref("load", "--mended", rejects, *LOAD, "--json").document
    assert (again["loaded"], again["new"]) == (4, 0)


def test_mending_what_was_never_loaded_is_refused(xref: Xref, tmp_path: Path) -> None:
    """Mended rows of a list that is not there are refused with what to do."""
    answer = xref("load", "--mended", write(tmp_path / "m.csv", STOCK), *LOAD)
    assert answer.status == 2
    assert "Load the list first" in answer.err.replace("\n", " ")


def test_a_preview_loads_nothing(xref: Xref, tmp_path: Path) -> None:
    """--preview shows the headings and leaves the store empty."""
    path = write(tmp_path / "stock.csv", STOCK)
    shown = xref("load", path, *LOAD, "--preview")
    assert shown.status == 0
    assert "Pcs -> quantity" in shown.out
    assert xref("store", "info", "--json").document["lists"] == []


@pytest.mark.usefixtures("demo_store")
def test_a_list_says_which_wants_it_fills(xref: Xref, tmp_path: Path) -> None:
    """A fresh stock list names the wants it can fill, by number and by a part that fits."""
    stock = "Number,Maker,Qty,Price\nDG 1141A,,1,9.00\nUMB-735,Umberline,2,7.00\nZZ-9,,1,1.00\n"
    path = write(tmp_path / "stock.csv", stock)
    answer = xref("load", path, *LOAD, "--on", "2027-09-07", "--json").document
    filled = {(fill["want"], fill["number"], fill["how"]) for fill in answer["fills"]}
    assert (1, "DG 1141A", "number") in filled
    assert (2, "UMB-735", "as is") in filled
    assert "ZZ-9" not in {fill["number"] for fill in answer["fills"]}


@pytest.mark.usefixtures("beside_the_demo_files")
def test_suppliers_and_wants_load_from_tables(xref: Xref) -> None:
    """A table of suppliers and a wanted list go into the records, once."""
    loaded = xref("load", "data_demo/suppliers.csv", "--table", "suppliers", "--json")
    assert loaded.status == 0, loaded.out
    assert loaded.document["new"] == loaded.document["loaded"] == 6
    on = ["--on", "2027-09-06"]
    wanted = xref("load", "data_demo/wanted.csv", "--table", "wanted", *on, "--json")
    assert wanted.status == 0, wanted.out
    assert wanted.document["new"] == wanted.document["loaded"] == 15
    again = xref("load", "data_demo/wanted.csv", "--table", "wanted", *on, "--json")
    assert again.document["new"] == 0
    assert len(xref("want", "list", *on, "--json").document["wants"]) == 15
    rows = xref("supplier", "list", *on, "--json").document["suppliers"]
    closing = {row["supplier"]: row["closes_on"] for row in rows}
    assert closing["Tamblewick's Barn"] == "2028-03-01"  # a month means its first day


@pytest.mark.usefixtures("demo_store")
def test_the_demo_is_repeatable(xref: Xref) -> None:
    """Running the demo again changes nothing in the store and shows the same answers."""
    before = xref("store", "info", "--json").document
    answer = xref("demo", "--json")
    assert answer.status == 0
    after = xref("store", "info", "--json").document
    assert after["lists"] == before["lists"]
    assert after["events"] == before["events"]
    commands = [step["command"].split()[1] for step in answer.document["steps"]]
    assert {"identify", "match", "want", "due", "plan"} <= set(commands)
    assert all("error" not in step["answer"] for step in answer.document["steps"])


@pytest.mark.usefixtures("demo_store")
def test_match_list_agrees_with_match(xref: Xref, tmp_path: Path) -> None:
    """Matching a list gives for each number what `xref match` gives, and loses no line."""
    numbers = ["DG/1143", "DG/1151", "IP/2171", "NOT-THERE"]
    path = write(tmp_path / "numbers.csv", "\n".join(["Number,Qty", *(f"{n},1" for n in numbers)]))
    out = tmp_path / "matched.csv"
    answer = xref("match-list", path, "--table", "wanted", "--out", out, "--json")
    assert answer.status == 0, answer.out
    document = answer.document
    assert document["originals"] == 4
    assert document["matched"] == 3
    assert [line["number"] for line in document["not_matched"]] == ["NOT-THERE"]
    for number in numbers[:3]:
        rows = [row for row in document["rows"] if row["original_number"] == number]
        single = xref("match", number, "--json").document["candidates"][0]
        best = {
            (row["maker"], row["number"]) for row in rows if row["verdict"] == single["verdict"]
        }
        assert (single["parts"][0]["maker"], single["parts"][0]["number"]) in best
    with out.open(encoding="utf-8-sig", newline="") as file:
        written = list(csv.DictReader(file))
    assert len(written) == len(document["rows"])
    assert {row["original_number"] for row in written} == set(numbers)


@pytest.mark.usefixtures("demo_store")
def test_match_list_names_the_lines_it_could_not_read(xref: Xref, tmp_path: Path) -> None:
    """A seal without a shaft diameter is set aside by the reading, and stands in the answer."""
    path = write(
        tmp_path / "seals.csv",
        "Number,Kind,Shaft diameter mm,Outside diameter mm,Width mm\n"
        "AA-1,shaft_seal,,,8\n"
        "AA-2,shaft_seal,60,80,8\n",
    )
    document = xref("match-list", path, "--table", "originals", "--json").document
    assert (document["originals"], document["matched"]) == (2, 1)
    (line,) = document["not_matched"]
    assert line["why"].startswith("row 2, 'AA-1,")
    assert "shaft diameter is missing" in line["why"]
    assert [r["original_number"] for r in document["rows"] if r["rank"] == 1] == ["AA-2"]
