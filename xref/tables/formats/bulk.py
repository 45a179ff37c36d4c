"""Big delimited text straight into coded columns, without an object for each row or cell.

A `Row` costs a microsecond per cell, and reading a file as text into the engine and asking it for
the distinct texts cost three times what is done here (measured on a million rows of nine
columns): delimiters, line ends and quotation marks are found a portion at a time, and cells are
told apart by their bytes, eight at a time. That serves wherever every reader must agree on what
the fields are; a portion in which they need not is read by `delimited.records`, slower and right.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.errors import Refused
from xref.tables.formats import delimited
from xref.tables.formats.encodings import decode, find_encoding
from xref.tables.formats.grid import Dialect
from xref.tables.formats.source import Source

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_PORTION = 1 << 18
"""Bytes looked at together: what is made of them stays in the processor's cache."""
_SLACK = 1 << 20
_END, _RETURN, _QUOTE = 10, 13, 34


@dataclass(slots=True)
class BulkText:
    """All records, blank ones too, in the order of the file.

    `begins[column]` and `ends[column]` are the places in `data` between which a cell stands, as
    it is written: `cell_text` gives what it means; a cell that a short record lacks is empty.
    `lines` are the physical lines on which the records begin, `first` and `last` the bounds of
    their raw text. `fast` says whether no portion needed the slower way; the result is the same.
    """

    data: bytes
    begins: list[NDArray[np.uint32]]
    ends: list[NDArray[np.uint32]]
    lines: NDArray[np.int64]
    first: NDArray[np.uint32]
    last: NDArray[np.uint32]
    fast: bool

    def raw(self, row: int) -> str:
        """Return the raw text of a record."""
        return self.data[int(self.first[row]) : int(self.last[row])].decode()


def cell_text(written: bytes) -> str:
    """Return what a cell's bytes mean: one that begins with a quotation mark is quoted."""
    if written[:1] == b'"':
        written = written[1:-1].replace(b'""', b'"')
    return written.decode()


def bulk_text(
    path: str | Path | Source, dialect: Dialect, encoding: str | None = None
) -> BulkText | None:
    """Read a delimited text of any size; None for one that must be read row by row.

    Take `dialect` and `encoding` from `read_grids(path, limit=1000)`. Raises Refused like
    `read_grids`.
    """
    source = path if isinstance(path, Source) else Source(path)
    data = source.data
    if encoding != "utf-8" or find_encoding(data, source.label, encoding)[0] != "utf-8":
        data = decode(data, source.label, encoding).text.encode()
    if b"\0" in data or not data or len(data) > (1 << 32) - _SLACK:
        return None
    return _Reader(data, dialect).read()


