"""Cells of a column told apart by their bytes, eight at a time, without an object for each.

The text holds no NUL, so eight bytes with zeros behind a cell's end are those of no other cell.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.tables.coded import first_rows
from xref.tables.formats.bulk import cell_text
from xref.texts import BLOCK, Texts, masks

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_WORD = 8
_SAMPLE = 30_000
_FACTOR = 0x1E3779B97F4A7C15
_LONG = 64
"""Bytes from which on a cell is told apart as a whole."""


class ByteCells:
    """The cells of one column: the bytes of `data` from each of `begins` to each of `ends`."""

    def __init__(self, data: bytes, begins: NDArray[np.uint32], ends: NDArray[np.uint32]) -> None:
        import numpy as np

        self.data = data if len(data) >= _WORD else data + bytes(_WORD)
        self.begins = begins
        self.ends = ends
        self.lengths = ends - begins
        self.longest = int(self.lengths.max(initial=0))
        # Whether some word would reach behind the data.
        self._ends_late = int(begins.max(initial=0)) + self.longest > len(self.data) - _WORD
        self._everywhere = np.lib.stride_tricks.as_strided(
            np.frombuffer(self.data, dtype=np.int64, count=1), (len(self.data) - _WORD + 1,), (1,)
        )

    def written(self, row: int) -> bytes:
        """Return a cell as it stands in the file."""
        return self.data[self.begins[row] : self.ends[row]]

    def worth_coding(self) -> bool:
        """Whether less than half of the cells are likely to be different."""
        import numpy as np
        import pandas as pd

        size = len(self.begins)
        if size < 2 * _SAMPLE:  # what is said below of a sample is not true of all cells
            return True
        rows = np.arange(0, size, size // _SAMPLE)
        told = self.lengths[rows].astype(np.int64)
        for place in range(0, min(self.longest, 4 * _WORD), _WORD):  # only speed hangs on it
            told = (told ^ told >> 32) * _FACTOR + self._words(rows, place)
        repeated = len(rows) - len(pd.unique(told))
        # Of n equally frequent texts a sample of m repeats m * m / 2 n.
        return len(rows) ** 2 < repeated * size

    def coded(self) -> tuple[NDArray[np.int64], list[str]]:
        """Return a code for each cell and the different texts, in the order they first occur."""
        codes, first = self._at_once() or self._word_by_word()
        return codes, [cell_text(self.written(row)) for row in first.tolist()]

    def _at_once(self) -> tuple[NDArray[np.int64], NDArray[np.int64]] | None:
        """Return codes and first rows by a hash; None if a cell is long or two share a hash."""
        import pandas as pd

        if self.longest > _LONG:
            return None
        words = [self._words(None, place) for place in range(0, self.longest or 1, _WORD)]
        told = words[0]
        for word in words[1:]:
            told = (told ^ told >> 32) * _FACTOR + word
        codes, uniques = pd.factorize(told)
        first = first_rows(codes, len(uniques))
        if len(words) > 1 and not all((word == word[first][codes]).all() for word in words):
            return None
        return codes, first

    def _word_by_word(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """Return codes and first rows, the rows of longer cells parted again and again."""
        import numpy as np
        import pandas as pd

        codes, uniques = pd.factorize(self._words(None, 0))
        count = len(uniques)
        for place in range(_WORD, _LONG + _WORD, _WORD):
            if self.longest <= place:
                break
            rows = np.flatnonzero(self.lengths > place)
            told: Any = self._words(rows, place) if place < _LONG else self._whole(rows)
            more, uniques = pd.factorize(told)
            finer, uniques = pd.factorize(codes[rows] * len(uniques) + more)
            codes[rows] = finer + count  # no shorter cell is the same
            count += len(uniques)
        if self.longest > _WORD:
            codes, uniques = pd.factorize(codes)
        return codes, first_rows(codes, len(uniques))

    def texts(self) -> Texts:
        """Return the text of each cell."""
        import numpy as np

        starts = range(0, len(self.begins), BLOCK)
        ends = (min(start + BLOCK, len(self.begins)) for start in starts)
        blocks = [np.arange(*bounds) for bounds in zip(starts, ends, strict=True)]
        return Texts.joined([self._texts(rows) for rows in blocks])

    def _texts(self, rows: NDArray[np.int64]) -> Texts:
        import numpy as np

        lengths = self.lengths[rows].astype(np.int64)
        longest = int(lengths.max())
        if longest <= _LONG:
            width = longest // _WORD + 1  # with room for the line feed
            words = np.empty((len(rows), width), dtype=np.int64)
            for place in range(width):
                words[:, place] = self._words(rows, _WORD * place)
            cells = words.view(np.uint8)
            cells[np.arange(len(rows)), lengths] = ord("\n")
            written = cells.tobytes().translate(None, b"\0")
            if b'"' not in written:
                return Texts.spaced(written[:-1], lengths)
        return Texts.of([cell_text(self.written(row)) for row in rows.tolist()])

    def _words(self, rows: NDArray[np.int64] | None, place: int) -> NDArray[np.int64]:
        """Return the eight bytes of each cell from `place` on, zeros behind its end."""
        import numpy as np

        size = len(self.begins) if rows is None else len(rows)
        last = len(self.data) - _WORD
        by_length = masks().view(np.int64)
        words = np.empty(size, dtype=np.int64)
        for start in range(0, size, BLOCK):  # what is in between stays in the cache
            here = slice(start, start + BLOCK)
            which = here if rows is None else rows[here]
            at = self.begins[which].astype(np.int64)
            left: NDArray[Any] = self.lengths[which]
            if place:
                at += place
                left = left.astype(np.int64) - place
            beyond = at > last if self._ends_late else None
            if beyond is not None:
                at = np.minimum(at, last)
            words[here] = self._everywhere[at] & by_length.take(left, mode="clip")
            for row in [] if beyond is None else np.flatnonzero(beyond).tolist():
                whole = self.written(row + start if rows is None else int(rows[row + start]))
                part = whole[place : place + _WORD].ljust(_WORD, b"\0")
                words[start + row] = np.frombuffer(part, dtype=np.int64)[0]
        return words

    def _whole(self, rows: NDArray[np.int64]) -> NDArray[np.object_]:
        import numpy as np

        cells = np.empty(len(rows), dtype=object)
        cells[:] = [self.written(row) for row in rows.tolist()]
        return cells
