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


def pairs(windows: list[Window], part: Part, rows: Rows) -> Iterator[tuple[Rows, Rows]]:
    """Yield (need rows, part rows) within the windows, in chunks.

    `windows` is aligned with all needs; `rows` are the needs asked about. A need
    with no window at all is refused: it would mean every part.
    """
    for first, mine in _by_leading_window(windows, rows):
        values = part.dimension(first.dimension)
        order = np.argsort(values, kind="stable")
        order = order[: np.count_nonzero(~np.isnan(values))]
        ordered = values[order]
        start = np.searchsorted(ordered, _open(first.low[mine], -np.inf), side="left")
        stop = np.searchsorted(ordered, _open(first.high[mine], np.inf), side="right")
        counts = np.maximum(stop - start, 0)
        others = [window for window in windows if window is not first]
        for chunk in _chunks(counts):
            need_rows = np.repeat(mine[chunk], counts[chunk])
            part_rows = order[_runs(start[chunk], counts[chunk])]
            keep = np.ones(len(need_rows), dtype=np.bool_)
            for window in others:
                value = part.dimension(window.dimension)[part_rows]
                keep &= ~(value < window.low[need_rows]) & ~(value > window.high[need_rows])
            yield need_rows[keep], part_rows[keep]


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
            "Nothing to match by: give at least one size of the part or of its place, "
            "for example --shaft 60.31mm.",
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
