"""Plain worst-case judges of O-rings, thrust washers, shaft sleeves and spacer rings (FITS 2, 6).

O-ring tolerances: tests/sources/o_ring_sizes.csv (ISO 3601-1 class A, two texts
agree) and the class B formula; squeeze: Kutz, Mechanical Engineers' Handbook 3
with lower bounds from practice; temperatures: Tribology Handbook B23. All other
figures: workshop practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oracle_plain import (
    EPS,
    FAIL,
    OPEN,
    PART,
    PASS,
    SPACER,
    Interval,
    Tested,
    rows,
    standing,
)
from pressfit.tables import it_value

_CLASS_A = {
    (float(row["id_mm"]), float(row["cs_mm"])): float(row["id_tol_mm"])
    for row in rows("o_ring_sizes.csv")
}
_SECTION = ((2.7, 0.08), (3.6, 0.10), (5.4, 0.13), (7.1, 0.15), (8.5, 0.18))
_HEAT = {"NBR": (-40, 100), "FKM": (-30, 200)}


@dataclass
class RingCase:
    """One groove or old ring and one O-ring; None is not known."""

    old: tuple[float, float] | None
    groove: Interval | None
    mating: Interval | None
    width: Interval | None
    depth: Interval | None
    gland: str
    moving: bool
    degc: float | None
    size: tuple[float, float]
    material: str | None


def _depth(case: RingCase) -> Interval | None:
    if case.depth is not None:
        return case.depth
    if case.groove is None or case.mating is None:
        return None
    half = (case.mating.best - case.groove.best) / 2
    if case.gland == "rod":
        half = -half
    elif case.gland == "face":
        half = abs(half)
    # U of half a difference (JCGM 100, 5.1)
    u = math.hypot(case.mating.high - case.mating.best, case.groove.high - case.groove.best) / 2
    return Interval(half - u, half + u, half)


def judge_ring(case: RingCase) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of an O-ring came out; a ring is never worked on."""
    inside, section = case.size
    depth, groove = _depth(case), case.groove
    tested: dict[str, Tested] = {}
    if groove is not None and depth is not None:
        tolerance = next((t for end, t in _SECTION if section <= end + EPS), None)
        thin, thick = section - (tolerance or 0), section + (tolerance or 0)
        slack = _CLASS_A.get(case.size, 0.009 * inside**0.95 + 0.11)
        small, large = inside - slack, inside + slack
        outer = case.gland in ("rod", "face")
        little = section <= 2.0 + EPS
        if case.moving:
            span = (8.0, 28.0 if little else 20.0)
        else:
            span = (15.0 if case.gland == "face" else 10.0, 37.0 if little else 30.0)
        squeeze = Interval(
            100 * (1 - depth.high / thin),
            100 * (1 - depth.low / thick),
            100 * (1 - depth.best / section),
        )
        if outer:
            stretch = Interval(
                100 * ((small + 2 * thin) / groove.high - 1),
                100 * ((large + 2 * thick) / groove.low - 1),
                100 * ((inside + 2 * section) / groove.best - 1),
            )
        else:
            stretch = Interval(
                100 * (groove.low / large - 1),
                100 * (groove.high / small - 1),
                100 * (groove.best / inside - 1),
            )
        known = tolerance is not None
        tested["squeeze"] = Tested(standing(squeeze, *span) if known else OPEN)
        stretched = standing(stretch, 0.0, 3.0 if outer else 5.0)
        tested["stretch"] = Tested(stretched if known or not outer else OPEN)
        tested["fill"] = Tested(OPEN)
        if case.width is not None and known:
            fill = [
                25 * math.pi * c * c / (d * w)
                for c, d, w in (
                    (thin, depth.high, case.width.high),
                    (thick, depth.low, case.width.low),
                    (section, depth.best, case.width.best),
                )
            ]
            tested["fill"] = Tested(standing(Interval(*fill), 0.0, 85.0))
    else:
        for i, name in enumerate(("inside diameter", "cross section")):
            if case.old is None:
                tested[name] = Tested(OPEN)
            else:
                same = abs(case.old[i] - case.size[i]) <= 0.005 + EPS
                tested[name] = Tested(PASS if same else FAIL, by_name=True)
    if case.degc is not None:
        heat = _HEAT.get(case.material or "")
        tested["temperature"] = Tested(
            OPEN if heat is None else standing(Interval.point(case.degc), *heat)
        )
    return tested, []


@dataclass
class FlatCase:
    """One place or old part and one washer or ring: inside, outside, thickness."""

    old: tuple[float, float, float] | None
    shaft: Interval | None
    housing: Interval | None
    gap: Interval | None
    size: tuple[float, float, float]


def _from_old(case: FlatCase, place: Interval | None, position: int) -> Interval | None:
    if place is not None or case.old is None:
        return place
    return Interval.point(case.old[position], by_name=True)


