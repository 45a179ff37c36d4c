"""Plain bushings: outside diameter, bore after pressing, clearance, pressure and PV.

Solid copper-alloy bushes follow ISO 4379 (OD s6 to 120 mm, r6 above; bore E6
before and about H8 after pressing; housing H7), wrapped ones ISO 3547, sintered
ones ISO 2795. Where a table ends the result is NaN.

References: ISO 4379:1993, ISO 3547-1, ISO 2795 (from memory unless the table
says otherwise); clearance bounds are workshop practice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from xref.fits.practice import figure
from xref.fits.quantity import Bools, Floats
from xref.fits.rules import COMMON_PRACTICE, FROM_MEMORY, HANDBOOK, NO_SOURCE, Rule
from xref.fits.steps import read_rows, step_table_for
from xref.fits.zones import deviations

ISO_REACH_MM = 500.0
_ZONES = "ISO 286-2"

PRESS_RULES = (
    Rule(
        "press: OD s6 (r6 above 120 mm) over the housing, at most 2 per mille of OD or s6",
        "ISO 4379 with ISO 286-2; the upper bound: " + NO_SOURCE,
        FROM_MEMORY,
        ISO_REACH_MM,
        _ZONES,
    ),
    Rule(
        "press: OD r6..s7 (to 50 mm) over the housing", "ISO 2795, 4.2", FROM_MEMORY, ISO_REACH_MM
    ),
    Rule(
        "press: OD of a wrapped bush over the housing",
        "ISO 3547-1",
        FROM_MEMORY,
        step_table_for("wrapped_bush_outside.csv", "upper_mm", "wrapped").reach_mm,
    ),
)
_CLEARANCE_SOURCE = "ISO 4379 fits; the bounds: " + NO_SOURCE
CLEARANCE_RULES = (
    Rule(
        "diametral clearance from min(0.5 per mille of d, H8/g7) to max(4 per mille of d, H8/e7), "
        "bore H8 after pressing",
        _CLEARANCE_SOURCE,
        COMMON_PRACTICE,
        ISO_REACH_MM,
        _ZONES,
    ),
    Rule(
        "turning steadily (speed stated, load not heavy): diametral clearance from min(0.5 per "
        "mille of d, H8/g7) to 0.001 in per inch of d (at least 0.001 in; 0.001 in more in dirt) "
        "and the width of bore H8 after pressing",
        _CLEARANCE_SOURCE,
        COMMON_PRACTICE,
        ISO_REACH_MM,
        _ZONES,
    ),
)
BORE_RULE = Rule(
    "bore as the old bush's, within the width of H8; the journal decides",
    "ISO 4379 (H8 after pressing); the comparison by name: " + NO_SOURCE,
    COMMON_PRACTICE,
    ISO_REACH_MM,
    _ZONES,
)
LENGTH_RULE = Rule(
    "length of the seat, within h13; a shorter bush carries more pressure",
    "ISO 4379 with ISO 286-2; the pressure: " + NO_SOURCE,
    COMMON_PRACTICE,
    ISO_REACH_MM,
    _ZONES,
)
CUTTING_RULE = Rule(
    "cut from solid metal: the bore of a porous bush is never cut, a wrapped shell not at all",
    NO_SOURCE,
    COMMON_PRACTICE,
)
FLANGE_RULE = Rule("flanged for flanged, plain for plain", NO_SOURCE, COMMON_PRACTICE)
PRESSURE_RULE = Rule(
    "bearing pressure F / (d L) under the material's limit",
    "Carvill, Mechanical Engineer's Data Handbook, p. 92 (the lower of its figures)",
    HANDBOOK,
)
PV_RULE = Rule(
    "pressure times speed under the material's limit",
    "Carvill, Mechanical Engineer's Data Handbook, p. 92; Shigley, boundary lubrication",
    HANDBOOK,
)
SOLID, POROUS, WRAPPED = range(3)
"""Make of a bush: which standard its tolerances follow."""

_S6_REACH_MM, _SINTERED_STEP_MM = 120.0, 50.0


def outside_limits(outside_mm: Floats, make: NDArray[np.int8]) -> tuple[Floats, Floats]:
    """Limits of the bush's outside diameter before pressing [mm]."""
    s6, r6 = deviations(outside_mm, "s6"), deviations(outside_mm, "r6")
    large = outside_mm > _S6_REACH_MM
    low, high = (outside_mm + np.where(large, r, s) for s, r in zip(s6, r6, strict=True))
    porous = make == POROUS
    if porous.any():
        d = outside_mm[porous]
        small = d <= _SINTERED_STEP_MM
        lower = np.where(small, deviations(d, "r6")[0], deviations(d, "r7")[0])
        upper = np.where(small, deviations(d, "s7")[1], deviations(d, "s8")[1])
        low[porous], high[porous] = d + lower, d + upper
    wrapped = make == WRAPPED
    if wrapped.any():
        d = outside_mm[wrapped]
        lower, upper = (
            step_table_for("wrapped_bush_outside.csv", side, "wrapped")(d)
            for side in ("lower_mm", "upper_mm")
        )
        low[wrapped], high[wrapped] = d + lower, d + upper
    return low, high


