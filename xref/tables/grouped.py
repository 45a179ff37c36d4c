"""Rows of a block that are alike in some columns, taken together as a block of their own."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from xref.tables.coded import Coded, combinations
from xref.tables.rowset import Rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.layout import Block


@dataclass(frozen=True, slots=True)
class Grouped:
    """`block` has one row for each different row of another block, which `codes` points to.

    `first` is the first row of each, `counts` how many are alike. Only the columns asked for
    can be used.
    """

    block: Block
    codes: NDArray[Any]
    first: NDArray[np.int64]

    @property
    def counts(self) -> NDArray[np.int64]:
        """How many rows are alike, for each row of `block`."""
        import numpy as np

        return np.bincount(self.codes, minlength=len(self.first))


def by_groups(
    rows: Rows, block: Block, indices: Iterable[int | None], step: Callable[[Rows, Block], object]
) -> None:
    """Do `step` once for all rows that are alike in some columns, and give each row the result."""
    group = grouped(block, indices)
    made = Rows(len(group.first))
    step(made, group.block)
    rows.take_over(made, group.codes)


def _some(places: Any, rows: NDArray[np.int64]) -> Any:
    import numpy as np

    if isinstance(places, np.ndarray):
        return places[rows]
    return [places[row] for row in rows.tolist()]


class _NotAsked:
    """Stands for a column that may differ among rows taken together."""

    def __init__(self, index: int) -> None:
        self._index = index

    def __getattr__(self, name: str) -> Any:
        raise AssertionError(f"column {self._index} is no part of what rows were grouped by")


def grouped(
    block: Block, indices: Iterable[int | None], *further: Coded, shown: Iterable[int] = ()
) -> Grouped:
    """Take together the rows that are alike in the columns `indices` and in `further`.

    Rows of which a workbook says more stay apart, and so do those of different sections. The
    columns `shown` can be used as well: of them `further` says what matters.
    """
    import numpy as np

    size = len(block.at)
    chosen = dict.fromkeys(index for index in indices if index is not None)
    keys: list[tuple[NDArray[Any], int]] = [
        (block.columns[index].codes, len(block.columns[index].texts)) for index in chosen
    ]
    keys += [(one.codes, len(one.values)) for one in (block.sections, *further)]
    flagged = [row for row, _ in block.flagged_rows()]
    if flagged:
        apart = np.zeros(size, dtype=np.int64)
        apart[flagged] = np.arange(1, len(flagged) + 1)
        keys.append((apart, len(flagged) + 1))
    codes, first = combinations(keys, size)
    usable = {*chosen, *shown}
    columns: list[Any] = [
        column.representing(first) if index in usable else _NotAsked(index)
        for index, column in enumerate(block.columns)
    ]
    made = replace(
        block,
        columns=columns,
        at=_some(block.at, first),
        rows=block.rows[first],
        sections=block.sections.taken(first),
    )
    return Grouped(made, codes, first)
