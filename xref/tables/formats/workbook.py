"""Values of a workbook's cells to the text the user sees, and a sheet's values to rows."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import chain
from typing import Any, TypeVar

from xref.errors import Refused
from xref.tables.formats.coded import coded_rows
from xref.tables.formats.grid import (
    DATE,
    ERROR,
    MERGED,
    NO_FLAGS,
    UNCACHED,
    Grid,
    Row,
    SheetRow,
)
from xref.tables.formats.number_format import Shown, plain

Area = tuple[tuple[int, int], tuple[int, int]]
"""First and last (row, column), 0-based, both included."""

Flags = dict[int, dict[int, str]]
"""Flags by row and column, 0-based."""

_MOST_MERGED = 1_000_000
_MOST_PLACES = 20_000_000
_COMMON = {str, float}
_MANY_ROWS = 5_000
_MOST_SHEETS = 1_000

T = TypeVar("T")


def opened(label: str, call: Callable[[], T]) -> T:
    """Return what `call` reads with calamine; its failures, panics among them, become Refused."""
    from python_calamine import PasswordError

    try:
        return call()
    except (KeyboardInterrupt, MemoryError, Refused):
        raise
    except PasswordError:
        raise Refused(f"{label} is encrypted: save it without a password.") from None
    except BaseException as error:
        # A panic of the library underneath is no Exception; anything else is a damaged file.
        if not isinstance(error, Exception) and type(error).__name__ != "PanicException":
            raise
        raise Refused(
            f"{label} is cut off or damaged ({error}): open it in a spreadsheet program and save "
            "it again."
        ) from None


def chosen(names: Sequence[str], sheet: str | None, label: str) -> list[int]:
    """Return the indices of the sheets to read: all, or the one named (or numbered from 1)."""
    if not names:
        raise Refused(f"{label} holds no worksheet.")
    if sheet is None:
        if len(names) > _MOST_SHEETS:
            raise Refused(
                f"{label} holds {len(names):,} sheets: name the one to read with --sheet."
            )
        return list(range(len(names)))
    found = [i for i, name in enumerate(names) if name == sheet]
    found += [i for i, name in enumerate(names) if name.casefold() == sheet.casefold()]
    if found:
        return found[:1]
    if sheet.isdecimal() and 1 <= int(sheet) <= len(names):
        return [int(sheet) - 1]
    raise Refused(f"{label} has no sheet {sheet!r}; it has: {', '.join(map(repr, names))}.")


def cell(value: Any) -> Shown:
    """Return the text and flag of a value as calamine gives it."""
    if isinstance(value, str):
        return value, None
    if isinstance(value, bool):
        return ("TRUE" if value else "FALSE"), None
    if isinstance(value, int | float):
        return plain(float(value))
    if isinstance(value, datetime.datetime):
        return value.isoformat(sep=" ", timespec="seconds"), DATE
    if isinstance(value, datetime.timedelta):
        minutes, seconds = divmod(int(value.total_seconds()), 60)
        return f"{minutes // 60}:{minutes % 60:02}:{seconds:02}", DATE
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat(), DATE
    return str(value), None


def fill_merged(
    data: list[list[Any]], start: tuple[int, int], areas: Iterable[Area], flags: Flags
) -> tuple[int, int]:
    """Repeat the first cell of each merged area over it, flagged; return (areas filled, left)."""
    filled = left = places = 0
    for (top, low), (bottom, high) in areas:
        first = top - start[0], low - start[1]
        if not (0 <= first[0] < len(data) and 0 <= first[1] < len(data[first[0]])):
            continue
        value = data[first[0]][first[1]]
        if value == "":
            continue
        rows = range(first[0], min(bottom - start[0] + 1, len(data)))
        columns = range(first[1], min(high - start[1] + 1, len(data[first[0]])))
        places += len(rows) * len(columns)
        if places > _MOST_MERGED:
            left += 1
            continue
        filled += 1
        for r in rows:
            for c in columns:
                if (r, c) != first and data[r][c] == "":
                    data[r][c] = value
                    flags.setdefault(r + start[0], {})[c + start[1]] = MERGED
    return filled, left


def grid(
    name: str,
    hidden: bool,
    data: list[list[Any]],
    start: tuple[int, int],
    flags: Flags,
    hidden_rows: set[int] | frozenset[int] = frozenset(),
) -> Grid:
    """Turn a sheet's values, first at `start` (row, column), into rows; `data` is used up.

    Cells keep their column: what stands in column C is cell 2. A run of blank rows is one row. A
    big sheet of plain cells stays in columns.
    """
    rows: list[Row] = []
    known = _Numbers()
    left = [""] * start[1]
    blank_before = True  # leading blank rows say nothing
    all_common = _COMMON.issuperset(map(type, chain.from_iterable(data)))
    if all_common and len(data) > _MANY_ROWS and not _any_merged(flags):
        coded = coded_rows(name, data, start, flags, hidden_rows)
        if coded is not None:
            return Grid(name, coded, hidden)
    for i, values in enumerate(data):
        number = start[0] + i
        data[i] = []
        row_flags = flags.get(number)
        common = all_common or _COMMON.issuperset(map(type, values))
        if common:
            cells = [v if v.__class__ is str else known[v] for v in values]
        if not common or known.flagged:
            cells, found = _shown(values, start[1])
            row_flags = {**found, **(row_flags or {})}
        if left:
            cells = left + cells
        if not cells or not cells[-1]:
            last = max(row_flags, default=-1) if row_flags else -1
            while len(cells) > last + 1 and not cells[-1]:
                cells.pop()
        blank = not cells or (cells[-1].isspace() and not "".join(cells).strip())
        if blank and blank_before:
            continue
        blank_before = blank
        raw = "\t".join(_unmerged(cells, row_flags) if row_flags else cells)
        at: SheetRow = {"sheet": name, "row": number + 1}
        hide = number in hidden_rows
        rows.append(Row(at, [] if blank else cells, raw, hide, row_flags or NO_FLAGS))
    if rows and not rows[-1].cells:
        rows.pop()
    return Grid(name, rows, hidden)


def _any_merged(flags: Flags) -> bool:
    return any(MERGED in found.values() for found in flags.values())


def sparse_grid(
    name: str,
    hidden: bool,
    cells: dict[int, dict[int, str]],
    flags: Flags,
    hidden_rows: set[int],
    label: str,
) -> Grid:
    """Turn texts by row and column into rows, for sheets with a few cells far out.

    Raises Refused if the rows together would need tens of millions of blank cells.
    """
    if sum(max(row) + 1 for row in cells.values() if row) > _MOST_PLACES:
        raise Refused(
            f"{label}: the cells of sheet {name!r} lie scattered over thousands of columns: copy "
            "the list alone into a new workbook."
        )
    rows: list[Row] = []
    previous = -1
    for number in sorted(cells):
        texts = cells[number]
        if not any(texts.values()) and number not in flags:
            continue
        if rows and number > previous + 1:
            rows.append(Row({"sheet": name, "row": previous + 2}, [], ""))
        previous = number
        full = [""] * (max(texts, default=-1) + 1)
        for column, text in texts.items():
            full[column] = text
        row_flags = flags.get(number, {})
        raw = "\t".join(_unmerged(full, row_flags))
        at: SheetRow = {"sheet": name, "row": number + 1}
        rows.append(Row(at, full, raw, number in hidden_rows, row_flags or NO_FLAGS))
    return Grid(name, rows, hidden)


class _Numbers(dict[float, str]):
    """Texts of numbers met so far; `flagged` once one of them needs a flag."""

    flagged = False

    def __missing__(self, value: float) -> str:
        text, flag = plain(value)
        self.flagged = self.flagged or flag is not None
        if len(self) < 100_000:
            self[value] = text
        return text


def _shown(values: list[Any], left: int) -> tuple[list[str], dict[int, str]]:
    """Return the texts of a row's values and their flags, by column."""
    shown = [cell(value) for value in values]
    return (
        [text for text, _ in shown],
        {i: flag for i, (_, flag) in enumerate(shown, start=left) if flag is not None},
    )


