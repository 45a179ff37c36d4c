"""The bench page's match on a large store beside the same match in process; and a crowd at it.

    python tests/benchmark/bench_web.py [--items 1000000] [--rounds 40] [--crowd 60]

Page and act answer the same questions alternately in one run, over HTTP on the loopback against
one warm server, so that a busy machine slows both. The page also draws sections and bands. The
crowd is that of the test suite, for longer: twenty people and the command line on the demo store.
All parts are invented.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import tempfile
import time
from datetime import date
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pandas as pd

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.web import crowd
from xref.acts.ask_box import answer
from xref.acts.demo import build
from xref.sourcing import teardown
from xref.store import Store
from xref.store.edition import ListInfo

DAY = date(2027, 9, 6)
SHAFTS = [*range(6, 60), *range(60, 200, 5)]
WIDTHS = (5, 6, 7, 8, 10, 12, 15)
BOUND = 0.060  # processor time of a page, client included [s]


def catalogue(items: int, chance: random.Random) -> pd.DataFrame:
    """Return seals of many makers on the sizes that makers offer, as a reading's rows."""
    shafts = chance.choices(SHAFTS, k=items)
    outside = [d + chance.choice((8, 10, 12, 14, 15, 16, 18, 20, 22, 25, 30)) for d in shafts]
    return pd.DataFrame(
        {
            "at": range(1, items + 1),
            "number": [f"Q{n:07d}" for n in range(items)],
            "maker": [f"Maker {n % 40}" for n in range(items)],
            "kind": "shaft_seal",
            "shaft_diameter_mm": [float(d) for d in shafts],
            "outside_diameter_mm": [float(d) for d in outside],
            "width_mm": [float(chance.choice(WIDTHS)) for _ in range(items)],
            "case": chance.choices(("metal", "rubber"), k=items),
            "lip_material": chance.choices(("NBR", "FKM", "ACM"), k=items),
            "written_unit": "mm",
        }
    )


def info(name: str) -> ListInfo:
    """Return what is known of an invented list."""
    return ListInfo(
        table="catalogue",
        name=name,
        supplier=None,
        currency=None,
        unit="mm",
        file=f"{name}.csv",
        digest=name,
        as_of=DAY,
        decisions={},
    )


def questions(chance: random.Random, count: int, items: int) -> list[dict[str, str]]:
    """Return what people ask: numbers, sizes, places as measured."""
    asked = []
    for n in range(count):
        shaft = chance.choice(SHAFTS)
        outside = shaft + chance.choice((10, 12, 15, 20))
        asked.append(
            [
                {"q": f"Q{chance.randrange(items):07d}"},
                {"q": f"{shaft}x{outside}x8mm seal"},
                {"q": f"seal shaft {shaft}.02mm housing {outside}.01mm"},
            ][n % 3]
        )
    return asked


def compare(address: str, store: Store, asked: list[dict[str, str]]) -> tuple[list[float], ...]:
    """Return wall and processor times of page and act for the same questions, alternately [s].

    Server and client are one process, so that its processor time is the page's.
    """
    pages, acts, weights = [], [], []
    page_cpu, act_cpu = [], []
    with httpx.Client(base_url=address, timeout=120) as client:
        for _ in range(2):  # warm: imports, templates, list files
            client.get("/fits", params=asked[0])
            answer(store, asked[0]["q"], on=DAY)
        for question in asked:
            start, used = time.perf_counter(), time.process_time()
            reply = client.get("/fits", params=question)
            pages.append(time.perf_counter() - start)
            page_cpu.append(time.process_time() - used)
            assert reply.status_code == 200
            weights.append(float(len(reply.content)))
            start, used = time.perf_counter(), time.process_time()
            answer(store, question["q"], on=DAY)
            acts.append(time.perf_counter() - start)
            act_cpu.append(time.process_time() - used)
    return pages, acts, page_cpu, act_cpu, weights


def report(name: str, times: list[float]) -> None:
    """Print median and worst of a series."""
    ms = [1000 * t for t in times]
    print(f"{name:<28} median {statistics.median(ms):7.1f} ms  worst {max(ms):7.1f} ms")


def main() -> int:
    """Run what the options ask for; 1 if the page takes longer than its bound."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--items", type=int, default=1_000_000)
    options.add_argument("--rounds", type=int, default=40)
    options.add_argument("--crowd", type=float, default=60.0, help="seconds; 0 leaves it out")
    given: Any = options.parse_args()
    chance = random.Random(1)  # noqa: S311 - invented parts, no secrets
    with tempfile.TemporaryDirectory() as folder:
        large = Store.open(Path(folder) / "large")
        start = time.perf_counter()
        large.add_edition(info("invented seals"), catalogue(given.items, chance))
        print(f"{given.items:,} items loaded in {time.perf_counter() - start:.0f} s")
        asked = questions(chance, given.rounds, given.items)
        with crowd.served(large.folder, DAY) as address:
            pages, acts, page_cpu, act_cpu, weights = compare(address, large, asked)
        report("page over HTTP", pages)
        report("same match in process", acts)
        report("page, processor time", page_cpu)
        report("match, processor time", act_cpu)
        extra = [page - act for page, act in zip(pages, acts, strict=True)]
        report("page less match", extra)
        print(f"heaviest page {max(weights) / 1000:.0f} kB unpacked")
        if given.crowd:
            demo = Store.open(Path(folder) / "demo")
            build(demo)
            teardown.add_place(demo, crowd.MACHINE, "countershaft", kind="shaft_seal", on=DAY)
            with crowd.served(demo.folder) as address:
                done = crowd.work(address, demo.folder, given.crowd)
            report(f"{len(done.reads)} reads by 20 people", done.reads)
            report(f"{len(done.writes)} writes by 20 people", done.writes)
            print(f"{len(done.commands)} commands beside; failures: {done.failures or 'none'}")
            print(f"entries lost: {crowd.lost(done, demo.folder) or 'none'}")
    return 0 if statistics.median(page_cpu) <= BOUND else 1


if __name__ == "__main__":
    sys.exit(main())
