"""A plain worst-case judge of plain bushings and of blanks for them, from FITS 1, 2 and 5.

Standards: ISO 4379 (OD s6 to 120 mm, r6 above; bore about H8 once pressed),
ISO 2795 (porous: OD r6..s7, above 50 mm r7..s8; bore H7, above 50 mm H8),
ISO 3547-1 (wrapped), from memory. Handbooks: Carvill p. 92 (bronze 20 MPa and
PV 1.75; porous 30 MPa, 0.7). Everything else: workshop practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from oracle_plain import (
    DOUBTFUL,
    EPS,
    FAIL,
    INF,
    LIKELY,
    MACHINE,
    OPEN,
    PART,
    PASS,
    SPACER,
    Interval,
    Tested,
    standing,
    zone,
)

_WRAPPED = (  # ISO 3547-1, OD tolerance [mm], from memory
    (10, 0.025, 0.055),
    (18, 0.030, 0.065),
    (30, 0.035, 0.075),
    (50, 0.045, 0.085),
    (80, 0.055, 0.100),
    (120, 0.070, 0.120),
    (180, 0.100, 0.170),
    (250, 0.130, 0.210),
    (305, 0.170, 0.260),
)
_PRESSURE = {"bronze": 20.0, "porous bronze": 30.0}
_PV = {"bronze": 1.75, "porous bronze": 0.7}
WALL, TURN, REAM, STOCK, BLANK, SAME = 1.0, 15.0, 6.0, 0.5, 40.0, 0.05
POROUS, WRAPPED = "porous bronze", "steel-backed"


@dataclass
class Case:
    """One need and one bush or blank; None is not known."""

    old: tuple[float, float, float] | None
    old_form: str | None
    shaft: Interval | None
    housing: Interval | None
    depth: Interval | None
    load_n: float | None
    rpm: float | None
    size: tuple[float, float, float]
    material: str | None
    form: str | None
    inch: bool = False
    load: str = ""
    dirt: bool = False


def outside(size: float, material: str | None) -> tuple[float, float]:
    """Limits of a bush's outside diameter [mm]."""
    if material == WRAPPED:
        lower, upper = next(row[1:] for row in _WRAPPED if size <= row[0])
    elif material == POROUS:
        names = ("r6", "s7") if size <= 50 else ("r7", "s8")
        lower, upper = zone(size, names[0])[0], zone(size, names[1])[1]
    else:
        lower, upper = zone(size, "s6" if size <= 120 else "r6")
    return size + lower, size + upper


def housings(size: float, material: str | None) -> tuple[float, float]:
    """Housings in which the press is above zero and at most max(2 per mille, s6) [mm]."""
    low, high = outside(size, material)
    most = max(0.002 * size, zone(size, "s6")[1], high - size)
    return high - most, low


def bounds(size: float, case: Case | None = None) -> tuple[float, float]:
    """Smallest and largest running clearance on diameter [mm].

    A bush that turns steadily (some speed, no heavy load): 0.001 in per inch beside the bore's
    own H8, at least 0.001 in, 0.001 in more in dirt; common practice, no source.
    """
    least = min(0.0005 * size, -zone(size, "g7")[1])
    h8 = zone(size, "H8")[1]
    most = max(0.004 * size, h8 - zone(size, "e7")[0])
    if case is not None and case.rpm is not None and case.rpm > 0 and case.load != "heavy":
        inch = 25.4
        allowance = max(size / inch, 1.0) * 0.001 * inch + (0.001 * inch if case.dirt else 0.0)
        most = min(most, h8 + max(allowance, least))
    return least, most


def housing_of(case: Case) -> Interval | None:
    """The housing: measured, else H7 of the old bush."""
    if case.housing is not None:
        return case.housing
    if case.old is None:
        return None
    upper = zone(case.old[1], "H7")[1]
    return Interval(case.old[1], case.old[1] + upper, case.old[1] + upper / 2, by_name=True)


