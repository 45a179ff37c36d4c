"""Which system a written size belongs to: metric, inch, or not clear (FITS 1).

Lists print inch parts in millimetres (60.33 x 79.38) and metric parts in inch
decimals (0.9843 x 2.0472). The system is therefore read from the numbers: a
millimetre size within print rounding of a 64th of an inch that is no usual
metric size is an inch size; an inch decimal of three or more places within
half a unit of its last place of a whole millimetre is that metric size.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from xref.fits.quantity import EPSILON_MM, Bools, Codes, Floats
from xref.kinds.base import INCH, METRIC, UNCLEAR
from xref.kinds.spec import spec

MM, IN, NO_UNIT = range(3)
"""Unit a size was written in."""

_SIXTYFOURTH_MM = 25.4 / 64
_MOST_DECIMALS = 4
_THOUSANDTHS = 3


@dataclass(frozen=True, slots=True)
class Written:
    """A column of written sizes: value [mm], the unit written, decimals shown (-1 a fraction).

    `other_mm` is the second standard size in reach of what was written, NaN where there is none.
    """

    value_mm: Floats
    unit: Codes
    decimals: Codes
    other_mm: Floats | None = None


def decimals_of(value: Floats) -> Codes:
    """Fewest decimals (to four) that write the value."""
    shown = np.full(value.shape, _MOST_DECIMALS, dtype=np.int8)
    for places in range(_MOST_DECIMALS - 1, -1, -1):
        shown[np.abs(np.round(value, places) - value) < EPSILON_MM] = places
    return shown


def as_standard(written: Written) -> Written:
    """Return inch decimals as the standard size they mean: a whole millimetre then metric.

    Applies to three or more places. Where a 64th of an inch is in reach as well, both are kept:
    0.984 in is 25 mm or 63/64 in, and which one nobody can tell from it.
    """
    half_unit = 25.4 * 0.5 * 10.0 ** -np.maximum(written.decimals, 0) + EPSILON_MM
    value = written.value_mm
    whole = np.round(value)
    sixtyfourth = np.round(value / _SIXTYFOURTH_MM) * _SIXTYFOURTH_MM
    snapped = (written.unit == IN) & (written.decimals >= 3)
    snapped &= (np.abs(value - whole) <= half_unit) & (whole > 0)
    both = snapped & (np.abs(value - sixtyfourth) <= half_unit)
    same = both & (np.abs(whole - sixtyfourth) <= EPSILON_MM)  # 5.000 in is 127 mm
    both &= ~same
    snapped &= ~same
    return Written(
        np.where(snapped, whole, value),
        np.where(snapped, MM, written.unit).astype(np.int8),
        written.decimals,
        np.where(both, sixtyfourth, np.nan) if both.any() else None,
    )


def as_written(value_mm: Floats, unit: Codes) -> Written:
    """Return sizes of a list [mm] as it wrote them.

    Decimals are counted in the unit written: 25.00122 mm under inches is 0.9843 in.
    """
    decimals = decimals_of(np.where(unit == IN, value_mm / 25.4, value_mm))
    return Written(value_mm, unit, decimals)


def with_row_places(
    columns: Mapping[str, Written], counted: Mapping[str, Bools] | None = None
) -> dict[str, Written]:
    """Return inch decimals with the three places that their row shows at most.

    A number keeps no trailing zeros: 1.85 beside 1.181 was printed 1.850 (common practice, no
    source). Beside four places nothing is known of it. `counted` says where places were counted on
    the number; elsewhere they were read.
    """
    inch = {name: (one.unit == IN) & ~np.isnan(one.value_mm) for name, one in columns.items()}
    shown = [np.where(inch[name], one.decimals, -1) for name, one in columns.items()]
    if len(shown) < 2:
        return dict(columns)
    in_thousandths = np.maximum.reduce(shown) == _THOUSANDTHS
    made = {}
    for name, one in columns.items():
        raised = inch[name] & in_thousandths
        if counted is not None:
            raised &= counted[name]
        decimals = np.where(raised, _THOUSANDTHS, one.decimals).astype(np.int8)
        made[name] = replace(one, decimals=decimals)
    return made


def made_standard(kind: str, columns: Mapping[str, Written]) -> dict[str, Written]:
    """Return the sizes of parts as `as_standard` does; those of a standard in inches as they are.

    AS568 names rings by thousandths of an inch: 0.984 x 0.139 in is -214, not 25 mm.
    """
    made = {name: as_standard(one) for name, one in columns.items()}
    own = named_in_inches(kind, columns)
    if own.any():
        for name, one in columns.items():
            here = made[name]
            other = None if here.other_mm is None else np.where(own, np.nan, here.other_mm)
            value = np.where(own, one.value_mm, here.value_mm)
            unit = np.where(own, one.unit, here.unit).astype(np.int8)
            made[name] = replace(here, value_mm=value, unit=unit, other_mm=other)
    return made


def named_in_inches(kind: str, columns: Mapping[str, Written]) -> Bools:
    """Where the sizes together are a standard's own figures in inches: an AS568 ring."""
    pair = [columns[name] for name in leading_dimensions(kind) if name in columns]
    if kind != "o_ring" or len(pair) < 2:
        return np.zeros(len(pair[0].value_mm) if pair else 0, dtype=np.bool_)
    from xref.kinds.o_ring.designation import are_dash_sizes  # late: it reads the table

    inches = (pair[0].unit == IN) & (pair[1].unit == IN)
    return np.asarray(inches & are_dash_sizes(pair[0].value_mm, pair[1].value_mm))


