"""Run random cases through a judge (in blocks) and a plain oracle (one by one) and compare."""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from typing import Any

import numpy as np
from oracle_plain import FAIL, OPEN, PASS, Interval, Tested, conclude

from xref.fits.conformance import RESULT_WORDS
from xref.fits.judgement import CERTAINTY_WORDS, VERDICT_WORDS, Judgement
from xref.fits.quantity import NOMINAL, Quantity

CASES = int(os.environ.get("XREF_ORACLE_CASES", "20000"))
BLOCK = 10_000
Outcome = tuple[dict[str, Tested], list[int]]


def compare(
    random_case: Callable[[random.Random], Any],
    plainly: Callable[[Any], Outcome],
    judge: Callable[[list[Any]], Judgement],
    seed: int,
) -> set[tuple[str, str]]:
    """Demand the same verdict, certainty and results in every case; return the outcomes seen."""
    rng = random.Random(seed)  # noqa: S311 - cases, not secrets
    seen: set[tuple[str, str]] = set()
    left = CASES
    while left > 0:
        cases = [random_case(rng) for _ in range(min(left, BLOCK))]
        left -= len(cases)
        judged = judge(cases)
        verdicts = [VERDICT_WORDS[v] for v in judged.verdict.tolist()]
        conformances = judged.conformance.tolist()
        certainties = [CERTAINTY_WORDS[c] for c in judged.certainty.tolist()]
        columns = [
            (
                one.name,
                [RESULT_WORDS[code] for code in one.result.tolist()],
                [True] * len(cases) if one.applies is None else one.applies.tolist(),
            )
            for one in judged.checks
        ]
        for i, case in enumerate(cases):
            tested, work = plainly(case)
            expected = conclude(tested, work)
            ours = verdicts[i], certainties[i]
            chance = conformances[i]
            found = {name: results[i] for name, results, applies in columns if applies[i]}
            assert ours == expected, (case, tested, work, found)
            if expected[0] != "does not fit":
                assert found == {name: one.result for name, one in tested.items()}, (case, tested)
            else:
                assert FAIL in found.values(), (case, found)
            # 95 % of each normal quantity lies within its interval (GUM, k = 2): whatever passes
            # is likely to conform, and what is not checked counts neither way.
            if {one.result for one in tested.values()} <= {PASS, OPEN}:
                assert chance > 0.95 ** len(tested), (case, chance)
            seen.add(ours)
    return seen


def near(rng: random.Random, size: float, spread: float, wide: float) -> float:
    """Return a size near another: by hundredths, by tenths, or by millimetres."""
    return size + rng.choice([rng.gauss(0, spread), rng.gauss(0, 0.02), rng.uniform(-wide, wide)])


def measured(
    rng: random.Random, size: float, spread: float, wide: float, unknown: float = 0.35
) -> Interval | None:
    """Return a measured size near another, or nothing."""
    if rng.random() < unknown:
        return None
    value = round(near(rng, size, spread, wide), 3)
    u = rng.choice([0.002, 0.005, 0.02, 0.05])
    return Interval(value - u, value + u, value)


def floats(values: list[float | None]) -> np.ndarray:
    """Return numbers as a column, None as NaN."""
    return np.array([np.nan if v is None else float(v) for v in values])


def named(values: list[float | None]) -> Quantity:
    """Return nominal sizes as a column."""
    column = floats(values)
    return Quantity.limits(column, column, how=NOMINAL)


def place(values: list[Interval | None]) -> Quantity:
    """Return measured sizes as a column."""
    return Quantity.measured(
        floats([None if v is None else v.best for v in values]),
        floats([None if v is None else v.high - v.best for v in values]),
    )


def codes(words: list[str | None], known: tuple[str, ...]) -> np.ndarray:
    """Return word codes as a column, None as -1."""
    return np.array([-1 if w is None else known.index(w) for w in words], dtype=np.int8)


def texts(words: list[str]) -> np.ndarray:
    """Return words as a column."""
    return np.array(words, dtype="<U24")
