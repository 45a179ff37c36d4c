"""A plain worst-case judge of shaft seals, written from the rules alone: no numpy, no shared code.

It reads the collected standards in tests/sources, not the program's tables, and knows intervals
only: no probabilities. Rubbers against media are from memory, all workshop figures without a
source. Cases on which it and the judge differ are bugs in one of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from oracle_plain import (
    DOUBTFUL,
    EPS,
    FAIL,
    INF,
    MACHINE,
    OPEN,
    PASS,
    SPACER,
    Interval,
    Tested,
    rows,
    standing,
)

_PLACES = [r for r in rows("seal_shaft_and_bore.csv") if r["upper_dev"]]
_OUTSIDES = [r for r in rows("seal_tolerances.csv") if not r["standard"].startswith("DIN")]
_LIPS = rows("seal_lip_limits.csv")
SPEED = {r["material"]: float(r["max"]) for r in _LIPS if r["item"] == "maximum surface speed"}
HEAT = {
    r["material"]: (float(r["min"]), float(r["max"]))
    for r in _LIPS
    if r["item"] == "continuous temperature"
}
# PTFE lips are filled: about 200 degC in practice (the note of its row); felt as leather, memory.
HEAT |= {"PTFE": (-100.0, 200.0), "felt": HEAT["leather"]}
SPEED |= {"felt": SPEED["leather"]}
STANDARD_BAR = next(
    float(r["max"]) * 10
    for r in _LIPS
    if r["item"].startswith("maximum pressure in scope of s") and "2007" in r["item"]
)
SMALL_SHAFT_BAR = next(
    float(r["max"]) * 10 for r in _LIPS if r["item"] == "maximum pressure, shaft up to 75 mm"
)
# What a rubber suits (+), suits doubtfully (?) or does not (-), from memory; else not known.
_MEDIA = {
    "NBR": "+mineral oil +grease +water -hot water ?petrol +diesel -brake fluid +air -steam",
    "FKM": "+mineral oil +grease +water ?hot water +petrol +diesel -brake fluid +air -steam",
    "ACM": "+mineral oil +grease -water -hot water -petrol -brake fluid",
    "VMQ": "?mineral oil ?grease +water -petrol +air",
    "HNBR": "+mineral oil +grease +water +hot water ?petrol -brake fluid",
    "PTFE": "+mineral oil +grease +water +hot water +petrol +brake fluid ?steam",
    "leather": "+mineral oil +grease ?water",
}
_MARKS = {"+": PASS, "?": DOUBTFUL, "-": FAIL}


def place_of(item: str, nominal: float, inch: bool) -> tuple[float, float] | None:
    """Limits of shaft or bore for a seal of this nominal size, from the collected rows [mm]."""
    scale = 25.4 if inch else 1.0
    for row in _PLACES:
        if not row["item"].startswith(item) or (row["unit"] == "in") != inch:
            continue
        if (
            float(row["size_from_excl"]) * scale + EPS
            < nominal
            <= float(row["size_to_incl"]) * scale + EPS
        ):
            return (
                nominal + float(row["lower_dev"]) * scale,
                nominal + float(row["upper_dev"]) * scale,
            )
    return None


def outside_low(nominal: float, inch: bool) -> float | None:
    """Smallest outside diameter of a rubber-covered seal [mm]."""
    scale = 25.4 if inch else 1.0
    for row in _OUTSIDES:
        is_inch = row["standard"].startswith("RMA")
        if row["feature"] != "outside diameter" or is_inch != inch:
            continue
        if not row["seal_type"].startswith("rubber"):
            continue
        low, high = (float(row[c]) * scale for c in ("size_from_excl", "size_to_incl"))
        if low + EPS < nominal <= high + EPS:
            return nominal + float(row["lower_dev"]) * scale
    return None


@dataclass
class Case:
    """One need and one seal; None is not known, an empty word not stated."""

    old: tuple[float, float, float] | None
    old_inch: bool
    shaft: Interval | None
    housing: Interval | None
    depth: Interval | None
    d1: float
    bore: float
    width: float
    inch: bool
    rubber: bool
    lip: str | None = None
    rotation: str | None = None
    old_rotation: str | None = None
    rpm: float | None = None
    degc: float | None = None
    bar: float | None = None
    medium: str = ""
    track: tuple[float, float] | None = None


def judge(case: Case) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check came out after any work, and the levels of work."""
    work: list[int] = []
    shaft = case.shaft or _named("shaft", case.old and case.old[0], case.old_inch)
    housing = case.housing or _named("bore", case.old and case.old[1], case.old_inch)
    tested = {"shaft": _shaft(case, shaft, work)}
    sleeved = bool(work)
    tested["housing"] = _housing(case, housing, work)
    tested["width"] = _width(case, work)
    if case.track is not None:
        tested["wear track"] = _track(case, *case.track, sleeved, work)
    return tested | _service(case, shaft), work


