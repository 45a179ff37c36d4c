"""The demo's files have the shape, the counts and the honesty the scenario promises."""

from __future__ import annotations

import csv
import datetime
import re
from collections import Counter
from zipfile import ZipFile

import openpyxl
import pytest
from demo_files import DEMO, modern, originals, scenario, table

KINDS = {
    "shaft_seal",
    "rolling_bearing",
    "plain_bushing",
    "o_ring",
    "thrust_washer",
}
FOR_REPAIRS = {"shaft_sleeve", "spacer_ring", "bushing_blank"}


def test_the_parts_book_is_long_enough_and_of_all_kinds() -> None:
    """At least 60 lines, every kind a machine loses, and parts of no fixed shape besides."""
    rows = originals()
    assert len(rows) >= 60
    assert {row["Kind"] for row in rows} == KINDS | {"other"}


def test_the_catalogues_hold_enough_modern_parts_of_all_kinds() -> None:
    """At least 300 parts of at least four makers, the kinds for composed repairs included."""
    rows = modern()
    assert len(rows) >= 300
    assert len({row["Maker"] for row in rows}) >= 4
    assert {row["Kind"] for row in rows} == KINDS | FOR_REPAIRS


def test_a_number_stands_once_in_the_parts_book_unless_its_variant_differs() -> None:
    """Number and variant together name a line of the parts book."""
    counts = Counter((row["Number"], row["Variant"]) for row in originals())
    assert [pair for pair, count in counts.items() if count > 1] == []


def test_a_number_stands_once_among_the_modern_parts() -> None:
    """Spaces and hyphens aside, no number of the catalogues occurs twice."""
    counts = Counter(re.sub(r"[-/ ]", "", row["Number"]).upper() for row in modern())
    assert [number for number, count in counts.items() if count > 1] == []


def test_every_assembly_a_line_names_is_itself_in_the_book() -> None:
    """A component line points to an assembly number that the book holds."""
    rows = originals()
    numbers = {row["Number"] for row in rows}
    assert {row["Assembly"] for row in rows} - {""} <= numbers
    assert len({row["Assembly"] for row in rows} - {""}) == 6


def test_superseding_numbers_are_in_the_book_and_one_chain_has_two_steps() -> None:
    """DG/1141 became DG/1141A, which became DG/1641, and no supersession dangles."""
    rows = originals()
    became = {row["Number"]: row["Superseded by"] for row in rows if row["Superseded by"]}
    assert set(became.values()) <= {row["Number"] for row in rows}
    assert became[became["DG/1141"]] == "DG/1641"


def test_both_units_and_both_variants_occur_in_the_book() -> None:
    """Fractions, decimal inches, millimetres; before and from serial 412."""
    rows = originals()
    cells = [value for row in rows for value in row.values()]
    assert any(re.fullmatch(r"\d+-\d+/\d+ in", cell) for cell in cells)
    assert any(re.fullmatch(r"\d*\.\d+ in", cell) for cell in cells)
    assert any(re.fullmatch(r"\d+ mm", cell) for cell in cells)
    assert {"before serial 412", "from serial 412"} <= {row["Variant"] for row in rows}


def test_every_file_is_either_loaded_or_named_in_the_readme() -> None:
    """No file of the demo is left lying about unexplained."""
    readme = (DEMO / "README.md").read_text(encoding="utf-8")
    plan = scenario()
    loaded = {entry["file"] for entry in plan["lists"]} | {plan["later_list"]["file"]}
    for name in loaded:
        assert (DEMO / name).is_file(), name
    for path in DEMO.iterdir():
        assert path.name in loaded or path.name in readme or path.name == "README.md", path.name


def test_suppliers_of_the_scenario_and_of_the_table_are_the_same_and_two_stop() -> None:
    """At least five suppliers, two with a closing date, all dates after the demo's day."""
    plan = scenario()
    rows = {row["Name"]: row for row in table(DEMO / "suppliers.csv")}
    assert len(rows) >= 5
    assert {entry["name"] for entry in plan["suppliers"]} == set(rows)
    closing = [entry for entry in plan["suppliers"] if "closes" in entry]
    assert len(closing) == 2
    for entry in closing:
        assert entry["closes"] > plan["on"]
        assert entry["closes"] == rows[entry["name"]]["Closes"]
    with_list = {entry["supplier"] for entry in plan["lists"] if entry["table"] == "stock"}
    assert len(with_list) >= 5
    assert with_list <= set(rows)