def judge_washer(case: FlatCase) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of a thrust washer came out, and the levels of work."""
    inside, outside, thickness = case.size
    work: list[int] = []
    shaft = _from_old(case, case.shaft, 0)
    tested = {"inside": _tested(shaft, inside - 1.0, inside)}
    recess = _from_old(case, case.housing, 1)
    if case.housing is not None:
        tested["outside"] = _tested(recess, outside, outside + 2.0)
    else:
        tested["outside"] = _tested(recess, outside - EPS, outside + 1.0)
        tested["outside"].required = recess is not None
    gap = _from_old(case, case.gap, 2)
    if gap is None:
        return {**tested, "thickness": Tested(OPEN)}, work
    if gap.by_name:
        wanted, low, high = gap.best, -0.05, 0.05
    else:
        # made to +0/-0.05, it leaves an end float of 0.05 to 0.25
        wanted, low, high = gap.best - 0.15, 0.05 + 0.05, 0.25 - 0.05
    axial = standing(gap, thickness + low, thickness + high)
    excess = thickness - wanted
    if axial == FAIL and EPS < excess <= 1.0 + EPS:
        work.append(PART)
    elif axial == FAIL and EPS < -excess <= 2.0 + EPS:
        work.append(SPACER)
    if work:
        # worked to `wanted`, +0/-0.05: the float then is gap - wanted .. gap - wanted + 0.05
        least = wanted - 0.05 if gap.by_name else wanted + 0.05
        most = wanted + 0.05 if gap.by_name else wanted + 0.25 - 0.05
        axial = standing(gap, least, most)
    tested["thickness"] = Tested(axial, gap.by_name)
    return tested, work


def judge_spacer(case: FlatCase) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of a spacer ring came out; cut smaller and thinner, never larger."""
    inside, outside, thickness = case.size
    work: list[int] = []
    tested = {"inside": _tested(_from_old(case, case.shaft, 0), inside - 4.0, inside)}
    housing = _from_old(case, case.housing, 1)
    tested["outside"] = _tested(housing, outside, outside + 4.0)
    failed = tested["outside"].result == FAIL
    if failed and housing is not None and 0 < outside - housing.best <= 15.0 + EPS:
        work.append(PART)  # to the lowest the housing may be
        tested["outside"].result = standing(housing, housing.low, housing.low + 4.0)
    gap = _from_old(case, case.gap, 2)
    tested["thickness"] = _tested(gap, thickness - 0.05, thickness + 0.05)
    failed = tested["thickness"].result == FAIL
    if failed and gap is not None and 0 < thickness - gap.best <= 15.0 + EPS:
        work.append(PART)
        tested["thickness"].result = standing(gap, gap.best - 0.05, gap.best + 0.05)
    return tested, work


@dataclass
class SleeveCase:
    """One shaft and one repair sleeve: inside, outside, and the range its maker states.

    `old` and `old_outside` are the old sleeve's own sizes.
    """

    old: float | None
    old_outside: float | None
    shaft: Interval | None
    size: tuple[float, float | None]
    range: tuple[float, float] | None


def judge_sleeve(case: SleeveCase) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of a sleeve came out: its range, and a wall thin or thick.

    Without a range it is named by its shaft, to 0.1 mm. Unless both sleeves are thin (0.3 mm) the
    old one's outside is held to h11 of the new one's: a seal is made for it (ISO 6194-1).
    """
    shaft = case.shaft
    if shaft is None and case.old is not None:
        shaft = Interval.point(case.old, by_name=True)
    tested = {"shaft": Tested(OPEN) if case.range is None else _tested(shaft, *case.range)}
    inside, outside = case.size
    if outside is None:
        tested["wall"] = Tested(OPEN, required=False)
    else:
        wall = (outside - inside) / 2
        good = wall <= 0.3 + EPS or wall >= 1.5 - EPS
        tested["wall"] = Tested(PASS if good else FAIL)
    if case.range is None and shaft is not None:
        tested["inside"] = _tested(shaft, inside - 0.1, inside + 0.1)
    if case.old_outside is not None:
        on = case.old if case.old is not None else None if shaft is None else shaft.best
        both_thin = outside is not None and (outside - inside) / 2 <= 0.3 + EPS
        both_thin &= on is not None and (case.old_outside - on) / 2 <= 0.3 + EPS
        was = Interval.point(case.old_outside, by_name=True)
        if outside is None:
            tested["outside"] = Tested(OPEN)
        elif not both_thin:
            it11 = it_value(outside, 11) / 1000
            tested["outside"] = _tested(was, outside - it11, outside + it11)
    return tested, []


def _tested(actual: Interval | None, low: float, high: float) -> Tested:
    return Tested(standing(actual, low, high), actual is not None and actual.by_name)
