"""Press fits: pressure, force and how far the bore closes in (Lame, plane stress).

Two elastic rings pressed together by a diametral interference. Plane stress is
the textbook form for short bushes and hubs; plane strain would give a pressure
about 9 % higher at nu = 0.29.

References: Shigley, Mechanical Engineering Design, press and shrink fits; Brown,
Marks' Calculations for Machine Design (2005), eq. 3.15. Moduli in
`tables/metals.csv`, from memory of Shigley, Table A-5.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.errors import Impossible
from xref.fits.given import numbers, words
from xref.fits.quantity import Floats, as_given
from xref.fits.steps import read_rows


class PressFit(NamedTuple):
    """Pressure [MPa], axial force [kN], diametral closing-in of the bore [mm]."""

    pressure_mpa: Floats
    force_kn: Floats
    close_in_mm: Floats


def metals() -> tuple[str, ...]:
    """Return the names of the metals whose moduli are known."""
    return tuple(row["name"] for row in read_rows("metals.csv"))


def press_fit(
    interference_mm: ArrayLike,
    interface_mm: ArrayLike,
    inner_bore_mm: ArrayLike,
    outer_outside_mm: ArrayLike,
    length_mm: ArrayLike,
    inner: ArrayLike = "bronze",
    outer: ArrayLike = "cast iron",
    friction: ArrayLike = 0.15,
) -> PressFit:
    """Pressure, force and close-in of a ring pressed into another.

    Parameters
    ----------
    interference_mm : array_like
        Diametral interference; at or below zero nothing presses [mm]
    interface_mm, inner_bore_mm, outer_outside_mm : array_like
        Diameters of the joint, of the inner ring's bore (0: solid) and of the outer
        ring's outside (inf: not known, taken as very thick) [mm]
    length_mm : array_like
        Length of the joint [mm]
    inner, outer : str or array_like of str
        Metals of `tables/metals.csv`
    friction : array_like
        Coefficient of friction while pressing [-]

    Returns
    -------
    PressFit
        `pressure_mpa`, `force_kn`, `close_in_mm` (diametral), in the shape of what was
        given, broadcast

    Raises
    ------
    Impossible
        Unknown metal, diameters out of order, no length, an interference that is not finite, a
        friction below zero, what is no number, or arrays that do not go together.

    Examples
    --------
    >>> fit = press_fit(0.0355, 26.0, 20.0, 60.0, 20.0)
    >>> [round(float(x), 4) for x in fit]
    [28.0299, 6.8686, 0.0247]
    """
    sizes = numbers(
        interference_mm=interference_mm,
        interface_mm=interface_mm,
        inner_bore_mm=inner_bore_mm,
        outer_outside_mm=outer_outside_mm,
        length_mm=length_mm,
        friction=friction,
    )
    named = words(metals(), sizes, inner=inner, outer=outer)
    *sizes, inners, outers = np.broadcast_arrays(*sizes, *named)
    delta, d, bore, outside, length, mu = sizes
    if np.any(np.isinf(delta)) or not np.all(mu >= 0) or np.any(np.isinf(mu)):
        raise Impossible("The interference is finite, and the friction not below zero.")
    if np.any(bore < 0) or np.any(bore >= d) or np.any(d >= outside) or np.any(length <= 0):
        raise Impossible(
            "The diameters must rise from the inner bore over the joint to the outside, "
            "and the length must be above zero."
        )
    inner_modulus, inner_poisson = _elasticity(inners)
    outer_modulus, outer_poisson = _elasticity(outers)
    hub = (d / outside) ** 2  # 0 for an unknown, very thick hub
    ring = (bore / d) ** 2
    outer_part = ((1 + hub) / (1 - hub) + outer_poisson) / outer_modulus
    inner_part = ((1 + ring) / (1 - ring) - inner_poisson) / inner_modulus
    pressure = np.maximum(delta, 0.0) / (d * (outer_part + inner_part))
    force = np.pi * d * length * pressure * mu / 1000.0
    close_in = 2 * pressure * bore / (inner_modulus * (1 - ring))
    return PressFit(as_given(pressure), as_given(force), as_given(close_in))


def _elasticity(metal: NDArray[np.str_]) -> tuple[Floats, Floats]:
    """Modulus [MPa] and Poisson's ratio [-] of metals that are known."""
    modulus, poisson = np.full(metal.shape, np.nan), np.full(metal.shape, np.nan)
    for row in read_rows("metals.csv"):
        of_it = metal == row["name"]
        modulus[of_it], poisson[of_it] = float(row["modulus_mpa"]), float(row["poisson"])
    return modulus, poisson
