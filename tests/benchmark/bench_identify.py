"""Likeness search and statement paths against a full scan, interleaved in one run.

    python tests/benchmark/bench_identify.py [--numbers 1000000] [--shapes mixed]
        [--queries 3000] [--oracle 3000] [--scans 30]

The oracle is a scan of all numbers with RapidFuzz in the same process. Its recall is taken on
`--oracle` of the queries, scanned several at a time, which RapidFuzz does many times faster; its
time on `--scans` of them, one by one as a user asks, in turn with the index. Times are the
processor's: on a shared machine those of the clock vary; the ratios are those of the same
queries, one after the other. Numbers are invented, in the
`--shapes` named; in a crowded shape (short numbers, bare digits) many numbers lie equally near,
and no search can tell which was meant: there the scan beside it is the measure.
"""

from __future__ import annotations

import argparse
import gc
import random
import resource
import string
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
from rapidfuzz import process
from rapidfuzz.distance import OSA

from xref.matching.graph import Graph
from xref.store.number_index import NumberIndex, write_number_index
from xref.store.number_key import number_key
from xref.store.statement_index import StatementIndex, write_statement_index
from xref.store.statements import EQUAL_TO, MAY_SERVE_AS, SUPERSEDED_BY, Statement

LETTERS, DIGITS = string.ascii_uppercase, string.digits
ANY = LETTERS + DIGITS
MISREAD = {c: [o for o in group if o != c] for group in ("O0", "I1L", "B8", "S5", "Z2")
           for c in group}  # fmt: skip
_AT_ONCE = 32  # queries that are scanned for together
# How numbers are built: D digit, L letter, X either, others as they stand. With 2 million and more
# the shortest of "mixed" are left out, so that a list does not fill its own space of numbers.
SHAPES = {
    "mixed": (
        "DDDDDDD", "DDDDDDDD", "LDDDDDD", "LLDDDDDD", "LLDDDDDL", "DDLDDDDDD", "DDDDDDDDD",
        "LLDDLDDDD", "XXXXXXXX", "DDDDDDDDDD", "LLLDDDDDDD",
    ),
    "short": ("LLDDD", "LDDDDD", "LLDDDD", "DDDDDL", "XXXXX", "XXXXXX", "LDDDL", "DDLDDD"),
    "digits": ("DDDDDD", "DDDDDDD", "DDDDDDDD", "DDDDDDDDD"),
    "prefixed": ("KW-DDDDDD", "KWR/DDDDDDD", "KW DDD DDDD", "TB-DD-DDDDD-L", "0DDDDDDD",
                 "PDDDDDDDA"),
}  # fmt: skip


def numbers(count: int, rng: random.Random, shapes: str = "mixed") -> list[str]:
    """Return the keys of invented numbers, sorted."""
    patterns = SHAPES[shapes]
    if shapes == "mixed" and count > 2_000_000:
        patterns = patterns[4:]
    pool = {"D": DIGITS, "L": LETTERS, "X": ANY}
    made: set[str] = set()
    while len(made) < count:
        pattern = rng.choice(patterns)
        made.add(number_key("".join(rng.choice(pool.get(c, c)) for c in pattern)))
    return sorted(made)


def confusion(key: str, rng: random.Random) -> str:
    """Return the key with one character misread; any other character if none can be."""
    places = [n for n, c in enumerate(key) if c in MISREAD]
    if not places:
        return slip(key, rng)
    at = rng.choice(places)
    return key[:at] + rng.choice(MISREAD[key[at]]) + key[at + 1 :]


def slip(key: str, rng: random.Random) -> str:
    """Return the key with one character changed, lost, added, or two neighbours swapped.

    A changed or added character is a digit where a digit stands, a letter where a letter does:
    what makes a number look like another one of its list.
    """
    at = rng.randrange(len(key))
    what = rng.randrange(4)
    like = DIGITS if key[at] in DIGITS else LETTERS
    if what == 0:
        return key[:at] + rng.choice([c for c in like if c != key[at]]) + key[at + 1 :]
    if what == 1:
        return key[:at] + key[at + 1 :]
    if what == 2:
        return key[:at] + rng.choice(like) + key[at:]
    swaps = [n for n in range(len(key) - 1) if key[n] != key[n + 1]]
    if not swaps:
        return slip(key, rng)
    at = rng.choice(swaps)
    return key[:at] + key[at + 1] + key[at] + key[at + 2 :]


def two(key: str, rng: random.Random) -> str:
    """Return the key with two slips, one of them a misreading half the time."""
    first = confusion(key, rng) if rng.random() < 0.5 else slip(key, rng)
    return slip(first, rng)


def compare(
    name: str,
    spoil: Callable[[str, random.Random], str],
    index: NumberIndex,
    keys: list[str],
    args: argparse.Namespace,
    rng: random.Random,
) -> None:
    """Print recall in the first five and time of the index, and of the scan on the same queries."""
    meant = [rng.choice(keys) for _ in range(args.queries)]
    asked = [spoil(key, rng) for key in meant]
    took, hits = [], []
    for key, query in zip(meant, asked, strict=True):
        start = time.process_time()
        near = index.like(query, 5)
        took.append(time.process_time() - start)
        hits.append(key in [one.key for one in near])
    scanned = []
    for query in asked[: args.scans]:
        start = time.process_time()
        process.extract(query, keys, scorer=OSA.distance, limit=5, score_cutoff=2)
        scanned.append(time.process_time() - start)
    most = min(args.oracle, args.queries)
    oracle = [
        key in five
        for at in range(0, most, _AT_ONCE)
        for key, five in zip(
            meant[at : min(at + _AT_ONCE, most)],
            nearest_five(asked[at : min(at + _AT_ONCE, most)], keys),
            strict=True,
        )
    ]
    mean = sum(took) / len(took) * 1e3
    both, scan = sum(took[: len(scanned)]), sum(scanned)
    print(
        f"{name:14} recall@5 {sum(hits) / len(hits):.4f} of {len(hits)}; on {most} of them index "
        f"{sum(hits[:most]) / most:.4f}, scan {sum(oracle) / most:.4f} | mean {mean:.2f} ms, "
        f"slowest {max(took) * 1e3:.1f} ms; {len(scanned)} scans {scan / len(scanned) * 1e3:.0f} "
        f"ms each, index {both / len(scanned) * 1e3:.2f} ms = 1/{scan / both:.0f}",
        flush=True,
    )


