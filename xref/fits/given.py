"""Numbers and words that users of the library give: one or arrays, else a sentence."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from xref.errors import Impossible, Refused
from xref.fits.quantity import EPSILON_MM, Bools, Floats


def numbers(**given: ArrayLike) -> list[Floats]:
    """Return values as floats that go together: each one value, or arrays of matching shapes.

    Names are those of the parameters; NaN means unknown. Raises `Impossible` for what is no
    number, or for shapes that do not match.
    """
    read: list[Floats] = []
    for name, values in given.items():
        try:
            read.append(np.asarray(values, dtype=np.float64))
        except (TypeError, ValueError, OverflowError):
            raise Impossible(
                f"{name} is a number or an array of numbers, not {str(values)[:40]!r}.", at=name
            ) from None
    try:
        np.broadcast_shapes(*(one.shape for one in read))
    except ValueError:
        shapes = ", ".join(f"{n} {one.shape}" for n, one in zip(given, read, strict=True))
        raise Impossible(
            f"The arrays do not go together ({shapes}): give one value, or as many of each."
        ) from None
    return read


def words(
    allowed: Collection[str], beside: Sequence[NDArray[Any]], **given: ArrayLike
) -> list[NDArray[np.str_]]:
    """Return words, each one or an array, that go together with the arrays `beside` them.

    Names are those of the parameters. Raises `Impossible` for a word that is not `allowed`, or
    for shapes that do not match.
    """
    read: list[NDArray[np.str_]] = []
    for name, texts in given.items():
        try:
            read.append(np.asarray(texts, dtype=np.str_))
            np.broadcast_shapes(*(one.shape for one in (*beside, *read)))
        except ValueError:
            raise Impossible(
                f"{name} is one word, or as many as there are sizes.", at=name
            ) from None
        for word in np.unique(read[-1]):
            if word not in allowed:
                raise Impossible(f"{name} is {' or '.join(allowed)}, not {str(word)!r}.", at=name)
    return read


def above_zero(**given: Floats) -> None:
    """Raise `Impossible` unless every known value is above zero and finite."""
    for name, values in given.items():
        wrong = (values <= 0) | np.isinf(values)
        if np.any(wrong):
            worst = float(values[wrong].flat[0])
            raise Impossible(f"{name} is {worst:g}: it is above zero and finite.", at=name)


def covered(table: str, reach_mm: float, name: str, size_mm: Floats, rows: Bools | bool) -> None:
    """Raise `Refused` where a known size of `rows` is beyond a table [mm]."""
    beyond = rows & (size_mm > reach_mm + EPSILON_MM)
    if np.any(beyond):
        size = float(np.broadcast_to(size_mm, np.shape(beyond))[beyond].flat[0])
        raise Refused(
            f"{name} {size:g} mm is not covered by {table} above {reach_mm:g} mm, and nothing is "
            "extrapolated.",
            at=name,
            code="table-not-covered",
        )
