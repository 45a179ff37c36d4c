"""The vectorised judges of bushings and blanks against the plain worst-case oracle."""

from __future__ import annotations

import random

import numpy as np
from oracle_bushing import Case, judge_blank, judge_blank_itself
from oracle_bushing import judge as plainly
from oracle_cases import codes, compare, floats, measured, named, place, texts

from xref.fits.judgement import Judgement
from xref.kinds.base import Need, Part
from xref.kinds.bushing_blank.judge import judge as blank_judge
from xref.kinds.plain_bushing.judge import judge
from xref.kinds.spec import spec

KIND = "plain_bushing"
FORMS = tuple(spec(KIND).trait("form").words)
MATERIALS = ["bronze", "bronze", "porous bronze", "steel-backed", None]


def _old(rng: random.Random, size: tuple[float, float, float]) -> tuple[float, float, float] | None:
    if rng.random() < 0.4:
        return None
    d, outside, length = size
    return (
        d + rng.choice([0, 0, 0, 0.03, -0.02, 0.5, 2, -1]),
        outside + rng.choice([0, 0, 0, -0.05, -2, -4, 4, 8]),
        length + rng.choice([0, 0, 0, -3, 0.2, 0.6, 5, -12]),
    )


def random_case(rng: random.Random) -> Case:
    """Make a bush near the limits of its place."""
    d = float(rng.choice([6, 10, 14, 18, 25, 30, 40, 50, 51, 65, 80, 120, 140, 160]))
    outside = d + rng.choice([2, 4, 6, 7, 10, 12, 20])
    length = float(rng.choice([6, 10, 20, 30, 40, 80]))
    size = (d, outside, length)
    return Case(
        old=_old(rng, size),
        old_form=rng.choice([None, None, "plain", "flanged"]),
        shaft=measured(rng, d - 0.0015 * d, 0.002 * d, 8, unknown=0.25),
        housing=measured(rng, outside + 0.01, 0.03, 18),
        depth=measured(rng, length, 0.3, 8, unknown=0.5),
        load_n=rng.choice([None, None, None, 500.0, 4000.0, 20_000.0]),
        rpm=rng.choice([None, None, 0.0, 50.0, 500.0]),
        size=size,
        material=rng.choice(MATERIALS),
        form=rng.choice([None, None, None, "plain", "flanged"]),
        inch=rng.random() < 0.15,
        load=rng.choice(["", "", "light", "normal", "heavy"]),
        dirt=rng.random() < 0.3,
    )


def random_blank(rng: random.Random) -> Case:
    """Make a blank near the stock its place needs."""
    d = float(rng.choice([8, 12, 20, 25, 40, 60, 100]))
    outside = d + rng.choice([4, 7, 10, 20])
    length = float(rng.choice([10, 30, 60]))
    size = (
        d + rng.choice([-0.5, -0.45, -0.3, -2, 0.2, -6]),
        outside + rng.choice([0.5, 0.55, 0.6, 0.3, 2, 8, 41]),
        length + rng.choice([0, 0, 5, -1]),
    )
    place_of = (d, outside, length)
    return Case(
        old=_old(rng, place_of),
        old_form=None,
        shaft=measured(rng, d - 0.03, 0.05, 2),
        housing=measured(rng, outside, 0.04, 2),
        depth=measured(rng, length, 0.3, 3, unknown=0.5),
        load_n=None,
        rpm=rng.choice([None, 0.0, 300.0]),
        size=size,
        material=rng.choice([*MATERIALS, "bronze", "cast iron"]),
        form=None,
        load=rng.choice(["", "normal", "heavy"]),
        dirt=rng.random() < 0.3,
    )


def random_blank_itself(rng: random.Random) -> Case:
    """Make a blank near an old one in each size."""
    old = (float(rng.choice([0.5, 12, 40])), float(rng.choice([50, 80])), 100.0)
    near = (0, 0, 0, 0.04, -0.04, 0.06, -0.06, 3, -3, 39.9, 40.1)
    core, outside, length = old
    return Case(
        old=old,
        old_form=None,
        shaft=None,
        housing=None,
        depth=measured(rng, length, 0.3, 3, unknown=0.5),
        load_n=None,
        rpm=None,
        size=(
            max(core + rng.choice(near[:9]), 0.1),
            outside + rng.choice(near),
            length + rng.choice(near),
        ),
        material=rng.choice([*MATERIALS, "cast iron"]),
        form=None,
    )


def columns(cases: list[Case], kind: str, wanted: str = KIND) -> tuple[Need, Part]:
    """Put the cases into the judges' columns."""
    names = ("bore_diameter", "outside_diameter", "length")
    need = Need(
        wanted,
        np.zeros(len(cases), dtype=np.int8),
        part={
            name: named([None if c.old is None else c.old[i] for c in cases])
            for i, name in enumerate(names)
        },
        place={
            name: place([getattr(c, name) for c in cases]) for name in ("shaft", "housing", "depth")
        },
        service={
            "load_n": floats([c.load_n for c in cases]),
            "rpm": floats([c.rpm for c in cases]),
            "load": texts([c.load for c in cases]),
            "dirt": texts(["yes" if c.dirt else "" for c in cases]),
        },
        traits={"form": codes([c.old_form for c in cases], FORMS)} if wanted == KIND else {},
    )
    traits = {"material": codes([c.material for c in cases], _materials(kind))}
    if kind == KIND:
        traits["form"] = codes([c.form for c in cases], FORMS)
    part = Part(
        kind,
        np.array([c.inch for c in cases], dtype=np.int8),
        {name: floats([c.size[i] for c in cases]) for i, name in enumerate(names)},
        traits,
    )
    return need, part


def _materials(kind: str) -> tuple[str, ...]:
    return tuple(spec(kind).trait("material").words)


def test_bush_judge_agrees_with_the_plain_oracle() -> None:
    """Same verdict, certainty and results in every random case; every outcome occurs."""

    def judged(cases: list[Case]) -> Judgement:
        return judge(*columns(cases, KIND))

    seen = compare(random_case, plainly, judged, seed=4379)
    for verdict in ("as is", "with spacer", "alter the part", "alter the machine"):
        assert (verdict, "sure") in seen
    assert ("as is", "likely") in seen


def test_blank_judge_agrees_with_the_plain_oracle() -> None:
    """Same for blanks: stock left on outside, core and length, wall, press and clearance after."""

    def judged(cases: list[Case]) -> Judgement:
        return blank_judge(*columns(cases, "bushing_blank"))

    seen = compare(random_blank, judge_blank, judged, seed=2795)
    assert {("alter the part", "sure"), ("alter the part", "likely")} <= seen
    assert not any(verdict in ("as is", "with spacer") for verdict, _ in seen)


def test_blank_for_a_blank_agrees_with_the_plain_oracle() -> None:
    """Same for a blank wanted by its own sizes: as it is, or cut down, or not."""

    def judged(cases: list[Case]) -> Judgement:
        return blank_judge(*columns(cases, "bushing_blank", "bushing_blank"))

    seen = compare(random_blank_itself, judge_blank_itself, judged, seed=36)
    assert {("as is", "assumed"), ("alter the part", "assumed")} <= seen
    assert ("does not fit", "measure first") in seen
