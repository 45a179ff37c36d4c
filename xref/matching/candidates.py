"""Which parts are worth judging for which need: windows on sorted sizes, no all-against-all.

Two sizes decide: the parts are sorted by the first, each need's window on it
becomes a run of rows (binary search), and the second window thins the run.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from xref.errors import Impossible
from xref.kinds.base import Part, Window

Rows = NDArray[np.intp]

PAIRS_AT_ONCE = 16_384
"""Pairs judged together: their columns stay in the processor's cache (measured: twice as fast as
a million at once), and wider windows come in more blocks, not in more memory."""


class BySize:
    """Parts sorted by their sizes, by each of them once."""

    def __init__(self, part: Part) -> None:
        self.part = part
        self._sorted: dict[str, tuple[Rows, NDArray[np.float64]]] = {}

    def sorted(self, dimension: str) -> tuple[Rows, NDArray[np.float64]]:
        """Return the rows whose dimension is known, by size, and their sizes [mm]."""
        if dimension not in self._sorted:
            values = self.part.dimension(dimension)
            order = np.argsort(values, kind="stable")
            order = order[: np.count_nonzero(~np.isnan(values))]
            self._sorted[dimension] = order, values[order]
        return self._sorted[dimension]


def pairs(
    windows: list[Window], parts: BySize, rows: Rows, judged: list[Window] | None = None
) -> Iterator[tuple[Rows, Rows]]:
    """Yield (need rows, part rows) within the windows, in chunks.

    `windows` is aligned with all needs; `rows` are the needs asked about. Pairs within the
    windows `judged` are left out. A need with no window at all is refused: it would mean every
    part.
    """
    part = parts.part
    for first, mine in _by_leading_window(windows, rows):
        order, ordered = parts.sorted(first.dimension)
        start = np.searchsorted(ordered, _open(first.low[mine], -np.inf), side="left")
        stop = np.searchsorted(ordered, _open(first.high[mine], np.inf), side="right")
        counts = np.maximum(stop - start, 0)
        others = [window for window in windows if window is not first]
        for chunk in _chunks(counts):
            need_rows = np.repeat(mine[chunk], counts[chunk])
            part_rows = order[_runs(start[chunk], counts[chunk])]
            keep = _within(others, part, need_rows, part_rows)
            if judged is not None:
                keep &= ~_within(judged, part, need_rows, part_rows)
            yield need_rows[keep], part_rows[keep]


def _within(
    windows: list[Window], part: Part, need_rows: Rows, part_rows: Rows
) -> NDArray[np.bool_]:
    """Where no known size of a pair lies outside a window."""
    inside = np.ones(len(need_rows), dtype=np.bool_)
    for window in windows:
        value = part.dimension(window.dimension)[part_rows]
        inside &= ~(value < window.low[need_rows]) & ~(value > window.high[need_rows])
    return inside


def boundless(windows: list[Window]) -> NDArray[np.bool_]:
    """Return the needs that no window bounds: every part would be a candidate."""
    sides = [side for window in windows for side in (window.low, window.high)]
    return np.asarray(np.isnan(sides).all(axis=0))


def _by_leading_window(windows: list[Window], rows: Rows) -> Iterator[tuple[Window, Rows]]:
    """Split the needs by the first window each of them has."""
    left = rows
    for window in windows:
        has = ~(np.isnan(window.low[left]) & np.isnan(window.high[left]))
        if has.any():
            yield window, left[has]
        left = left[~has]
    if len(left):
        raise Impossible(
            "What is given leaves open what could fit: add a diameter of the part or of its place, "
            "for example --shaft 60.31mm; of an O-ring's groove its mating diameter too.",
            code="no-size",
        )


def _open(limit: NDArray[np.float64], instead: float) -> NDArray[np.float64]:
    return np.where(np.isnan(limit), instead, limit)


def _runs(start: Rows, counts: Rows) -> Rows:
    """Indices start..start+count of every run, one after another."""
    ends = np.cumsum(counts)
    offsets = np.arange(ends[-1] if len(ends) else 0) - np.repeat(ends - counts, counts)
    return np.asarray(np.repeat(start, counts) + offsets)


def _chunks(counts: Rows) -> Iterator[slice]:
    """Cut the needs so that each slice makes about PAIRS_AT_ONCE pairs."""
    total = np.cumsum(counts)
    begin = 0
    while begin < len(counts):
        done = total[begin - 1] if begin else 0
        end = int(np.searchsorted(total, done + PAIRS_AT_ONCE, side="right"))
        end = max(end, begin + 1)
        yield slice(begin, end)
        begin = end
