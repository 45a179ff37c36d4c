"""ISO 286 zones for whole arrays of nominal sizes.

The figures are those of `xref.sizes.iso286`, looked up once per size step.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.errors import Refused
from xref.sizes.iso286 import LARGEST_MM, STEPS_MM, Zone, exact_deviations, read_zone

Floats = NDArray[np.float64]

_ENDS = np.array(STEPS_MM, dtype=np.float64)


@lru_cache(maxsize=256)
def _by_step(zone: Zone) -> tuple[Floats, Floats]:
    """Lower and upper deviation [mm] per step of `STEPS_MM`; NaN where the standard has none."""
    pairs = []
    for end in STEPS_MM:
        try:
            lower, upper = exact_deviations(Fraction(end), zone)
            pairs.append((float(lower), float(upper)))
        except Refused:
            pairs.append((np.nan, np.nan))
    table = np.array(pairs)
    return table[:, 0], table[:, 1]


def zone(nominal_mm: ArrayLike, name: str) -> tuple[Floats, Floats]:
    """Deviations of an ISO 286 zone at one or many nominal sizes.

    Parameters
    ----------
    nominal_mm : array_like, any shape
        Nominal sizes, above 0 to 500; NaN means unknown [mm]
    name : str
        Zone, `"k6"` for a shaft, `"H7"` for a hole

    Returns
    -------
    tuple of ndarray, shape of `nominal_mm`
        Lower and upper deviation; NaN where the nominal size is unknown [mm]

    Raises
    ------
    Refused
        The zone does not exist, or the standard gives none at one of the sizes.

    Examples
    --------
    >>> lower, upper = zone([25.0, 60.0], "k6")
    >>> lower.tolist(), upper.tolist()
    ([0.002, 0.002], [0.015, 0.021])
    """
    read = read_zone(name)
    nominal = np.asarray(nominal_mm, dtype=np.float64)
    known = ~np.isnan(nominal)
    outside = known & ((nominal <= 0) | (nominal > LARGEST_MM))
    lower_by_step, upper_by_step = _by_step(read)
    step = np.searchsorted(_ENDS, np.where(known & ~outside, nominal, 1.0), side="left")
    lower = np.where(known, lower_by_step[step], np.nan)
    upper = np.where(known, upper_by_step[step], np.nan)
    missing = outside | (known & np.isnan(lower))
    if missing.any():
        # The scalar look-up words the refusal for the first size without a figure.
        worst = float(nominal[missing].flat[0])
        if not np.isfinite(worst):
            raise Refused(
                f"{worst} is no nominal size for {name}; give it in millimetres.",
                code="zone-not-covered",
            )
        exact_deviations(Fraction(worst), read)
    return lower, upper
