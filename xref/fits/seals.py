"""Rotary shaft seals: shaft, bore, outside diameter, width, speed.

Metric seals follow ISO 6194-1 (shaft h11, bore H8, ISO 286-2), inch seals
RMA/ARPM OS-4 and SAE J946. Where a table ends the result is NaN: nothing is
extrapolated.

References: ISO 6194-1:2007; ISO 286-2:2010; RMA/ARPM OS-4; SAE J946. The figures
of ISO 6194-1 and OS-4 are from memory and say so in their tables.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import ArrayLike

from xref.errors import Impossible
from xref.fits.given import above_zero, covered, numbers, words
from xref.fits.quantity import Bools, Floats, as_given
from xref.fits.rules import FROM_MEMORY, Rule
from xref.fits.steps import step_table_for
from xref.fits.zones import deviations

_INCH = "seal_inch_shaft_and_bore.csv"
_OUTSIDE = "seal_outside_diameter.csv"
_WIDTH = "seal_width.csv"
_ISO_REACH_MM = 500.0

SHAFT_RULES = (
    Rule("shaft h11 of d1", "ISO 6194-1 with ISO 286-2", FROM_MEMORY, _ISO_REACH_MM),
    Rule(
        "shaft tolerance of an inch seal",
        "RMA/ARPM OS-4, SAE J946",
        FROM_MEMORY,
        step_table_for(_INCH, "upper_mm", "shaft").reach_mm,
    ),
)
BORE_RULES = (
    Rule("bore H8", "ISO 6194-1 with ISO 286-2", FROM_MEMORY, _ISO_REACH_MM),
    Rule(
        "bore tolerance of an inch seal",
        "RMA/ARPM OS-4, SAE J946",
        FROM_MEMORY,
        step_table_for(_INCH, "upper_mm", "bore").reach_mm,
    ),
)
WIDTH_RULES = (
    Rule(
        "width b with its tolerance within the depth",
        "ISO 6194-1",
        FROM_MEMORY,
        step_table_for(_WIDTH, "upper_mm", "metric").reach_mm,
    ),
    Rule(
        "width with its tolerance within the depth",
        "RMA/ARPM OS-4",
        FROM_MEMORY,
        step_table_for(_WIDTH, "upper_mm", "inch").reach_mm,
    ),
)
_SYSTEMS = {"ISO 6194-1": False, "RMA OS-4": True, "RMA/ARPM OS-4": True}


def shaft_limits(shaft_mm: ArrayLike, inch: Bools) -> tuple[Floats, Floats]:
    """Limits of the shaft a seal of nominal `shaft_mm` is made for [mm]."""
    d = np.asarray(shaft_mm, dtype=np.float64)
    low, high = _zone(d, "h11")
    _fill(low, high, d, inch, _INCH, "shaft")
    return low, high


def bore_limits(outside_mm: ArrayLike, inch: Bools) -> tuple[Floats, Floats]:
    """Limits of the housing bore a seal of nominal `outside_mm` is made for [mm]."""
    d = np.asarray(outside_mm, dtype=np.float64)
    low, high = _zone(d, "H8")
    _fill(low, high, d, inch, _INCH, "bore")
    return low, high


def outside_limits(outside_mm: ArrayLike, rubber: Bools, inch: Bools) -> tuple[Floats, Floats]:
    """Limits of the seal's own outside diameter by case and system [mm]."""
    d = np.asarray(outside_mm, dtype=np.float64)
    low, high = np.full(d.shape, np.nan), np.full(d.shape, np.nan)
    for item, _, mask in _outside_rows(rubber, inch):
        _fill(low, high, d, mask, _OUTSIDE, item)
    return low, high


def _outside_rows(rubber: Bools, inch: Bools) -> Iterator[tuple[str, str, Bools]]:
    """Yield each table of outside diameters, its standard, and the seals it is for."""
    yield "metric metal", "ISO 6194-1", ~inch & ~rubber
    yield "metric rubber", "ISO 6194-1", ~inch & rubber
    yield "inch metal", "RMA/ARPM OS-4", inch & ~rubber
    yield "inch rubber", "RMA/ARPM OS-4", inch & rubber


