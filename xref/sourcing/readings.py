"""Readings of one dimension of a place: size with uncertainty, taper and out-of-round.

Repeated readings at one spot improve its uncertainty (JCGM 100, 4.2.3; the instrument's own
uncertainty is not averaged away). Spots at different planes and directions are different
diameters: the place is then the interval that holds them all.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Reading:
    """One reading [mm] with the instrument's expanded uncertainty U (k = 2) [mm]."""

    value_mm: float
    uncertainty_mm: float
    plane: str = ""
    direction: str = ""


@dataclass(frozen=True)
class Size:
    """A place's dimension [mm]: interval, mean, U of the mean, and the form as found.

    `taper_mm`: difference between the means of the planes; `out_of_round_mm`: largest
    difference between directions within a plane; None where it was not measured.
    """

    low_mm: float
    high_mm: float
    mean_mm: float
    uncertainty_mm: float
    taper_mm: float | None
    out_of_round_mm: float | None
    readings: int


def combined(readings: Sequence[Reading]) -> Size:
    """Combine readings of one dimension. Raises ValueError for none.

    >>> r = [Reading(60.00, 0.02, "1", "x"), Reading(59.96, 0.02, "1", "y"),
    ...      Reading(59.94, 0.02, "2", "x"), Reading(59.92, 0.02, "2", "y")]
    >>> size = combined(r)
    >>> round(size.taper_mm, 3), round(size.out_of_round_mm, 3)
    (0.05, 0.04)
    >>> round(size.low_mm, 3), round(size.high_mm, 3)
    (59.9, 60.02)
    """
    from xref.fits.quantity import mean_of_readings

    if not readings:
        raise ValueError("no readings to combine")
    spots: dict[tuple[str, str], list[Reading]] = defaultdict(list)
    for r in readings:
        spots[r.plane, r.direction].append(r)
    means = {
        spot: mean_of_readings([r.value_mm for r in found], max(r.uncertainty_mm for r in found))
        for spot, found in spots.items()
    }
    values = [mean for mean, _ in means.values()]
    planes: dict[str, list[float]] = defaultdict(list)
    for (plane, _), (mean, _) in means.items():
        planes[plane].append(mean)
    per_plane = [sum(found) / len(found) for found in planes.values()]
    rounds = [max(found) - min(found) for found in planes.values() if len(found) > 1]
    return Size(
        min(mean - spread for mean, spread in means.values()),
        max(mean + spread for mean, spread in means.values()),
        sum(values) / len(values),
        max(spread for _, spread in means.values()),
        max(per_plane) - min(per_plane) if len(per_plane) > 1 else None,
        max(rounds, default=None),
        len(readings),
    )
