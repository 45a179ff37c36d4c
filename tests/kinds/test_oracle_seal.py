"""The vectorised seal judge against the plain worst-case oracle, with service and worn tracks.

XREF_ORACLE_CASES sets the number of random cases (20,000 by default; 1,000,000
on demand).
"""

from __future__ import annotations

import random

import numpy as np
from oracle_cases import codes, compare, floats, named, place, texts
from oracle_plain import Interval
from oracle_seal import Case
from oracle_seal import judge as plainly

from xref.fits.judgement import Judgement
from xref.kinds.base import Need, Part
from xref.kinds.shaft_seal.judge import judge
from xref.kinds.spec import spec

KIND = "shaft_seal"
WORDS = {t.name: tuple(t.words) for t in spec(KIND).traits if t.words}
MEDIA = ("mineral oil", "grease", "water", "hot water", "petrol", "brake fluid", "steam", "milk")
NAMES = ("shaft_diameter", "outside_diameter", "width")


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
        value = max(round(near(size, 0.3), 3), 0.5)  # what is not above zero is refused before
        u = rng.choice([0.005, 0.02, 0.05])
        return Interval(value - u, value + u, value)

    old = None
    if rng.random() < 0.6:
        old = (
            d1 + rng.choice([0, 0, 0, 1, -1, 0.325, -5]),
            bore + rng.choice([0, 0, 0, 1, -1, 0.05, 6]),
            width + rng.choice([0, 0, 0, 0.5, -0.5, -2, 3]),
        )
    turns = rng.choice([None, None, "either", "clockwise", "anticlockwise"])
    return Case(
        old,
        old_inch,
        measured(d1 - 0.08),
        measured(bore + 0.02),
        measured(width + rng.choice([0.4, 0.4, 2.5])),
        d1,
        bore,
        width,
        inch,
        rng.random() < 0.5,
        lip=rng.choice([None, *WORDS["lip_material"]]),
        rotation=turns,
        old_rotation=rng.choice([None, turns, "clockwise"]),
        rpm=rng.choice([None, None, 300.0, 1500.0, float(rng.randint(1, 40) * 250)]),
        degc=rng.choice([None, None, None, 60.0, 90.0, 100.0, 130.0, 150.0, 200.0, -35.0]),
        bar=rng.choice([None, None, None, 0.0, 0.3, 0.5, 0.6, 0.7]),
        medium=rng.choice(["", "", "", *MEDIA]),
        track=None
        if rng.random() < 0.6
        else (round(rng.uniform(1, width), 1), rng.choice([0.5, 1.0, 2.0, 3.0])),
    )


def judged(cases: list[Case]) -> Judgement:
    """Judge the cases as columns."""
    need = Need(
        KIND,
        np.array([c.old_inch for c in cases], dtype=np.int8),
        part={
            name: named([None if c.old is None else c.old[i] for c in cases])
            for i, name in enumerate(NAMES)
        },
        place={
            name: place([getattr(c, name) for c in cases]) for name in ("shaft", "housing", "depth")
        },
        service={
            "rpm": floats([c.rpm for c in cases]),
            "temperature": floats([c.degc for c in cases]),
            "pressure_bar": floats([c.bar for c in cases]),
            "medium": texts([c.medium for c in cases]),
            "track_position": floats([c.track and c.track[0] for c in cases]),
            "track_width": floats([c.track and c.track[1] for c in cases]),
        },
        traits={"rotation": codes([c.old_rotation for c in cases], WORDS["rotation"])},
    )
    part = Part(
        KIND,
        np.array([c.inch for c in cases], dtype=np.int8),
        {
            name: floats([getattr(c, at) for c in cases])
            for name, at in zip(NAMES, ("d1", "bore", "width"), strict=True)
        },
        {
            "case": codes(["rubber" if c.rubber else "metal" for c in cases], WORDS["case"]),
            "lip_material": codes([c.lip for c in cases], WORDS["lip_material"]),
            "rotation": codes([c.rotation for c in cases], WORDS["rotation"]),
        },
    )
    return judge(need, part)


def test_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""
    seen = compare(random_case, plainly, judged, seed=6194)
    assert {("as is", c) for c in ("sure", "likely", "assumed", "measure first")} <= seen
    assert {("with spacer", "assumed"), ("alter the machine", "sure")} <= seen
    assert len(seen) >= 10, seen
