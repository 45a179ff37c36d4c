"""The demo's files load as the scenario says, and the store then answers what README.md says."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from command_line import Xref
from demo_files import DEMO, SOURCES, millimetres, modern, scenario, table

from xref import read_table
from xref.acts import demo
from xref.store import Store

ON = scenario()["on"]
LISTS = scenario()["lists"]
pytestmark = pytest.mark.store


def names(entries: list[dict[str, Any]]) -> list[str]:
    """Return the entries' file names, for the tests' ids."""
    return [entry["file"] for entry in entries]


@pytest.mark.parametrize("entry", LISTS, ids=names(LISTS))
def test_a_list_is_read_with_no_row_set_aside_but_those_the_scenario_names(
    entry: dict[str, Any],
) -> None:
    """Each list is read as its table; every row set aside is announced with its reason."""
    answers = {name: entry[name] for name in ("table", "unit", "supplier") if name in entry}
    reading = read_table(DEMO / entry["file"], **answers)
    assert not reading.refused
    assert reading.questions == []
    assert reading.table == entry["table"]
    assert len(reading.rows) > 0
    assert len(reading.set_aside) == len(entry.get("set_aside", []))
    for said, (_, row) in zip(
        entry.get("set_aside", []), reading.set_aside.iterrows(), strict=True
    ):
        assert row["reason"]
        assert said.split(" ")[0].split("/")[0].rstrip(":") in row["raw"]


@pytest.mark.parametrize("entry", LISTS, ids=names(LISTS))
def test_the_table_of_a_list_is_recognised_without_being_told(entry: dict[str, Any]) -> None:
    """Headings and cells alone tell a parts book, a catalogue, a stock list and an interchange."""
    reading = read_table(DEMO / entry["file"])
    assert (reading.table, reading.questions) == (entry["table"], [])


def test_subtotals_and_letterheads_are_no_parts() -> None:
    """No number of a stock list is a heading, a section or a subtotal."""
    for entry in LISTS:
        if entry["table"] == "stock":
            numbers = read_table(DEMO / entry["file"], table="stock", unit=entry.get("unit")).rows
            for number in numbers["number"]:
                assert any(letter.isdigit() for letter in number), (entry["file"], number)


def test_fractions_of_the_workbook_are_exact() -> None:
    """2-3/8 × 3-1/8 × 3/8 in is 60.325 × 79.375 × 9.525 mm (1 in = 25.4 mm, exact)."""
    rows = read_table(DEMO / "stock_hobbleton.xlsx", table="stock", unit="in").rows
    row = rows[rows["number"] == "UMB-735"].iloc[0]
    assert row["shaft_diameter_mm"] == 60.325
    assert row["outside_diameter_mm"] == 79.375
    assert row["width_mm"] == 9.525


def test_the_german_list_is_read_by_its_headings() -> None:
    """Innen-Ø, Außen-Ø, Breite, Menge and prices with decimal commas."""
    reading = read_table(DEMO / "stock_quastenburg.csv", table="stock")
    row = reading.rows[reading.rows["number"] == "QV 4138"].iloc[0]
    assert (row["kind"], row["shaft_diameter_mm"], row["width_mm"]) == ("shaft_seal", 60.0, 8.0)
    line = next(
        line
        for line in (DEMO / "stock_quastenburg.csv").read_text(encoding="cp1252").splitlines()
        if line.startswith("QV 4138;")
    )
    assert row["price"] == Decimal(line.rsplit(";", 1)[1].replace(",", "."))
    assert (row["currency"], reading.encoding) == ("EUR", "cp1252")


def test_sizes_in_stock_lists_agree_with_the_makers_catalogues() -> None:
    """Where a stock list gives sizes of a modern number, they are its catalogue's (but one).

    The wrong one is the 6205 of 16 mm width, which ISO 15 makes 15 wide; it is loaded as written
    and shown as a contradiction.
    """
    catalogue = {}
    for part in modern():
        if part["Kind"] == "shaft_seal":
            catalogue[part["Number"]] = millimetres(
                part, "Shaft diameter", "Outside diameter", "Width"
            )
    iso15 = {row["designation"]: row for row in table(SOURCES / "bearing_sizes.csv")}
    wrong = set()
    for entry in LISTS:
        if entry["table"] != "stock":
            continue
        rows = read_table(DEMO / entry["file"], table="stock", unit=entry.get("unit")).rows
        for row in rows.to_dict("records"):
            if row["number"] in catalogue:
                size = (row["shaft_diameter_mm"], row["outside_diameter_mm"], row["width_mm"])
                assert size == pytest.approx(catalogue[row["number"]], abs=0.02)
            standard = iso15.get(row["number"].removesuffix("-2RS"))
            if standard and float(standard["B_mm"]) != row["width_mm"]:
                wrong.add(row["number"])
    assert wrong == {"6205"}


def test_building_the_demo_twice_changes_nothing(demo_store: Path) -> None:
    """Lists are known by their content, suppliers and wants by what they are."""
    store = Store.open(demo_store)
    before = [(e.name, e.number, e.items) for e in store.editions()]
    document = demo.build(store)
    assert document["wants_added"] == 0
    assert [(e.name, e.number, e.items) for e in store.editions()] == before


@pytest.mark.usefixtures("demo_store")
def test_the_later_list_shows_new_gone_and_dearer(xref: Xref) -> None:
    """Two new, three gone, two dearer, as the two files differ (counted in test_demo_shape)."""
    later = scenario()["later_list"]
    document = xref(
        "load", DEMO / later["file"], "--table", "stock", "--supplier", later["supplier"],
        "--currency", later["currency"], "--on", later["as_of"], "--json",
    ).document  # fmt: skip
    assert (document["new"], document["gone"], document["dearer"]) == (2, 3, 2)
    assert document["first"] is False


def test_the_mended_rows_join_the_list_they_were_set_aside_from(
    demo_store: Path, xref: Xref
) -> None:
    """Two rows more in the same list, and the rest stays."""
    mended = scenario()["mended"]
    before = next(e for e in Store.open(demo_store).editions() if e.file == mended["of"])
    document = xref(
        "load", "--mended", DEMO / mended["file"], "--table", "stock",
        "--supplier", mended["supplier"], "--currency", "GBP", "--on", ON, "--json",
    ).document  # fmt: skip
    assert document["loaded"] == before.items + 2
    assert document["set_aside"] == 0


@pytest.mark.usefixtures("demo_store")
@pytest.mark.parametrize("job", scenario()["jobs"], ids=[j["say"][:24] for j in scenario()["jobs"]])
def test_each_job_of_the_scenario_is_answered(
    xref: Xref, job: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every job ends well and says something."""
    monkeypatch.chdir(DEMO)
    words = job["args"]
    dated = [] if words[0] == "identify" else ["--on", ON]
    answer = xref(*words, *dated, "--json")
    assert answer.status == 0
    key = {"identify": "matches", "match": "candidates", "due": "actions", "plan": "lines"}
    assert answer.document[key[words[0]]]


