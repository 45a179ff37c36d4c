"""The windows for candidates lose nothing: the search against judging every pair.

Catalogues are random but near their needs, in every kind; sizes reach beyond
what any check allows, so that the windows have something to leave out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest

from xref.fits.judgement import DOES_NOT_FIT
from xref.fits.quantity import NOMINAL, Quantity
from xref.kinds.base import Need, Part
from xref.kinds.spec import spec
from xref.matching import engine, rank
from xref.matching.candidates import BySize, pairs
from xref.matching.engine import MISSES_SHOWN, NEAR_MISSES, Ranked, Support, search
from xref.matching.judging import judge_of, judge_pairs

NEEDS, PARTS = 24, 400
EVERYTHING = 10_000


@dataclass(frozen=True)
class Around:
    """A kind's needs: sizes of old parts, places by the dimension each is near, spread [mm]."""

    kind: str
    need_kind: str
    sizes: tuple[tuple[str, float, float], ...]
    places: tuple[tuple[str, str, float], ...]
    traits: tuple[str, ...] = ()


KINDS = (
    Around(
        "shaft_seal",
        "shaft_seal",
        (("shaft_diameter", 40, 8), ("outside_diameter", 60, 9), ("width", 8, 3)),
        (("shaft", "shaft_diameter", 0), ("housing", "outside_diameter", 0), ("depth", "width", 1)),
        ("case",),
    ),
    Around(
        "rolling_bearing",
        "rolling_bearing",
        (("bore_diameter", 40, 8), ("outside_diameter", 80, 9), ("width", 18, 3)),
        (("shaft", "bore_diameter", 0), ("housing", "outside_diameter", 0), ("depth", "width", 1)),
        ("bearing_type", "ring"),
    ),
    Around(
        "plain_bushing",
        "plain_bushing",
        (("bore_diameter", 25, 6), ("outside_diameter", 34, 10), ("length", 30, 8)),
        (("shaft", "bore_diameter", 0), ("housing", "outside_diameter", 0), ("depth", "length", 1)),
        ("material", "form"),
    ),
    Around(
        "plain_bushing",
        "plain_bushing",
        (("bore_diameter", 270, 2), ("outside_diameter", 300, 2), ("length", 100, 4)),
        (("shaft", "bore_diameter", -0.9), ("housing", "outside_diameter", 0)),
        ("material",),
    ),
    Around(
        "bushing_blank",
        "plain_bushing",
        (("bore_diameter", 25, 12), ("outside_diameter", 50, 40), ("length", 30, 30)),
        (("shaft", "bore_diameter", 2), ("housing", "outside_diameter", -4)),
        ("material",),
    ),
    Around(
        "thrust_washer",
        "thrust_washer",
        (("inside_diameter", 20, 2), ("outside_diameter", 36, 3), ("thickness", 2, 1.8)),
        (
            ("shaft", "inside_diameter", -0.4),
            ("housing", "outside_diameter", 0.5),
            ("gap", "thickness", 0.15),
        ),
    ),
    Around(
        "shaft_sleeve",
        "shaft_sleeve",
        (("inside_diameter", 40, 1), ("outside_diameter", 40.5, 1), ("width", 14, 3)),
        (("shaft", "inside_diameter", 0),),
    ),
    Around(
        "spacer_ring",
        "spacer_ring",
        (("inside_diameter", 40, 5), ("outside_diameter", 62, 12), ("thickness", 4, 3.5)),
        (
            ("shaft", "inside_diameter", -1),
            ("housing", "outside_diameter", 0.5),
            ("gap", "thickness", 0),
        ),
    ),
)


def sizes_near(rng: np.random.Generator, around: Around, count: int) -> dict[str, np.ndarray]:
    """Return random sizes: some by millimetres, some by hundredths from the middle."""
    made = {}
    for name, middle, spread in around.sizes:
        wide = np.round(middle + rng.uniform(-spread, spread, count), 2)
        close = np.round(middle + rng.normal(0, 0.05, count), 3)
        made[name] = np.where(rng.random(count) < 0.6, wide, close)
    return made


