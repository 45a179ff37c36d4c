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
_LOOK_AHEAD = 400
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
    lines = io.StringIO(text, newline="")
    for _ in range(dialect.first_line - 1):
        lines.readline()
    blank_before = False
    count = 0
    for at, record in _records(lines, dialect, dialect.first_line):
        raw = record.rstrip("\r\n")
        blank = not raw or raw.isspace()
        if blank and blank_before:
            continue
        if count == limit:
            return
        blank_before = blank
        yield Row(at, [] if blank else fields(record, dialect), raw)
        count += 1


def fields(record: str, dialect: Dialect) -> list[str]:
    """Split one record; line ends inside quoted fields are kept as they are."""
    if dialect.quote not in record or not _closes(record, dialect):
        return _split_plainly(record, dialect)
    if csv.field_size_limit() < _LONGEST_FIELD:
        csv.field_size_limit(_LONGEST_FIELD)  # a megabyte cell is data
    reader = csv.reader(
        [record],
        delimiter=dialect.delimiter or "\x1f",
        quotechar=dialect.quote,
        escapechar=dialect.escape or None,
        skipinitialspace=dialect.skip_space,
    )
    return next(reader)


def _split_plainly(record: str, dialect: Dialect) -> list[str]:
    """Split one record in which quotation marks are text."""
    text = record.rstrip("\r\n")
    return text.split(dialect.delimiter) if dialect.delimiter else [text]


def _records(lines: Iterator[str], dialect: Dialect, at: int) -> Iterator[tuple[int, str]]:
    """Yield (line, text) of each record, joining the lines over which a quoted field goes on."""
    waiting: deque[str] = deque()  # lines looked at in vain
    while line := waiting.popleft() if waiting else next(lines, ""):
        taken = 1
        if not _closes(line, dialect):
            joined = [line]
            size = len(line)
            while len(joined) < _LOOK_AHEAD and size < 1 << 24:
                following = waiting.popleft() if waiting else next(lines, "")
                if not following:
                    break
                joined.append(following)
                size += len(following)
                if dialect.quote in following and _closes("".join(joined), dialect):
                    break
            record = "".join(joined)
            if _closes(record, dialect) and not _separate(joined, dialect):
                line, taken = record, len(joined)
            else:
                waiting.extendleft(reversed(joined[1:]))
        yield at, line
        at += taken


def _closes(record: str, dialect: Dialect) -> bool:
    """Whether no quoted field is left open at the end of `record`."""
    quote = dialect.quote
    if quote not in record or (
        record[0] != quote and not dialect.skip_space and dialect.delimiter + quote not in record
    ):
        return True
    opening, body = _quoting(dialect)
    at = 0
    while opened := opening.search(record, at):
        closed = body.match(record, opened.end())
        if closed is None:
            return False
        at = closed.end()
    return True


@lru_cache(maxsize=64)
def _quoting(dialect: Dialect) -> tuple[re.Pattern[str], re.Pattern[str]]:
    """Return patterns for the mark that opens a quoted field and for the rest of that field."""
    space = " *" if dialect.skip_space else ""
    between = f"|{re.escape(dialect.delimiter)}" if dialect.delimiter else ""
    text = r'(?:\\.|[^"\\])*+' if dialect.escape else r'[^"]*+'
    return (
        re.compile(f'(?:^{between}){space}"'),
        re.compile(f'{text}(?:""{text})*+"', re.DOTALL),
    )


def _separate(lines: list[str], dialect: Dialect) -> bool:
    """Whether joined lines are rather records of their own holding ditto or inch marks.

    So if every one of them alone has the table's number of fields, quotation marks taken as text.
    """
    return dialect.columns > 1 and all(
        len(_split_plainly(line, dialect)) == dialect.columns for line in lines
    )


def _sample(text: str) -> list[str]:
    """Return the first lines that are not blank."""
    lines = io.StringIO(text[:_SAMPLE_CHARS], newline="").readlines()
    if len(lines) > 1 and len(text) > _SAMPLE_CHARS:
        lines.pop()  # cut off
    return [line for line in lines if not line.isspace()][:_SAMPLE_LINES]


def _consistency(lines: list[str], dialect: Dialect) -> tuple[float, int]:
    """Return how evenly `dialect` cuts the lines (0 to 1) and into how many fields."""
    counts = [len(fields(record, dialect)) for _, record in _records(iter(lines), dialect, 1)]
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