def width_tolerance(width_mm: ArrayLike, inch: Bools) -> Floats:
    """Plus tolerance of the seal's width [mm]."""
    b = np.asarray(width_mm, dtype=np.float64)
    tolerance = step_table_for(_WIDTH, "upper_mm", "metric")(b)
    tolerance[inch] = step_table_for(_WIDTH, "upper_mm", "inch")(b[inch])
    return tolerance


def surface_speed(shaft_mm: ArrayLike, rpm: ArrayLike) -> Floats:
    """Surface speed of a shaft [m/s]: pi d n / 60000, d [mm], n [rev/min].

    One value or arrays; NaN where either is unknown. Raises `Impossible` for a diameter not above
    zero, a speed below it, or what is no number.

    >>> float(round(surface_speed(35, 8000), 2))
    14.66
    """
    d, n = numbers(shaft_mm=shaft_mm, rpm=rpm)
    above_zero(shaft_mm=d)
    if np.any(n < 0) or np.any(np.isinf(n)):
        raise Impossible("A speed is finite and not negative: rpm counts revolutions per minute.")
    return as_given(speed_of(d, n))


def speed_of(shaft_mm: Floats, rpm: Floats) -> Floats:
    """Surface speed of columns of pairs [m/s]; what cannot be is refused before, row by row."""
    return np.asarray(np.pi * shaft_mm * rpm / 60000.0)


def seal_interference(
    housing_low_mm: ArrayLike,
    housing_high_mm: ArrayLike,
    od_mm: ArrayLike,
    case: ArrayLike,
    system: ArrayLike = "ISO 6194-1",
) -> tuple[Floats, Floats]:
    """Smallest and largest interference of a seal in its bore [mm].

    Parameters: bore limits [mm], nominal outside diameter [mm], `case` "metal" or
    "rubber", `system` "ISO 6194-1" or "RMA OS-4"; each one value or an array, broadcast
    together. NaN where a size is unknown. Raises `Impossible` for another case or system,
    reversed limits, or a size not above zero; `Refused` beyond the tables.

    >>> [float(round(x, 3)) for x in seal_interference(52.0, 52.046, 52.0, "metal")]
    [0.044, 0.23]
    """
    low, high, d = numbers(
        housing_low_mm=housing_low_mm, housing_high_mm=housing_high_mm, od_mm=od_mm
    )
    above_zero(housing_low_mm=low, housing_high_mm=high, od_mm=d)
    (cases,) = words(("metal", "rubber"), (low, high, d), case=case)
    (systems,) = words(_SYSTEMS, (low, high, d, cases), system=system)
    low, high, d, cases, systems = np.broadcast_arrays(low, high, d, cases, systems)
    if np.any(low > high):
        raise Impossible("The housing's lower limit is above its upper limit: swap them.")
    inch = np.isin(systems, [name for name, is_inch in _SYSTEMS.items() if is_inch])
    rubber = cases == "rubber"
    for item, source, mask in _outside_rows(rubber, inch):
        covered(source, step_table_for(_OUTSIDE, "upper_mm", item).reach_mm, "od_mm", d, mask)
    seal_low, seal_high = outside_limits(
        np.atleast_1d(d), np.atleast_1d(rubber), np.atleast_1d(inch)
    )
    return (
        as_given(seal_low.reshape(d.shape) - high),
        as_given(seal_high.reshape(d.shape) - low),
    )


_SIDES = ("lower_mm", "upper_mm")


def _fill(low: Floats, high: Floats, nominal: Floats, rows: Bools, file: str, item: str) -> None:
    """Put the limits of a stepped table into the rows it is for."""
    if rows.any():
        size = nominal[rows]
        lower, upper = (step_table_for(file, side, item) for side in _SIDES)
        ranges = lower.ranges(size)
        low[rows], high[rows] = size + lower.values[ranges], size + upper.values[ranges]


def _zone(nominal: Floats, name: str) -> tuple[Floats, Floats]:
    """ISO 286 limits, NaN beyond its table."""
    lower, upper = deviations(nominal, name)
    return np.asarray(nominal + lower), np.asarray(nominal + upper)