def a_need(rng: np.random.Generator, around: Around) -> Need:
    """Return needs, each size and place given in two of three."""
    given = sizes_near(rng, around, NEEDS)
    part = {}
    for name, values in given.items():
        known = np.where(rng.random(NEEDS) < 0.67, values, np.nan)
        part[name] = Quantity.limits(known, known, how=NOMINAL)
    place = {}
    for name, dimension, offset in around.places:
        known = np.where(rng.random(NEEDS) < 0.67, given[dimension] + offset, np.nan)
        place[name] = Quantity.measured(known, rng.choice([0.005, 0.02, 0.05], NEEDS))
    # A need with neither place nor size to start from is a question, not a search.
    first = around.sizes[0][0]
    part[first] = Quantity.limits(given[first], given[first], how=NOMINAL)
    return Need(around.need_kind, np.zeros(NEEDS, dtype=np.int8), part, place)


def a_catalogue(rng: np.random.Generator, around: Around) -> Part:
    """Return parts around the same sizes."""
    size = sizes_near(rng, around, PARTS)
    if around.kind == "shaft_sleeve":
        size["shaft_low"] = size["inside_diameter"] - 0.12
        size["shaft_high"] = size["inside_diameter"] + 0.06
    traits: dict[str, Any] = {
        name: rng.integers(-1, len(spec(around.kind).trait(name).words), PARTS).astype(np.int8)
        for name in around.traits
    }
    return Part(around.kind, (rng.random(PARTS) < 0.2).astype(np.int8), size, traits)


def grooves(rng: np.random.Generator) -> tuple[Need, Part]:
    """Return O-ring grooves of all glands, a third of them unknown, and rings around them."""
    inside, section = rng.uniform(3, 120, NEEDS), rng.choice([1.78, 2.62, 3.53, 5.33, 8.0], NEEDS)
    gland = rng.choice(["piston", "rod", "face"], NEEDS).astype("<U24")
    deep = section * rng.uniform(0.65, 0.95, NEEDS)
    piston = gland == "piston"
    groove = np.where(piston, inside * 1.02, inside + 2 * section)
    mating = groove + np.where(piston, 2, -2) * deep
    groove = np.where(rng.random(NEEDS) < 0.67, groove, np.nan)
    part = {
        "inside_diameter": Quantity.limits(inside, inside, how=NOMINAL),
        "cross_section": Quantity.limits(section, section, how=NOMINAL),
    }
    place = {
        "groove_diameter": Quantity.measured(groove, 0.02),
        "mating_diameter": Quantity.measured(np.where(mating > 0, mating, np.nan), 0.05),
        "groove_width": Quantity.measured(section * 1.35, 0.05),
    }
    need = Need("o_ring", np.zeros(NEEDS, dtype=np.int8), part, place, {"gland": gland})
    pick = rng.integers(0, NEEDS, PARTS)
    rings = {
        "inside_diameter": np.round(inside[pick] * rng.choice([1, 1, rng.uniform(0.9, 1.1)]), 2)
        + rng.choice([0, 0, -0.5, 0.5, -2], PARTS),
        # Beyond the tables (8.5 mm) nothing can be checked, so nothing can fail either.
        "cross_section": np.minimum(
            np.round(section[pick] * rng.uniform(0.8, 1.25, PARTS), 2), 8.5
        ),
    }
    rings["inside_diameter"] = np.maximum(rings["inside_diameter"], 0.5)
    same = rng.random(PARTS) < 0.3
    rings["inside_diameter"][same] = inside[pick][same]
    rings["cross_section"][same] = section[pick][same]
    return need, Part("o_ring", np.zeros(PARTS, dtype=np.int8), rings)