def _unmerged(cells: list[str], flags: Mapping[int, str]) -> list[str]:
    return ["" if flags.get(i) == MERGED else text for i, text in enumerate(cells)]


def flag_notes(name: str, flags: Flags, cells: Mapping[int, Mapping[int, str]]) -> list[str]:
    """Return a sentence each for a sheet's uncached formulas and error values."""
    by_flag: dict[str, list[str]] = {UNCACHED: [], ERROR: []}
    for row, found in flags.items():
        for column, flag in found.items():
            if flag in by_flag:
                text = cells.get(row, {}).get(column, "")
                by_flag[flag].append(f"{column_name(column)}{row + 1} {text}".rstrip())
    notes = []
    if by_flag[UNCACHED]:
        notes.append(
            f"sheet {name!r}: formulas without a stored result in {few(by_flag[UNCACHED])}; open "
            "the file in a spreadsheet program and save it"
        )
    if by_flag[ERROR]:
        notes.append(f"sheet {name!r}: error values in {few(by_flag[ERROR])}")
    return notes


def column_number(name: str) -> int:
    """Return the 0-based column of its letters.

    >>> column_number("A"), column_number("XFD")
    (0, 16383)
    """
    number = 0
    for letter in name:
        number = number * 26 + ord(letter) - 64
    return number - 1


def column_name(column: int) -> str:
    """Return the letters of a 0-based column.

    >>> column_name(0), column_name(27), column_name(16383)
    ('A', 'AB', 'XFD')
    """
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def few(items: Sequence[str]) -> str:
    """Return the first three items and how many more there are."""
    more = f" and {len(items) - 3} more" if len(items) > 3 else ""
    return ", ".join(items[:3]) + more
