"""The judges of O-rings, washers, sleeves and spacer rings against their plain oracles."""

from __future__ import annotations

import random

import numpy as np
from oracle_cases import codes, compare, floats, measured, named, place, texts
from oracle_plain import rows
from oracle_rings import (
    FlatCase,
    RingCase,
    SleeveCase,
    judge_ring,
    judge_sleeve,
    judge_spacer,
    judge_washer,
)

from xref.fits.judgement import Judgement
from xref.kinds.base import Need, Part
from xref.kinds.o_ring.judge import judge as o_ring
from xref.kinds.shaft_sleeve.judge import judge as shaft_sleeve
from xref.kinds.spacer_ring.judge import judge as spacer_ring
from xref.kinds.spec import spec
from xref.kinds.thrust_washer.judge import judge as thrust_washer

DASHES = [(float(r["id_mm"]), float(r["cs_mm"])) for r in rows("o_ring_sizes.csv")]
MATERIALS = tuple(spec("o_ring").trait("material").words)
FLAT = ("inside_diameter", "outside_diameter", "thickness")


def random_ring(rng: random.Random) -> RingCase:
    """Make a ring and a groove near the limits of squeeze, stretch and fill."""
    inside, section = rng.choice([*DASHES, (25.0, 3.5), (40.0, 2.0), (100.0, 8.0), (90.0, 9.0)])
    gland, moving = rng.choice(["piston", "rod", "face"]), rng.random() < 0.3
    squeeze = rng.choice([rng.uniform(0.05, 0.4), rng.choice([0.08, 0.1, 0.15, 0.2, 0.3, 0.37])])
    deep = section * (1 - squeeze)
    stretch = rng.choice([rng.uniform(-0.02, 0.08), 0.0, 0.03, 0.05])
    if gland == "piston":
        groove = inside * (1 + stretch)
        mating = groove + 2 * deep
    else:
        groove = (inside + 2 * section) / (1 + stretch)
        mating = groove - 2 * deep
    wide = 0.7854 * section**2 / deep / rng.uniform(0.6, 1.05)
    old = None
    if rng.random() < 0.7:
        old = (
            inside + rng.choice([0, 0, 0.005, 0.0053, 0.5]),
            section + rng.choice([0, 0, 0, -0.005, 0.03]),
        )
    return RingCase(
        old=old,
        groove=measured(rng, groove, 0.02, 0.3, unknown=0.3),
        mating=measured(rng, mating, 0.02, 0.1, unknown=0.2) if mating > 0.2 else None,
        width=measured(rng, wide, 0.05, 0.1, unknown=0.2),
        depth=measured(rng, deep, 0.02, 0.05, unknown=0.7),
        gland=gland,
        moving=moving,
        degc=rng.choice([None, None, 60.0, 150.0, 100.0]),
        size=(inside, section),
        material=rng.choice(["NBR", "FKM", None]),
    )


def ring_columns(cases: list[RingCase]) -> tuple[Need, Part]:
    """Put the rings into the judge's columns."""
    names = ("inside_diameter", "cross_section")
    need = Need(
        "o_ring",
        np.zeros(len(cases), dtype=np.int8),
        part={
            name: named([None if c.old is None else c.old[i] for c in cases])
            for i, name in enumerate(names)
        },
        place={
            "groove_diameter": place([c.groove for c in cases]),
            "mating_diameter": place([c.mating for c in cases]),
            "groove_width": place([c.width for c in cases]),
            "depth": place([c.depth for c in cases]),
        },
        service={
            "gland": texts([c.gland for c in cases]),
            "motion": texts(["dynamic" if c.moving else "static" for c in cases]),
            "temperature": floats([c.degc for c in cases]),
        },
    )
    part = Part(
        "o_ring",
        np.zeros(len(cases), dtype=np.int8),
        {name: floats([c.size[i] for c in cases]) for i, name in enumerate(names)},
        {"material": codes([c.material for c in cases], MATERIALS)},
    )
    return need, part


def _old_flat(
    rng: random.Random, size: tuple[float, float, float]
) -> tuple[float, float, float] | None:
    if rng.random() < 0.4:
        return None
    inside, outside, thickness = size
    return (
        inside + rng.choice([0, 0, -0.5, -1, 0.5, -3]),
        outside + rng.choice([0, 0, 0.5, 1, -0.5, -4, 3]),
        thickness + rng.choice([0, 0, 0.05, -0.04, -1, 2, 0.5, -0.5]),
    )


