"""What the plain worst-case oracles share: intervals, results, the verdict, ISO 286 zones.

Nothing here is the program's: deviations come from the package pressfit 0.1.0
(IT5 to IT11, the letters it knows) and from short tables of ISO 286-2 below.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import pressfit
from pressfit.tables import it_value, shaft_deviation

SOURCES = Path(__file__).parents[1] / "sources"
EPS = 1e-6
PASS, LIKELY, DOUBTFUL, FAIL, OPEN = "pass", "likely", "doubtful", "fail", "not checked"
VERDICTS = ("as is", "with spacer", "alter the part", "alter the machine", "does not fit")
SPACER, PART, MACHINE = 1, 2, 3
INF = float("inf")

assert pressfit.__name__ == "pressfit"


@dataclass
class Interval:
    """low..high with the best estimate; `by_name` when nobody measured it."""

    low: float
    high: float
    best: float
    by_name: bool = False

    @classmethod
    def point(cls, value: float, by_name: bool = False) -> Interval:
        """Return one value."""
        return cls(value, value, value, by_name)


@dataclass
class Tested:
    """How one check came out."""

    result: str
    by_name: bool = False
    required: bool = True


def standing(actual: Interval | None, low: float, high: float) -> str:
    """Where an interval stands against a permitted one (FITS 1)."""
    if actual is None:
        return OPEN
    outside = actual.best < low - EPS or actual.best > high + EPS
    if actual.high < low - EPS or actual.low > high + EPS or (outside and actual.by_name):
        return FAIL
    if outside:
        return DOUBTFUL
    if actual.low < low - EPS or actual.high > high + EPS:
        return LIKELY
    return PASS


def conclude(tested: dict[str, Tested], work: list[int]) -> tuple[str, str]:
    """Verdict and certainty (FITS 2; the words of certainty as the contract has them)."""
    results = [one.result for one in tested.values()]
    if FAIL in results:
        return "does not fit", "measure first"
    verdict = VERDICTS[max(work, default=0)]
    if DOUBTFUL in results or any(t.result == OPEN and t.required for t in tested.values()):
        return verdict, "measure first"
    if any(t.by_name and t.result != OPEN for t in tested.values()):
        return verdict, "assumed"
    return verdict, "likely" if LIKELY in results else "sure"


def rows(file: str) -> list[dict[str, str]]:
    """Return the rows of a collected file."""
    with (SOURCES / file).open(encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


# ISO 286-2, from memory, for what pressfit does not give; micrometres by upper end of the step.
_STEPS = (3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
_IT13 = (140, 180, 220, 270, 330, 390, 460, 540, 630, 720, 810, 890, 970)
_J5 = ((2, -2), (3, -2), (4, -2), (5, -3), (5, -4), (6, -5), (6, -7), (6, -9), (7, -11), (7, -13))
_J6 = ((4, -2), (6, -2), (7, -2), (8, -3), (9, -4), (11, -5), (12, -7), (13, -9), (14, -11))
_J6 += ((16, -13), (16, -16), (18, -18), (20, -20))
_J7_HOLE = (4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43)
_R_STEPS = (3, 6, 10, 18, 30, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355)
_R_STEPS += (400, 450, 500)
_R = (10, 15, 19, 23, 28, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132)


def _step(size: float, ends: tuple[int, ...]) -> int:
    return next(i for i, end in enumerate(ends) if size <= end)


def _grade(size: float, grade: int) -> float:
    return _IT13[_step(size, _STEPS)] if grade == 13 else it_value(size, grade)


def _lower_of_shaft(size: float, letter: str, grade: int) -> float:
    return _R[_step(size, _R_STEPS)] if letter == "r" else shaft_deviation(size, letter, grade)


def zone(size: float, name: str) -> tuple[float, float]:
    """Lower and upper deviation [mm] of a zone, from the rules and short tables above."""
    letter, grade = name[0], int(name[1:])
    width = _grade(size, grade)
    if name in ("j5", "j6"):
        upper, lower = (_J5 if grade == 5 else _J6)[_step(size, _STEPS)]
        return lower / 1000, upper / 1000
    if letter == "h":
        return -width / 1000, 0.0
    if letter in "eg":
        upper = shaft_deviation(size, letter, grade)
        return (upper - width) / 1000, upper / 1000
    if letter in "kmnprs":
        lower = _lower_of_shaft(size, letter, grade)
        return lower / 1000, (lower + width) / 1000
    if letter == "H":
        return 0.0, width / 1000
    if letter == "G":
        lower = -shaft_deviation(size, "g", grade)
        return lower / 1000, (lower + width) / 1000
    if name == "J7":
        upper = _J7_HOLE[_step(size, _STEPS)]
        return (upper - width) / 1000, upper / 1000
    # K, M, N to IT8 and P to IT7: ES = -ei of the shaft + (IT of this grade - IT of the finer)
    delta = width - _grade(size, grade - 1) if size > 3 else 0
    upper = -_lower_of_shaft(size, letter.lower(), grade) + delta
    return (upper - width) / 1000, upper / 1000