@pytest.mark.usefixtures("demo_store")
def test_the_smudged_number_leads_along_two_supersessions(xref: Xref) -> None:
    """DG 114IA looks like DG/1141A, which DG/1641 supersedes."""
    matches = xref("identify", "DG 114IA", "--json").document["matches"]
    assert (matches[0]["number"], matches[0]["how"]) == ("DG/1141A", "looks like")
    chain = next(m for m in matches if m["how"] == "superseded by")
    assert chain["number"] == "DG/1641"


@pytest.mark.usefixtures("demo_store")
@pytest.mark.parametrize(
    ("number", "found"),
    [
        ("DG/1151", "6207"),
        ("IP/2152", "6004"),
        ("IP/2171", "RC-214N"),
        ("AP/6171", "RC-155N"),
        ("DG/1143", "UMB-735"),
        ("DG/1181", "TLW-19"),
    ],
)
def test_a_number_is_matched_from_the_store(xref: Xref, number: str, found: str) -> None:
    """Bearings by designation (ISO/DIN 623), O-rings by dash number (AS568), the rest by size."""
    document = xref("match", number, "--on", ON, "--json").document
    first = document["candidates"][0]
    assert first["verdict"] == "as is"
    assert first["parts"][0]["number"] == found


@pytest.mark.usefixtures("demo_store")
def test_a_number_of_two_variants_is_asked_about(xref: Xref) -> None:
    """FD/4113 is 28 mm before serial 412 and 30 mm from it: neither is taken unasked."""
    answer = xref("match", "FD/4113", "--on", ON, "--json")
    assert answer.status == 3
    assert "412" in answer.document["error"]["message"]


