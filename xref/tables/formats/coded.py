"""Big sheets by column: each cell a code, each text once, rows only where one is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, overload

from xref.tables.formats.grid import NO_FLAGS, Row
from xref.tables.formats.number_format import plain

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(slots=True)
class CodedRows(Sequence[Row]):
    """The rows of a sheet from its row `top` on (0-based), blank ones among them.

    `columns` hold the codes of all rows and the texts they stand for, untrimmed. `flags` and
    `hidden` go by the sheet's row numbers, 0-based.
    """

    name: str
    top: int
    columns: list[tuple[NDArray[np.int32], list[str]]]
    size: int
    flags: Mapping[int, Mapping[int, str]] = field(default_factory=dict)
    hidden: frozenset[int] | set[int] = frozenset()

    def __len__(self) -> int:
        """Return the number of rows, blank ones counted."""
        return self.size

    @overload
    def __getitem__(self, index: int) -> Row: ...
    @overload
    def __getitem__(self, index: slice) -> list[Row]: ...
    def __getitem__(self, index: int | slice) -> Row | list[Row]:
        """Return one row or some."""
        if isinstance(index, slice):
            return [self.row(place) for place in range(*index.indices(self.size))]
        return self.row(range(self.size)[index])

    def __iter__(self) -> Iterator[Row]:
        """Yield every row."""
        return map(self.row, range(self.size))

    def row(self, place: int) -> Row:
        """Return one row as the user would see it."""
        number = self.top + place
        flags = self.flags.get(number)
        cells = [texts[codes[place]] for codes, texts in self.columns]
        last = max(flags, default=-1) if flags else -1
        while len(cells) > last + 1 and not cells[-1]:
            cells.pop()
        blank = not any(cell and not cell.isspace() for cell in cells)
        at = {"sheet": self.name, "row": number + 1}
        return Row(
            at,  # type: ignore[arg-type]  # a SheetRow, made faster
            [] if blank else cells,
            "\t".join(cells),
            number in self.hidden,
            flags or NO_FLAGS,
        )


def coded_rows(
    name: str,
    data: Sequence[Sequence[Any]],
    start: tuple[int, int],
    flags: Mapping[int, Mapping[int, str]],
    hidden: frozenset[int] | set[int],
) -> CodedRows | None:
    """Return the rows of a sheet of texts and numbers; None where a number needs a flag."""
    import numpy as np

    size = len(data)
    blank = (np.zeros(size, dtype=np.int32), [""])
    columns = [blank] * start[1]
    for cells in zip(*data, strict=True):
        known: dict[Any, int] = {}
        code = known.setdefault
        codes = np.fromiter((code(cell, len(known)) for cell in cells), np.int32, size)
        texts: list[str] = []
        for value in known:
            if value.__class__ is str:
                texts.append(value)
                continue
            text, flag = plain(value)
            if flag is not None:
                return None
            texts.append(text)
        columns.append((codes, texts))
    return CodedRows(name, start[0], columns, size, flags, hidden)