def second_readings(columns: Mapping[str, Written]) -> dict[str, Floats]:
    """Return the second standard sizes [mm] of the columns that have any."""
    return {name: one.other_mm for name, one in columns.items() if one.other_mm is not None}


def looks_inch(value_mm: Floats) -> Bools:
    """Millimetre sizes that are a 64th of an inch as printed, and no usual metric size."""
    sixteenth = np.abs(np.round(value_mm / 1.5875) * 1.5875 - value_mm) < EPSILON_MM
    usual_metric = (np.abs(np.round(value_mm * 2) / 2 - value_mm) < EPSILON_MM) & ~sixteenth
    return _as_printed_sixtyfourth(value_mm)[1] & ~usual_metric


def _as_printed_sixtyfourth(value_mm: Floats) -> tuple[Floats, Bools]:
    """Return the nearest 64th of an inch [mm], and whether the size is that as printed."""
    places = decimals_of(value_mm)
    half_unit = np.where(places > 0, 0.5 * 10.0 ** -places.astype(np.float64), 0.0)
    sixtyfourth = np.round(value_mm / _SIXTYFOURTH_MM) * _SIXTYFOURTH_MM
    return sixtyfourth, np.abs(value_mm - sixtyfourth) <= half_unit + EPSILON_MM


def snap_inch(value_mm: Floats, inch: Bools) -> Floats:
    """Return inch sizes printed in millimetres as the exact 64th they mean, where `inch` [mm].

    In a row known to be inch a width of 9.5 mm means 3/8 in too, though 9.5 is a metric size.
    """
    sixtyfourth, near = _as_printed_sixtyfourth(value_mm)
    return np.where(inch & near, sixtyfourth, value_mm)


def system_of(kind: str, columns: Mapping[str, Written]) -> tuple[Codes, Bools]:
    """Return each row's system, and where inch sizes were printed in millimetres.

    `columns` holds the dimensions as written, already made standard by `made_standard` (a whole
    millimetre written in inches counts as written in millimetres). A row with two standard sizes
    in reach is not clear.
    """
    if not columns:
        return np.zeros(0, dtype=np.int8), np.zeros(0, dtype=np.bool_)
    leading = [name for name in leading_dimensions(kind) if name in columns]
    length = len(next(iter(columns.values())).value_mm)
    inch = np.zeros(length, dtype=np.int8)
    metric = np.zeros(length, dtype=np.int8)
    printed = np.zeros(length, dtype=np.bool_)
    for name in leading:
        one = columns[name]
        known = ~np.isnan(one.value_mm)
        as_inch = known & (one.unit == IN)
        in_mm = known & (one.unit != IN) & looks_inch(one.value_mm)
        inch += as_inch | in_mm
        metric += known & ~as_inch & ~in_mm
        printed |= in_mm
    system = np.full(length, METRIC, dtype=np.int8)
    system[(inch > 0) & (metric == 0)] = INCH
    system[(inch > 0) & (metric > 0)] = UNCLEAR
    for other in second_readings(columns).values():
        system[~np.isnan(other)] = UNCLEAR
    return system, printed & (system == INCH)


def leading_dimensions(kind: str) -> tuple[str, str]:
    """Return the two dimensions that name a part of this kind in the trade."""
    names = spec(kind).written_order
    return (names[0], names[1]) if len(names) > 1 else ("", "")


def unit_codes(units: NDArray[np.object_]) -> Codes:
    """Return unit codes for "mm", "in" or anything else."""
    return np.select([units == "mm", units == "in"], [MM, IN], NO_UNIT).astype(np.int8)
