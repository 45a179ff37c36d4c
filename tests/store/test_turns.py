"""Several processes at one store: writers take turns, readers wait or read, nothing is lost."""

from __future__ import annotations

import os
import threading
import time
from typing import TYPE_CHECKING

import pytest

from xref.errors import StoreUnavailable
from xref.store import Store, lock

if TYPE_CHECKING:
    from conftest import Children

pytestmark = pytest.mark.store


def test_writers_at_once_lose_nothing(store: Store, children: Children) -> None:
    """Two recording, two loading processes and a reading one: all of it is there afterwards."""
    at_work = [
        children.start("record_many", store.folder, "one", 20),
        children.start("record_many", store.folder, "two", 20),
        children.start("load_many", store.folder, "Brunn", 8),
        children.start("load_many", store.folder, "Kolm", 8),
    ]
    counts = []
    while any(child.is_alive() for child in at_work):
        with store.reading() as state:
            counts.append((state.one("SELECT count(*) AS n FROM events") or {})["n"])
        store.items_by_number("Brunn.0")
    for child in at_work:
        assert child.join()
    assert counts == sorted(counts)
    with store.reading() as state:
        found = {row["profile"] for row in state.rows("SELECT profile FROM profiles")}
    assert found == {f"{who}.{n}" for who in ("one", "two") for n in range(20)}
    assert {(e.supplier, e.number) for e in store.editions()} == {("Brunn", 8), ("Kolm", 8)}
    assert len(store.all_editions()) == 16
    assert store.check()["damage"] == []


def test_who_waits_too_long_is_told_who_holds_the_store(store: Store, children: Children) -> None:
    """The sentence names the process, what it does and since when; reading lists goes on."""
    child = children.start("hold", store.folder, 30.0)
    deadline = time.monotonic() + 10
    while not (store.folder / ".held").exists():
        assert time.monotonic() < deadline
        time.sleep(0.01)
    words = rf"process {child.pid} \(a long load, since 20.*waited 0\.2 seconds"
    with pytest.raises(StoreUnavailable, match=words) as caught:
        store.writing("another", wait=0.2).__enter__()
    assert (caught.value.code, caught.value.exit_status) == ("store-busy", 5)
    assert store.editions() == []
    child.kill()
    begin = time.monotonic()
    with store.writing("after the holder died"):
        pass
    assert time.monotonic() - begin < 5


def test_a_lock_file_left_by_a_dead_process_means_nothing(store: Store) -> None:
    """The lock is the system's: a file that names a process does not hold it."""
    path = store.folder / "writer.lock"
    path.write_text('{"pid": 1, "what": "a load", "since": "2026-01-01"}')
    assert lock.is_free(path)
    with store.writing("a test", wait=0.1):
        assert not lock.is_free(path)
        assert lock.holder(path).startswith(f"process {os.getpid()} (a test, since ")


def test_a_reader_waits_for_a_writer(store: Store) -> None:
    """A reader that comes while a writer is at work gets what the writer wrote."""
    ready = threading.Event()

    def write() -> None:
        with store.writing("slow") as state:
            state.record("kept", "profiles", "a", {})
            ready.set()
            time.sleep(0.3)

    writer = threading.Thread(target=write)
    writer.start()
    ready.wait()
    with store.reading() as state:
        assert state.rows("SELECT profile FROM profiles") == [{"profile": "a"}]
    writer.join()


def test_threads_of_one_process_take_turns_too(store: Store) -> None:
    """The bench page answers from many threads: writers and readers do not hinder one another."""
    failures: list[BaseException] = []

    def work(who: int) -> None:
        try:
            for n in range(5):
                with store.writing("page") as state:
                    state.record("kept", "profiles", f"{who}.{n}", {})
                with store.reading() as state:
                    assert state.one("SELECT 1 FROM profiles WHERE profile = ?", [f"{who}.{n}"])
        except BaseException as error:  # noqa: BLE001 - handed to the test
            failures.append(error)

    threads = [threading.Thread(target=work, args=(who,)) for who in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    with store.reading() as state:
        assert state.one("SELECT count(*) AS n FROM profiles") == {"n": 20}
