"""O-ring glands: squeeze, stretch and fill of a ring in its groove.

Ring tolerances are those of ISO 3601-1: class A for the AS568 sizes, the class B
formula for other inside diameters. The loss of section through stretch (about
half the stretch) is not deducted.

References: ISO 3601-1:2012 (as quoted in a public text), AS568; limits in
`tables/o_ring_gland.csv`.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.errors import Impossible
from xref.fits.given import above_zero, covered, numbers, words
from xref.fits.quantity import Floats, as_given
from xref.fits.steps import read_rows, step_table_for

PISTON, ROD, FACE = GLANDS = ("piston", "rod", "face")
MOTIONS = ("static", "dynamic")
Interval = tuple[Floats, Floats]


class Gland(NamedTuple):
    """Intervals (least, most) of squeeze, stretch and fill [%]."""

    squeeze: Interval
    stretch: Interval
    fill: Interval


def oring_gland(
    section_mm: ArrayLike,
    inside_mm: ArrayLike,
    groove_diameter_mm: ArrayLike,
    mating_diameter_mm: ArrayLike,
    groove_width_mm: ArrayLike,
    gland: ArrayLike,
    motion: ArrayLike = "static",
    *,
    depth_mm: ArrayLike | None = None,
) -> Gland:
    """Squeeze, stretch and fill of a ring, with the ring's own tolerances.

    Parameters
    ----------
    section_mm, inside_mm : array_like
        Nominal cross-section and inside diameter of the ring [mm]
    groove_diameter_mm, mating_diameter_mm, groove_width_mm : array_like
        Diameter of the groove's bottom, of the bore, rod or face it seals against, and the
        groove's axial width [mm]
    gland : str or array_like of str
        "piston" (groove in the inner part), "rod" (groove in the outer part) or "face"
    motion : str or array_like of str
        "static" or "dynamic"; names the limits that apply, not the figures returned
    depth_mm : array_like, optional
        Depth of the gland; by default half the difference of the two diameters [mm]

    Returns
    -------
    Gland
        Three (least, most) pairs [%], in the shape of what was given, broadcast. `stretch` is of
        the inside diameter on a piston groove; on rod and face grooves it is how much larger the
        ring's outside is than the groove.

    Raises
    ------
    Impossible
        Another gland or motion, a gland without depth, a size not above zero, what is no number,
        arrays that do not go together.
    Refused
        A section beyond the table of its tolerances.

    Examples
    --------
    >>> ring = oring_gland(3.53, 24.99, 25.4, 31.14, 4.57, "piston")
    >>> [round(float(x), 1) for x in ring.squeeze]
    [16.3, 20.9]
    """
    sizes = {
        "section_mm": section_mm,
        "inside_mm": inside_mm,
        "groove_diameter_mm": groove_diameter_mm,
        "mating_diameter_mm": mating_diameter_mm,
        "groove_width_mm": groove_width_mm,
    }
    more = {} if depth_mm is None else {"depth_mm": depth_mm}
    read = numbers(**sizes, **more)
    (glands,) = words(GLANDS, read, gland=gland)
    (motions,) = words(MOTIONS, (*read, glands), motion=motion)
    *read, glands, _ = np.broadcast_arrays(*read, glands, motions)
    section, inside, groove, mating, width, *stated = read
    above_zero(**dict(zip(sizes, (section, inside, groove, mating, width), strict=True)))
    reach = step_table_for("o_ring_section.csv", "tolerance_mm", "section").reach_mm
    covered("ISO 3601-1 class A, section tolerance,", reach, "section_mm", section, True)
    depth = stated[0] if stated else gland_depth(groove, mating, glands)
    if np.any(depth <= 0):
        raise Impossible(
            "The gland has no depth: on a piston the mating bore is larger than the groove, on a "
            "rod the groove is larger than the rod."
        )
    thin, thick = section_limits(section)
    small, large = inside_limits(inside, section)
    inner = glands == PISTON
    least = np.where(inner, (groove - large) / large, (small + 2 * thin - groove) / groove)
    most = np.where(inner, (groove - small) / small, (large + 2 * thick - groove) / groove)
    area = depth * width
    return Gland(
        _pair(100 * (thin - depth) / thin, 100 * (thick - depth) / thick),
        _pair(100 * least, 100 * most),
        _pair(100 * np.pi * thin**2 / 4 / area, 100 * np.pi * thick**2 / 4 / area),
    )


def gland_depth(groove_mm: Floats, mating_mm: Floats, gland: NDArray[np.str_]) -> Floats:
    """Depth from the two diameters [mm]; negative when they are the wrong way round."""
    deeper = (mating_mm - groove_mm) / 2
    return np.select([gland == PISTON, gland == ROD], [deeper, -deeper], np.abs(deeper))


def section_limits(section_mm: Floats) -> Interval:
    """Limits of the ring's cross-section, ISO 3601-1 class A [mm]."""
    tolerance = step_table_for("o_ring_section.csv", "tolerance_mm", "section")(section_mm)
    return section_mm - tolerance, section_mm + tolerance


def inside_limits(inside_mm: Floats, section_mm: Floats) -> Interval:
    """Limits of the ring's inside diameter [mm].

    Class A for the AS568 sizes, recognised by both dimensions; else the class B formula of
    ISO 3601-1, Annex A.
    """
    tolerance = np.asarray(0.009 * np.power(inside_mm, 0.95) + 0.11)
    keys, class_a = _class_a()
    wanted = _size_key(inside_mm, section_mm)
    place = np.minimum(np.searchsorted(keys, wanted), len(keys) - 1)
    tolerance = np.where(keys[place] == wanted, class_a[place], tolerance)
    return inside_mm - tolerance, inside_mm + tolerance


@cache
def _class_a() -> tuple[Floats, Floats]:
    rows = read_rows("as568.csv")
    keys = _size_key(
        np.array([float(row["inside_mm"]) for row in rows]),
        np.array([float(row["section_mm"]) for row in rows]),
    )
    order = np.argsort(keys)
    tolerance = np.array([float(row["inside_tolerance_mm"]) for row in rows])
    return keys[order], tolerance[order]


def _size_key(inside_mm: Floats, section_mm: Floats) -> Floats:
    """One number for both dimensions to 0.01 mm, exact in a float."""
    return np.asarray(np.round(inside_mm * 100) * 10_000 + np.round(section_mm * 100))


def _pair(low: Floats, high: Floats) -> Interval:
    return as_given(low), as_given(high)
