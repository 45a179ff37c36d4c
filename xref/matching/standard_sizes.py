"""Two standard sizes in reach of what was written: ask who typed it; of a list judge both.

0.984 in is 25 mm and 63/64 in, each within half a unit of its last place.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from fractions import Fraction
from functools import partial

import numpy as np

from xref.errors import NeedsAnswer
from xref.fits.judgement import Remark
from xref.fits.quantity import Floats
from xref.kinds.systems import IN, MM, Written, as_standard, named_in_inches
from xref.sizes import Size

_SIXTYFOURTH = Fraction(127, 320)  # [mm]


def readings(read: Size) -> tuple[Size, Size] | None:
    """Return the two standard sizes a written size may mean, inch first, or None for one."""
    if read.nominal is None or read.low != read.high or read.unit != "in" or read.decimals is None:
        return None
    other = as_standard(_written(read)).other_mm
    return None if other is None else _both(float(other[0]), read.text)


def _written(read: Size) -> Written:
    value = np.nan if read.nominal is None else float(read.nominal)
    unit, decimals = IN if read.unit == "in" else MM, read.decimals
    return Written(
        np.array([value]),
        np.array([unit], dtype=np.int8),
        np.array([-1 if decimals is None else decimals], dtype=np.int8),
    )


def are_clear(kind: str, reads: Mapping[str, Size]) -> bool:
    """Whether sizes together are a standard's own figures, whatever one of them alone may mean."""
    own = named_in_inches(kind, {name: _written(read) for name, read in reads.items()})
    return bool(own.any())


def demand_one(kind: str, reads: Mapping[str, Size], listed: Collection[str] = ()) -> None:
    """Raise `NeedsAnswer` with both readings where a typed size may mean two standard sizes.

    Of the sizes `listed` nobody can be asked.
    """
    if are_clear(kind, reads):
        return
    for name, read in reads.items():
        found = None if name in listed else readings(read)
        if found is None:
            continue
        inch, metric = found
        raise NeedsAnswer(
            f"{name.replace('_', ' ')}: “{read.text[:40]}” is within half a unit of its last place "
            f"of two standard sizes: {inch} or {metric}. Write the one that is meant, "
            f"{inch.shown().replace(' ', '')} or {metric.shown().replace(' ', '')}.",
            readings=found,
            at=name,
            code="size-two-standards",
        )


def remarks(others: Mapping[str, Floats], whose: str) -> list[Remark]:
    """Say which sizes of a list were judged under two readings."""
    return [Remark(~np.isnan(v), partial(_said, name, whose, v)) for name, v in others.items()]


def two_sizes(others: Mapping[str, Floats], whose: str) -> Iterator[tuple[int, str]]:
    """Yield row and sentence of each size of a list that was judged under two readings."""
    for name, other in others.items():
        for row in np.flatnonzero(~np.isnan(other)).tolist():
            yield row, _said(name, whose, other, row)


def _said(name: str, whose: str, other: Floats, row: int) -> str:
    inch, metric = _both(float(other[row]), "")
    return (
        f"the {name.replace('_', ' ')} of the {whose} may be {inch.shown()} or {metric.shown()}, "
        "as it is written: judged as both, the worse shown"
    )


def _both(inch_mm: float, text: str) -> tuple[Size, Size]:
    inch = round(Fraction(inch_mm) / _SIXTYFOURTH) * _SIXTYFOURTH
    metric = Fraction(round(inch_mm))
    return (
        Size(inch, inch, inch, "in", text, "fraction"),
        Size(metric, metric, metric, "mm", text, "whole"),
    )
