"""What did not fit for a want that has sizes and no number is not offered to that want again."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command_line import Xref

pytestmark = pytest.mark.store
STOCK = (
    "Number,Maker,Description,Shaft diameter mm,Outside diameter mm,Width mm,Quantity,Price EUR\n"
    "GK-7,Kestrow,Rotary seal,60,80,8,4,6.50\n"
    "GK-8,Kestrow,Rotary seal,60,80,7,4,9.50\n"
)
SIZES = ["--kind", "shaft_seal", "--quantity", "1", "--on", "2027-01-06"]
TRIED = ["proof", "add", "1", "--number", "GK-7", "--maker", "Kestrow", "--on"]


@pytest.fixture
def two_wants(xref: Xref, tmp_path: Path) -> None:
    """Two wants of the same sizes; of a dearer and a cheaper seal the cheaper failed at one."""
    path = tmp_path / "stock.csv"
    path.write_text(STOCK, encoding="utf-8")
    read = ["--kind", "shaft_seal", "--supplier", "Gondel", "--currency", "EUR"]
    assert xref("load", path, "--table", "stock", *read, "--on", "2027-01-05").status == 0
    for place in ("left", "right"):
        assert xref("want", "add", "60x80x8mm", *SIZES, "--place", place).status == 0
    assert xref(*TRIED, "2027-01-07", "--failed", "lip too short").status == 0


@pytest.mark.usefixtures("two_wants")
def test_the_want_itself_is_not_offered_it_again(xref: Xref) -> None:
    """Matching and the plan leave it out for the want that tried it; the other want keeps it."""
    rows = xref("match-list", "--wanted", "--json").document["rows"]
    told = {(r["original_row"], r["number"]): r["failing_check"] for r in rows}
    assert told[0, "GK-7"] == "tried on the machine"
    assert told[1, "GK-7"] is told[0, "GK-8"] is None
    plan = xref("plan", "--on", "2027-01-08", "--json").document
    assert {line["want"]: line["price"] for line in plan["lines"]} == {1: 9.5, 2: 6.5}


@pytest.mark.usefixtures("two_wants")
def test_an_offer_of_it_is_refused_with_the_reason(xref: Xref) -> None:
    """Told by telephone it is the same part still: the plan says what happened to it."""
    offer = ["offer", "add", "--supplier", "Gondel", "--want", "1", "--number", "GK-7"]
    given = ["--maker", "Kestrow", "--price", "1", "--quantity", "1", "--on", "2027-01-08"]
    assert xref(*offer, *given).status == 0
    plan = xref("plan", "--on", "2027-01-08", "--json").document
    (left,) = plan["uncovered"]
    assert left["want"] == 1
    assert "did not fit, 2027-01-07: lip too short" in left["why"]


@pytest.mark.usefixtures("two_wants")
def test_the_word_that_came_last_holds(xref: Xref) -> None:
    """Proved after all for that want, the part is offered again."""
    assert xref(*TRIED, "2027-01-09").status == 0
    rows = xref("match-list", "--wanted", "--json").document["rows"]
    assert all(r["failing_check"] is None for r in rows if r["number"] == "GK-7")
