"""Contract 1 of loading and of the records, from an empty store to goods in."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command_line import Xref
from xref.resources import folder

pytestmark = pytest.mark.store

SUPPLIER = "Dichtungslager Quastenburg"
LIST = folder("data_demo") / "stock_quastenburg.csv"
LATER = folder("data_demo") / "stock_quastenburg_later.csv"
AS_STOCK = ("--table", "stock", "--supplier", SUPPLIER, "--currency", "EUR")


def test_load_document(xref: Xref) -> None:
    """Contract: list, table, loaded, set_aside, furniture, new, gone, changed, fills."""
    first = xref("load", LIST, *AS_STOCK, "--on", "2027-09-01", "--json")
    assert (first.status, first.err) == (0, "")
    document = first.document
    assert (document["list"], document["table"]) == (SUPPLIER, "stock")
    for name in ("loaded", "set_aside", "furniture", "new", "gone", "changed"):
        assert isinstance(document[name], int)
    assert document["fills"] == []
    again = xref("load", LIST, *AS_STOCK, "--on", "2027-09-08", "--json").document
    assert again["unchanged"]
    assert (again["new"], again["gone"], again["changed"]) == (0, 0, 0)

    want = xref("want", "add", "QV 4138", "--quantity", "2", "--json").document["want"]
    later = xref("load", LATER, *AS_STOCK, "--on=2027-09-20", "--json").document
    assert (later["new"], later["gone"], later["changed"]) == (2, 3, 2)
    assert {fill["want"] for fill in later["fills"]} == {want}


def test_an_older_list_is_pointed_out(xref: Xref) -> None:
    """A list older than the one it replaces is loaded as told, and the answer says so."""
    xref("load", LATER, *AS_STOCK, "--on", "2027-09-20")
    notes = xref("load", LIST, *AS_STOCK, "--on", "2027-09-01", "--json").document["notes"]
    assert any("older than the one it replaces" in note for note in notes)


def test_mended_rows_join_the_current_edition(xref: Xref, tmp_path: Path) -> None:
    """Contract: `--mended FILE` merges into the current edition; with a second file it is usage."""
    heading = "Part No,Kind,ID mm,OD mm,Width mm,Qty\n"
    full, rest = tmp_path / "list.csv", tmp_path / "mended.csv"
    full.write_text(heading + "A1,oil seal,60,80,8,4\nA2,oil seal,90,80,8,1\n", encoding="utf-8")
    rest.write_text(heading + "A2,oil seal,60,90,8,1\n", encoding="utf-8")
    as_list = ("--table", "stock", "--supplier", "Ofterling")
    assert xref("load", full, *as_list, "--json").document["set_aside"] == 1
    merged = xref("load", "--mended", rest, *as_list, "--json").document
    assert merged["loaded"] == 2
    assert xref("load", full, "--mended", rest, *as_list).status == 2


@pytest.mark.parametrize("preview", [(), ("--preview",)])
def test_questions_about_the_list(xref: Xref, tmp_path: Path, preview: tuple[str, ...]) -> None:
    """Contract: a question about the whole list ends with 3 and changes nothing."""
    file = tmp_path / "doubt.csv"
    file.write_text("Part No,OD,ID,Width,Qty\nA1,3.125,2.375,.375,4\n", encoding="utf-8")
    assert xref("load", file, "--table", "stock", *preview, "--json").status == 3
    assert xref("store", "info", "--json").document["editions"] == 0


def test_from_supplier_to_goods_in(xref: Xref) -> None:
    """Contract: the record commands with their options and the documents they answer with."""
    supplier = xref(
        *("supplier", "add", "Ofterling Sundries", "--closes", "2028-10", "--reply-days", "10"),
        *("--last-order", "2028-09-15", "--postage=12.50", "--currency=EUR"),
        *("--carries=shaft_seal,o_ring", "--json"),
    ).document
    assert supplier["supplier"] == "Ofterling Sundries"
    [noted] = xref("supplier", "list", "--json").document["suppliers"]
    assert noted["closes_on"] == "2028-10-01"  # a month means its first day
    assert noted["postage"] == 12.5

    want = xref(
        *("want", "add", "60x80x8mm", "--kind", "shaft_seal", "--quantity", "2"),
        *("--by", "2028-03-01", "--priority", "1", "--variant", "60x80x10", "--place", "pump"),
        *("--on", "2027-09-01", "--json"),
    ).document["want"]
    [listed] = xref("want", "list", "--json").document["wants"]
    assert listed["want"] == want
    assert {"number", "quantity", "state", "covered"} <= set(listed)
    assert (listed["state"], listed["covered"]) == ("wanted", 0)
    assert "next: xref due" in xref("want", "show", str(want)).out

    [letter] = xref(
        *("enquiry", "write", "--supplier", "Ofterling Sundries", "--want", str(want)),
        *("--on", "2027-09-06", "--json"),
    ).document["enquiries"]
    assert letter["wants"] == [want]
    assert "60" in letter["letter"]
    enquiry = str(letter["enquiry"])
    assert xref("enquiry", "sent", enquiry, "--on", "2027-09-07", "--json").status == 0
    answering = ("enquiry", "answer", enquiry, "--want", str(want), "--on", "2027-09-14")
    assert xref(*answering, "--has", "looking", "--json").document["offer"] is None
    offer = xref(
        *(*answering, "--has=yes", "--price", "9.50", "--currency", "EUR", "--quantity", "4"),
        *("--condition", "NOS", "--until", "2027-12-01", "--json"),
    ).document["offer"]
    assert isinstance(offer, int)
    by_telephone = xref(
        *("offer", "add", "--supplier", "Ofterling Sundries", "--want", str(want)),
        *("--price", "8", "--on", "2027-09-15", "--json"),
    )
    assert isinstance(by_telephone.document["offer"], int)
    assert f"next: xref order add --offer {offer}" in xref("want", "show", str(want)).out
    order = xref(
        *("order", "add", "--offer", str(offer), "--quantity", "2", "--on", "2027-09-16"), "--json"
    ).document["order"]
    [listed] = xref("want", "list", "--json").document["wants"]
    assert listed["covered"] == 2
    received = xref(
        *("receive", str(order), "--id", "60mm", "--od", "80.2mm", "--width", "8mm"),
        *("--on", "2027-09-20", "--json"),
    )
    assert received.status == 0
    assert received.document["decision"] in {"accept", "rework", "return"}
    assert isinstance(received.document["checks"], list)
    assert isinstance(received.document["open_tests"], list)
    story = xref("want", "show", str(want)).out
    assert story.index("enquiry") < story.index("offer") < story.index("order")


@pytest.mark.parametrize(
    "words",
    [
        ("want", "add", "X1", "--quantity", "0"),
        ("want", "add", "X1", "--quantity", "-1"),
        ("want", "add", "X1", "--quantity", "1", "--by", "2026-02-30"),
        ("want", "add", "X1", "--quantity", "1", "--on", "2026-02-30"),
        ("want", "add", "X1", "--quantity", "1", "--priority", "4"),
        ("want", "add", "A" * 10_000, "--quantity", "1"),
        ("want", "add", "A\x1b[31m", "--quantity", "1"),
        ("want", "add", "\u200b", "--quantity", "1"),
        ("supplier", "add", "A", "--closes", "2026-02-30"),
        ("supplier", "add", "A", "--postage", "-3"),
        ("supplier", "add", "A", "--carries", "nonsense"),
        ("supplier", "add", "A" * 10_000),
        ("teardown", "add", "M", "--place", "A" * 10_000),
        ("teardown", "add", "\u202eM", "--place", "p"),
        ("match", "--kind", "nonsense", "--id", "3mm"),
        ("match", "--kind", "shaft_seal"),
        ("match", "--kind", "shaft_seal", "--id", "90mm", "--od", "80mm"),
        ("match", "--id", "60mm"),
    ],
)
def test_impossible_values_end_with_2(xref: Xref, words: tuple[str, ...]) -> None:
    """Contract: 2 usage or impossible value; a short sentence, and nothing is noted."""
    answer = xref(*words)
    assert (answer.status, answer.out) == (2, "")
    assert 0 < len(answer.err) < 600
    document = xref(*words, "--json").document
    assert set(document) == {"contract", "error"}
    assert set(document["error"]) == {"code", "message", "at"}
    assert xref("want", "list", "--json").document["wants"] == []
    assert xref("supplier", "list", "--json").document["suppliers"] == []
