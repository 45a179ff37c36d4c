"""From a reading to typed rows: keys of numbers, order, odd frames."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.errors import Refused
from xref.store import ListInfo, Store
from xref.store.columns import Column, columns_of
from xref.store.engine import memory
from xref.store.number_key import number_key
from xref.store.standing import number_key_column

pytestmark = pytest.mark.store

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12) | st.text(
    st.sampled_from("aZ09 -/._\t\n\x00\x7f\u200bßı０Ａ–"), max_size=8
)


def columns(frame: dict[str, pd.Series]) -> dict[str, Column]:
    """Return the typed columns of a frame."""
    con = memory()
    try:
        return columns_of(con, pd.DataFrame(frame))
    finally:
        con.close()


@settings(max_examples=60, deadline=None)
@given(st.lists(TEXTS, min_size=1, max_size=30))
def test_numbers_are_keyed_together_as_one_by_one(texts: list[str]) -> None:
    """The quick way for ASCII, many at once, and the careful one give the same keys."""
    numbers = columns({"number": pd.Series(texts, dtype=object)})["number"]
    keys = number_key_column(numbers, len(texts))
    assert keys.values(np.arange(len(texts))) == [number_key(text) for text in texts]


def test_items_count_the_rows_in_their_order(store: Store) -> None:
    """`item` is the place of the row in the reading, also in a long one."""
    numbers = [str(n * 7919 % 300_007) for n in range(300_000)]
    edition = store.add_edition(ListInfo("stock", "b"), pd.DataFrame({"number": numbers}))
    items = store.lists.source([edition], "items.parquet")
    found = store.lists.query(f"SELECT number FROM {items} ORDER BY item").fetchall()  # noqa: S608
    assert [number for (number,) in found] == numbers


def test_late_odd_values_do_not_depend_on_a_sample(store: Store) -> None:
    """A first dict or a large price far down a column is kept like the first rows."""
    count = 5000
    frame = pd.DataFrame({"number": ["A"] * count, "at": list(range(count))}).astype({"at": object})
    frame["price"] = [Decimal("1.5")] * (count - 1) + [Decimal("123456789.123456")]
    frame.at[count - 1, "at"] = {"sheet": "S", "row": 1}
    frame.loc[count - 1, "number"] = "B"
    store.add_edition(ListInfo("stock", "b"), frame)
    (row,) = store.items_by_number("B")
    assert (row["price"], row["at"]) == (Decimal("123456789.123456"), {"sheet": "S", "row": 1})


@pytest.mark.parametrize("column", ["item", "Key", "NUMBER_KEY", "Number"])
def test_column_names_of_the_store_are_refused(store: Store, column: str) -> None:
    """A frame with a column the store fills itself, or two of one name, is refused in words."""
    with pytest.raises(Refused, match="column"):
        store.add_edition(ListInfo("stock", "b"), pd.DataFrame({"number": ["A"], column: ["B"]}))


def test_hostile_cells_are_data(store: Store) -> None:
    """Quotes, semicolons, escapes, NUL and megabyte cells come back as they were."""
    cells = ["'); DROP TABLE items; --", "a\x00b", "\x1b[31m", "x" * 1_000_000, '"', "$1 ${y}"]
    store.add_edition(
        ListInfo("stock", 'it\'s; "x"', "O'Brunn"),
        pd.DataFrame({"number": [f"A{n}" for n in range(len(cells))], "description": cells}),
    )
    for n, cell in enumerate(cells):
        (row,) = store.items_by_number(f"A{n}")
        assert (row["description"], row["supplier"]) == (cell, "O'Brunn")