def random_flat(rng: random.Random) -> FlatCase:
    """Make a washer or ring near the limits of its place."""
    inside = float(rng.choice([12, 20, 35, 60, 110]))
    size = (inside, inside + rng.choice([8, 16, 24]), rng.choice([0.5, 1.0, 1.5, 2.5, 3.0]))
    return FlatCase(
        old=_old_flat(rng, size),
        shaft=measured(rng, size[0] - 0.4, 0.6, 6),
        housing=measured(rng, size[1] + 0.6, 0.8, 18),
        gap=measured(rng, size[2] + 0.1, 0.12, 2.6),
        size=size,
    )


def flat_columns(cases: list[FlatCase], kind: str) -> tuple[Need, Part]:
    """Put washers or rings into the judges' columns."""
    need = Need(
        kind,
        np.zeros(len(cases), dtype=np.int8),
        part={
            name: named([None if c.old is None else c.old[i] for c in cases])
            for i, name in enumerate(FLAT)
        },
        place={
            name: place([getattr(c, name) for c in cases]) for name in ("shaft", "housing", "gap")
        },
    )
    part = Part(
        kind,
        np.zeros(len(cases), dtype=np.int8),
        {name: floats([c.size[i] for c in cases]) for i, name in enumerate(FLAT)},
    )
    return need, part


def random_sleeve(rng: random.Random) -> SleeveCase:
    """Make a sleeve near the ends of its range, its wall near thin and thick."""
    inside = round(rng.uniform(20, 100), 1)
    wall = rng.choice([0.28, 0.3, 0.31, 0.8, 1.49, 1.5, 2.0])
    stated = (inside - 0.12, inside + 0.06)
    outside = inside + 2 * wall
    return SleeveCase(
        old=rng.choice([None, inside, inside - 0.12, inside + 0.1]),
        old_outside=rng.choice([None, None, outside, inside + 0.56, outside - 0.2, outside + 0.1]),
        shaft=measured(rng, inside, 0.08, 0.5, unknown=0.3),
        size=(inside, rng.choice([None, outside, outside])),
        range=rng.choice([None, stated, stated, stated]),
    )


def sleeve_columns(cases: list[SleeveCase]) -> tuple[Need, Part]:
    """Put sleeves into the judge's columns."""
    kind = "shaft_sleeve"
    need = Need(
        kind,
        np.zeros(len(cases), dtype=np.int8),
        part={
            "inside_diameter": named([c.old for c in cases]),
            "outside_diameter": named([c.old_outside for c in cases]),
        },
        place={"shaft": place([c.shaft for c in cases])},
    )
    part = Part(
        kind,
        np.zeros(len(cases), dtype=np.int8),
        {
            "inside_diameter": floats([c.size[0] for c in cases]),
            "outside_diameter": floats([c.size[1] for c in cases]),
            "shaft_low": floats([c.range and c.range[0] for c in cases]),
            "shaft_high": floats([c.range and c.range[1] for c in cases]),
        },
    )
    return need, part


def test_o_ring_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; never any work."""

    def judged(cases: list[RingCase]) -> Judgement:
        return o_ring(*ring_columns(cases))

    seen = compare(random_ring, judge_ring, judged, seed=3601)
    assert {("as is", c) for c in ("sure", "likely", "assumed", "measure first")} <= seen
    assert {verdict for verdict, _ in seen} == {"as is", "does not fit"}


def test_washer_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""

    def judged(cases: list[FlatCase]) -> Judgement:
        return thrust_washer(*flat_columns(cases, "thrust_washer"))

    seen = compare(random_flat, judge_washer, judged, seed=20)
    assert {(v, "sure") for v in ("as is", "with spacer", "alter the part")} <= seen


def test_spacer_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""

    def judged(cases: list[FlatCase]) -> Judgement:
        return spacer_ring(*flat_columns(cases, "spacer_ring"))

    seen = compare(random_flat, judge_spacer, judged, seed=21)
    assert {("as is", "sure"), ("alter the part", "sure"), ("alter the part", "assumed")} <= seen


def test_sleeve_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""

    def judged(cases: list[SleeveCase]) -> Judgement:
        return shaft_sleeve(*sleeve_columns(cases))

    seen = compare(random_sleeve, judge_sleeve, judged, seed=22)
    assert {("as is", c) for c in ("sure", "likely", "assumed", "measure first")} <= seen
