"""Judging 1,000,000 seal pairs beside twenty allocating numpy passes over the same arrays.

"The same arrays" can be read in three ways, and each is printed:

- all the columns that are judged: low, high, estimate, sigma and code of each quantity of the
  need, system, sizes and case of the part (36 columns), in the blocks that matching uses, so that
  both stay in the processor's cache;
- the dimensions alone: the three of the need, the three of the part and the three places, one
  column of the whole million each (9 columns);
- one pair of columns of the whole million, which is a floor no judge of three checks can be near.

One pass makes a new array from each column (one addition), as any judge must that looks at each
column once and keeps what it finds. Times are of the processor, so that others at work on the
machine count less.

Run: python tests/benchmark/bench_judge.py. Interleaved in one run; prints the
median ratios. The aim is at most 15.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.fits.quantity import NOMINAL, Quantity
from xref.kinds.base import Need, Part
from xref.kinds.shaft_seal.judge import judge
from xref.matching.candidates import PAIRS_AT_ONCE

PAIRS = 1_000_000
ROUNDS = 5
PASSES = 20


def pairs(seed: int = 1) -> tuple[Need, Part]:
    """Return random needs (half measured, half by name) and parts near them."""
    rng = np.random.default_rng(seed)
    d = rng.integers(10, 200, PAIRS).astype(float)
    bore = d + rng.integers(10, 40, PAIRS)
    width = rng.integers(7, 15, PAIRS).astype(float)
    measured = rng.random(PAIRS) < 0.5
    nan = np.where(measured, 0.0, np.nan)
    need = Need(
        "shaft_seal",
        np.zeros(PAIRS, dtype=np.int8),
        part={
            "shaft_diameter": Quantity.limits(d, d, how=NOMINAL),
            "outside_diameter": Quantity.limits(bore, bore, how=NOMINAL),
            "width": Quantity.limits(width, width, how=NOMINAL),
        },
        place={
            "shaft": Quantity.measured(d - rng.random(PAIRS) * 0.2 + nan, 0.02),
            "housing": Quantity.measured(bore + rng.random(PAIRS) * 0.06 + nan, 0.02),
            "depth": Quantity.measured(width + rng.random(PAIRS) + nan, 0.05),
        },
    )
    part = Part(
        "shaft_seal",
        (rng.random(PAIRS) < 0.1).astype(np.int8),
        {
            "shaft_diameter": d + rng.integers(-1, 3, PAIRS),
            "outside_diameter": bore + rng.integers(-1, 2, PAIRS),
            "width": width,
        },
        {"case": rng.integers(-1, 2, PAIRS).astype(np.int8)},
    )
    return need, part


def columns(need: Need, part: Part) -> list[NDArray[Any]]:
    """Return every column that is judged."""
    quantities = [*need.part.values(), *need.place.values()]
    return [
        need.system,
        *(getattr(q, name) for q in quantities for name in ("low", "high", "estimate", "sigma")),
        *(q.how for q in quantities),
        part.system,
        *part.size.values(),
        *part.traits.values(),
    ]


def passes(blocks: list[list[NDArray[Any]]]) -> None:
    """Make twenty allocating passes: one addition to every column of every block."""
    for block in blocks:
        for _ in range(PASSES):
            for column in block:
                column + 1


def dimension_passes(need: Need, part: Part) -> None:
    """Make twenty allocating passes over the dimensions of need and part and the places."""
    sizes = [q.estimate for q in (*need.part.values(), *need.place.values())]
    for _ in range(PASSES):
        for column in (*sizes, *part.size.values()):
            column + 1


def narrow_passes(need: Need, part: Part) -> None:
    """Make twenty allocating sums of one pair of columns."""
    a, b = need.place["shaft"].low, part.size["shaft_diameter"]
    for _ in range(PASSES):
        a + b


def timed(work: Callable[[], None]) -> float:
    """Return how long the processor was at some work [s]."""
    start = time.process_time()
    work()
    return time.process_time() - start


def main() -> None:
    """Print the medians and the ratios."""
    need, part = pairs()
    blocks = [slice(i, i + PAIRS_AT_ONCE) for i in range(0, PAIRS, PAIRS_AT_ONCE)]
    taken = [(need.take(b), part.take(b)) for b in blocks]
    same = [columns(n, p) for n, p in taken]
    judge(need.take(np.arange(1000)), part.take(np.arange(1000)))

    def judging() -> None:
        for block in taken:
            judge(*block)

    floors: dict[str, Callable[[], None]] = {
        "all judged columns": lambda: passes(same),
        "the dimensions": lambda: dimension_passes(need, part),
        "one pair of columns": lambda: narrow_passes(need, part),
    }
    ours: list[float] = []
    theirs: dict[str, list[float]] = {name: [] for name in floors}
    for _ in range(ROUNDS):
        ours.append(timed(judging))
        for name, floor in floors.items():
            theirs[name].append(timed(floor))
    print(f"judge {statistics.median(ours):.3f} s for {PAIRS} pairs of {len(same[0])} columns")
    for name, times in theirs.items():
        ratios = [a / b for a, b in zip(ours, times, strict=True)]
        print(
            f"twenty passes over {name}: {statistics.median(times):.3f} s, "
            f"ratio {statistics.median(ratios):.1f} (min {min(ratios):.1f}, max {max(ratios):.1f})"
        )


if __name__ == "__main__":
    main()
