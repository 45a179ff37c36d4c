"""What the child processes of the kill and concurrency tests do, until they are done or killed."""

from __future__ import annotations

import os
import time
from datetime import date
from pathlib import Path

import pandas as pd

from xref.store import ListInfo, Store


def acknowledge(descriptor: int, line: str) -> None:
    """Tell the test, past any buffer of this process, that something is safely stored."""
    os.write(descriptor, f"{line}\n".encode())


def load_for_ever(folder: Path, acknowledged: Path, run: int) -> None:
    """Load list after list of one supplier; acknowledge each when add_edition has returned."""
    store = Store.open(folder)
    descriptor = os.open(acknowledged, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    acknowledge(descriptor, "ready")
    for n in range(1000):
        rows = pd.DataFrame(
            {"number": [f"N-{run}-{n}-{i}" for i in range(50)], "kind": "o_ring"}
            | {"inside_diameter_mm": [float(i) for i in range(50)], "cross_section_mm": 3.0}
        )
        info = ListInfo("stock", "b", "Brunn", digest=f"{run}.{n}", as_of=date(2026, 1, 1))
        acknowledge(descriptor, f"edition {store.add_edition(info, rows).edition} {run}.{n}")


def record_for_ever(folder: Path, acknowledged: Path, run: int) -> None:
    """Enter want after want; acknowledge each when its writing block has ended."""
    store = Store.open(folder)
    descriptor = os.open(acknowledged, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
    acknowledge(descriptor, "ready")
    for n in range(1000):
        with store.writing("want add") as state:
            want = state.next_id("wants")
            state.record("want added", "wants", want, {"number": f"{run}.{n}"})
            state.record("want noted", "wants", want, {"remark": "second event, same block"})
        acknowledge(descriptor, f"want {want} {run}.{n}")


def record_many(folder: Path, who: str, count: int) -> None:
    """Enter `count` profiles, one writing block each."""
    store = Store.open(folder)
    for n in range(count):
        with store.writing(f"enter {who}") as state:
            state.record("kept", "profiles", f"{who}.{n}", {"supplier": who})


def load_many(folder: Path, who: str, count: int) -> None:
    """Load `count` editions of one supplier's list."""
    store = Store.open(folder)
    for n in range(count):
        info = ListInfo("stock", who, who, digest=str(n))
        store.add_edition(info, pd.DataFrame({"number": [f"{who}.{n}"]}))


def hold(folder: Path, seconds: float) -> None:
    """Hold the writers' turn."""
    store = Store.open(folder)
    with store.writing("a long load"):
        (folder / ".held").touch()
        time.sleep(seconds)
