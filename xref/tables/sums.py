"""Whether a figure is the sum of those above it: what tells a total from a part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from xref.tables.cells import decimals

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.column import Column

_CLOSE = 1e-6


class Sums:
    """Sums down the columns of one block, each made when first asked for.

    `span` are the block's rows; `unsure` the offsets in it of rows that may be totals themselves
    and are not counted in.
    """

    def __init__(
        self, columns: Sequence[Column], span: NDArray[np.int64], unsure: Sequence[int]
    ) -> None:
        self._columns = columns
        self._span = span
        self._unsure = unsure
        self._made: dict[int, tuple[NDArray[np.float64], ...]] = {}

    def end_in(self, offset: int, index: int) -> bool:
        """Whether the figure at `offset` in a column is the sum of at least two above it."""
        if index not in self._made:
            self._made[index] = self._sums(index)
        figures, counts, sums = self._made[index]
        return bool(counts[offset] > 1 and abs(figures[offset] - sums[offset]) < _CLOSE)

    def _sums(self, index: int) -> tuple[NDArray[np.float64], ...]:
        import numpy as np

        column = self._columns[index]
        sign = decimals.decide(column.texts)
        read = [
            decimals.number(text.strip("£€$ "), sign) if text else None for text in column.texts
        ]
        values = np.array([np.nan if one is None else float(one) for one in read])
        figures = values[column.codes[self._span]]
        known = ~np.isnan(figures)
        known[list(self._unsure)] = False
        counted = np.where(known, figures, 0.0)
        return figures, np.cumsum(known) - known, np.cumsum(counted) - counted