class _Reader:
    """Goes through the text portion by portion and puts the parts together."""

    def __init__(self, data: bytes, dialect: Dialect) -> None:
        import numpy as np

        self.data = data
        self.dialect = dialect
        self.codes = np.frombuffer(data, dtype=np.uint8)
        self.parts: list[_Part] = []
        self.requoted: list[bytes] = []  # cells of the slower way, as they stand behind the data
        self.size = len(data)
        self.plain = (
            len(dialect.delimiter) == 1
            and dialect.delimiter.isascii()
            and not dialect.escape
            and not dialect.skip_space
        )

    def read(self) -> BulkText | None:
        """See `bulk_text`."""
        at, line, fast = 0, 1, True
        for _ in range(self.dialect.first_line - 1):
            at, line = self.data.find(b"\n", at) + 1, line + 1
        while at < len(self.data):
            stop = self.data.find(b"\n", at + _PORTION) + 1 or len(self.data)
            part = self._quickly(at, stop, line) if self.plain else None
            if part is not None:
                at, line = stop, line + len(part.lines)
            else:
                fast = False
                part, at, line = self._slowly(at, stop, line)
            self.parts.append(part)
        return self._together(fast)

    def _quickly(self, at: int, stop: int, line: int) -> _Part | None:
        """Return the records of a portion that begins and ends with lines, None in doubt."""
        import numpy as np

        portion = self.codes[at:stop]
        if portion[-1] != _END:
            portion = np.append(portion, [_RETURN, _END] if _RETURN in portion else [_END])
            portion = portion.astype(np.uint8)
        mark = ord(self.dialect.delimiter)
        places = np.flatnonzero((portion == _END) | (portion == mark) | (portion == _QUOTE))
        kinds = portion[places]
        quotes = np.flatnonzero(kinds == _QUOTE)
        if len(quotes):
            quoting = _quoting(portion, places, kinds, quotes, mark)
            if quoting is None:
                return None
            inside = _between(quoting[0::2], quoting[1::2])
            if (kinds[inside] == _END).any():
                return None  # a field that goes on in the next line
            outside = np.ones(len(places), np.bool_)
            outside[quotes] = outside[inside] = False
            places = places[outside]
            kinds = portion[places]
        last = np.flatnonzero(kinds == _END)
        counts = np.diff(last, prepend=-1)
        most = int(counts.max())
        if most * len(last) > 8 * len(portion) + _SLACK:
            return None
        line_ends = places[last]
        returns = np.count_nonzero(portion == _RETURN)
        if returns and not (returns == len(last) and (portion[line_ends - 1] == _RETURN).all()):
            return None
        if most * len(last) == len(places):
            ends = np.ascontiguousarray(places.reshape(-1, most).T)
            lacking = None
        else:
            which = (last - counts + 1) + np.arange(most)[:, None]
            lacking = which > last
            ends = places[np.minimum(which, last)]
        begins = np.empty_like(ends)
        begins[0, 0] = 0
        begins[0, 1:] = line_ends[:-1] + 1
        begins[1:] = ends[:-1] + 1
        if returns:
            ends[ends == line_ends] -= 1
            line_ends = line_ends - 1
        if lacking is not None:
            np.copyto(begins, ends, where=lacking)
        return _Part(
            begins=(begins + at).astype(np.uint32),
            ends=(ends + at).astype(np.uint32),
            lines=np.arange(line, line + len(last)),
            first=(begins[0] + at).astype(np.uint32),
            last=(line_ends + at).astype(np.uint32),
        )

    def _slowly(self, at: int, stop: int, line: int) -> tuple[_Part, int, int]:
        """Return the records that begin before `stop`, and where the next begins."""
        import numpy as np

        offsets: list[int] = []
        split = delimited.Splitter(self.dialect)
        rows: list[list[str]] = []
        lines: list[int] = []
        bounds: list[tuple[int, int]] = []
        following = len(self.data), line
        for number, record, quoted in delimited.join_lines(
            self._lines(at, offsets), self.dialect, line
        ):
            begin = offsets[number - line]
            following = begin, number
            if begin >= stop:
                break
            raw = record.rstrip("\r\n")
            cells = [] if not raw or raw.isspace() else split(record if quoted else raw, quoted)
            rows.append(cells)
            lines.append(number)
            bounds.append((begin, begin + len(raw.encode())))
        else:
            following = len(self.data), line + len(offsets)
        delimited.bound(rows, self.dialect)
        width = max((len(row) for row in rows), default=0)
        table = np.zeros((width, len(rows), 2), dtype=np.uint32)
        for place, row in enumerate(rows):
            if row:
                table[: len(row), place] = [self._behind(cell) for cell in row]
        edges = np.array(bounds, dtype=np.uint32).reshape(-1, 2)
        part = _Part(
            table[:, :, 0], table[:, :, 1], np.array(lines, np.int64), edges[:, 0], edges[:, 1]
        )
        return part, *following

    def _lines(self, at: int, offsets: list[int]) -> Iterator[str]:
        """Yield the lines from `at` on, noting where each begins."""
        while at < len(self.data):
            stop = self.data.find(b"\n", at + _PORTION) + 1 or len(self.data)
            for one in self.data[at:stop].splitlines(keepends=True):
                offsets.append(at)
                at += len(one)
                yield one.decode()

    def _behind(self, cell: str) -> tuple[int, int]:
        """Put a cell behind the data, quoted where it would be taken for quoted."""
        written = cell.encode()
        if cell[:1] == '"':
            written = b'"' + written.replace(b'"', b'""') + b'"'
        begin = self.size
        self.size += len(written)
        if self.size >= 1 << 32:
            raise Refused("the list is larger than 4 GB: cut it into several lists.")
        self.requoted.append(written)
        return begin, self.size

    def _together(self, fast: bool) -> BulkText | None:
        import numpy as np

        width = max((len(part.begins) for part in self.parts), default=0)
        rows = sum(len(part.lines) for part in self.parts)
        if width * rows > 8 * len(self.data) + _SLACK:
            return None
        begins = np.zeros((width, rows), np.uint32)
        ends = np.zeros((width, rows), np.uint32)
        place = 0
        for part in self.parts:
            here = slice(place, place + len(part.lines))
            begins[: len(part.begins), here] = part.begins
            ends[: len(part.ends), here] = part.ends
            place = here.stop

        def whole(name: str) -> Any:
            return np.concatenate([getattr(part, name) for part in self.parts])

        return BulkText(
            data=b"".join([self.data, *self.requoted]) if self.requoted else self.data,
            begins=[*begins],
            ends=[*ends],
            lines=whole("lines"),
            first=whole("first"),
            last=whole("last"),
            fast=fast,
        )


