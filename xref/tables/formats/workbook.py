"""Values of a workbook's cells to the text the user sees, and a sheet's values to rows."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from xref.errors import Refused
from xref.tables.formats.grid import DATE, MERGED, NO_FLAGS, Grid, Row, SheetRow
from xref.tables.formats.number_format import Shown, plain

Area = tuple[tuple[int, int], tuple[int, int]]
"""First and last (row, column), 0-based, both included."""

Flags = dict[int, dict[int, str]]
"""Flags by row and column, 0-based."""

_MOST_MERGED = 1_000_000

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
        return list(range(len(names)))
    for same in (lambda name: name == sheet, lambda name: name.casefold() == sheet.casefold()):
        found = [i for i, name in enumerate(names) if same(name)]
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
        return plain(value)
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

    Cells keep their column: what stands in column C is cell 2. A run of blank rows is one row.
    """
    rows: list[Row] = []
    known: dict[float, str] = {}
    left = [""] * start[1]
    blank_before = True  # leading blank rows say nothing
    for i, values in enumerate(data):
        number = start[0] + i
        data[i] = []
        cells = left.copy()
        row_flags = flags.get(number)
        for value in values:
            kind = type(value)
            if kind is str:
                cells.append(value)
            elif kind is float and value in known:
                cells.append(known[value])
            else:
                text, flag = cell(value)
                if flag is not None:
                    row_flags = {} if row_flags is None else row_flags
                    row_flags.setdefault(len(cells), flag)
                elif kind is float:
                    known[value] = text
                cells.append(text)
        while cells and not cells[-1] and not (row_flags and len(cells) - 1 in row_flags):
            cells.pop()
        blank = not cells or ("".join(cells).strip() == "" and not row_flags)
        if blank and blank_before:
            continue
        blank_before = blank
        at = SheetRow(sheet=name, row=number + 1)
        shown: Mapping[int, str] = row_flags or NO_FLAGS
        raw = "\t".join(cells if MERGED not in shown.values() else _unmerged(cells, shown))
        rows.append(Row(at, [] if blank else cells, raw, number in hidden_rows, shown))
    if rows and not rows[-1].cells:
        rows.pop()
    return Grid(name, rows, hidden)


def _unmerged(cells: list[str], flags: Mapping[int, str]) -> list[str]:
    return ["" if flags.get(i) == MERGED else text for i, text in enumerate(cells)]


def few(items: Sequence[str]) -> str:
    """Return the first three items and how many more there are."""
    more = f" and {len(items) - 3} more" if len(items) > 3 else ""
    return ", ".join(items[:3]) + more
