"""Kill -9 at any moment: what was acknowledged is there, the rest is there whole or not at all."""

from __future__ import annotations

import random
import time
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd
import pytest

from xref.store import ListInfo, Store

if TYPE_CHECKING:
    from conftest import Child, Children

pytestmark = pytest.mark.store

KILLS = 50


class Killer:
    """Starts children at one kind of work and kills them while they are at it.

    Moments are counted in pieces of work, whose length is measured first: a fixed number of
    milliseconds would mean something else on every machine.
    """

    def __init__(self, children: Children, function: str, folder: Path, seed: int) -> None:
        self.children = children
        self.function = function
        self.folder = folder
        self.chance = random.Random(seed)  # noqa: S311 - moments, not secrets
        self.runs = 0
        begin = time.monotonic()
        self.measured = self.kill_after(3)
        self.piece = (time.monotonic() - begin) / 3

    def _start(self) -> tuple[Child, Path]:
        acknowledged = self.folder.parent / f"acknowledged-{self.runs}"
        child = self.children.start(self.function, self.folder, acknowledged, self.runs)
        self.runs += 1
        return child, acknowledged

    def _wait(self, child: Child, acknowledged: Path, lines: int) -> None:
        deadline = time.monotonic() + 60
        while not acknowledged.exists() or acknowledged.read_text().count("\n") < lines:
            assert time.monotonic() < deadline
            assert child.is_alive()
            time.sleep(0.001)

    def kill_after(self, pieces: int) -> list[str]:
        """Kill a child when so many pieces are acknowledged; return the acknowledgements."""
        child, acknowledged = self._start()
        self._wait(child, acknowledged, 1 + pieces)
        child.kill()
        return acknowledged.read_text().splitlines()[1:]

    def kill(self) -> list[str]:
        """Kill a child within about two pieces of work; return the acknowledgements."""
        child, acknowledged = self._start()
        self._wait(child, acknowledged, 1)
        time.sleep(self.chance.uniform(0, 2 * self.piece))
        child.kill()
        return acknowledged.read_text().splitlines()[1:]


def test_kills_during_load_leave_whole_editions_only(tmp_path: Path, children: Children) -> None:
    """After each of 50 kills the store checks, the acknowledged editions are all there, whole."""
    folder = tmp_path / "store"
    Store.open(folder)
    killer = Killer(children, "load_for_ever", folder, 20261125)
    acknowledged: dict[int, str] = {}
    for run in range(KILLS):
        for line in killer.kill() if run else killer.measured:
            _, number, digest = line.split()
            acknowledged[int(number)] = digest
        store = Store.open(folder)
        assert store.check()["damage"] == []
        editions = {e.edition: e for e in store.all_editions()}
        assert {n: editions[n].digest for n in acknowledged} == acknowledged
        shown = store.editions()
        assert shown == list(editions.values())[-1:]
        for edition in shown:
            first = f"N-{edition.digest.replace('.', '-')}-0"
            assert [row["edition"] for row in store.items_by_number(first)] == [edition.edition]
            assert store.keys("o_ring")["key"].size == 50
    assert len(acknowledged) > KILLS / 4  # the kills came during real work
    store.add_edition(ListInfo("stock", "last", "Brunn"), pd.DataFrame({"number": ["A"]}))
    assert list((folder / "lists").glob(".new-*")) == []  # a load sweeps what dead ones left


def test_kills_during_want_add_lose_nothing_acknowledged(
    tmp_path: Path, children: Children
) -> None:
    """After each of 50 kills every acknowledged want is there, with both its events or none."""
    folder = tmp_path / "store"
    Store.open(folder)
    killer = Killer(children, "record_for_ever", folder, 25112026)
    acknowledged: dict[int, str] = {}
    for run in range(KILLS):
        for line in killer.kill() if run else killer.measured:
            _, number, text = line.split()
            acknowledged[int(number)] = text
        store = Store.open(folder)
        with store.reading() as state:
            wants = {w["want"]: w for w in state.rows("SELECT want, number, remark FROM wants")}
        assert store.check()["damage"] == []
        assert {n: wants[n]["number"] for n in acknowledged} == acknowledged
        assert all(w["remark"] for w in wants.values())
        assert len(wants) <= len(acknowledged) + run + 1  # at most one unacknowledged per kill
    assert len(acknowledged) > KILLS / 4  # the kills came during real work


def test_a_state_left_by_a_kill_opens_for_reading_first(tmp_path: Path, children: Children) -> None:
    """A write-ahead log left behind is read, also by a reader that may write nothing."""
    store = Store.open(tmp_path / "store")
    with store.writing("a test") as state:
        state.record("kept", "profiles", "a", {})
    left = Killer(children, "record_for_ever", store.folder, 1).measured
    with store.reading() as state:
        found = state.rows("SELECT want FROM wants")
    assert len(found) >= len(left) > 0