def _shaft(case: Case, shaft: Interval | None, work: list[int]) -> Tested:
    limits = place_of("shaft", case.d1, case.inch)
    if shaft is None or limits is None:
        return Tested(OPEN)
    result = standing(shaft, *limits)
    wall = (case.d1 - shaft.best) / 2
    good = wall <= 0.3 + EPS or 1.5 - EPS <= wall <= 6.0 + EPS
    if result == FAIL and shaft.best < limits[0] and good:
        work.append(MACHINE)
        result = PASS
    return Tested(result, shaft.by_name)


def _housing(case: Case, housing: Interval | None, work: list[int]) -> Tested:
    limits = place_of("bore", case.bore, case.inch)
    if housing is None or limits is None:
        return Tested(OPEN)
    low, high = limits
    result = standing(housing, low, high)
    if result == FAIL and housing.best > high:
        least = outside_low(case.bore, case.inch)
        wall = (housing.best - case.bore) / 2
        if case.rubber and least is not None and least - housing.high > EPS:
            result = DOUBTFUL
        elif 1.5 - EPS <= wall <= 6.0 + EPS:
            work.append(MACHINE)
            result = PASS
        elif wall < 1.5 and case.bore + 3.0 - housing.best <= 2.0 + EPS:
            work += [MACHINE, MACHINE]
            result = PASS
    elif result == FAIL and high - housing.best <= 2.0 + EPS:
        work.append(MACHINE)
        result = PASS
    return Tested(result, housing.by_name)


def _width(case: Case, work: list[int]) -> Tested:
    if case.depth is not None:
        tolerance = _width_tolerance(case.width, case.inch)
        if tolerance is None:
            return Tested(OPEN)
        needed = case.width + tolerance
        result = standing(case.depth, needed, INF)
        if result == FAIL and needed - case.depth.best <= 5.0 + EPS:
            work.append(MACHINE)
            result = PASS
        return Tested(result)
    if case.old is None:
        return Tested(OPEN, required=False)
    wider = case.width - case.old[2]
    if wider <= EPS:
        return Tested(PASS, by_name=True)
    if wider <= 0.9 + EPS:
        return Tested(OPEN)
    if wider <= 5.0 + EPS:
        work.append(MACHINE)
        return Tested(PASS, by_name=True)
    return Tested(FAIL, by_name=True)


def _track(case: Case, position: float, worn: float, sleeved: bool, work: list[int]) -> Tested:
    """The lip sits at the same share of the new width as it did of the old (or of the pocket)."""
    base = case.old[2] if case.old is not None else case.depth.best if case.depth else None
    if base is None:
        return Tested(OPEN)
    lip = position * case.width / base
    clear = worn / 2 + 1.0
    if abs(lip - position) >= clear - EPS or sleeved:
        return Tested(PASS, by_name=True)
    shift = clear - (lip - position)
    pocket = case.depth.low if case.depth is not None else base
    tolerance = _width_tolerance(case.width, case.inch)
    moves = tolerance is not None and pocket - case.width - tolerance >= shift - EPS
    work.append(SPACER if moves and shift > 0 else MACHINE)
    return Tested(PASS, by_name=True)


def _service(case: Case, shaft: Interval | None) -> dict[str, Tested]:
    tested: dict[str, Tested] = {}
    if case.rpm is not None:
        limit = SPEED.get(case.lip or "")
        tested["speed"] = Tested(OPEN)
        if shaft is not None and limit is not None:
            ends = [math.pi * d * case.rpm / 60000 for d in (shaft.low, shaft.high)]
            tested["speed"].result = standing(Interval(*ends, sum(ends) / 2), 0.0, limit)
    if case.degc is not None:
        heat = HEAT.get(case.lip or "")
        point = Interval.point(case.degc)
        tested["temperature"] = Tested(OPEN if heat is None else standing(point, *heat))
    if case.bar is not None:
        small = shaft is not None and shaft.best <= 75
        result = PASS if case.bar <= STANDARD_BAR + EPS else FAIL
        if result == FAIL and small and case.bar <= SMALL_SHAFT_BAR + EPS:
            result = DOUBTFUL
        tested["pressure"] = Tested(result)
    if case.medium:
        tested["medium"] = Tested(_suits(case.lip, case.medium))
    if case.rotation in ("clockwise", "anticlockwise"):
        same = case.rotation == case.old_rotation
        tested["rotation"] = Tested(OPEN if case.old_rotation is None else PASS if same else FAIL)
    return tested


def _suits(lip: str | None, medium: str) -> str:
    known = _MEDIA.get(lip or "", "")
    for mark, result in _MARKS.items():
        if f"{mark}{medium} " in f"{known} ":
            return result
    return OPEN


def _named(item: str, nominal: float | None, inch: bool) -> Interval | None:
    limits = None if nominal is None else place_of(item, nominal, inch)
    if limits is None:
        return None
    return Interval(limits[0], limits[1], (limits[0] + limits[1]) / 2, by_name=True)


def _width_tolerance(width: float, inch: bool) -> float | None:
    """ISO 6194-1: 0.3 to 10 mm, 0.4 to 20 mm; OS-4: 0.015 in (from memory)."""
    if width > 20.0 + EPS:
        return None
    if inch:
        return 0.381
    return 0.3 if width <= 10.0 + EPS else 0.4
