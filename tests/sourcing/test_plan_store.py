"""The buying plan over a store."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from tests.sourcing.lists import load_list, seal
from xref.errors import Impossible, NeedsAnswer, NothingFound
from xref.sourcing import enquiries, offers, orders, suppliers, wants
from xref.sourcing.plan import plan
from xref.store import Store

pytestmark = pytest.mark.store
ON = date(2027, 9, 6)


def _market(store: Store) -> None:
    """Two wants, three suppliers; B closes and alone has want 2."""
    suppliers.add(store, "A", currency="EUR", postage="5.00", on=ON)
    suppliers.add(
        store,
        "B",
        currency="EUR",
        postage="8.00",
        closes="2027-10-18",
        reply_days=10,
        postage_days=5,
        on=ON,
    )
    suppliers.add(store, "C", currency="EUR", postage="1.00", on=ON)
    wants.add(store, "TW 1", quantity=2, on=ON)
    wants.add(store, "TW 2", quantity=1, on=ON)
    wants.add(store, "TW 3", quantity=1, on=ON)
    offers.add(store, "A", 1, price="10.00", on=ON)
    offers.add(store, "B", 1, price="12.00", on=ON)
    offers.add(store, "B", 2, price="30.00", quantity=1, on=ON)


def test_the_least_cost_and_why(store: Store) -> None:
    """Worked on paper: B for both is 12·2 + 30 + 8 = 62.00; A and B are 20 + 5 + 30 + 8 = 63.00."""
    _market(store)
    found = plan(store, ON)
    assert found["total"] == Decimal("62.00")
    assert (found["currency"], found["proven"], found["gap"]) == ("EUR", True, 0.0)
    # want 2 first: only B has it, and B closes in 42 days, of which 12 are needed: 0.29
    assert [(x["want"], x["supplier"], x["quantity"]) for x in found["lines"]] == [
        (2, "B", 1),
        (1, "B", 2),
    ]
    first = found["lines"][0]
    assert first["only_source"]
    assert first["chance_of_missing"] == 0.29
    assert first["order_by"] == "2027-10-06"
    assert all(x["why"] for x in found["lines"])
    (left,) = found["uncovered"]
    assert left["want"] == 3
    assert left["why"].startswith("nobody has offered it")


def test_without_a_supplier(store: Store) -> None:
    """Leaving B out buys want 1 from A and says that want 2 is left."""
    _market(store)
    found = plan(store, ON, without=["b"])
    assert [(x["want"], x["supplier"]) for x in found["lines"]] == [(1, "A")]
    assert found["total"] == Decimal("25.00")
    assert [(u["want"], "left out: B" in u["why"]) for u in found["uncovered"]] == [
        (2, True),
        (3, False),
    ]
    with pytest.raises(NothingFound):
        plan(store, ON, without=["Nobody"])


def test_closed_and_expired_offers_are_left_out_with_the_reason(store: Store) -> None:
    """After B has closed, or when an order would reach it too late, want 2 says so."""
    _market(store)
    late = plan(store, date(2027, 10, 14))
    assert "would reach B after 2027-10-18" in _why(late, 2)
    closed = plan(store, date(2027, 10, 19))
    assert "no longer takes orders" in _why(closed, 2)


def _why(document: dict, want: int) -> str:
    return next(u["why"] for u in document["uncovered"] if u["want"] == want)


def test_currencies_need_the_users_rates(store: Store, tmp_path: Path) -> None:
    """Prices in two currencies ask for a rate table; with it the total is exact to the cent."""
    _market(store)
    suppliers.add(store, "C", currency="GBP", on=ON)
    offers.add(store, "C", 3, price="10.01", on=ON)
    with pytest.raises(NeedsAnswer) as refusal:
        plan(store, ON)
    assert refusal.value.exit_status == 3
    rates = tmp_path / "rates.csv"
    rates.write_text("currency,rate\nEUR,1\n", encoding="utf-8")
    with pytest.raises(NeedsAnswer, match="GBP"):
        plan(store, ON, rates=rates, currency="EUR")
    rates.write_text("currency,rate\nEUR,1\nGBP,1.15\n", encoding="utf-8")
    found = plan(store, ON, rates=rates)
    # 10.01 GBP is 11.5115, to the cent 11.51; postage 1.00 GBP is 1.15
    assert found["total"] == Decimal("62.00") + Decimal("11.51") + Decimal("1.15")


def test_work_needs_a_rate(store: Store) -> None:
    """Hours of work are asked for their price, and then counted per piece."""
    suppliers.add(store, "A", currency="EUR", on=ON)
    wants.add(store, "TW 1", quantity=2, on=ON)
    offers.add(store, "A", 1, price="10.00", work_hours="0.5", on=ON)
    with pytest.raises(NeedsAnswer, match="--work-rate"):
        plan(store, ON)
    found = plan(store, ON, work_rate="40")
    assert found["total"] == Decimal("60.00")
    assert found["lines"][0]["work_cost"] == Decimal("40.00")


def test_listed_parts_count_until_the_supplier_answers(store: Store) -> None:
    """A line of a current list is planned until an answer comes; an offer replaces it."""
    load_list(store, "stock", [seal("TW/1", 60, 80, 10, quantity=3, price=7.25)], supplier="A")
    wants.add(store, "TW 1", quantity=2, on=ON)
    (line,) = plan(store, ON)["lines"]
    assert line["offer"] is None
    assert (line["listed"]["number"], line["price"]) == ("TW/1", Decimal("7.25"))
    assert "ask before ordering" in line["why"]
    enquiries.write(store, ON, supplier="A", only=[1])
    enquiries.sent(store, 1, ON)
    enquiries.answer(store, 1, 1, "yes", ON, price="8.00", quantity=1)
    found = plan(store, ON)
    assert [(x["offer"], x["quantity"]) for x in found["lines"]] == [(1, 1)]
    assert "cover 1 of 2" in _why(found, 1)
    enquiries.answer(store, 1, 1, "no", ON)
    assert "A said no" in _why(plan(store, ON), 1)


def test_what_is_ordered_is_not_planned_again(store: Store) -> None:
    """Ordered pieces are covered: the plan buys the rest only, within what the offer has left."""
    _market(store)
    orders.add(store, 1, 1, ON)
    found = plan(store, ON)
    assert sum(x["quantity"] for x in found["lines"] if x["want"] == 1) == 1


def test_an_impossible_search_time_is_refused(store: Store) -> None:
    """The search needs a time above zero."""
    with pytest.raises(Impossible):
        plan(store, ON, seconds=0)


def test_nothing_wanted_is_an_empty_plan(store: Store) -> None:
    """An empty store has an empty plan that costs nothing."""
    found = plan(store, ON)
    assert (found["total"], found["lines"], found["uncovered"]) == (Decimal("0.00"), [], [])


def test_one_list_line_is_not_sold_twice(store: Store) -> None:
    """Two wants that name the same listed part share its pieces, the more urgent one first."""
    load_list(store, "stock", [seal("TW/1", 60, 80, 10, quantity=3, price=7.25)], supplier="A")
    wants.add(store, "TW 1", quantity=2, priority=3, on=ON)
    wants.add(store, "TW-1", quantity=2, priority=1, on=ON)
    found = plan(store, ON)
    assert {x["want"]: x["quantity"] for x in found["lines"]} == {2: 2, 1: 1}
    assert [(u["want"], u["quantity"]) for u in found["uncovered"]] == [(1, 1)]
