"""The vectorised seal judge against the plain worst-case oracle.

XREF_ORACLE_CASES sets the number of random cases (20,000 by default; 1,000,000
on demand).
"""

from __future__ import annotations

import os
import random

import numpy as np
from oracle_seal import Case, Interval
from oracle_seal import judge as plainly

from xref.fits.conformance import RESULT_WORDS
from xref.fits.judgement import CERTAINTY_WORDS, VERDICT_WORDS
from xref.fits.quantity import NOMINAL, Quantity
from xref.kinds.base import Need, Part, code
from xref.kinds.shaft_seal.judge import judge

CASES = int(os.environ.get("XREF_ORACLE_CASES", "20000"))
BLOCK = 20_000


def random_case(rng: random.Random) -> Case:
    """Make a case near the limits: sizes a few hundredths to a few millimetres apart."""
    inch, old_inch = rng.random() < 0.25, rng.random() < 0.25
    d1 = rng.choice([rng.randint(12, 160), rng.randint(8, 96) * 1.5875])
    bore = d1 + rng.choice([rng.randint(8, 40), rng.randint(5, 24) * 1.5875])
    width = rng.choice([4, 7, 8, 10, 12, 15, 22, 6.35, 9.525, 12.7])

    def near(size: float, spread: float) -> float:
        return size + rng.choice(
            [rng.gauss(0, spread), rng.gauss(0, 0.03), rng.uniform(-14, 14) / 3]
        )

    def measured(size: float) -> Interval | None:
        if rng.random() < 0.35:
            return None
        value = round(near(size, 0.3), 3)
        u = rng.choice([0.005, 0.02, 0.05])
        return Interval(value - u, value + u, value)

    old = None
    if rng.random() < 0.6:
        old = (
            d1 + rng.choice([0, 0, 0, 1, -1, 0.325, -5]),
            bore + rng.choice([0, 0, 0, 1, -1, 0.05, 6]),
            width + rng.choice([0, 0, 0, 0.5, -0.5, -2, 3]),
        )
    return Case(
        old,
        old_inch,
        measured(d1 - 0.08),
        measured(bore + 0.02),
        measured(width + 0.4),
        d1,
        bore,
        width,
        inch,
        rng.random() < 0.5,
    )


def columns(cases: list[Case]) -> tuple[Need, Part]:
    """Put the cases into the judge's columns."""

    def named(position: int) -> Quantity:
        values = np.array([np.nan if c.old is None else c.old[position] for c in cases])
        return Quantity.limits(values, values, how=NOMINAL)

    def place(name: str) -> Quantity:
        found: list[Interval | None] = [getattr(c, name) for c in cases]
        best = np.array([np.nan if i is None else i.best for i in found])
        spread = np.array([np.nan if i is None else i.high - i.best for i in found])
        return Quantity.measured(best, spread)

    rubber = code("shaft_seal", "case", "rubber")
    metal = code("shaft_seal", "case", "metal")
    need = Need(
        "shaft_seal",
        np.array([c.old_inch for c in cases], dtype=np.int8),
        part={
            "shaft_diameter": named(0),
            "outside_diameter": named(1),
            "width": named(2),
        },
        place={name: place(name) for name in ("shaft", "housing", "depth")},
    )
    part = Part(
        "shaft_seal",
        np.array([c.inch for c in cases], dtype=np.int8),
        {
            "shaft_diameter": np.array([float(c.d1) for c in cases]),
            "outside_diameter": np.array([float(c.bore) for c in cases]),
            "width": np.array([float(c.width) for c in cases]),
        },
        {"case": np.array([rubber if c.rubber else metal for c in cases], dtype=np.int8)},
    )
    return need, part


def test_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""
    rng = random.Random(6194)  # noqa: S311 - cases, not secrets
    seen: set[tuple[str, str]] = set()
    left = CASES
    while left > 0:
        cases = [random_case(rng) for _ in range(min(left, BLOCK))]
        left -= len(cases)
        judged = judge(*columns(cases))
        by_name = {one.name: one for one in judged.checks}
        for i, case in enumerate(cases):
            verdict, certainty, results = plainly(case)
            ours = VERDICT_WORDS[judged.verdict[i]], CERTAINTY_WORDS[judged.certainty[i]]
            found = {name: RESULT_WORDS[by_name[name].result[i]] for name in results}
            assert ours == (verdict, certainty), (case, results, found)
            assert found == results, (case, verdict)
            seen.add(ours)
    assert len(seen) >= 9, seen