def housing_limits(outside_mm: Floats, make: NDArray[np.int8]) -> tuple[Floats, Floats]:
    """Housing bores in which the press is above zero and not too much [mm]."""
    low, high = outside_limits(outside_mm, make)
    own = high - outside_mm
    most = np.maximum(figure("bushing_press_max") * outside_mm, deviations(outside_mm, "s6")[1])
    return high - np.fmax(most, own), low


def bore_after_pressing(bore_mm: Floats, make: NDArray[np.int8]) -> tuple[Floats, Floats]:
    """Limits of the bore once pressed home [mm]: H8; porous H7 to 50 mm."""
    upper = deviations(bore_mm, "H8")[1]
    fine = (make == POROUS) & (bore_mm <= _SINTERED_STEP_MM)
    return bore_mm.copy(), bore_mm + np.where(fine, deviations(bore_mm, "H7")[1], upper)


@dataclass(frozen=True, slots=True)
class Running:
    """How a bush runs, row by row: whether it turns steadily, and whether in dirt."""

    steady: Bools
    dirty: Bools


def running_allowance(bore_mm: Floats, dirty: Bools) -> Floats:
    """Clearance of a steadily turning bush at its nominal bore [mm]: 0.001 in per inch.

    At least 0.001 in, and as much again in dirt (common practice, no source).
    """
    thou = figure("bushing_running_min")
    share = np.maximum(figure("bushing_running_share") * bore_mm, thou)
    return np.asarray(share + np.where(dirty, thou, 0.0))


def clearance_bounds(bore_mm: Floats, running: Running | None = None) -> tuple[Floats, Floats]:
    """Smallest and largest diametral clearance of a running fit [mm].

    Where the bush turns steadily the largest is the running allowance and the width of bore H8,
    never above the largest otherwise nor so small that no bore would do.
    """
    g7, e7 = deviations(bore_mm, "g7"), deviations(bore_mm, "e7")
    h8 = deviations(bore_mm, "H8")[1]
    least = np.minimum(figure("bushing_clearance_min") * bore_mm, -g7[1])
    most = np.maximum(figure("bushing_clearance_max") * bore_mm, h8 - e7[0])
    if running is not None and running.steady.any():
        narrow = h8 + np.maximum(running_allowance(bore_mm, running.dirty), least)
        most = np.where(running.steady, np.minimum(narrow, most), most)
    return least, most


def no_limit_for(
    names: tuple[str, ...], material: NDArray[np.int8], column: str
) -> Callable[[int], str]:
    """Return what to say of a material that no handbook row covers, by row."""
    limits = limits_of_material(names, column)

    def text(row: int) -> str:
        code = int(material[row])
        return f": no row for {names[code]}" if code >= 0 and np.isnan(limits[code]) else ""

    return text


def limits_of_material(names: tuple[str, ...], column: str) -> Floats:
    """Return a limit by material code, NaN for materials no handbook row covers."""
    rows = {row["material"]: row for row in read_rows("bush_limits.csv")}
    values = [float(rows[name][column]) if name in rows else np.nan for name in names]
    return np.array([*values, np.nan])


def length_slack(length_mm: Floats) -> Floats:
    """How much shorter a bush may be and still be of the same length: h13 (ISO 4379) [mm]."""
    return -deviations(length_mm, "h13")[0]


def is_machinable(make: NDArray[np.int8]) -> Bools:
    """Whether OD and bore may be cut: never a porous bore, never a wrapped shell."""
    return np.asarray(make == SOLID)
