"""From a reading to typed rows: keys of numbers, order, odd frames."""

from __future__ import annotations

from decimal import Decimal

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.errors import Refused
from xref.store import ListInfo, Store
from xref.store.engine import memory
from xref.store.number_key import number_key
from xref.store.rows import typed

pytestmark = pytest.mark.store

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12) | st.text(
    st.sampled_from("aZ09 -/._\t\n\x00\x7f\u200bßı０Ａ–"), max_size=8
)


@settings(max_examples=60, deadline=None)
@given(st.lists(TEXTS, min_size=1, max_size=30))
def test_the_database_keys_numbers_as_python_does(texts: list[str]) -> None:
    """The quick way in SQL for ASCII and the careful one in Python give the same keys."""
    con = memory()
    typed(con, pd.DataFrame({"number": pd.Series(texts, dtype=object)}))
    found = con.execute("SELECT coalesce(number_key, '') FROM typed ORDER BY item").fetchall()
    con.close()
    assert [key for (key,) in found] == [number_key(text) for text in texts]


def test_items_count_the_rows_in_their_order() -> None:
    """`item` is the place of the row in the reading, also in a long one."""
    con = memory()
    typed(con, pd.DataFrame({"number": [str(n) for n in range(300_000)]}))
    wrong = con.execute("SELECT count(*) FROM typed WHERE item <> CAST(number AS BIGINT)")
    assert wrong.fetchone() == (0,)
    con.close()


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