def everything(kind: str, need: Need, part: Part) -> list[list[int]]:
    """Judge all pairs; for every need its fitting parts, best first."""
    need_rows = np.repeat(np.arange(NEEDS), PARTS)
    part_rows = np.tile(np.arange(PARTS), NEEDS)
    judged, _, _, use = judge_pairs(kind, need, part, need_rows, part_rows)
    assert len(use) == len(judged)  # no system is unclear here
    none = Support({}).of(need_rows, part_rows)
    keys = rank.columns(judged, none, np.zeros(len(use), dtype=np.intp), part_rows)
    order = rank.order(keys, need_rows)
    fits = judged.verdict[order] != DOES_NOT_FIT
    found: list[list[int]] = [[] for _ in range(NEEDS)]
    for row in order[fits].tolist():
        found[row // PARTS].append(row % PARTS)
    return found


def searched(kind: str, need: Need, part: Part, top: int) -> list[list[int]]:
    """Search the same; for every need its fitting parts in the order shown."""
    ranked: list[Ranked[None]] = search(
        kind, need, part, names=np.arange(PARTS), top=top, tell=lambda *_: None
    )
    found: list[list[int]] = [[] for _ in range(NEEDS)]
    for one in ranked:
        if one.fits:
            found[one.need_row].append(one.part_row)
    return found


def invented(around: Around | None, seed: int) -> tuple[str, Need, Part]:
    """Return needs and a catalogue of a kind, or of O-rings and grooves for None."""
    rng = np.random.default_rng(seed)
    if around is None:
        return "o_ring", *grooves(rng)
    return around.kind, a_need(rng, around), a_catalogue(rng, around)


EVERY_KIND = pytest.mark.parametrize(
    "around", [*KINDS, None], ids=lambda a: f"{a.kind} {a.sizes[0][1]}" if a else "o_ring"
)


@pytest.mark.parametrize("seed", range(4))
@EVERY_KIND
def test_no_part_that_fits_is_lost(around: Around | None, seed: int) -> None:
    """With a large top every fitting part is found; with a small one the best ones, in order."""
    kind, need, part = invented(around, seed)
    complete = everything(kind, need, part)
    assert sum(map(len, complete)) > 20, "nothing to lose"
    assert sum(map(len, complete)) < NEEDS * PARTS * 0.9, "nothing to leave out"
    found = searched(kind, need, part, EVERYTHING)
    lost = [sorted(set(all_) - set(got)) for all_, got in zip(complete, found, strict=True)]
    assert lost == [[] for _ in range(NEEDS)]
    assert found == complete
    for top in (1, 3, 10):
        assert searched(kind, need, part, top) == [row[:top] for row in complete], top


@pytest.mark.parametrize("seed", range(2))
@EVERY_KIND
def test_each_pair_is_judged_once_and_the_misses_are_the_nearest(
    around: Around | None, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The windows hold one another; what a narrow stage judged is kept by the wider ones."""
    kind, need, part = invented(around, seed)
    seen: list[tuple[int, int]] = []

    def noted(kind: str, need: Need, part: Part, need_rows: Any, part_rows: Any) -> Any:
        seen.extend(zip(need_rows.tolist(), part_rows.tolist(), strict=True))
        return judge_pairs(kind, need, part, need_rows, part_rows)

    monkeypatch.setattr(engine, "judge_pairs", noted)
    ranked: list[Ranked[None]] = search(
        kind, need, part, names=np.arange(PARTS), top=EVERYTHING, tell=lambda *_: None
    )
    widest = [
        pair
        for need_rows, part_rows in pairs(
            judge_of(kind).windows(need, NEAR_MISSES), BySize(part), np.arange(NEEDS)
        )
        for pair in zip(need_rows.tolist(), part_rows.tolist(), strict=True)
    ]
    assert len(seen) == len(set(seen))
    assert set(seen) == set(widest)
    need_rows, part_rows = (np.array(rows) for rows in zip(*widest, strict=True))
    judged, _, _, use = judge_pairs(kind, need, part, need_rows, part_rows)
    none = Support({}).of(need_rows, part_rows)
    keys = rank.columns(judged, none, np.zeros(len(use), dtype=np.intp), part_rows)
    missing: list[list[int]] = [[] for _ in range(NEEDS)]
    for row in rank.order(keys, need_rows).tolist():
        if judged.verdict[row] == DOES_NOT_FIT:
            missing[need_rows[row]].append(int(part_rows[row]))
    found: list[list[int]] = [[] for _ in range(NEEDS)]
    for one in ranked:
        if not one.fits:
            found[one.need_row].append(one.part_row)
    assert sum(map(len, found)) > NEEDS
    assert found == [rows[:MISSES_SHOWN] for rows in missing]
