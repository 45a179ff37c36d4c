"""Values of rows kept as codes and few values, and rows that are alike taken together.

A list of a million rows repeats some thousand cells. Whatever depends on a few columns is
worked out once for each combination of their texts, and every row only points to its result.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.texts import Texts

_WORTH_LISTING = 4
"""Combinations for each row up to which a table of all is quicker than a look-up of each."""

_encode = json.JSONEncoder(ensure_ascii=False, default=str).encode


class Coded:
    """One value for each row: `values[codes[row]]`, None (or NaN, or NA) where unknown.

    Values need not differ from one another, nor occur. They are an array of NumPy or pandas,
    or what makes one when it is asked for, with what writes each value as JSON, or `texts`, of
    which an empty one says nothing.
    """

    __slots__ = ("_make", "_values", "_write", "codes", "texts")

    def __init__(
        self,
        codes: NDArray[Any],
        values: Any = None,
        make: Callable[[], Any] | None = None,
        write: Callable[[], list[str | None]] | None = None,
        texts: Texts | None = None,
    ) -> None:
        self.codes = codes
        self.texts = texts
        self._values = values
        self._make = make
        self._write = write

    @property
    def values(self) -> Any:
        """The values that codes point to."""
        if self._values is None and self._make is not None:
            self._values = self._make()
        if self._values is None and self.texts is not None:
            self._values = objects([text or None for text in self.texts])
        return self._values

    def written(self) -> list[str | None]:
        """Return each value as JSON text, None for None."""
        if self._write is not None:
            return self._write()
        return [None if value is None else _encode(value) for value in self.values.tolist()]

    def __len__(self) -> int:
        return len(self.codes)

    def dense(self) -> Any:
        """Return the value of each row as an array."""
        return self.values[self.codes]

    def at(self, row: int) -> Any:
        """Return the value of one row."""
        if self.texts is not None:
            return self.texts[int(self.codes[row])] or None
        return self.values[self.codes[row]]

    def absent(self) -> NDArray[np.bool_]:
        """Return for each row whether its value is unknown."""
        import pandas as pd

        unknown = pd.isna(self.values) if self.texts is None else self.texts.lengths == 0
        found: NDArray[np.bool_] = unknown[self.codes]
        return found

    def row_texts(self) -> Texts:
        """Return the text of each row, an empty one where nothing is said."""
        import numpy as np

        from xref.texts import Texts

        if self.texts is None:
            return Texts.of([text or "" for text in self.dense().tolist()])
        if np.array_equal(self.codes, np.arange(len(self.texts))):
            return self.texts
        return self.texts.taken(self.codes)

    def without(self, places: Sequence[int]) -> Coded:
        """Return the same with the values at some places unknown."""
        if not places:
            return self
        values = self.values.copy()
        values[places] = None
        return Coded(self.codes, values)

    def taken(self, rows: NDArray[Any]) -> Coded:
        """Return the values of some rows."""
        return self._of(self.codes[rows])

    def through(self, codes: NDArray[Any]) -> Coded:
        """Return the values of rows of which each points to one of the rows of this."""
        return self._of(self.codes[codes])

    def _of(self, codes: NDArray[Any]) -> Coded:
        return Coded(codes, self._values, self._make, self._write, self.texts)


def objects(values: Sequence[Any]) -> NDArray[np.object_]:
    """Return values as an array of objects, lists among them as they are."""
    import numpy as np

    found = np.empty(len(values), dtype=object)
    found[:] = values
    return found


def coded(values: Any) -> Coded:
    """Return an array as codes and values, one by one."""
    import numpy as np

    return values if isinstance(values, Coded) else Coded(np.arange(len(values)), values)


def combinations(
    keys: Sequence[tuple[NDArray[Any], int]], size: int
) -> tuple[NDArray[Any], NDArray[np.int64]]:
    """Return a code for each combination of several codes, and the first row of each.

    `keys` are codes with the number of values they may take; combinations are numbered in the
    order they first occur among the `size` rows.
    """
    import numpy as np
    import pandas as pd

    several = [key for key in keys if key[1] > 1]
    if not several:
        return np.zeros(size, dtype=np.int32), np.zeros(min(size, 1), dtype=np.int64)
    both, total = several[0][0].astype(np.int64), several[0][1]
    for codes, count in several[1:]:
        if total * count >= 1 << 62:
            both, uniques = pd.factorize(both)
            total = len(uniques)
        both = both * count + codes
        total *= count
    if total > _WORTH_LISTING * size:
        found, uniques = pd.factorize(both)
        return found, first_rows(found, len(uniques))
    first = np.full(total, -1, dtype=np.int64)
    first[both[::-1]] = np.arange(size - 1, -1, -1)
    occur = np.flatnonzero(first >= 0)
    occur = occur[np.argsort(first[occur])]
    numbers = np.empty(total, dtype=np.int64)
    numbers[occur] = np.arange(len(occur))
    return numbers[both], first[occur]


def first_rows(codes: NDArray[Any], count: int) -> NDArray[np.int64]:
    """Return the first row of each of `count` codes that all occur."""
    import numpy as np

    first = np.empty(count, dtype=np.int64)
    first[codes[::-1]] = np.arange(len(codes) - 1, -1, -1)
    return first
