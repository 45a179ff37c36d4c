"""Cells that say `the same as above`: ditto marks, `ditto`, `dto.`, `idem`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from xref.tables.column import Column

if TYPE_CHECKING:
    from xref.tables.layout import Block

_MARKS = frozenset(
    [
        *('"', "''", "″", "”", "〃", ",,", '-"-', '- " -', "-”-", "-„-", '"""'),
        *("ditto", "do.", "dito", "dto", "dto.", "idem", "as above", "wie oben", "wie vor"),
    ]
)


def is_ditto(text: str) -> bool:
    """Whether a cell as a whole stands for the one above it."""
    return len(text) <= 8 and text.casefold() in _MARKS


def repeat_above(blocks: Sequence[Block]) -> list[str]:
    """Put the text above in place of every ditto mark; return the note about it, if any.

    A mark with nothing above it stays what it is.
    """
    found = [_repeated(block, index) for block in blocks for index in range(len(block.columns))]
    return ["ditto marks are read as the cell above them"] if any(found) else []


def _repeated(block: Block, index: int) -> bool:
    import numpy as np

    column = block.columns[index]
    marked = column.mask(is_ditto, ordinary=False)
    if not marked.any():
        return False
    above = np.maximum.accumulate(np.where(marked, -1, np.arange(len(marked))))
    said = marked & (above >= 0) & column.filled[above]
    codes = column.codes.copy()
    codes[said] = codes[above[said]]
    block.columns[index] = Column(codes, column.texts)
    return bool(said.any())