def test_wants_are_lines_of_the_book_with_quantity_and_date() -> None:
    """The scenario's wants are the wanted table's, and the book knows each number and variant."""
    plan = scenario()
    rows = table(DEMO / "wanted.csv")
    assert [want["number"] for want in plan["wants"]] == [row["Number"] for row in rows]
    book = {(row["Number"], row["Variant"]) for row in originals()}
    numbers = {number for number, _ in book}
    for row in rows:
        assert row["Number"] in numbers
        assert int(row["Quantity"]) > 0
        assert datetime.date.fromisoformat(row["Needed by"]).isoformat() > plan["on"]
        if row["Variant"]:
            assert (row["Number"], row["Variant"]) in book


def test_the_interchange_list_holds_the_awkward_statements() -> None:
    """Alternatives, both together, use 2 of, no longer available, a self-reference and a loop."""
    rows = table(DEMO / "interchange.csv")
    words = [row["Replacement"] for row in rows]
    assert any(" / " in word for word in words)
    assert any(" + " in word for word in words)
    assert any(word.startswith("use 2 of ") for word in words)
    assert "NLA" in words
    pairs = {(row["Old number"], row["Replacement"]) for row in rows}
    assert any((new, old) in pairs and new != old for old, new in pairs)
    assert any(old == new for old, new in pairs)


def test_the_interchange_list_names_modern_numbers_that_exist() -> None:
    """A modern number the list names is in a catalogue; only FD/4881 is meant to dangle."""
    known = {row["Number"] for row in modern()} | {row["Number"] for row in originals()}
    unknown = set()
    for row in table(DEMO / "interchange.csv"):
        for word in re.split(r" / | \+ | or ", row["Replacement"].removeprefix("use 2 of ")):
            if word not in known:
                unknown.add(word)
    assert unknown == {"FD/4881", "IP/2612", "NLA", "leather packing made to pattern"}


def test_the_german_list_is_cp1252_with_semicolons_and_decimal_commas() -> None:
    """The file cannot be read as UTF-8, and its prices have commas."""
    raw = (DEMO / "stock_quastenburg.csv").read_bytes()
    with pytest.raises(UnicodeDecodeError):
        raw.decode("utf-8")
    lines = raw.decode("cp1252").splitlines()
    assert "Außen-Ø mm" in lines[2]
    assert all(re.search(r";\d+,\d\d$", line) for line in lines[3:])


def test_the_later_list_brings_new_drops_some_and_is_dearer_in_places() -> None:
    """Between both editions numbers come, go and change price, and most stay as they were."""
    editions = []
    for name in ("stock_quastenburg.csv", "stock_quastenburg_later.csv"):
        with (DEMO / name).open(newline="", encoding="cp1252") as file:
            rows = list(csv.reader(file, delimiter=";"))[3:]
        prices = {row[0]: float(row[7].replace(",", ".")) for row in rows}
        assert len(prices) == len(rows)
        editions.append(prices)
    before, after = editions
    both = before.keys() & after.keys()
    assert len(after.keys() - before.keys()) == 2
    assert len(before.keys() - after.keys()) == 3
    assert sum(after[number] > before[number] for number in both) == 2
    assert sum(after[number] == before[number] for number in both) == len(both) - 2


def test_the_workbook_is_small_and_has_letterhead_two_row_headings_and_subtotals() -> None:
    """A letterhead above merged headings on rows 5 and 6, fractions as text, no macro."""
    path = DEMO / "stock_hobbleton.xlsx"
    assert path.stat().st_size < 20_000
    with ZipFile(path) as archive:
        assert not any("vba" in name.lower() for name in archive.namelist())
    sheet = openpyxl.load_workbook(path)["Stock"]
    assert (sheet["D5"].value, sheet["D6"].value) == ("Size in inches", "Shaft")
    column_a = [str(cell.value) for cell in sheet["A"] if cell.value]
    assert sum(text.startswith("Sub-total") for text in column_a) == 2
    assert any("-" in str(cell.value) and "/" in str(cell.value) for cell in sheet["D"])


def test_no_file_tells_of_a_machine_it_was_written_on() -> None:
    """No absolute path stands in any text file of the demo."""
    for path in DEMO.iterdir():
        if path.suffix != ".xlsx":
            text = path.read_bytes().decode("cp1252", errors="replace")
            assert not re.search(r"(?<![\w.])/(home|root|tmp|usr|work|var)\b", text), path.name
