"""Rolling bearings: seats, ring deviations, clearance left, life.

Seats are judged by the journal and the housing themselves: the zone that
practice recommends for ring rotation and load, or, where the duty is not known,
the span of all zones of that type and size.

References: ISO 492 (deviations, Normal class), ISO 5753-1 (clearance groups),
ISO 281 (rating life); seat zones after ANSI/ABMA Std 7 and DIN 5425-1, from memory.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.fits.quantity import PRINT_ROUNDING_MM, Bools, Floats, as_given
from xref.fits.steps import read_rows, step_table_for
from xref.fits.zones import zone

BALL, ROLLER = FAMILIES = ("ball", "roller")
LOADS = ("light", "normal", "heavy")
ROTATING = ("inner", "outer")


def seat_limits(
    seat: str,
    size_mm: Floats,
    roller: Bools,
    rotating: NDArray[np.str_],
    load: NDArray[np.str_],
) -> tuple[Floats, Floats]:
    """Limits of a journal ("shaft") or housing: the span of the zones the duty allows [mm].

    `rotating` ("inner"/"outer") and `load` words may be empty: not stated, every
    row of the table then counts. NaN where the table has no row.
    """
    low, high = np.full(size_mm.shape, np.nan), np.full(size_mm.shape, np.nan)
    for row in _seat_rows(seat):
        mask = (roller == (row["family"] == ROLLER)) & (size_mm > float(row["over_mm"]))
        mask &= size_mm <= float(row["to_mm"])
        mask &= (rotating == row["rotating"]) | (rotating == "")
        mask &= (load == row["load"]) | (load == "")
        if mask.any():
            size = size_mm[mask]
            low[mask] = np.fmin(low[mask], size + zone(size, row["zone_low"])[0])
            high[mask] = np.fmax(high[mask], size + zone(size, row["zone_high"])[1])
    return low, high


def seat_gap(seat: str, size_mm: float, roller: bool, rotating: str, load: str) -> str:
    """Return which row the seat table does not have, as the end of a sentence; empty for none."""
    ring = f", {rotating} ring turning" if rotating else ""
    family = ROLLER if roller else BALL
    rows = [
        row
        for row in _seat_rows(seat)
        if row["family"] == family
        and rotating in ("", row["rotating"])
        and load in ("", row["load"])
    ]
    if not rows:
        return f": no row for a {family} bearing under {load} load{ring}"
    over, reach = min(float(r["over_mm"]) for r in rows), max(float(r["to_mm"]) for r in rows)
    of = f" for a {family} bearing{f' under {load} load' if load else ''}{ring}"
    if size_mm > reach:
        return f" above {reach:g} mm{of}"
    return f" up to {over:g} mm{of}" if size_mm <= over else ""


@cache
def _seat_rows(seat: str) -> tuple[dict[str, str], ...]:
    return tuple(row for row in read_rows("bearing_seat_zones.csv") if row["seat"] == seat)


def mean_ring(item: str, size_mm: Floats) -> Floats:
    """Mean diameter of a ring of Normal class: nominal plus half its deviation [mm].

    `item` is "delta_dmp" (bore) or "delta_Dmp" (outside), ISO 492.
    """
    lower = step_table_for("bearing_deviation.csv", "lower_mm", item)(size_mm)
    return size_mm + lower / 2


def mean_clearance(group: str, bore_mm: Floats) -> Floats:
    """Mean radial internal clearance of an ISO 5753-1 group [mm]; NaN outside the table."""
    lower, upper = (
        step_table_for("bearing_clearance.csv", side, group)(bore_mm)
        for side in ("lower_mm", "upper_mm")
    )
    return (lower + upper) / 2


def standard_corner(bore_mm: Floats, outside_mm: Floats, width_mm: Floats) -> Floats:
    """Smallest corner r_s min that ISO 15 gives a bearing of these sizes [mm]; NaN for no row."""
    keys, corners = _corners()
    sizes = np.stack([bore_mm, outside_mm, width_mm], axis=-1) * 10
    tenths = np.round(sizes)
    as_printed = (np.abs(sizes - tenths) < _TENTH_AS_PRINTED).all(axis=-1)
    wanted = np.where(as_printed, tenths @ _APART, -1)
    place = np.minimum(np.searchsorted(keys, wanted), len(keys) - 1)
    return np.where(keys[place] == wanted, corners[place], np.nan)


_APART = np.array([1e10, 1e5, 1.0])
_TENTH_AS_PRINTED = 10 * PRINT_ROUNDING_MM  # the table has whole tenths


@cache
def _corners() -> tuple[Floats, Floats]:
    rows = [row for row in read_rows("bearing_sizes.csv") if row["corner_mm"]]
    columns = ("bore_mm", "outside_mm", "width_mm")
    sizes = np.array([[float(row[name]) for name in columns] for row in rows])
    keys = np.round(sizes * 10) @ _APART
    order = np.argsort(keys)
    return keys[order], np.array([float(row["corner_mm"]) for row in rows])[order]


def rating_life_hours(
    dynamic_load_kn: ArrayLike, load_n: ArrayLike, rpm: ArrayLike, roller: ArrayLike = False
) -> Floats:
    """Basic rating life L10 [h]: (C/P)^p 10^6 / (60 n), p = 3 for ball, 10/3 for roller (ISO 281).

    >>> float(rating_life_hours(14.0, 1400.0, 1000.0).round())
    16667.0
    """
    ratio = np.asarray(dynamic_load_kn, dtype=np.float64) * 1000 / np.asarray(load_n)
    exponent = np.where(np.asarray(roller), 10 / 3, 3.0)
    return as_given(ratio**exponent * 1e6 / (60 * np.asarray(rpm)))
