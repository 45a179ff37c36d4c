"""A plain worst-case judge of rolling bearings, written from FITS 1, 2 and 4.

Seat zones: the pattern of ANSI/ABMA Std 7, GB/T 275 and DIN 5425-1, from memory
and as collected in tests/sources/bearing_seats.csv. Spacer, sleeves, print
rounding and the quarter of the zone: workshop practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from oracle_plain import (
    EPS,
    FAIL,
    INF,
    LIKELY,
    MACHINE,
    OPEN,
    PASS,
    SPACER,
    Interval,
    Tested,
    rows,
    standing,
    zone,
)

ROLLERS = ("cylindrical roller", "tapered roller", "needle roller", "spherical roller")
_BALL_SHAFT = {
    ("inner", "light"): ((18, "h5", "h5"), (100, "j6", "j6"), (200, "k6", "k6")),
    ("inner", "normal"): (
        (18, "j5", "j5"),
        (100, "k5", "k6"),
        (200, "m5", "m6"),
        (280, "n6", "n6"),
    ),
}
_ROLLER_SHAFT = {
    ("inner", "light"): ((40, "j6", "j6"), (140, "k6", "k6"), (200, "m6", "m6")),
    ("inner", "normal"): (
        (40, "k5", "k6"),
        (100, "m5", "m6"),
        (140, "m6", "m6"),
        (200, "n6", "p6"),
        (280, "p6", "p6"),
    ),
    ("inner", "heavy"): ((50, "", ""), (140, "n6", "n6"), (200, "p6", "p6"), (500, "r6", "r6")),
}
_POINT_SHAFT = ((500, "g6", "h6"),)  # the inner ring stands: g6 where it must slide, h6 where not
_HOUSING = {
    ("outer", "light"): ("M7", "K7"),
    ("outer", "normal"): ("N7", "M7"),
    ("outer", "heavy"): ("P7", "P7"),
    ("inner", "light"): ("H7", "G7"),  # G7 when heat comes through the shaft
    ("inner", "normal"): ("H7", "H7"),
    ("inner", "heavy"): ("J7", "H7"),
}
SAME, SLACK = 0.02, 0.5


@dataclass
class Case:
    """One need and one bearing; None is not known."""

    old: tuple[float, float, float] | None
    old_type: str | None
    old_ring: str | None
    old_snap: str | None
    old_corner: float | None
    shaft: Interval | None
    housing: Interval | None
    depth: Interval | None
    fillet: Interval | None
    rotating: str
    load: str
    size: tuple[float, float, float]
    type: str | None
    ring: str | None
    snap: str | None
    corner: float | None
    inch: bool


def limits(case: Case, seat: str) -> tuple[float, float] | None:
    """Span of the zones that the duty allows, or None where practice gives none [mm]."""
    size = case.size[0] if seat == "shaft" else case.size[1]
    roller = case.type in ROLLERS
    low, high = INF, -INF
    for rotating in ("inner", "outer"):
        for load in ("light", "normal", "heavy"):
            if case.rotating not in ("", rotating) or case.load not in ("", load):
                continue
            if seat == "housing":
                names = _HOUSING[(rotating, load)]
            elif rotating == "outer":
                names = _POINT_SHAFT[0][1:]
            else:
                table = (_ROLLER_SHAFT if roller else _BALL_SHAFT).get((rotating, load), ())
                names = next((row[1:] for row in table if size <= row[0]), ("", ""))
            if names[0]:
                low = min(low, size + zone(size, names[0])[0])
                high = max(high, size + zone(size, names[1])[1])
    return None if low == INF else (low, high)


def _seat(case: Case, seat: str, work: list[int]) -> Tested:
    position = 0 if seat == "shaft" else 1
    size = case.size[position]
    found = case.shaft if seat == "shaft" else case.housing
    actual = found
    sure_zone = True
    if found is None:
        if case.old is None:
            return Tested(OPEN)
        actual = Interval.point(case.old[position], by_name=True)
        result = standing(actual, size - SAME, size + SAME)
    else:
        span = limits(case, seat)
        if span is None:
            return Tested(OPEN)
        result = standing(found, *span)
        # The collected rows are of radial ball, cylindrical and tapered roller bearings.
        of_type = case.type in ("deep groove ball", "cylindrical roller", "tapered roller")
        sure_zone = case.rotating and case.load and of_type and not case.inch
        if result == PASS and not sure_zone:
            result = LIKELY
        if result != FAIL and found.high - found.best > (span[1] - span[0]) / 4 + EPS:
            return Tested(OPEN)
    assert actual is not None
    if result == FAIL:
        wall = (size - actual.best) / 2 * (1 if seat == "shaft" else -1)
        if 1.5 - EPS <= wall <= 6.0 + EPS:
            work.append(MACHINE)
            result = PASS if sure_zone else LIKELY
    return Tested(result, actual.by_name)


def _width(case: Case, work: list[int]) -> Tested:
    width = case.size[2]
    if case.depth is not None:
        if case.depth.best - width > SLACK + EPS:
            work.append(SPACER)
        return Tested(standing(case.depth, width - SAME, INF))
    if case.old is None:
        return Tested(OPEN, required=False)
    spare = case.old[2] - width
    if spare > SAME + EPS:
        work.append(SPACER)
    return Tested(FAIL if spare < -SAME - EPS else PASS, by_name=True)


# Old lists print the nominal r for r_s min (FITS 4; 0.5 to 2 published, the rest from memory).
OLD_CORNERS = {0.5: 0.3, 1.0: 0.6, 1.5: 1.0, 2.0: 1.1, 2.5: 1.5, 3.0: 2.0, 3.5: 2.1, 4.0: 3.0}
ISO_15 = {
    (float(row["d_mm"]), float(row["D_mm"]), float(row["B_mm"])): float(row["r_s_min_mm"])
    for row in rows("bearing_sizes.csv")
    if row["d_mm"] and row["r_s_min_mm"]
}


def _least_of_old(case: Case) -> float:
    return 0.0 if case.old_corner is None else OLD_CORNERS.get(case.old_corner, case.old_corner)


def _fillet(case: Case, fillet: Interval) -> str:
    """The corner printed, no more than ISO 15's; of other sizes it may be an old nominal r."""
    assert case.corner is not None
    standard = ISO_15.get(case.size)
    if standard is not None:
        return standing(fillet, 0.0, min(case.corner, standard))
    result = standing(fillet, 0.0, case.corner)
    old = fillet.high > OLD_CORNERS.get(case.corner, case.corner) + EPS
    return LIKELY if result == PASS and old else result


def judge(case: Case) -> tuple[dict[str, Tested], list[int]]:
    """Return how each check came out, and the levels of work."""
    work: list[int] = []
    tested = {
        "shaft": _seat(case, "shaft", work),
        "housing": _seat(case, "housing", work),
        "width": _width(case, work),
    }
    if case.old_type is not None:
        same = case.type == case.old_type
        tested["bearing type"] = Tested(OPEN if case.type is None else PASS if same else FAIL)
    ring = case.ring or "complete"
    if case.old_ring is not None:
        tested["ring"] = Tested(PASS if ring == case.old_ring else FAIL)
    elif ring != "complete":
        tested["ring"] = Tested(OPEN)
    if case.old_snap == "yes":
        tested["snap ring"] = Tested(
            OPEN if case.snap is None else PASS if case.snap == "yes" else FAIL
        )
    if "cup" in (ring, case.old_ring) or "cone" in (ring, case.old_ring):
        tested["contact angle"] = Tested(OPEN)  # no case states one
    if case.fillet is not None:
        tested["fillet"] = Tested(OPEN if case.corner is None else _fillet(case, case.fillet))
    elif case.corner is not None and case.corner < _least_of_old(case) - EPS:
        tested["corner"] = Tested(OPEN)
    return tested, work
