"""A column as codes and distinct texts, so that every reader runs once per distinct text."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import compress
from typing import TYPE_CHECKING, Any

from xref.tables.coded import Coded, objects
from xref.tables.packed import ordinary
from xref.tables.text import trimmed
from xref.texts import Texts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

# An ordinary part number: capitals, digits and separators, with a digit, no word of four letters,
# no figure in E notation, no date. It is no heading, total, page number, word or damage.
ORDINARY = re.compile(
    r"(?=[A-Z/ ._-]*[0-9])(?![A-Z0-9/ ._-]*[A-Z]{4})(?![0-9](?:\.[0-9]+)?E[+-])"
    r"(?![0-9]{1,4}[-/.][0-9]{1,2}[-/.][0-9]{2,4}(?: |$))(?![PS] ?[0-9]+$)"
    r"[A-Z0-9][A-Z0-9/ ._-]{1,38}[A-Z0-9]"
)
_MANY = 2_000
"""Distinct texts from which on it pays to look for ordinary numbers first."""


@dataclass(slots=True)
class Column:
    """Cells of one column: `texts[codes[row]]` is the trimmed text, "" for a blank cell.

    Texts need not be distinct: a column of part numbers, all different, is not coded.
    """

    codes: NDArray[np.int32]
    texts: Sequence[str]
    _ordinary: NDArray[np.bool_] | None = field(default=None, repr=False)

    def __len__(self) -> int:
        return len(self.codes)

    def cell(self, row: int) -> str:
        """Return the text of one cell."""
        return self.texts[int(self.codes[row])]

    def spread(self, values: Sequence[Any]) -> NDArray[Any]:
        """Return one of `values` (one per text) for each row, as an object array."""
        spread: NDArray[Any] = self.coded(values).dense()
        return spread

    def per_text(self, test: Callable[[str], Any], ordinary: bool | None = None) -> NDArray[Any]:
        """Return for each text whether it passes `test`.

        `ordinary` is what ordinary part numbers are known to give; they are then not tested one
        by one, which makes a million of them cheap.
        """
        import numpy as np

        if ordinary is None or len(self.texts) < _MANY:
            return np.fromiter(map(test, self.texts), bool, len(self.texts))
        flags = np.full(len(self.texts), ordinary)
        for place in np.nonzero(~self.ordinary)[0].tolist():
            flags[place] = test(self.texts[place])
        return flags

    def mask(self, test: Callable[[str], Any], ordinary: bool | None = None) -> NDArray[np.bool_]:
        """Return for each row whether its text passes `test`; see `per_text`."""
        import numpy as np

        flags: NDArray[np.bool_] = self.per_text(test, ordinary)
        if not flags.any():  # most columns of most lists
            return np.zeros(len(self.codes), dtype=bool)
        if flags.all():
            return np.ones(len(self.codes), dtype=bool)
        return flags[self.codes]

    @property
    def ordinary(self) -> NDArray[np.bool_]:
        """Whether each text is an ordinary part number."""
        import numpy as np

        if self._ordinary is None:
            if len(self.texts) >= _MANY:
                self._ordinary = ordinary(self.texts, ORDINARY)
            else:
                match = ORDINARY.fullmatch
                self._ordinary = np.fromiter(
                    (match(text) is not None for text in self.texts), bool, len(self.texts)
                )
        return self._ordinary

    @property
    def filled(self) -> NDArray[np.bool_]:
        """Whether each row has any text here."""
        return self.mask(bool, ordinary=True)

    def taken(self, rows: NDArray[Any]) -> Column:
        """Return the column of some rows, with the texts that occur in them."""
        import numpy as np

        if len(rows) == len(self.codes):
            return self
        if len(self.texts) == len(self.codes) > _MANY and self._own_texts():
            first = int(rows[0]) if len(rows) else 0
            if len(rows) and rows[-1] - first == len(rows) - 1:
                texts = self.texts[first : first + len(rows)]
            else:
                texts = Texts.of(self.texts).taken(rows)
            ordinary = None if self._ordinary is None else self._ordinary[rows]
            return Column(np.arange(len(rows), dtype=np.int32), texts, ordinary)
        codes = self.codes[rows]
        used = np.bincount(codes, minlength=len(self.texts)) > 0
        remap = np.cumsum(used, dtype=np.int32) - np.int32(1)
        texts = [*compress(self.texts, used.tolist())]
        ordinary = None if self._ordinary is None else self._ordinary[used]
        return Column(remap[codes], texts, ordinary)

    def representing(self, rows: NDArray[Any]) -> Column:
        """Return the column of rows that stand for all others."""
        if len(rows) < len(self.texts):
            return self.taken(rows)
        return Column(self.codes[rows], self.texts, self._ordinary)

    def said(self) -> Coded:
        """Return the text of each row, unknown where the cell is blank."""
        if isinstance(self.texts, Texts):
            return Coded(self.codes, texts=self.texts)
        return self.coded([text or None for text in self.texts])

    def coded(self, values: Sequence[Any]) -> Coded:
        """Return one of `values` (one per text) for each row."""
        return Coded(self.codes, objects(values))

    def _own_texts(self) -> bool:
        """Whether each row is its own text."""
        import numpy as np

        return bool((self.codes == np.arange(len(self.codes))).all())

    def blank(self, row: int) -> None:
        """Make one cell blank."""
        if "" not in self.texts:
            self.texts = [*self.texts, ""]
            self._ordinary = None
        self.codes[row] = self.texts.index("")


def column(cells: Sequence[str | None]) -> Column:
    """Code the cells of one column; blanks and invisible characters at the ends are dropped."""
    import numpy as np

    known: dict[str | None, int] = {}  # None: a short row does not have the cell
    code = known.setdefault
    codes = np.fromiter((code(cell, len(known)) for cell in cells), np.int32, len(cells))
    return Column(codes, [trimmed(text or "") for text in known])


def present(values: NDArray[Any]) -> list[Any]:
    """Return the different values of an object array but None, in the order they first occur."""
    import pandas as pd

    return [value for value in pd.unique(values) if value is not None]


def absent(values: NDArray[Any]) -> NDArray[np.bool_]:
    """Return where an object array holds None."""
    found: NDArray[np.bool_] = values == None  # noqa: E711 - elementwise
    return found
