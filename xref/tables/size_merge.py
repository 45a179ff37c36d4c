"""Sizes of one part written twice in a row: all together in millimetres, and again in inches.

As with columns of single dimensions (`size_pairs`): the filled one counts; of two that agree the
one the part was made to; two that differ by more than the rounding of their print set the row
aside, for neither is known to be the measured one.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from xref.tables.size_pairs import round_in_inches
from xref.tables.sizecells import INCH
from xref.tables.sized import Sized, dimension_of
from xref.tables.text import quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_MM_PER_INCH = 25.4
_SLACK = 1e-6
_DECIMALS = re.compile(r"\d*[.,](\d+)")


def merge(into: Sized, other: Sized) -> None:
    """Add to the sizes found so far those of a further column that holds all of them."""
    import numpy as np

    for row, reason in other.problems.items():
        if into.any_size[row]:
            into.warn(row, reason)
        else:
            into.problem(row, reason)
    fresh = np.flatnonzero(other.any_size & ~into.any_size)
    for row in fresh.tolist():  # `see drawing` in one column is no reason where another has a size
        if row in into.problems:
            into.warn(row, into.problems.pop(row))
    both = np.flatnonzero(other.any_size & into.any_size)
    better = [
        row for row in both.tolist() if _agree(into, other, row) and _better(into, other, row)
    ]
    taken = np.concatenate([fresh, np.array(better, dtype=fresh.dtype)])
    for row in taken.tolist():
        for text in other.warnings.get(row, []):
            into.warn(row, text)
    _copy(into, other, taken)


def _copy(into: Sized, other: Sized, rows: NDArray[np.int64]) -> None:
    for name, given in other.dimensions.items():
        out = dimension_of(into, name, len(into.unit))
        out.nominal[rows] = given.nominal[rows]
        out.low[rows], out.high[rows] = given.low[rows], given.high[rows]
        out.text[rows] = given.text[rows]
    into.unit[rows] = other.unit[rows]
    into.any_size[rows] = True


def _agree(into: Sized, other: Sized, row: int) -> bool:
    """Whether two writings of a row's sizes are the same; sets the row aside if not."""
    for name, given in other.dimensions.items():
        known = into.dimensions.get(name)
        if known is None:
            continue
        gap = abs(known.nominal[row] - given.nominal[row])
        texts = str(known.text[row]), str(given.text[row])
        allowed = _rounding(texts[0], int(into.unit[row])) + _rounding(
            texts[1], int(other.unit[row])
        )
        if gap > allowed + _SLACK:
            into.problem(
                row,
                f"the {name.replace('_', ' ')} is {quoted(texts[0], 20)} in one column and "
                f"{quoted(texts[1], 20)} in another, which differ by {gap:.3f} mm: leave only the "
                "one that was measured",
            )
            return False
    return True


def _better(into: Sized, other: Sized, row: int) -> bool:
    """Whether the other writing is in the unit the part was made to."""
    import numpy as np

    if into.unit[row] == other.unit[row]:
        return False
    sizes = [
        float(one.nominal[row])
        for found in (into, other)
        for one in found.dimensions.values()
        if one.nominal[row] == one.nominal[row]
    ]
    inch = round_in_inches(np.array(sizes)).sum() > 0
    return bool((int(other.unit[row]) == INCH) == inch)


def _rounding(text: str, unit: int) -> float:
    """Return half the last printed place [mm]; a fraction is exact, whole figures go to a tenth."""
    if "/" in text or not any(map(str.isdigit, text)):
        return 0.0
    match = _DECIMALS.search(text)
    places = max(len(match[1]) if match else 0, 1)
    return float(0.5 * 10.0**-places * (_MM_PER_INCH if unit == INCH else 1.0))
