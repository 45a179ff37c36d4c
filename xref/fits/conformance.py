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
from xref.fits.quantity import EPSILON_MM, NOMINAL, Bools, Codes, Floats, Quantity

PASS, LIKELY, DOUBTFUL, FAIL, NOT_CHECKED = range(5)
RESULT_WORDS = ("pass", "likely", "doubtful", "fail", "not checked")

_CERTAIN_SIGMAS = 6.0  # beyond this the normal probability is 0 or 1 to nine digits


def classify(quantity: Quantity, low: Floats, high: Floats) -> Codes:
    """Return the result code of each size against permitted `low`..`high` [mm].

    A NaN limit or an unknown size is not checked.
    """
    below_low = quantity.low < low - EPSILON_MM
    above_high = quantity.high > high + EPSILON_MM
    result = (below_low | above_high).astype(np.int8)  # PASS or LIKELY
    open_rows = np.flatnonzero(result)
    if len(open_rows):
        q = quantity.take(open_rows)
        low_, high_ = _at(low, open_rows), _at(high, open_rows)
        outside = (q.estimate < low_ - EPSILON_MM) | (q.estimate > high_ + EPSILON_MM)
        disjoint = (q.high < low_ - EPSILON_MM) | (q.low > high_ + EPSILON_MM)
        disjoint |= outside & (q.how == NOMINAL)
        result[open_rows] = np.where(disjoint, FAIL, np.where(outside, DOUBTFUL, LIKELY))
    unknown = ~quantity.known | np.isnan(low) | np.isnan(high)
    result[unknown] = NOT_CHECKED
    return result


def probability(quantity: Quantity, low: Floats, high: Floats) -> Floats:
    """Return the conformance probability of each size (JCGM 106, 7.2) [-]; NaN if not checked."""
    inside = (quantity.low >= low - EPSILON_MM) & (quantity.high <= high + EPSILON_MM)
    chance: Floats = np.where(inside & (quantity.sigma == 0), 1.0, np.nan)
    rows = np.flatnonzero(np.isnan(chance) & quantity.known)
    if len(rows):
        q, low_, high_ = quantity.take(rows), _at(low, rows), _at(high, rows)
        chance[rows] = np.where(q.sigma > 0, _normal(q, low_, high_), _rectangular(q, low_, high_))
    chance[~quantity.known | np.isnan(low) | np.isnan(high)] = np.nan
    return chance


def margin(quantity: Quantity, low: Floats, high: Floats) -> Floats:
    """Distance of the best estimate from the nearest limit [mm], negative outside."""
    nearest = np.minimum(quantity.estimate - low, high - quantity.estimate)
    return np.asarray(nearest, dtype=np.float64)


def _at(limit: Floats, rows: NDArray[np.intp]) -> Floats:
    return limit[rows] if limit.ndim else np.broadcast_to(limit, rows.shape)


def _normal(q: Quantity, low: Floats, high: Floats) -> Floats:
    sigma = np.where(q.sigma > 0, q.sigma, 1.0)
    upper, lower = (high - q.estimate) / sigma, (low - q.estimate) / sigma
    chance = np.where(upper >= 0, 1.0, 0.0) - np.where(lower > 0, 1.0, 0.0)
    near: Bools = (np.abs(upper) < _CERTAIN_SIGMAS) | (np.abs(lower) < _CERTAIN_SIGMAS)
    rows = np.flatnonzero(near)
    if len(rows):
        chance[rows] = phi(upper[rows]) - phi(lower[rows])
    return np.asarray(np.clip(chance, 0.0, 1.0))


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
    """Intersect permitted intervals [mm] on one measured quantity (they are one demand)."""
    low = np.maximum.reduce([np.asarray(a, dtype=np.float64) for a, _ in intervals])
    high = np.minimum.reduce([np.asarray(b, dtype=np.float64) for _, b in intervals])
    return low, high