def reamed(
    case: Case, journal: Interval, housing: Interval | None
) -> tuple[float, float, float | None]:
    """Bore for a journal: twice the least clearance (or the middle), H8 wide; the wall left.

    The wall is that of the bush: to the housing it is turned to, or to its own smaller outside
    where the housing is sleeved.
    """
    least, most = bounds(journal.best, case)
    low = journal.high + min(2 * least, (least + most) / 2)
    high = low + zone(journal.best, "H8")[1]
    return low, high, None if housing is None else (_around(case, housing) - high) / 2


def _around(case: Case, housing: Interval) -> float:
    return min(housing.best, case.size[1])


def _target(housing: Interval) -> float:
    return housing.low if housing.by_name else housing.best


def _press(case: Case, housing: Interval | None, solid: bool, work: list[int]) -> Tested:
    bore, od, _ = case.size
    if housing is None:
        return Tested(OPEN)
    low, high = housings(od, case.material)
    result = standing(housing, low, high)
    no_class = case.inch or case.material is None
    if result == PASS and no_class:
        result = LIKELY
    if result == FAIL and housing.best < low:
        target = _target(housing)
        if solid and (target - bore) / 2 >= WALL - EPS and od - target <= TURN + EPS:
            work.append(PART)
            result = standing(housing, *housings(target, case.material))
    elif result == FAIL and 1.5 - EPS <= (housing.best - od) / 2 <= 6.0 + EPS:
        work.append(MACHINE)
        result = LIKELY if no_class else PASS  # the sleeve is bored to H7 for that class
    return Tested(result, housing.by_name)


def _clearance(case: Case, housing: Interval | None, solid: bool, work: list[int]) -> Tested:
    journal, bore = case.shaft, case.size[0]
    if journal is None:
        return Tested(OPEN)
    fine = case.material == POROUS and bore <= 50
    least, most = bounds(bore, case)
    high = bore - least
    result = standing(journal, bore + zone(bore, "H7" if fine else "H8")[1] - most, high)
    if result == PASS and case.inch:
        result = LIKELY
    if result == FAIL and journal.best > high and solid:
        low_bore, high_bore, wall = reamed(case, journal, housing)
        if wall is not None and wall >= WALL - EPS and low_bore - bore <= REAM + EPS:
            work.append(PART)
            least, most = bounds(journal.best, case)
            result = standing(journal, high_bore - most, low_bore - least)
    return Tested(result)


def _bore(case: Case, housing: Interval | None, solid: bool, work: list[int]) -> Tested:
    """Without a journal the bore is compared with the old bush's: the same within H8."""
    assert case.old is not None
    old, bore = case.old[0], case.size[0]
    opened = old - bore
    if abs(opened) <= zone(bore, "H8")[1] + EPS:
        return Tested(PASS, by_name=True)
    wall = -1.0 if housing is None else (_around(case, housing) - old) / 2
    if solid and 0 < opened <= REAM + EPS and wall >= WALL - EPS:
        work.append(PART)
        return Tested(PASS, by_name=True)
    return Tested(FAIL, by_name=True)


def _length(case: Case, work: list[int]) -> Tested:
    length = case.size[2]
    if case.depth is None and case.old is None:
        return Tested(OPEN, required=False)
    seat = case.old[2] if case.old is not None else case.depth.best  # type: ignore[union-attr]
    room = case.depth.best if case.depth is not None else seat
    slack = -zone(length, "h13")[0]
    result = PASS
    if length - slack > room + EPS:
        work.append(PART)
    if seat - length > slack + EPS:
        work.append(SPACER)
        limit = _PRESSURE.get(case.material or "")
        if case.load_n is None or limit is None:
            result = OPEN
        elif case.load_n / (case.size[0] * length) > limit:
            result = FAIL
    return Tested(result, by_name=case.depth is None)


