"""Tolerance bands in characters: what is permitted above what is there, on one scale.

    permitted 80.000..80.046  |    [==================]        |
    actual    80.000..80.020  |    [=======]                   |

Plain ASCII, so that any terminal and printer shows it; open intervals run to the edge.
"""

from __future__ import annotations

import math

SCALE = 36


def band(low: float | None, high: float | None, start: float, end: float) -> str:
    """Return the interval drawn on a scale from `start` to `end` [mm]."""
    left = 0 if low is None or low < start else _column(low, start, end)
    right = SCALE - 1 if high is None or high > end else _column(high, start, end)
    cells = [" "] * SCALE
    if left == right:
        cells[left] = "|"
        return "".join(cells)
    cells[left : right + 1] = ["="] * (right - left + 1)
    if low is not None and low >= start:
        cells[left] = "["
    if high is not None and high <= end:
        cells[right] = "]"
    return "".join(cells)


def pair(
    permitted: tuple[float | None, float | None], actual: tuple[float | None, float | None]
) -> tuple[str, str] | None:
    """Return both bands on one scale; None when there is nothing finite to draw."""
    permitted, actual = _finite(permitted), _finite(actual)
    ends = [end for end in (*permitted, *actual) if end is not None]
    if not ends or actual == (None, None) or permitted == (None, None):
        return None
    start, end = min(ends), max(ends)
    room = (end - start) * 0.08 or 0.01  # a margin, so that a limit is not the edge
    start, end = start - room, end + room
    return band(*permitted, start, end), band(*actual, start, end)


def _finite(interval: tuple[float | None, float | None]) -> tuple[float | None, float | None]:
    low, high = (
        None if value is None or not math.isfinite(value) else float(value) for value in interval
    )
    return low, high


def _column(value: float, start: float, end: float) -> int:
    return round((value - start) / (end - start) * (SCALE - 1))