def nearest_five(asked: list[str], keys: list[str]) -> list[list[str]]:
    """Return the five nearest numbers by a full scan, of equals the first, for several queries."""
    away = process.cdist(asked, keys, scorer=OSA.distance, score_cutoff=2, dtype=np.uint8)
    found = []
    for row in away:
        near = np.flatnonzero(row <= 2)
        found.append([keys[n] for n in near[np.argsort(row[near], kind="stable")[:5]]])
    return found


def likeness(args: argparse.Namespace) -> None:
    """Compare the number index with a scan."""
    rng = random.Random(args.seed)  # noqa: S311 - invents numbers
    keys = numbers(args.numbers, rng, args.shapes)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "numbers.index"
        start = time.perf_counter()
        write_number_index(path, keys)
        built = time.perf_counter() - start
        size = path.stat().st_size / 1e6
        print(f"{len(keys)} {args.shapes} numbers: built in {built:.1f} s, {size:.0f} MB")
        gc.collect()
        index = NumberIndex.open(path)
        for key in rng.sample(keys, 20):
            index.like(slip(key, rng))  # warm
        start = time.perf_counter()
        for key in rng.sample(keys, 1000):
            assert index.position(key) is not None
        print(f"exact: {(time.perf_counter() - start):.4f} ms each")
        for name, spoil in (("one confusion", confusion), ("one slip", slip), ("two slips", two)):
            compare(name, spoil, index, keys, args, rng)
        print(memory_of_a_search(path, [two(key, rng) for key in rng.sample(keys, 200)]))


def memory_of_a_search(path: Path, asked: list[str]) -> str:
    """Return what a process of its own holds after searching, without the list of numbers."""
    code = (
        "import sys; from pathlib import Path;"
        "from xref.store.number_index import NumberIndex;"
        "index = NumberIndex.open(Path(sys.argv[1]));"
        "[index.like(a, 5) for a in sys.argv[2:]];"
        "status = Path('/proc/self/status').read_text();"  # of this program alone, unlike getrusage
        "print(int(status.split('VmHWM:')[1].split()[0]) // 1024)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(path), *asked], capture_output=True, text=True, check=True
    )
    return f"warm: a process that made {len(asked)} searches peaked at {run.stdout.strip()} MB"


def paths(args: argparse.Namespace) -> None:
    """Time route queries over many statements, in short chains and in one large tangle."""
    rng = random.Random(args.seed)  # noqa: S311 - invents statements
    relations = (SUPERSEDED_BY, EQUAL_TO, MAY_SERVE_AS)
    count = args.statements
    chained = [
        Statement(f"C{n}", (f"C{n + 1}",), rng.choice(relations), row=n)
        for n in range(count)
        if n % 6
    ]
    tangled = [
        Statement(f"T{rng.randrange(count)}", (f"T{rng.randrange(count)}",),
                  rng.choice(relations), row=n)
        for n in range(count)
    ]  # fmt: skip
    for name, said in (("chains of six", chained), ("one large tangle", tangled)):
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "statements.index"
            start = time.perf_counter()
            write_statement_index(path, said)
            built = time.perf_counter() - start
            graph = Graph([StatementIndex.open(path)])
            ends = [rng.choice(said) for _ in range(200)]
            for label in ("route", "reach 50"):
                took = []
                answered = 0
                for one in ends:
                    other = one if rng.random() < 0.3 else rng.choice(ends)
                    start = time.perf_counter()
                    answered += bool(
                        graph.route(one.key, other.to_keys[0])
                        if label == "route"
                        else list(graph.reach(one.key))
                    )
                    took.append(time.perf_counter() - start)
                took.sort()
                print(
                    f"{name}, {len(said)} statements (built in {built:.1f} s, "
                    f"{path.stat().st_size / 1e6:.0f} MB): {label} median {took[100] * 1e3:.2f} "
                    f"ms, 95 % {took[189] * 1e3:.2f} ms, slowest {took[-1] * 1e3:.2f} ms, "
                    f"answered {answered} of 200",
                    flush=True,
                )


def main() -> None:
    """Run both."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--numbers", type=int, default=1_000_000)
    parser.add_argument("--shapes", choices=sorted(SHAPES), default="mixed")
    parser.add_argument("--queries", type=int, default=3000)
    parser.add_argument("--oracle", type=int, default=3000)
    parser.add_argument("--scans", type=int, default=30)
    parser.add_argument("--statements", type=int, default=1_000_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=("likeness", "paths"))
    args = parser.parse_args()
    if args.only != "paths":
        likeness(args)
    if args.only != "likeness":
        paths(args)
    print(f"peak of this process {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    main()
