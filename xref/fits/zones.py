"""ISO 286 zones for whole arrays of nominal sizes.

The figures are those of `xref.sizes.iso286`, looked up once per size step.
"""

from __future__ import annotations

from contextlib import suppress
from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.errors import Refused
from xref.fits.given import numbers
from xref.sizes.iso286 import LARGEST_MM, STEPS_MM, Zone, exact_deviations, read_zone

Floats = NDArray[np.float64]

_BEYOND = LARGEST_MM + 1


@lru_cache(maxsize=256)
def _by_millimetre(zone: Zone) -> tuple[Floats, Floats]:
    """Lower and upper deviation [mm] of the sizes up to each whole millimetre.

    The steps end at whole millimetres, so a size has the figures of the next one. NaN at 0, beyond
    the table and where the standard has none.
    """
    table = np.full((2, _BEYOND + 1), np.nan)
    over = 0
    for end in STEPS_MM:
        with suppress(Refused):
            lower, upper = exact_deviations(Fraction(end), zone)
            table[:, over + 1 : end + 1] = [[float(lower)], [float(upper)]]
        over = end
    return table[0], table[1]


def deviations(nominal_mm: Floats, name: str) -> tuple[Floats, Floats]:
    """Deviations of a zone for a column of sizes [mm]; NaN where the table has none.

    What is not covered is told by the check that needs it; `zone` refuses it instead.
    """
    lower, upper = _by_millimetre(read_zone(name))
    # fmax and fmin take the number beside a NaN: an unknown size finds the NaN at 0.
    at = np.fmin(np.fmax(np.ceil(nominal_mm), 0.0), _BEYOND).astype(np.intp)
    return lower[at], upper[at]


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
    if not isinstance(name, str):
        raise Refused(f"A zone is written as 'k6' or 'H7'; {name!r} is none.", code="zone-unknown")
    (nominal,) = numbers(nominal_mm=nominal_mm)
    lower, upper = deviations(nominal, name)
    missing = np.isnan(lower) & ~np.isnan(nominal)
    if missing.any():
        # The scalar look-up words the refusal for the first size without a figure.
        worst = float(nominal[missing].flat[0])
        if not np.isfinite(worst):
            raise Refused(
                f"{worst} is no nominal size for {name}; give it in millimetres.",
                code="zone-not-covered",
            )
        exact_deviations(Fraction(worst), read_zone(name))
    return lower, upper
