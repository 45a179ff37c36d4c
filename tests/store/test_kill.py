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
    from conftest import Children

pytestmark = pytest.mark.store

KILLS = 50


def run_and_kill(
    children: Children, function: str, folder: Path, run: int, moment: float
) -> list[str]:
    """Start a child, kill it `moment` seconds after it began its work; return what it reached."""
    acknowledged = folder.parent / f"acknowledged-{run}"
    child = children.start(function, folder, acknowledged, run)
    deadline = time.monotonic() + 30
    while not (acknowledged.exists() and acknowledged.read_text().startswith("ready\n")):
        assert time.monotonic() < deadline
        assert child.is_alive()
        time.sleep(0.001)
    time.sleep(moment)
    child.kill()
    return acknowledged.read_text().splitlines()[1:]


def test_kills_during_load_leave_whole_editions_only(tmp_path: Path, children: Children) -> None:
    """After each of 50 kills the store checks, the acknowledged editions are all there, whole."""
    folder = tmp_path / "store"
    Store.open(folder)
    chance = random.Random(20261125)  # noqa: S311 - moments, not secrets
    acknowledged: dict[int, str] = {}
    for run in range(KILLS):
        for line in run_and_kill(children, "load_for_ever", folder, run, chance.uniform(0, 0.3)):
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
    chance = random.Random(25112026)  # noqa: S311 - moments, not secrets
    acknowledged: dict[int, str] = {}
    for run in range(KILLS):
        for line in run_and_kill(children, "record_for_ever", folder, run, chance.uniform(0, 0.15)):
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
    left = run_and_kill(children, "record_for_ever", store.folder, 0, 0.4)
    with store.reading() as state:
        found = state.rows("SELECT want FROM wants")
    assert len(found) >= len(left) > 0
