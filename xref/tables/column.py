"""A column as codes and distinct texts, so that every reader runs once per distinct text."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from xref.tables.text import trimmed

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

T = TypeVar("T")


@dataclass(slots=True)
class Column:
    """Cells of one column: `texts[codes[row]]` is the trimmed text, "" for a blank cell."""

    codes: NDArray[np.int32]
    texts: list[str]

    def __len__(self) -> int:
        return len(self.codes)

    def cell(self, row: int) -> str:
        """Return the text of one cell."""
        return self.texts[int(self.codes[row])]

    def spread(self, values: Sequence[Any]) -> NDArray[Any]:
        """Return one of `values` (one per distinct text) for each row, as an object array."""
        import numpy as np

        array = np.empty(len(values), dtype=object)
        array[:] = values
        return array[self.codes]

    def mask(self, test: Callable[[str], bool]) -> NDArray[np.bool_]:
        """Return for each row whether its text passes `test`."""
        import numpy as np

        flags = np.fromiter((test(text) for text in self.texts), bool, len(self.texts))
        return flags[self.codes]

    @property
    def filled(self) -> NDArray[np.bool_]:
        """Whether each row has any text here."""
        return self.mask(bool)

    def taken(self, rows: NDArray[Any]) -> Column:
        """Return the column of some rows; the distinct texts stay the same list."""
        return Column(self.codes[rows], self.texts)


def column(cells: Sequence[str | None]) -> Column:
    """Code the cells of one column; blanks and invisible characters at the ends are dropped."""
    import numpy as np
    import pandas as pd

    array = np.empty(len(cells), dtype=object)
    array[:] = cells
    codes, uniques = pd.factorize(array, use_na_sentinel=True)
    texts = [trimmed(text) for text in uniques]
    coded = codes.astype(np.int32)
    if (coded < 0).any():  # cells that a short row does not have
        coded[coded < 0] = len(texts)
        texts.append("")
    return Column(coded, texts)


def absent(values: NDArray[Any]) -> NDArray[np.bool_]:
    """Return where an object array holds None."""
    found: NDArray[np.bool_] = values == None  # noqa: E711 - elementwise
    return found
