"""A plain worst-case judge of shaft seals, written from the rules alone: no numpy, no shared code.

It reads the collected standards in tests/sources, not the program's tables, and
knows intervals only: no probabilities. Cases on which it and the judge differ
are bugs in one of them.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

SOURCES = Path(__file__).parents[1] / "sources"
EPS = 1e-6
PASS, LIKELY, DOUBTFUL, FAIL, OPEN = "pass", "likely", "doubtful", "fail", "not checked"


def _rows(file: str) -> list[dict[str, str]]:
    with (SOURCES / file).open(encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


_PLACES = [r for r in _rows("seal_shaft_and_bore.csv") if r["upper_dev"]]
_OUTSIDES = [r for r in _rows("seal_tolerances.csv") if not r["standard"].startswith("DIN")]


@dataclass
class Interval:
    """low..high with the best estimate; `by_name` when nobody measured it."""

    low: float
    high: float
    best: float
    by_name: bool = False


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


def standing(actual: Interval, low: float, high: float) -> str:
    """Where an interval stands against a permitted one."""
    outside = actual.best < low - EPS or actual.best > high + EPS
    if actual.high < low - EPS or actual.low > high + EPS or (outside and actual.by_name):
        return FAIL
    if outside:
        return DOUBTFUL
    if actual.low < low - EPS or actual.high > high + EPS:
        return LIKELY
    return PASS


@dataclass
class Case:
    """One need and one seal; None is not known."""

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


def judge(case: Case) -> tuple[str, str, dict[str, str]]:
    """Return verdict, certainty and the results of the three checks after any work."""
    shaft = case.shaft or _named("shaft", case.old and case.old[0], case.old_inch)
    housing = case.housing or _named("bore", case.old and case.old[1], case.old_inch)
    results: dict[str, str] = {}
    work = 0
    fits = True

    limits = place_of("shaft", case.d1, case.inch)
    if shaft is None or limits is None:
        results["shaft"] = OPEN
    else:
        results["shaft"] = standing(shaft, *limits)
        if results["shaft"] == FAIL:
            wall = (case.d1 - shaft.best) / 2
            below = shaft.best < limits[0]
            if below and (wall <= 0.3 + EPS or 1.5 - EPS <= wall <= 6.0 + EPS):
                work += 1
            else:
                fits = False

    limits = place_of("bore", case.bore, case.inch)
    if housing is None or limits is None:
        results["housing"] = OPEN
    else:
        low, high = limits
        results["housing"] = standing(housing, low, high)
        if results["housing"] == FAIL and housing.best > high:
            least = outside_low(case.bore, case.inch)
            wall = (housing.best - case.bore) / 2
            if case.rubber and least is not None and least - housing.high > EPS:
                results["housing"] = DOUBTFUL
            elif 1.5 - EPS <= wall <= 6.0 + EPS:
                work += 1
            elif wall < 1.5 and case.bore + 3.0 - housing.best <= 2.0 + EPS:
                work += 2
            else:
                fits = False
        elif results["housing"] == FAIL:
            if high - housing.best <= 2.0 + EPS:
                work += 1
            else:
                fits = False

    results["width"] = OPEN
    width_required = False
    if case.depth is not None:
        width_required = True
        tolerance = _width_tolerance(case.width, case.inch)
        if tolerance is not None:
            need = case.width + tolerance
            results["width"] = standing(case.depth, need, float("inf"))
            if results["width"] == FAIL:
                if need - case.depth.best <= 5.0 + EPS:
                    work += 1
                else:
                    fits = False
    elif case.old is not None:
        width_required = True
        wider = case.width - case.old[2]
        if wider <= EPS:
            results["width"] = PASS
        elif wider > 0.9 + EPS:
            results["width"] = FAIL
            if wider <= 5.0 + EPS:
                work += 1
            else:
                fits = False

    if not fits:
        return "does not fit", "measure first", results
    verdict = "alter the machine" if work else "as is"
    left = {name: PASS if result == FAIL else result for name, result in results.items()}
    open_required = [
        name
        for name, result in left.items()
        if result == OPEN and (name != "width" or width_required)
    ]
    if DOUBTFUL in left.values() or open_required:
        certainty = "measure first"
    elif (
        (shaft is not None and shaft.by_name)
        or (housing is not None and housing.by_name)
        or (case.depth is None and left["width"] == PASS)
    ):
        certainty = "assumed"
    elif LIKELY in left.values():
        certainty = "likely"
    else:
        certainty = "sure"
    return verdict, certainty, left


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
