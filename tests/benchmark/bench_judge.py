"""Judging 1,000,000 seal pairs beside twenty allocating numpy passes over the same arrays.

Pairs are judged in the blocks that matching uses. Run: python tests/benchmark/bench_judge.py. Interleaved in one run; prints the median ratio.
The aim is at most 15.
"""

from __future__ import annotations

import statistics
import time

import numpy as np

from xref.fits.quantity import NOMINAL, Quantity
from xref.kinds.base import Need, Part
from xref.kinds.shaft_seal.judge import judge
from xref.matching.candidates import PAIRS_AT_ONCE

PAIRS = 1_000_000
ROUNDS = 7


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


def passes(need: Need, part: Part) -> None:
    """Make twenty allocating passes: sums of two columns."""
    a, b = need.place["shaft"].low, part.size["shaft_diameter"]
    for _ in range(20):
        a + b


def main() -> None:
    """Print both medians and their ratio."""
    need, part = pairs()
    blocks = [slice(i, i + PAIRS_AT_ONCE) for i in range(0, PAIRS, PAIRS_AT_ONCE)]
    taken = [(need.take(b), part.take(b)) for b in blocks]
    judge(need.take(np.arange(1000)), part.take(np.arange(1000)))
    ours, floor = [], []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        passes(need, part)
        middle = time.perf_counter()
        for block in taken:
            judge(*block)
        floor.append(middle - start)
        ours.append(time.perf_counter() - middle)
    ratios = [a / b for a, b in zip(ours, floor, strict=True)]
    print(
        f"judge {statistics.median(ours):.3f} s, twenty passes {statistics.median(floor):.3f} s, "
        f"ratio {statistics.median(ratios):.1f} (min {min(ratios):.1f}, max {max(ratios):.1f})"
    )


if __name__ == "__main__":
    main()
