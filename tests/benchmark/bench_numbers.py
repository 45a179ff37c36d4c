"""Exact numbers in a store, with the full row, beside the query for that row; and `identify`.

    python tests/benchmark/bench_numbers.py [--numbers 1000000] [--store DIR]

Each number is looked up through the store and then queried from items.parquet by key and item,
one after the other. `--store` takes a store that is there. Times are of a warm process; the
processor's time is given too, because others may be at work. Numbers are invented.
"""

from __future__ import annotations

import argparse
import random
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pandas as pd

from xref.acts.identify import identify
from xref.store import ListInfo, Store


def filled(folder: Path, count: int) -> Store:
    """Return a store with one list of `count` invented seals."""
    places = pd.Series(range(count))
    size = places * 7919 % 1200 / 4 + 10
    frame = pd.DataFrame(
        {
            "at": places + 2,
            "number": "KX " + (places * 48271 % 2147483647).astype(str),
            "maker": "Maker " + (places % 40).astype(str),
            "kind": "shaft_seal",
            "description": "Seal for winch, place " + (places % 5000).astype(str),
            "shaft_diameter_mm": size,
            "outside_diameter_mm": size + 20,
            "width_mm": 8.0 + places % 5,
        }
    )
    store = Store.open(folder)
    store.add_edition(ListInfo("catalogue", "bench", "Brunn"), frame)
    return store


def timed(act: Callable[[], Any]) -> tuple[float, float]:
    """Return wall time and processor time of an act [ms]."""
    wall, processor = time.perf_counter(), time.process_time()
    act()
    return (time.perf_counter() - wall) * 1e3, (time.process_time() - processor) * 1e3


def told(name: str, times: list[tuple[float, float]]) -> None:
    """Print medians and the slowest twentieth."""
    wall, processor = (sorted(one) for one in zip(*times, strict=True))
    at = len(wall) * 95 // 100
    print(
        f"{name:28} wall median {wall[len(wall) // 2]:8.2f} ms, 95 % {wall[at]:8.2f} ms | "
        f"processor median {processor[len(wall) // 2]:8.2f} ms, 95 % {processor[at]:8.2f} ms",
        flush=True,
    )


def main() -> None:
    """Compare."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--numbers", type=int, default=1_000_000)
    parser.add_argument("--store", type=Path)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(args.store) if args.store else filled(Path(folder) / "s", args.numbers)
        edition = store.editions()[0]
        index = store.number_index(edition)
        rng = random.Random(1)  # noqa: S311 - chooses numbers
        keys = [index.key(rng.randrange(len(index))) for _ in range(210)]
        items = store.lists.source([edition], "items.parquet")
        found, queried, whole = [], [], []
        for key in keys:
            found.append(timed(lambda key=key: store.items_by_number(key)))
            (row, *_) = store.items_by_number(key)
            sql = f"SELECT * FROM {items} WHERE key = {row['key']} AND item = {row['item']}"  # noqa: S608
            if len(queried) < 60:
                queried.append(timed(lambda sql=sql: store.lists.query(sql).fetchall()))
                whole.append(timed(lambda key=key: identify(store, key)))
        print(f"{edition.items} rows, {len(index)} numbers")
        told("number, full row", found[10:])
        told("the same row by query", queried[10:])
        told("identify, known number", whole[10:])


if __name__ == "__main__":
    main()
