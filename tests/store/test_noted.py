"""What a look-up knows of the state without opening it: exactly what the state says, always."""

from __future__ import annotations

import json
import os
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from xref.acts.match import match
from xref.sourcing import enquiries, offers, orders, suppliers, wants
from xref.store import Store, noted
from xref.store.state import State
from xref.store.state_tables import TABLES

if TYPE_CHECKING:
    from tests.store.conftest import Children

pytestmark = pytest.mark.store

DAY = date(2026, 11, 3)


def by_state(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Return the rows as the state itself gives them: the oracle."""
    with store.reading() as state:
        return {
            table: state.rows(f'SELECT * FROM "{table}" ORDER BY "{next(iter(TABLES[table]))}"')  # noqa: S608
            for table in noted.KEPT
        }


def as_noted(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Return the rows as a look-up has them."""
    return {table: store.noted().rows(table) for table in noted.KEPT}


def at_rest(store: Store) -> None:
    """Let the state look as if it was written a minute ago."""
    for path in store.state_files():
        if path.exists():
            then = time.time_ns() - 60_000_000_123
            os.utime(path, ns=(then, then))


@contextmanager
def closed(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Make opening the state an error."""
    with monkeypatch.context() as patched:
        patched.setattr(Store, "reading", _never)
        yield


def _never(_store: Store) -> State:
    raise AssertionError("the state was opened")


def kept(store: Store) -> Path:
    """Return where the rows are kept."""
    return store.folder / "derived" / "noted.json"


@pytest.fixture
def filled(store: Store) -> Store:
    """Return a store with a supplier, a want and an offer."""
    suppliers.add(store, "Brunn & Söhne", closes="2027-10", postage="7.50", on=DAY)
    wants.add(store, "DG 1143", quantity=2, on=DAY)
    offers.add(store, "Brunn & Söhne", 1, price="12.50", currency="EUR", quantity=3, on=DAY)
    return store


def test_rows_are_the_states_own_with_their_types(
    filled: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Money, dates and lists come back from the file as they come from the state."""
    expected = by_state(filled)
    assert expected["offers"][0]["price"] == Decimal("12.5")
    assert isinstance(expected["suppliers"][0]["closes"], date)
    at_rest(filled)
    assert as_noted(filled) == expected
    with closed(monkeypatch):
        assert as_noted(filled) == expected  # remembered in this process
        assert as_noted(Store.open(filled.folder)) == expected  # in another
    assert "TIMESTAMP" not in {kind for t in noted.KEPT for kind in TABLES[t].values()}


@pytest.mark.parametrize("tick", ["_TICK", "_COARSE_TICK"])
def test_what_was_written_a_moment_ago_is_read_from_the_state(
    filled: Store, monkeypatch: pytest.MonkeyPatch, tick: str
) -> None:
    """A second writing within one tick of the file system's clock would not show in its times."""
    monkeypatch.setattr(noted, "_TICK", 0.0)
    monkeypatch.setattr(noted, "_COARSE_TICK", 0.0)
    monkeypatch.setattr(noted, tick, 100.0)
    fraction = {"_TICK": 123, "_COARSE_TICK": 0}[tick]
    for seconds_ago, is_kept in ((50, False), (150, True)):
        then = (time.time_ns() // 10**9 - seconds_ago) * 10**9 + fraction
        for path in filled.state_files():
            if path.exists():
                os.utime(path, ns=(then, then))
        assert as_noted(filled) == by_state(filled)
        assert kept(filled).exists() == is_kept


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text.replace(b"12.5", b"99.9"),
        lambda text: text[: len(text) // 2],
        lambda _: b"",
        lambda _: b"{}\n{}",
        lambda text: b"\xff\xfe" + text,
        lambda text: b"[1]\n" + text,
        lambda text: text.replace(b'"declared": ', b'"declared": 1'),
    ],
)
def test_a_damaged_file_is_rebuilt_never_believed(
    filled: Store, spoil: Callable[[bytes], bytes]
) -> None:
    """Whatever stands in the file, the answer is the state's, and the file is whole again."""
    at_rest(filled)
    expected = as_noted(filled)
    whole = kept(filled).read_bytes()
    assert spoil(whole) != whole
    kept(filled).write_bytes(spoil(whole))
    assert as_noted(Store.open(filled.folder)) == expected
    assert kept(filled).read_bytes() == whole


def test_a_stale_file_is_rebuilt(filled: Store) -> None:
    """A file of an earlier state, or of another store's, is not believed."""
    at_rest(filled)
    as_noted(filled)
    old = kept(filled).read_bytes()
    suppliers.add(filled, "Brunn & Söhne", closes="2027-12", on=DAY)
    at_rest(filled)
    kept(filled).write_bytes(old)
    fresh = Store.open(filled.folder)
    assert fresh.noted().rows("suppliers")[0]["closes"] == date(2027, 12, 1)
    assert kept(filled).read_bytes() != old


def test_nothing_is_kept_where_nothing_can_be_written(filled: Store) -> None:
    """A folder that cannot be written costs time, nothing else."""
    at_rest(filled)
    (filled.folder / "derived").write_text("a file in its place")
    assert as_noted(Store.open(filled.folder)) == by_state(filled)


def test_a_writer_sees_what_it_has_not_committed(filled: Store) -> None:
    """Inside a writing block the rows are those of its transaction, and none of it is kept."""
    at_rest(filled)
    before = as_noted(filled)
    with pytest.raises(KeyError), filled.writing("try") as state:
        state.record("supplier noted", "suppliers", "brunn & söhne", {"closes": date(2030, 1, 1)})
        assert filled.noted().rows("suppliers")[0]["closes"] == date(2030, 1, 1)
        raise KeyError
    assert as_noted(filled) == before


def test_readers_and_writers_at_once_see_whole_files(filled: Store) -> None:
    """Many readers that rebuild the file at once, in many stores, never read a torn one."""
    wrong: list[object] = []
    price = list(TABLES["offers"]).index("price")
    expected = by_state(filled)
    at_rest(filled)

    def look() -> None:
        for _ in range(15):
            mine = Store.open(filled.folder)
            text = b""
            with suppress(FileNotFoundError):  # another has deleted it
                text = kept(mine).read_bytes()
            if text and json.loads(text.split(b"\n")[1])["offers"][0][price] != "12.5000":
                wrong.append(text)
            if as_noted(mine) != expected:
                wrong.append(as_noted(mine))
            kept(mine).unlink(missing_ok=True)

    threads = [threading.Thread(target=look) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not wrong
    assert [p.name for p in (filled.folder / "derived").glob(".new-*")] == []


def test_processes_at_once_see_whole_files(filled: Store, children: Children) -> None:
    """Several processes that rebuild the file over one another read whole ones, or the state."""
    at_rest(filled)
    at_work = [children.start("look_and_forget", filled.folder, "12.5000", 25) for _ in range(3)]
    assert [child.join() for child in at_work] == [True, True, True]
    assert [p.name for p in (filled.folder / "derived").glob(".new-*")] == []


def test_the_next_match_shows_every_event(demo_store: Path) -> None:
    """After whatever was noted of suppliers, offers, enquiries and orders: what it changed."""
    store = Store.open(demo_store)

    def shown() -> list[Any]:
        at_rest(store)
        told = [match(Store.open(demo_store), number="DG/1143", on=DAY) for _ in range(2)]
        assert told[0] == told[1]  # rebuilt, and read back
        kept(store).unlink()
        store.noted_before = None
        with store.reading():
            assert match(store, number="DG/1143", on=DAY) == told[0]  # from the state itself
        return [c["offers"] for c in told[0]["candidates"]] + told[0]["original_offers"]

    first = match(store, number="DG/1143", on=DAY)["candidates"][0]["parts"][0]
    steps: list[Callable[[], object]] = [
        lambda: suppliers.add(store, "Torvald Ask", closes="2027-05-01", on=DAY),
        lambda: wants.add(store, first["number"], quantity=2, on=DAY),
        lambda: offers.add(store, "Torvald Ask", last_want(), price="3.10", currency="EUR", on=DAY),
        lambda: suppliers.add(store, "Torvald Ask", closes="2027-06-01", on=DAY),
        lambda: enquiries.write(store, DAY, supplier="Torvald Ask", only=[last_want()]),
        lambda: enquiries.sent(store, last("enquiries", "enquiry"), on=DAY),
        lambda: enquiries.answer(
            store,
            last("enquiries", "enquiry"),
            last_want(),
            "yes",
            DAY,
            price="2.90",
            currency="EUR",
            quantity=3,
        ),
        lambda: orders.add(store, last("offers", "offer"), 1, DAY),
        lambda: orders.add(store, last("offers", "offer"), 2, DAY),
        lambda: orders.cancel(store, last("orders", "order_id"), "sold elsewhere", DAY),
        lambda: enquiries.answer(store, last("enquiries", "enquiry"), last_want(), "no", DAY),
        lambda: suppliers.add(store, "Torvald Ask", closes="2026-11-01", on=DAY),
    ]

    def last(table: str, key: str) -> int:
        with store.reading() as state:
            row = state.one(f"SELECT max({key}) AS n FROM {table}")  # noqa: S608
        assert row is not None
        return int(row["n"])

    def last_want() -> int:
        return last("wants", "want")

    seen = [shown()]
    for step in steps:
        step()
        seen.append(shown())
    changed = [before != after for before, after in pairwise(seen)]
    assert changed == [
        *(False, False),  # a new supplier's closing day and a want: nothing is offered yet
        *(True, True),  # the offer, and its supplier's other closing day
        *(False, False),  # the letter, and that it is sent
        *(True, True, True, True),  # the answer; fewer left, none left, some again
        *(True, True),  # the answer taken back; the supplier closed
    ]
