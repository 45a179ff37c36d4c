"""Dimensions of a block's rows while they are gathered, and what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

METRIC_FROM = 16
"""Whole or half figures whose largest is at least this are no inches: 16 in is 406 mm, and an
inch list of parts that large would show fractions."""
INCH_BELOW = 10
"""Figures all below this, one of them with three places, are no millimetres."""
INSIDE = ("shaft_diameter", "bore_diameter", "inside_diameter")
OUTSIDE = "outside_diameter"
ASSEMBLED = "assembled_width"


@dataclass(slots=True)
class Dimension:
    """One dimension of all rows [mm]; NaN and None where it is not stated."""

    nominal: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    text: NDArray[np.object_]


@dataclass(slots=True)
class Sized:
    """Dimensions of a block's rows, rows set aside with the reason, and warnings by row."""

    unit: NDArray[np.int8]
    any_size: NDArray[np.bool_]
    dimensions: dict[str, Dimension] = field(default_factory=dict)
    problems: dict[int, str] = field(default_factory=dict)
    warnings: dict[int, list[str]] = field(default_factory=dict)

    def problem(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason found is the one shown."""
        self.problems.setdefault(row, reason)

    def warn(self, row: int, text: str) -> None:
        """Note something about a row that is loaded."""
        self.warnings.setdefault(row, []).append(text)


def dimension_of(result: Sized, name: str, size: int) -> Dimension:
    """Return (making it if need be) the arrays of a dimension."""
    import numpy as np

    if name not in result.dimensions:
        text = np.empty(size, dtype=object)
        result.dimensions[name] = Dimension(
            np.full(size, np.nan), np.full(size, np.nan), np.full(size, np.nan), text
        )
    return result.dimensions[name]
