"""Sizes with what is known about them: measured, limits, or nominal only.

A `Quantity` is a column of sizes. Following the GUM (JCGM 100) a measured value
with expanded uncertainty U (k = 2) is normal with standard uncertainty U/2; a
size known only by limits is rectangular between them (JCGM 100, 4.3.7).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Codes = NDArray[np.int8]

UNKNOWN, MEASURED, LIMITS, NOMINAL, OWN_LIMITS = range(5)
"""How a size is known: not at all, by instrument, by a drawing of the place, by its name in the
trade, by the limits of the old part itself. The last two are assumed of the place."""

COVERAGE_FACTOR = 2.0
"""k of the expanded uncertainties users state (JCGM 100, 6.2.1)."""


def as_given(values: ArrayLike) -> Floats:
    """Return arrays as arrays and single values as numpy floats, as the caller gave them."""
    made: Floats = np.asarray(values, dtype=np.float64)[()]
    return made


EPSILON_MM = 1e-6
"""Comparisons allow this much [mm]: inch sizes are not exact in binary."""

PRINT_ROUNDING_MM = 0.02
"""Lists that print one size differ by no more than this [mm] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A column of sizes [mm], each with its interval and how it is known.

    `low`, `high`: the interval; `estimate`: best estimate; `sigma`: standard
    uncertainty of a normal quantity, 0 for a rectangular one; `how`: one of the
    codes above. Unknown sizes are NaN throughout.
    """

    low: Floats
    high: Floats
    estimate: Floats
    sigma: Floats
    how: Codes

    def __len__(self) -> int:
        return len(self.low)

    @property
    def known(self) -> Bools:
        """Where a size is known at all."""
        return np.asarray(self.how != UNKNOWN)

    @property
    def assumed(self) -> Bools:
        """Where a size is the old part's, by name or limits: nobody measured the place."""
        return np.asarray((self.how == NOMINAL) | (self.how == OWN_LIMITS))

    @classmethod
    def unknown(cls, length: int) -> Quantity:
        """Return `length` unknown sizes."""
        nan = np.full(length, np.nan)
        return cls(nan, nan, nan, np.zeros(length), np.zeros(length, dtype=np.int8))

    @classmethod
    def measured(cls, value_mm: ArrayLike, uncertainty_mm: ArrayLike) -> Quantity:
        """Return measured sizes: value and expanded uncertainty U at k = 2 [mm]."""
        value, spread = np.broadcast_arrays(
            np.atleast_1d(np.asarray(value_mm, dtype=np.float64)),
            np.asarray(uncertainty_mm, dtype=np.float64),
        )
        how = np.where(np.isnan(value), UNKNOWN, MEASURED).astype(np.int8)
        return cls(value - spread, value + spread, value.copy(), spread / COVERAGE_FACTOR, how)

    @classmethod
    def limits(cls, low_mm: ArrayLike, high_mm: ArrayLike, how: int = LIMITS) -> Quantity:
        """Return sizes known by two limits [mm], `how` one of the codes above."""
        low, high = np.broadcast_arrays(
            np.atleast_1d(np.asarray(low_mm, dtype=np.float64)),
            np.atleast_1d(np.asarray(high_mm, dtype=np.float64)),
        )
        middle = (low + high) / 2
        codes = np.where(np.isnan(middle), UNKNOWN, how).astype(np.int8)
        return cls(low, high, middle, np.zeros(len(low)), codes)

    def take(self, rows: NDArray[np.intp] | Bools) -> Quantity:
        """Return the sizes at `rows` (indices or a mask)."""
        return Quantity(
            self.low[rows], self.high[rows], self.estimate[rows], self.sigma[rows], self.how[rows]
        )

    def otherwise(self, fallback: Quantity) -> Quantity:
        """Return this size where known, else `fallback`'s."""
        known = self.known
        if known.all():
            return self
        return Quantity(
            np.where(known, self.low, fallback.low),
            np.where(known, self.high, fallback.high),
            np.where(known, self.estimate, fallback.estimate),
            np.where(known, self.sigma, fallback.sigma),
            np.where(known, self.how, fallback.how),
        )

    def put(self, rows: NDArray[np.intp], sizes: Quantity) -> None:
        """Put `sizes` in at `rows`; for quantities whose columns nobody else holds."""
        self.low[rows], self.high[rows] = sizes.low, sizes.high
        self.estimate[rows], self.sigma[rows] = sizes.estimate, sizes.sigma
        self.how[rows] = sizes.how

    def copy(self) -> Quantity:
        """Return the sizes in columns of their own."""
        return Quantity(
            self.low.copy(),
            self.high.copy(),
            self.estimate.copy(),
            self.sigma.copy(),
            self.how.copy(),
        )

    def where(self, mask: Bools, replacement: Quantity) -> Quantity:
        """Return `replacement` where `mask`, else this size."""
        return Quantity(
            np.where(mask, replacement.low, self.low),
            np.where(mask, replacement.high, self.high),
            np.where(mask, replacement.estimate, self.estimate),
            np.where(mask, replacement.sigma, self.sigma),
            np.where(mask, replacement.how, self.how).astype(np.int8),
        )

    @staticmethod
    def stack(parts: Sequence[Quantity]) -> Quantity:
        """Return the columns one after another."""
        return Quantity(
            np.concatenate([p.low for p in parts]),
            np.concatenate([p.high for p in parts]),
            np.concatenate([p.estimate for p in parts]),
            np.concatenate([p.sigma for p in parts]),
            np.concatenate([p.how for p in parts]),
        )


def mean_of_readings(readings_mm: Sequence[float], instrument_mm: float) -> tuple[float, float]:
    """Mean and expanded uncertainty U (k = 2) of several readings [mm].

    The scatter of the mean (type A, JCGM 100, 4.2.3) is combined with the
    instrument's own U (type B), which averaging does not improve. For one
    reading U is the instrument's.

    >>> mean_of_readings([60.00, 60.02, 60.01], 0.02)[0]
    60.01
    """
    values = np.asarray(readings_mm, dtype=np.float64)
    mean = float(values.mean())
    if len(values) < 2:
        return mean, instrument_mm
    scatter = float(values.std(ddof=1)) / float(np.sqrt(len(values)))
    return mean, float(np.hypot(COVERAGE_FACTOR * scatter, instrument_mm))
