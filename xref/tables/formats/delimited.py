"""Delimited text: finding the dialect, and reading records with the line each begins on.

The standard library's reader does the fields. What it lacks is done here: counting physical
lines (also lone carriage returns), and telling a quotation mark that opens a field from an inch
or ditto mark that happens to stand first in one, which would swallow the lines after it.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from xref.tables.formats.grid import Dialect, Row

_DELIMITERS = "\t;|,"
_SAMPLE_LINES = 400
_SAMPLE_CHARS = 400_000
_LONGEST_FIELD = (1 << 31) - 1
_FEW_CELLS = 1_000_000
LOOK_AHEAD = 400
"""Lines a quoted field may run over: a longer one is a quotation mark that nobody closed."""


def find_dialect(text: str, delimiter: str | None = None) -> tuple[Dialect, float]:
    """Return the dialect of `text` and how well it fits, 0 to 1.

    A first line `sep=;` decides; else the delimiter that cuts most records into the same number
    of fields, more fields counting more. `delimiter` is the user's word and overrides both.
    """
    first_line = 1
    if stated := re.match(r'"?sep=(.)"?\r?(?:\n|$)', text[:16], re.IGNORECASE):
        first_line = 2
        text = text[stated.end() :]
        delimiter = delimiter or stated[1]
    lines = _sample(text)
    escape = "\\" if _backslash_escapes(lines) else ""
    candidates = delimiter or [d for d in _DELIMITERS if any(d in line for line in lines)]
    fits: dict[Dialect, float] = {}
    for mark in candidates:
        between = re.escape(mark)
        spaced = re.search(rf'{between} +"[^"]*" *(?:{between}|[\r\n]|$)', "".join(lines))
        dialect = Dialect(mark, '"', escape, skip_space=spaced is not None)
        score, columns = _consistency(lines, dialect)
        fits[replace(dialect, first_line=first_line, columns=columns)] = score
    if _commas_are_decimal(lines) and any(d.delimiter != "," and s > 0.3 for d, s in fits.items()):
        fits = {d: s for d, s in fits.items() if d.delimiter != ","}
    if not fits:
        return Dialect("", first_line=first_line, columns=1), 0.0
    best = max(fits, key=lambda d: fits[d])  # the first of equals, in the order of _DELIMITERS
    return best, 1.0 if delimiter else fits[best]


def rows(text: str, dialect: Dialect, limit: int | None = None) -> Iterator[Row]:
    """Yield at most `limit` records of `text`; `at` is the physical line a record begins on.

    A run of blank lines is one empty row. A quotation mark that opens no field stays in the text.
    """
    split = Splitter(dialect)
    blank_before = False
    count = 0
    for at, record, quoted in records(text, dialect):
        raw = record.rstrip("\r\n")
        blank = not raw or raw.isspace()
        if blank and blank_before:
            continue
        if count == limit:
            return
        blank_before = blank
        yield Row(at, [] if blank else split(record if quoted else raw, quoted), raw)
        count += 1


def bound(rows: list[list[str]], dialect: Dialect) -> None:
    """Put the last cells of rows into one where rows of very different lengths would not fit.

    A single row of a million delimiters among a million short ones is as hostile as it is small:
    side by side they would be a table of 10^12 cells.
    """
    room = 8 * sum(map(len, rows)) + _FEW_CELLS
    if max(map(len, rows), default=0) * len(rows) <= room:
        return
    most = max(room // len(rows), 2)
    for cells in rows:
        if len(cells) > most:
            rest = cells[most - 1 :]
            cells[most - 1 :] = [dialect.delimiter.join(rest)] if any(rest) else []


def records(text: str, dialect: Dialect) -> Iterator[tuple[int, str, bool]]:
    """Yield each record, blank ones too: its first line, its text, whether it quotes fields."""
    lines = _lines(text)
    for _ in range(dialect.first_line - 1):
        next(lines, "")
    yield from join_lines(lines, dialect, dialect.first_line)


def _lines(text: str) -> Iterator[str]:
    """Yield the lines with their ends, without a second copy of a long text."""
    at = 0
    while at < len(text):
        stop = text.find("\n", at + _SAMPLE_CHARS) + 1 or len(text)
        yield from io.StringIO(text[at:stop], newline="")
        at = stop


class Splitter:
    """Splits one record at a time, line ends inside quoted fields kept as they are."""

    def __init__(self, dialect: Dialect) -> None:
        self._dialect = dialect
        self._delimiter = dialect.delimiter
        self._record = ""
        self._taken = True
        if csv.field_size_limit() < _LONGEST_FIELD:
            csv.field_size_limit(_LONGEST_FIELD)  # a megabyte cell is data
        self._renew()

    def _renew(self) -> None:
        """Make the one reader for all records: making one takes longer than a record does."""
        self._spent = False
        self._reader = csv.reader(
            self._feed(),
            delimiter=self._delimiter or "\x1f",
            quotechar=self._dialect.quote,
            escapechar=self._dialect.escape or None,
            skipinitialspace=self._dialect.skip_space,
        )

    def _feed(self) -> Iterator[str]:
        # Asked twice for one record, the reader holds a field for open that `_closes` took for
        # closed (escapes before doubled marks): going on would feed it the same text for ever.
        while not self._taken:
            self._taken = True
            yield self._record
        self._spent = True

    def __call__(self, record: str, quoted: bool) -> list[str]:
        """Return the fields; `quoted` is False where quotation marks are text."""
        if quoted:
            self._record, self._taken = record, False
            try:
                fields = next(self._reader)
            except csv.Error:  # a bare carriage return outside a field: the marks are text
                self._renew()
            else:
                if self._spent:
                    self._renew()
                return fields
        return record.split(self._delimiter) if self._delimiter else [record]


def join_lines(lines: Iterator[str], dialect: Dialect, at: int) -> Iterator[tuple[int, str, bool]]:
    """Join the lines over which a quoted field goes on."""
    waiting: deque[str] = deque()  # lines looked at in vain
    quote = dialect.quote
    clean = _quoting(dialect)[2].fullmatch
    while line := waiting.popleft() if waiting else next(lines, ""):
        if quote not in line:
            yield at, line, False
            at += 1
            continue
        taken = 1
        closes = clean(line) is not None or _closes(line, dialect)
        if not closes:
            joined = [line]
            size = len(line)
            while len(joined) < LOOK_AHEAD and size < 1 << 24:
                following = waiting.popleft() if waiting else next(lines, "")
                if not following:
                    break
                joined.append(following)
                size += len(following)
                if quote in following and _closes("".join(joined), dialect):
                    closes = not _separate(joined, dialect)
                    break
            if closes:
                line, taken = "".join(joined), len(joined)
            else:
                waiting.extendleft(reversed(joined[1:]))
        yield at, line, closes
        at += taken


def _closes(record: str, dialect: Dialect) -> bool:
    """Whether no quoted field is left open at the end of `record`."""
    opening, body, _ = _quoting(dialect)
    at = 0
    while opened := opening.search(record, at):
        closed = body.match(record, opened.end())
        if closed is None:
            return False
        at = closed.end()
    return True


@lru_cache(maxsize=64)
def _quoting(dialect: Dialect) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """Return patterns for what opens a quoted field, for the rest of it, and for a clean line."""
    space = " *" if dialect.skip_space else ""
    between = re.escape(dialect.delimiter)
    text = r'(?:\\.|[^"\\])*+' if dialect.escape else r'[^"]*+'
    rest = f'{text}(?:""{text})*+"'
    field = f'(?:{space}"{rest}|[^"{between}]*+)' if between else f'(?:"{rest}|[^"]*+)'
    return (
        re.compile(f'(?:^{"|" + between if between else ""}){space}"'),
        re.compile(rest, re.DOTALL),
        re.compile(f"{field}(?:{between}{field})*+[\r\n]*" if between else f"{field}[\r\n]*"),
    )


def _separate(lines: list[str], dialect: Dialect) -> bool:
    """Whether joined lines are rather records of their own holding ditto marks.

    So if a mark stands alone in its field and every line alone has the table's number of fields,
    quotation marks taken as text.
    """
    mark = re.escape(dialect.delimiter)
    return (
        dialect.columns > 1
        and re.search(f'(?:^|{mark})"(?:{mark}|[\r\n])', lines[0]) is not None
        and all(line.count(dialect.delimiter) + 1 == dialect.columns for line in lines)
    )


def _sample(text: str) -> list[str]:
    """Return the first lines that are not blank."""
    lines = io.StringIO(text[:_SAMPLE_CHARS], newline="").readlines()
    if len(lines) > 1 and len(text) > _SAMPLE_CHARS:
        lines.pop()  # cut off
    return [line for line in lines if not line.isspace()][:_SAMPLE_LINES]


def _consistency(lines: list[str], dialect: Dialect) -> tuple[float, int]:
    """Return how evenly `dialect` cuts the lines (0 to 1) and into how many fields."""
    split = Splitter(dialect)
    counts = [len(split(text, quoted)) for _, text, quoted in join_lines(iter(lines), dialect, 1)]
    several = Counter(n for n in counts if n > 1)
    if not several:
        return 0.0, 1
    columns, even = max(several.items(), key=lambda item: (item[1] * (1 - 1 / item[0]), item[0]))
    ragged = several.total() - even
    return (even + 0.4 * ragged) / len(counts) * (1 - 0.5 / (columns - 1) ** 0.5), columns


def _commas_are_decimal(lines: list[str]) -> bool:
    """Whether every comma of the sample stands between two digits."""
    text = "".join(lines)
    return text.count(",") == len(re.findall(r"(?<=\d),(?=\d)", text))


def _backslash_escapes(lines: list[str]) -> bool:
    r"""Whether quotation marks inside fields are written `\"`, as database dumps do."""
    text = "".join(lines)
    inside = re.search(r'[^\\,;|\t\r\n]\\"(?![,;|\t\r\n])', text)
    return inside is not None and not re.search(r'[^,;|\t\r\n]""[^,;|\t\r\n]', text)
