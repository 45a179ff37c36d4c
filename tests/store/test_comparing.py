"""What a newer list changes, what a list no longer holds, and what it said over the years."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pandas as pd
import pytest

from xref.store import Edition, ListInfo, Store

pytestmark = pytest.mark.store

INFO = ListInfo("stock", "b", "Brunn", "EUR", digest="1", as_of=date(2026, 1, 1))


def load(store: Store, n: int, rows: list[dict[str, object]], **other: object) -> Edition:
    """Load the n-th list of the supplier, as of the first of the n-th month."""
    info = replace(INFO, digest=str(n), as_of=date(2026, n, 1), **other)  # type: ignore[arg-type]
    return store.add_edition(info, pd.DataFrame(rows))


FIRST: list[dict[str, object]] = [
    {"number": "A-1", "quantity": 4, "price": Decimal("10.00")},
    {"number": "A-2", "quantity": 4, "price": Decimal("10.00")},
    {"number": "A-3", "quantity": 4, "price": Decimal("10.00")},
    {"number": "A-4", "quantity": 4, "price": Decimal("10.00"), "condition": "NOS"},
    {"number": "A-5", "quantity": 4, "price": None},
    {"number": "A-6", "quantity": 1, "description": "ring"},
]
SECOND: list[dict[str, object]] = [
    {"number": "a 1", "quantity": 4, "price": Decimal("10.00")},  # the same, spaced otherwise
    {"number": "A-2", "quantity": 4, "price": Decimal("12.50")},  # dearer
    {"number": "A-3", "quantity": 1, "price": Decimal("8.00")},  # cheaper, and fewer
    {"number": "A-4", "quantity": 4, "price": Decimal("10.00"), "condition": "used"},  # another
    {"number": "A-5", "quantity": None, "price": Decimal("1.00")},  # now has a price
    {"number": "A-6", "quantity": 1, "description": "ring, copper"},  # other words
]


def test_each_change_is_counted_where_it_belongs(store: Store) -> None:
    """New, gone, dearer, cheaper, quantity and other content; the same row is no change."""
    load(store, 1, FIRST)
    changes = store.changes(load(store, 2, SECOND))
    counts = {word: changes[word] for word in changes if word != "examples"}
    assert counts == {
        "new": 1,
        "gone": 1,
        "changed": 4,
        "dearer": 1,
        "cheaper": 1,
        "quantity": 2,
    }
    examples = changes["examples"]
    assert [row["condition"] for row in examples["new"] + examples["gone"]] == ["used", "NOS"]
    (dearer,) = examples["dearer"]
    assert (dearer["number"], dearer["price_before"], dearer["price"], dearer["currency"]) == (
        "A-2",
        Decimal("10.00"),
        Decimal("12.50"),
        "EUR",
    )
    assert [r["number"] for r in examples["changed"]] == ["A-2", "A-3", "A-5", "A-6"]


def test_prices_in_two_currencies_do_not_compare(store: Store) -> None:
    """12 dollars are not dearer than 10 euros; the row has changed, no more is said."""
    load(store, 1, FIRST[:1])
    row = FIRST[0] | {"price": Decimal("12.00")}
    changes = store.changes(load(store, 2, [row], currency="USD"))
    assert (changes["dearer"], changes["changed"]) == (0, 1)


def test_several_rows_of_one_offer_count_as_one(store: Store) -> None:
    """Quantities add up and the lowest price counts, however the rows are ordered."""
    rows: list[dict[str, object]] = [
        {"number": "A", "quantity": 1, "price": Decimal(5)},
        {"number": "A", "quantity": 2, "price": Decimal(7)},
    ]
    load(store, 1, rows)
    same = store.changes(load(store, 2, rows[::-1]))
    assert (same["new"], same["gone"], same["changed"]) == (0, 0, 0)
    more = store.changes(load(store, 3, [*rows, {"number": "A", "quantity": 9}]))
    assert (more["quantity"], more["examples"]["quantity"][0]["quantity"]) == (1, 12)


def test_the_first_list_is_all_new(store: Store) -> None:
    """Without an edition before, every row is new."""
    assert store.changes(load(store, 1, FIRST))["new"] == 6


def test_gone_parts_are_not_listed_since_the_day_of_the_list_without_them(store: Store) -> None:
    """What came back is listed; what is gone says since when, and when it was last listed."""
    load(store, 1, FIRST)
    load(store, 2, FIRST[:1])
    load(store, 3, [FIRST[0], FIRST[2]])
    gone = {
        row["number"]: (row["last_listed"], row["not_listed_since"]) for row in store.not_listed()
    }
    first, second = date(2026, 1, 1), date(2026, 2, 1)
    assert gone == dict.fromkeys(("A-2", "A-4", "A-5", "A-6"), (first, second))
    assert [row["number"] for row in store.not_listed(["a2", "a3"])] == ["A-2"]


def test_history_follows_a_number_over_the_editions(store: Store) -> None:
    """Quantity and price as of each list, oldest first, whatever the spacing of the number."""
    load(store, 1, FIRST)
    load(store, 2, SECOND)
    assert [(h["as_of"].month, h["quantity"], h["price"]) for h in store.history("A/3")] == [
        (1, 4, Decimal(10)),
        (2, 1, Decimal(8)),
    ]


def test_a_list_loaded_by_mistake_is_taken_back(store: Store) -> None:
    """Withdrawn, the edition before is current again; the check still passes."""
    first = load(store, 1, FIRST)
    second = load(store, 2, SECOND)
    store.withdraw(second)
    assert [e.edition for e in store.editions()] == [first.edition]
    assert [e.edition for e in store.all_editions()] == [first.edition]
    third = load(store, 3, SECOND)
    assert (third.number, store.check()["damage"]) == (3, [])
