"""The vectorised bearing judge against the plain worst-case oracle (see oracle_cases)."""

from __future__ import annotations

import random

import numpy as np
from oracle_bearing import ROLLERS, Case
from oracle_bearing import judge as plainly
from oracle_cases import codes, compare, floats, measured, named, place, texts
from oracle_plain import rows, zone

from xref.fits.judgement import Judgement
from xref.kinds.base import Need, Part
from xref.kinds.rolling_bearing.judge import judge
from xref.kinds.spec import spec

KIND = "rolling_bearing"
SIZES = [
    tuple(float(row[c]) for c in ("d_mm", "D_mm", "B_mm"))
    for row in rows("bearing_sizes.csv")
    if row["d_mm"]
]
WORDS = {t.name: tuple(t.words) for t in spec(KIND).traits if t.words}


def random_case(rng: random.Random) -> Case:
    """Make a case near the limits, over ISO 15 sizes and a few larger ones."""
    d, outside, width = rng.choice([*SIZES, (150.0, 270.0, 45.0), (220.0, 400.0, 65.0)])
    kind = rng.choice(
        ["deep groove ball", "deep groove ball", rng.choice([*ROLLERS, "thrust ball"]), None]
    )
    old = None
    if rng.random() < 0.6:
        old = (
            d + rng.choice([0, 0, 0, 0.015, 0.05, -5, -2.9]),
            outside + rng.choice([0, 0, 0, 0.015, -0.05, 5, 10]),
            width + rng.choice([0, 0, 0, -1, 0.4, 2, 25]),
        )
    return Case(
        old=old,
        old_type=rng.choice([None, None, kind, "deep groove ball"]),
        old_ring=rng.choice([None, None, "complete", "cone"]),
        old_snap=rng.choice([None, "no", "yes"]),
        old_corner=rng.choice([None, 0.5, 1.0, 1.1]),
        shaft=measured(rng, d + 0.005, 0.012, 14),
        housing=measured(rng, outside, 0.015, 14),
        depth=measured(rng, width + 0.2, 0.3, 3, unknown=0.5),
        fillet=measured(rng, 1.0, 0.1, 0.5, unknown=0.8),
        rotating=rng.choice(["", "inner", "inner", "outer"]),
        load=rng.choice(["", "light", "normal", "heavy"]),
        size=(d, outside, width),
        type=kind,
        ring=rng.choice([None, None, None, "complete", "cone"]),
        snap=rng.choice([None, "yes", "yes", "no"]),
        corner=rng.choice([None, 0.3, 0.6, 1.0, 1.1]),
        inch=rng.random() < 0.15,
    )


def judged(cases: list[Case]) -> Judgement:
    """Judge the cases as columns."""
    old = [named([None if c.old is None else c.old[i] for c in cases]) for i in range(3)]
    need = Need(
        KIND,
        np.zeros(len(cases), dtype=np.int8),
        part={
            "bore_diameter": old[0],
            "outside_diameter": old[1],
            "width": old[2],
            "corner": named([c.old_corner for c in cases]),
        },
        place={
            name: place([getattr(c, name) for c in cases])
            for name in ("shaft", "housing", "depth", "fillet")
        },
        service={
            "rotating": texts([c.rotating for c in cases]),
            "load": texts([c.load for c in cases]),
        },
        traits={
            "bearing_type": codes([c.old_type for c in cases], WORDS["bearing_type"]),
            "ring": codes([c.old_ring for c in cases], WORDS["ring"]),
            "snap_ring": codes([c.old_snap for c in cases], WORDS["snap_ring"]),
        },
    )
    part = Part(
        KIND,
        np.array([c.inch for c in cases], dtype=np.int8),
        {
            name: floats([c.size[i] for c in cases])
            for i, name in enumerate(("bore_diameter", "outside_diameter", "width"))
        }
        | {"corner": floats([c.corner for c in cases])},
        {
            "bearing_type": codes([c.type for c in cases], WORDS["bearing_type"]),
            "ring": codes([c.ring for c in cases], WORDS["ring"]),
            "snap_ring": codes([c.snap for c in cases], WORDS["snap_ring"]),
        },
    )
    return judge(need, part)


def test_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""
    seen = compare(random_case, plainly, judged, seed=492)
    assert {("as is", "sure"), ("as is", "likely"), ("as is", "assumed")} <= seen
    assert {("with spacer", "likely"), ("alter the machine", "likely")} <= seen


def test_the_oracle_has_the_collected_zones() -> None:
    """The oracle's own zones agree with the collected rows of ISO 286-2 (sources beside them)."""
    used = {
        *("h5", "j5", "j6", "k5", "k6", "m5", "m6", "n6", "p6", "r6", "g6", "h6", "s6", "e7"),
        *("g7", "M7", "K7", "N7", "P7", "J7", "G7", "H7", "H8"),
    }
    compared = 0
    for row in rows("iso286_zones.csv"):
        if row["zone"] in used and not (row["zone"] == "j5" and float(row["nominal_mm"]) > 250):
            lower, upper = zone(float(row["nominal_mm"]), row["zone"])
            assert (round(1000 * lower), round(1000 * upper)) == (
                int(row["lower_um"]),
                int(row["upper_um"]),
            ), row
            compared += 1
    assert compared > 200
