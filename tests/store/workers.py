"""What the child processes of the kill and concurrency tests do, until they are done or killed.

Run as a program this file is a fork server: it imports everything once and then forks a child for
each line it is given, so that a child costs milliseconds instead of a second.
"""

from __future__ import annotations

import json
import os
import signal
import sys
import time
from datetime import date
from pathlib import Path

import duckdb  # noqa: F401 - imported here so that no child has to
import pandas as pd

import xref.store.files
import xref.store.number_index
import xref.store.statement_index  # noqa: F401 - as duckdb
from xref.store import ListInfo, Store


def acknowledge(descriptor: int, line: str) -> None:
    """Tell the test, past any buffer of this process, that something is safely stored."""
    os.write(descriptor, f"{line}\n".encode())


def load_for_ever(folder: str, acknowledged: str, run: int) -> None:
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


def record_for_ever(folder: str, acknowledged: str, run: int) -> None:
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


def record_many(folder: str, who: str, count: int) -> None:
    """Enter `count` profiles, one writing block each."""
    store = Store.open(folder)
    for n in range(count):
        with store.writing(f"enter {who}") as state:
            state.record("kept", "profiles", f"{who}.{n}", {"supplier": who})


def load_many(folder: str, who: str, count: int) -> None:
    """Load `count` editions of one supplier's list."""
    store = Store.open(folder)
    for n in range(count):
        info = ListInfo("stock", who, who, digest=str(n))
        store.add_edition(info, pd.DataFrame({"number": [f"{who}.{n}"]}))


def hold(folder: str, seconds: float) -> None:
    """Hold the writers' turn."""
    store = Store.open(folder)
    with store.writing("a long load"):
        (Path(folder) / ".held").touch()
        time.sleep(seconds)


def look_and_forget(folder: str, price: str, count: int) -> None:
    """Look up the offers `count` times, deleting what is kept in between; die if it is wrong."""
    for _ in range(count):
        store = Store.open(folder)
        found = [str(offer["price"]) for offer in store.noted().rows("offers")]
        assert found == [price], found
        (store.folder / "derived" / "noted.json").unlink(missing_ok=True)


def serve() -> None:
    """Fork a child for each line `[function, arguments, file]` of standard input; print its number.

    A child that ends by itself leaves a file of the third name in the line.
    """
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # the dead do not linger
    for line in sys.stdin:
        function, arguments, done = json.loads(line)
        child = os.fork()
        if child == 0:
            signal.signal(signal.SIGCHLD, signal.SIG_DFL)
            globals()[function](*arguments)
            Path(done).write_text("done")
            os._exit(0)
        print(child, flush=True)  # noqa: T201 - the answer to the line


if __name__ == "__main__":
    serve()