def judge(case: Case) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of a bush came out, and the levels of work."""
    work: list[int] = []
    solid = case.material not in (POROUS, WRAPPED)
    housing = housing_of(case)
    tested = {
        "press": _press(case, housing, solid, work),
        "clearance": _clearance(case, housing, solid, work),
        "length": _length(case, work),
    }
    if case.shaft is None and case.old is not None:
        tested["bore"] = _bore(case, housing, solid, work)
    old_is, new_is = case.old_form == "flanged", case.form == "flanged"
    said = case.old_form is not None or case.old is not None
    if (old_is or new_is) and (said or new_is):
        tested["flange"] = Tested(OPEN if not said else PASS if old_is == new_is else FAIL)
    if case.load_n is not None:
        pressure = case.load_n / (case.size[0] * case.size[2])
        tested["pressure"] = _under(pressure, _PRESSURE.get(case.material or ""))
        if case.rpm is not None:
            speed = 3.141592653589793 * case.size[0] * case.rpm / 60000
            tested["pressure x speed"] = _under(pressure * speed, _PV.get(case.material or ""))
    return tested, work


def _under(value: float, limit: float | None) -> Tested:
    return Tested(OPEN if limit is None else standing(Interval.point(value), 0.0, limit))


def judge_blank(case: Case) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check of a blank came out: stock everywhere, wall left, then as a bush."""
    core, od, length = case.size
    housing = housing_of(case)
    journal = case.shaft
    if journal is None and case.old is not None:
        journal = Interval.point(case.old[0], by_name=True)
    seat = case.depth
    if seat is None and case.old is not None:
        seat = Interval.point(case.old[2], by_name=True)
    tested: dict[str, Tested] = {}
    tested["stock outside"] = tested["press"] = Tested(OPEN)
    if housing is not None:
        target = _target(housing)
        needed = housing.high + zone(target, "s6")[1] + STOCK
        most = needed - STOCK + BLANK
        result = standing(Interval.point(od), needed, most)
        tested["stock outside"] = Tested(result, housing.by_name)
        tested["press"] = Tested(standing(housing, *housings(target, None)), housing.by_name)
    tested["stock inside"] = tested["wall left"] = Tested(OPEN)
    if journal is not None:
        low, _, wall = reamed(case, journal, housing)
        tested["stock inside"] = _at_least(low - STOCK, core, journal.by_name)
        if wall is not None:
            tested["wall left"] = _at_least(wall, WALL, by_name=False)
    tested["length"] = Tested(OPEN)
    if seat is not None:
        tested["length"] = _at_least(length, seat.best, seat.by_name)
    tested["clearance"] = Tested(OPEN)
    if case.shaft is not None:
        low, high, _ = reamed(case, case.shaft, housing)
        least, most = bounds(case.shaft.best, case)
        tested["clearance"] = Tested(standing(case.shaft, high - most, low - least))
    if case.material in (POROUS, WRAPPED):
        tested["material"] = Tested(FAIL)
    return tested, [PART]


def judge_blank_itself(case: Case) -> tuple[dict[str, Tested], list[int]]:
    """Return how a blank does for a blank: the same within print rounding, or one to cut down."""
    assert case.old is not None
    core, outside, length = case.old
    spare = {
        "outside diameter": case.size[1] - outside,
        "bore diameter": core - case.size[0],
        "length": case.size[2] - length,
    }
    tested = {
        name: Tested(PASS if value >= -SAME - EPS else FAIL, by_name=True)
        for name, value in spare.items()
    }
    if spare["outside diameter"] > BLANK + EPS:
        tested["outside diameter"].result = FAIL
    cuts = [
        name for name, value in spare.items() if value > SAME + EPS and tested[name].result == PASS
    ]
    if cuts and case.material in (POROUS, WRAPPED):
        tested["cutting"] = Tested(FAIL)
    return tested, [PART] if cuts else []


def _at_least(value: float, needed: float, by_name: bool) -> Tested:
    result = standing(Interval.point(value), needed, INF)
    assert result != DOUBTFUL  # a point is inside or outside
    return Tested(result, by_name)