@pytest.mark.usefixtures("demo_store")
def test_the_planted_contradictions_are_found_and_no_others(xref: Xref) -> None:
    """One statement, one designation, one self-reference, one circle, one dangling number."""
    answer = xref("contradictions", "--json")
    assert answer.status == 6
    whys = sorted(entry["why"] for entry in answer.document["contradictions"])
    assert len(whys) == 5, whys
    for word in ("DC/5113", "6205", "DC/5191", "IP/2612", "FD/4881"):
        assert sum(word in why for why in whys) == 1, word


@pytest.mark.usefixtures("demo_store")
def test_closing_suppliers_come_first_in_what_is_due(xref: Xref) -> None:
    """Hobbleton takes orders until 2027-09-30 and answers in 7 days; it is asked before others."""
    actions = xref("due", "--on", ON, "--json").document["actions"]
    assert actions[0]["supplier"].startswith("Hobbleton")
    assert ON < actions[0]["by"] < "2027-09-30"


@pytest.mark.usefixtures("demo_store")
def test_the_plan_covers_what_can_be_bought_and_saves_the_only_sources_first(xref: Xref) -> None:
    """Each want is in some list; what only a closing supplier has stands first.

    The bush to be machined is no part to buy unasked: the plan says whom to ask for its blank.
    """
    plan = xref("plan", "--rates", DEMO / "rates.csv", "--on", ON, "--json").document
    assert [(one["number"], "Brasswater" in one["why"]) for one in plan["uncovered"]] == [
        ("DG/1162", True)
    ]
    assert plan["proven"]
    closing = {entry["name"] for entry in scenario()["suppliers"] if "closes" in entry}
    only = [line["supplier"] in closing and line["only_source"] for line in plan["lines"]]
    assert any(only)
    assert only == sorted(only, reverse=True)


def test_no_day_of_the_demo_has_come_before_the_lists_were_written() -> None:
    """Every list is as of a day not after the demo's own."""
    for entry in LISTS:
        assert date.fromisoformat(entry["as_of"]) <= date.fromisoformat(ON)


@pytest.mark.usefixtures("demo_store")
def test_the_teardown_readings_tell_the_worn_shaft_from_the_sound_ones(xref: Xref) -> None:
    """Entered as a person would: the drum shaft (44.80 against h11 of 45) alone is outside."""
    rows = table(DEMO / "teardown.csv")
    for _, group in groupby(rows, key=lambda row: (row["Place"], row["Measured"])):
        readings = list(group)
        first = readings[0]
        words = [
            word
            for row in readings
            for word in (
                "--reading",
                f"{row['Measured']}@{row['Plane']},{row['Direction']}={row['Reading']}",
            )
        ]
        answer = xref(
            "teardown", "add", first["Machine"], "--place", first["Place"],
            "--number", first["Number"], "--uncertainty", first["Uncertainty"],
            "--on", ON, *words,
        )  # fmt: skip
        assert answer.status == 0, answer.err
    places = xref("teardown", "show", rows[0]["Machine"], "--json").document["places"]
    assert {place["name"]: place["limits"] for place in places} == {
        "idler gear": "within",
        "drum shaft": "outside",
        "cam box": "within",
        "gripper cam": "within",
    }