@dataclass(frozen=True, slots=True)
class _Part:
    """Records of one portion; `begins` and `ends` by column, then row."""

    begins: NDArray[np.uint32]
    ends: NDArray[np.uint32]
    lines: NDArray[np.int64]
    first: NDArray[np.uint32]
    last: NDArray[np.uint32]


def _quoting(
    portion: NDArray[np.uint8],
    places: NDArray[np.int64],
    kinds: NDArray[np.uint8],
    quotes: NDArray[np.int64],
    mark: int,
) -> NDArray[np.int64] | None:
    """Return which of `quotes` (numbers of `places`) quote, None where readers may differ.

    All agree on a line in which no mark opens a field (marks are then text), and on one in which
    every mark at an even place (from 0) opens a field or follows the one before, and every mark
    at an odd place closes a field or is followed by the next: the grammar of RFC 4180.
    """
    import numpy as np

    marks = places[quotes]
    before = portion[marks - 1]  # of a mark at the very start: the last byte, which is an end
    opens = (before == _END) | (before == mark)
    behind = portion[marks + 1]
    closes = (behind == _END) | (behind == mark) | (behind == _RETURN)
    if _grammatical(marks, opens, closes):
        return quotes
    lines: NDArray[np.int64] = np.cumsum(kinds == _END)[quotes]
    with_opening = np.zeros(int(lines[-1]) + 1, dtype=bool)
    with_opening[lines[opens]] = True
    chosen = with_opening[lines]
    if not _grammatical(marks[chosen], opens[chosen], closes[chosen]):
        return None
    return quotes[chosen]


def _between(first: NDArray[np.int64], last: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the whole numbers between each of `first` and its `last`, both left out."""
    import numpy as np

    counts = last - first - 1
    ends = np.cumsum(counts)
    total = int(ends[-1]) if len(ends) else 0
    found: NDArray[np.int64] = np.arange(total) + np.repeat(first + 1 - ends + counts, counts)
    return found


def _grammatical(
    marks: NDArray[np.int64], opens: NDArray[np.bool_], closes: NDArray[np.bool_]
) -> bool:
    import numpy as np

    doubled = np.diff(marks) == 1
    opens, closes = opens.copy(), closes.copy()
    opens[1:] |= doubled
    closes[:-1] |= doubled
    return len(marks) % 2 == 0 and bool(opens[0::2].all() and closes[1::2].all())
