"""Sizes and service conditions that cannot be, row by row, each with its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.fits.glands import FACE, ROD
from xref.fits.quantity import Floats
from xref.kinds.systems import leading_dimensions

NUMBERS = (
    "rpm",
    "temperature",
    "pressure_bar",
    "load_n",
    "life_hours",
    "track_position",
    "track_width",
)
"""Service conditions that are figures."""
MAY_BE_NEGATIVE = ("temperature",)
ABSOLUTE_ZERO_DEGC = -273.15


def impossible_rows(
    kind: str,
    own: Mapping[str, Floats],
    place: Mapping[str, Floats],
    service: Mapping[str, NDArray[Any]],
) -> dict[int, str]:
    """Return rows whose sizes cannot be, with the reason as a sentence."""
    wrong: dict[int, str] = {}
    for name, values in {**own, **place}.items():
        for row in np.flatnonzero(values <= 0):
            wrong.setdefault(
                int(row), f"{in_words(name)} is {values[row]:g} mm: a size is above zero"
            )
        for row in np.flatnonzero(np.isinf(values)):
            wrong.setdefault(int(row), f"{in_words(name)} is infinite: give the size as measured")
    for inner, outer in (leading_dimensions(kind), ("shaft", "housing")):
        a, b = (
            (own if inner in own else place).get(inner),
            (own if outer in own else place).get(outer),
        )
        if a is None or b is None or outer == "cross_section":
            continue
        for row in np.flatnonzero(b <= a):
            wrong.setdefault(
                int(row),
                f"{in_words(outer)} {b[row]:g} mm is not larger than {in_words(inner)} "
                f"{a[row]:g} mm: check which is which",
            )
    groove, mating = place.get("groove_diameter"), place.get("mating_diameter")
    if groove is not None and mating is not None:
        gland = service.get("gland", np.full(len(groove), "", dtype="<U24"))
        for row in np.flatnonzero(np.where(gland == ROD, mating >= groove, groove >= mating)):
            if gland[row] != FACE:
                wrong.setdefault(
                    int(row),
                    f"a groove of {groove[row]:g} mm under {mating[row]:g} mm has no depth: on a "
                    "piston the mating bore is the larger, on a rod the groove is",
                )
    for name in NUMBERS:
        for row in np.flatnonzero(np.isinf(service.get(name, np.zeros(0)))):
            wrong.setdefault(int(row), f"{in_words(name)} is infinite: give what it is")
        for row in np.flatnonzero(service.get(name, np.zeros(0)) < 0):
            if name not in MAY_BE_NEGATIVE:
                value = service[name][row]
                wrong.setdefault(int(row), f"{in_words(name)} is {value:g}: it is not below zero")
    for row in np.flatnonzero(service.get("temperature", np.zeros(0)) < ABSOLUTE_ZERO_DEGC):
        value = service["temperature"][row]
        wrong.setdefault(int(row), f"temperature is {value:g} degC: nothing is so cold")
    return wrong


def in_words(name: str) -> str:
    """Return a dimension's, place's or condition's name for a sentence."""
    return name.replace("_", " ")
