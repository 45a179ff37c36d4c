"""The state: events, current tables, transactions."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from xref.store import Store

pytestmark = pytest.mark.store


def test_a_record_is_an_event_and_a_current_row(store: Store) -> None:
    """Recording appends an event and shows the values in the current table."""
    with store.writing("a test") as state:
        seq = state.record("profile kept", "profiles", "brunn", {"answers": {"unit": "in"}})
    with store.reading() as state:
        assert state.rows("SELECT seq, act, in_table, key FROM events") == [
            {"seq": seq, "act": "profile kept", "in_table": "profiles", "key": "brunn"}
        ]
        assert state.one("SELECT * FROM profiles") == {
            "profile": "brunn",
            "supplier": None,
            "table_name": None,
            "answers": {"unit": "in"},
        }


def test_the_last_value_of_each_column_stands(store: Store) -> None:
    """A later event changes only the columns it names; None sets one to unknown."""
    with store.writing("a test") as state:
        state.record("load", "editions", 1, {"name": "a", "unit": "mm", "as_of": date(2026, 1, 2)})
        state.record("load", "editions", 1, {"name": "b", "unit": None})
        row = state.one("SELECT name, unit, as_of FROM editions WHERE edition = 1")
    assert row == {"name": "b", "unit": None, "as_of": date(2026, 1, 2)}


def test_a_block_that_fails_leaves_nothing(store: Store) -> None:
    """An exception inside a writing block undoes every record of the block."""
    with pytest.raises(KeyError), store.writing("a test") as state:
        state.record("kept", "profiles", "x", {})
        raise KeyError("x")
    with store.reading() as state:
        assert state.rows("SELECT * FROM events") == []
        assert state.rows("SELECT * FROM profiles") == []


def test_undeclared_tables_and_columns_are_refused(store: Store) -> None:
    """A slip in a table's or column's name is an error, not a new column."""
    with store.writing("a test") as state:
        with pytest.raises(ValueError, match="no current table 'profile'"):
            state.record("kept", "profile", "x", {})
        with pytest.raises(ValueError, match="no column answer"):
            state.record("kept", "profiles", "x", {"answer": 1})


def test_numbers_follow_one_another(store: Store) -> None:
    """next_id gives 1 in an empty table and one more than the highest afterwards."""
    with store.writing("a test") as state:
        assert state.next_id("editions") == 1
        state.record("load", "editions", 7, {})
        assert state.next_id("editions") == 8


def test_values_come_back_as_they_went_in(store: Store) -> None:
    """Money keeps its decimals, times are UTC, text keeps its characters."""
    with store.writing("a test") as state:
        at = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)
        state.record("load", "editions", 1, {"loaded_at": at, "name": "Ä; '\"\n\u200b", "keys": 3})
        state.record("kept", "profiles", "x", {"answers": {"price": Decimal("12.50")}})
        row = state.one("SELECT loaded_at, name, keys FROM editions")
        answers = state.one("SELECT answers FROM profiles")
    assert row == {"loaded_at": datetime(2026, 3, 4, 5, 6, 7), "name": "Ä; '\"\n\u200b", "keys": 3}
    assert answers == {"answers": {"price": "12.50"}}


def test_blocks_inside_blocks_share_the_state(store: Store) -> None:
    """Reading inside writing sees what was just recorded; writing inside reading is a mistake."""
    with store.writing("a test") as outer:
        outer.record("kept", "profiles", "x", {})
        with store.reading() as inner, store.writing("more") as again:
            assert inner is outer is again
            assert inner.rows("SELECT profile FROM profiles") == [{"profile": "x"}]
    with store.reading(), pytest.raises(RuntimeError, match="close the reading first"):
        store.writing("late").__enter__()
