"""Likeness search and statement paths against a full scan, interleaved in one run.

    python tests/benchmark/bench_identify.py [--numbers 1000000] [--shapes mixed]
        [--queries 3000] [--scans 100]

The oracle is a scan of all numbers with RapidFuzz, in the same process, query by query, for
`--scans` of the queries (a scan of ten million takes seconds). Times on a shared machine vary;
the ratios are those of the same queries, one after the other. Numbers are invented, in the
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
    queries: int,
    scans: int,
    rng: random.Random,
) -> None:
    """Print recall in the first five and time of the index, and of the scan on the same queries."""
    found = both_index = both_scan = 0
    spent = both_spent = scanned = 0.0
    slowest = 0.0
    every = max(1, queries // max(1, scans))
    done = 0
    for n in range(queries):
        meant = rng.choice(keys)
        asked = spoil(meant, rng)
        start = time.perf_counter()
        hit = meant in [near.key for near in index.like(asked, 5)]
        took = time.perf_counter() - start
        spent, slowest, found = spent + took, max(slowest, took), found + hit
        if n % every or done >= scans:
            continue
        done += 1
        start = time.perf_counter()
        oracle = process.extract(asked, keys, scorer=OSA.distance, limit=5, score_cutoff=4)
        scanned += time.perf_counter() - start
        both_spent, both_index = both_spent + took, both_index + hit
        both_scan += meant in [text for text, _, _ in oracle]
    print(
        f"{name:20} recall@5 {found / queries:.4f} of {queries}, mean {spent / queries * 1e3:7.2f} "
        f"ms, slowest {slowest * 1e3:7.1f} ms | same {done} queries: index {both_index / done:.4f} "
        f"scan {both_scan / done:.4f}, {both_spent / done * 1e3:.2f} / {scanned / done * 1e3:.1f} "
        f"ms = 1/{scanned / both_spent:.0f}",
        flush=True,
    )


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
            compare(name, spoil, index, keys, args.queries, args.scans, rng)
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
    parser.add_argument("--scans", type=int, default=100)
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
