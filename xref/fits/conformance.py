"""Does a size lie in its permitted interval? One check, five results, a probability.

The probability that a quantity lies inside is the conformance probability of
JCGM 106:2012, 7. The five results are xref's own words for where the interval
of the quantity stands against the permitted one; a nominal-only size with its
best estimate outside fails, because nobody measured it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.fits.normal import phi
from xref.fits.quantity import EPSILON_MM, NOMINAL, Codes, Floats, Quantity

PASS, LIKELY, DOUBTFUL, FAIL, NOT_CHECKED = range(5)
RESULT_WORDS = ("pass", "likely", "doubtful", "fail", "not checked")

_CERTAIN_SIGMAS = 6.0  # beyond this the normal probability is 0 or 1 to nine digits


def classify(quantity: Quantity, low: Floats, high: Floats) -> Codes:
    """Return the result code of each size against permitted `low`..`high` [mm].

    A NaN limit or an unknown size is not checked.
    """
    low_, high_ = low - EPSILON_MM, high + EPSILON_MM
    outside = (quantity.estimate < low_) | (quantity.estimate > high_)
    disjoint = (quantity.high < low_) | (quantity.low > high_)
    disjoint |= outside & (quantity.how == NOMINAL)
    outside |= disjoint
    crosses = (quantity.low < low_) | (quantity.high > high_) | outside
    # Each includes the next: their number is the code, PASS, LIKELY, DOUBTFUL or FAIL.
    result: Codes = crosses.view(np.int8) + outside.view(np.int8) + disjoint.view(np.int8)
    result[~quantity.known | np.isnan(low_) | np.isnan(high_)] = NOT_CHECKED
    return result


def probability(
    quantity: Quantity, low: Floats, high: Floats, result: Codes | None = None
) -> Floats:
    """Return the conformance probability of each size (JCGM 106, 7.2) [-]; NaN if not checked.

    `result` is what `classify` said, where that was asked before.
    """
    if result is None:
        result = classify(quantity, low, high)
    normal = quantity.sigma > 0
    chance = np.where(result == NOT_CHECKED, np.nan, 1.0)
    rows = np.flatnonzero(normal & (result != NOT_CHECKED))
    if len(rows):
        chance[rows] = _normal(
            quantity.estimate[rows], quantity.sigma[rows], _at(low, rows), _at(high, rows)
        )
    rows = np.flatnonzero(~normal & (result != PASS) & (result != NOT_CHECKED))
    if len(rows):
        chance[rows] = _rectangular(quantity.take(rows), _at(low, rows), _at(high, rows))
    return chance


def margin(quantity: Quantity, low: Floats, high: Floats) -> Floats:
    """Distance of the best estimate from the nearest limit [mm], negative outside."""
    nearest = np.minimum(quantity.estimate - low, high - quantity.estimate)
    return np.asarray(nearest, dtype=np.float64)


def _at(limit: Floats, rows: NDArray[np.intp]) -> Floats:
    return limit[rows] if limit.ndim else np.broadcast_to(limit, rows.shape)


def _normal(estimate: Floats, sigma: Floats, low: Floats, high: Floats) -> Floats:
    chance = _below((high - estimate) / sigma) - _below((low - estimate) / sigma)
    return np.asarray(np.clip(chance, 0.0, 1.0))


def _below(z: Floats) -> Floats:
    """Phi, calculated only where it is neither 0 nor 1 to nine digits."""
    chance = (z >= 0).astype(np.float64)
    rows = np.flatnonzero(np.abs(z) < _CERTAIN_SIGMAS)
    if len(rows):
        chance[rows] = phi(z[rows])
    return chance


def _rectangular(q: Quantity, low: Floats, high: Floats) -> Floats:
    width = q.high - q.low
    overlap = np.minimum(q.high, high) - np.maximum(q.low, low)
    point_inside = (q.estimate >= low - EPSILON_MM) & (q.estimate <= high + EPSILON_MM)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(width > EPSILON_MM, overlap / width, point_inside.astype(np.float64))
    return np.asarray(np.clip(share, 0.0, 1.0))


def joint_interval(
    intervals: list[tuple[ArrayLike, ArrayLike]],
) -> tuple[Floats, Floats]:
    """Intersect permitted intervals [mm] on one measured quantity (they are one demand).

    A NaN limit demands nothing; NaN where none of them does.
    """
    low = np.fmax.reduce([np.asarray(a, dtype=np.float64) for a, _ in intervals])
    high = np.fmin.reduce([np.asarray(b, dtype=np.float64) for _, b in intervals])
    return low, high
