"""The due rules on days counted by hand on a calendar."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from xref.sourcing import due_rules
from xref.sourcing.due_rules import Supplier

DAYS = st.dates(date(2020, 1, 1), date(2040, 1, 1))


@pytest.mark.parametrize(
    ("last_order", "closes", "needed", "expected"),
    [
        # 10 days to reply, 5 in the post, 7 to decide: 22 days, counted on the calendar.
        (None, date(2027, 10, 31), None, date(2027, 10, 9)),
        (date(2027, 10, 15), date(2027, 10, 31), None, date(2027, 9, 23)),
        (None, date(2027, 10, 31), date(2027, 10, 1), date(2027, 9, 9)),
        (None, date(2028, 3, 1), None, date(2028, 2, 8)),  # 2028 has a 29 February
        (None, date(2027, 3, 1), None, date(2027, 2, 7)),  # 2027 has none
        (None, date(2028, 1, 10), None, date(2027, 12, 19)),  # across the year
        (None, None, date(2027, 5, 31), date(2027, 5, 9)),
        (None, None, None, None),
    ],
)
def test_latest_day_to_ask(
    last_order: date | None, closes: date | None, needed: date | None, expected: date | None
) -> None:
    """Ask by the earliest limit less the days to reply, in the post and to decide."""
    supplier = Supplier("S", last_order, closes, reply_days=10, postage_days=5)
    action = due_rules.ask(supplier, 1, needed, due_rules.LISTED, decision_days=7)
    assert action.by == expected
    assert action.why


@given(DAYS, DAYS, DAYS, st.integers(0, 200), st.integers(0, 60), st.integers(0, 60))
def test_ask_leaves_time_for_every_step(
    last: date, closes: date, needed: date, reply: int, post: int, decide: int
) -> None:
    """Asked on the latest safe day, each step taking its days ends on the limit, never after."""
    supplier = Supplier("S", last, closes, reply, post)
    by = due_rules.ask(supplier, 1, needed, due_rules.LISTED, decide).by
    assert by is not None
    assert by + timedelta(days=reply + decide + post) == min(last, closes, needed)


def test_order_is_last_order_less_postage_and_decision() -> None:
    """Order by the last-order day less the days in the post and to decide: 31 Oct - 12 days."""
    supplier = Supplier("S", date(2027, 10, 31), None, postage_days=5)
    action = due_rules.order(supplier, 1, 4, None, decision_days=7)
    assert action is not None
    assert action.by == date(2027, 10, 19)
    assert due_rules.order(Supplier("S"), 1, 4, None) is None


def test_decide_by_the_last_day_of_the_offer() -> None:
    """An offer is decided on its last day at the latest and is overdue the day after."""
    action = due_rules.decide(Supplier("S"), 1, 4, date(2028, 2, 29))
    assert action.by == date(2028, 2, 29)
    assert not action.overdue(date(2028, 2, 29))
    assert action.overdue(date(2028, 3, 1))


def test_chase_when_the_reply_days_have_passed() -> None:
    """Chasing starts when the days to reply have passed: 24 February + 7 in a leap year."""
    supplier = Supplier("S", reply_days=7)
    action = due_rules.chase(supplier, 1, date(2028, 2, 24), 3, None)
    assert action.start == action.by == date(2028, 3, 2)


def test_a_received_part_is_tested_while_it_can_go_back() -> None:
    """Test while a faulty part still reaches the supplier before it closes."""
    supplier = Supplier("S", None, date(2027, 10, 31), postage_days=5)
    action = due_rules.test(supplier, 1, date(2027, 9, 1), ["leak"], None, 1)
    assert action.by == date(2027, 10, 26)
    assert "leak" in action.why
    assert due_rules.test(Supplier("S"), 1, date(2027, 9, 1), ["leak"], None, 1).by is None


def test_most_urgent_first_then_likeliest() -> None:
    """Actions sort by day, then by how likely the supplier holds the part, undated ones last."""
    near, far = date(2027, 1, 1), date(2027, 6, 1)

    def ask(name: str, closes: date | None, holder: int) -> due_rules.Action:
        return due_rules.ask(Supplier(name, None, closes), 1, None, holder)

    actions = [ask("D", None, 1), ask("B", far, 3), ask("C", far, 1), ask("A", near, 4)]
    order = [a.supplier for a in due_rules.most_urgent_first(actions)]
    assert order == ["A", "C", "B", "D"]


@pytest.mark.parametrize(
    ("left", "needed", "expected"),
    [
        (None, 20, None),
        (210, 21, 0.1),
        (42, 21, 0.5),
        (21, 21, 1.0),
        (20, 21, 1.0),
        (-1, 0, 1.0),
        (0, 0, 0.0),
        (100, 0, 0.0),
    ],
)
def test_chance_of_missing(left: int | None, needed: int, expected: float | None) -> None:
    """The stated rule: days still needed over days left, 1 when they no longer suffice."""
    assert due_rules.chance_of_missing(left, needed) == expected


def test_a_supplier_is_closed_the_day_after_its_deadline() -> None:
    """On the last day an order still counts; the day after the supplier is closed."""
    supplier = Supplier("S", date(2027, 10, 15), date(2027, 10, 31))
    assert not supplier.closed(date(2027, 10, 15))
    assert supplier.closed(date(2027, 10, 16))
