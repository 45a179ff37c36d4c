"""Fixed-width text: columns whose edges are the character positions that stay blank."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

from xref.tables.formats.grid import Row

_SAMPLE_LINES = 400
_WIDEST = 2000
_TAB = 8
_PIECE = re.compile(r"\S+(?: \S+)*")


def find_columns(text: str) -> tuple[list[int], float]:
    """Return the position each column begins at, and how well they fit, 0 to 1.

    A line ruled with dashes in groups gives the columns; else they are parted by the positions
    at which (almost) no line of the table has a character.
    """
    sample = (_expanded(line) for line in io.StringIO(text[:400_000]))
    lines = [line for line in sample if line.strip()][:_SAMPLE_LINES]
    columns = _ruled(lines)
    table = [line for line in lines if not _is_rule(line)] if columns else _table_lines(lines)
    if len(table) < 2:
        return [], 0.0
    columns = columns or _parted(table)
    if len(columns) < 2:
        return [], 0.0
    clean = sum(_stays_inside(line, columns) for line in table)
    return columns, clean / len(lines) * (1 - 0.5 / (len(columns) - 1) ** 0.5)


def rows(text: str, columns: list[int], limit: int | None = None) -> Iterator[Row]:
    """Yield at most `limit` rows, ruled lines among them; a run of blank lines is one."""
    blank_before = False
    count = 0
    for at, line in enumerate(io.StringIO(text, newline=None), start=1):
        raw = line.rstrip("\n")
        blank = not raw.strip()
        if blank and blank_before:
            continue
        if count == limit:
            return
        blank_before = blank
        yield Row(at, [] if blank else _cut(_expanded(raw), columns), raw)
        count += 1


def _expanded(line: str) -> str:
    return line.rstrip().expandtabs(_TAB).replace("\x0c", " ").replace("\xa0", " ")


def _table_lines(lines: list[str]) -> list[str]:
    """Return the lines with about as many pieces, parted by two blanks or more, as most have."""
    pieces = [0 if _is_rule(line) else len(_PIECE.findall(line)) for line in lines]
    usual = Counter(n for n in pieces if n > 1).most_common(1)
    least = max(2, usual[0][0] // 2 + 1) if usual else 2
    return [line for line, n in zip(lines, pieces, strict=True) if n >= least]


def _is_rule(line: str) -> bool:
    return not line.strip(" -=_+|*.")


def _ruled(lines: list[str]) -> list[int]:
    """Return where the groups of dashes begin in a line such as `------  ----  -----`."""
    for line in lines:
        groups = list(re.finditer(r"[-=_]+", line))
        if len(groups) > 1 and _is_rule(line):
            return [group.start() for group in groups]
    return []


def _parted(table: list[str]) -> list[int]:
    width = min(_WIDEST, max(map(len, table)))
    filled = [0] * width
    for line in table:
        for match in re.finditer(r"\S+", line[:width]):
            for i in range(match.start(), match.end()):
                filled[i] += 1
    tolerated = len(table) * 3 // 100
    used = [n > tolerated for n in filled] + [False]
    starts = [i for i in range(width) if used[i] and (i == 0 or not used[i - 1])]
    ends = [i for i in range(1, width + 1) if used[i - 1] and not used[i]]
    columns = starts[:1]
    for before, start, end in zip(ends, starts[1:], ends[1:], strict=False):
        if start - before > 1 or (
            _is_column(table, before, start, end) and not _only_heading(table, columns[-1], before)
        ):
            columns.append(start)
    return columns


def _is_column(table: list[str], before: int, start: int, end: int) -> bool:
    """Whether characters `start` to `end`, one blank after `before`, are a column of their own.

    Not if only a few lines have text there, and not if every line's text runs up to the blank
    and goes on after it, as `OIL SEAL` does.
    """
    filled = sum(bool(line[start:end].strip()) for line in table)
    return 2 * filled > len(table) and not all(
        line[before - 1 : before].strip() and line[start : start + 1].strip() for line in table
    )


def _only_heading(table: list[str], start: int, end: int) -> bool:
    """Whether nothing but one text stands here: the `In` of a heading `In stock` over figures."""
    texts = [text for line in table if (text := line[start:end].strip())]
    return len(set(texts)) == 1 and 5 * len(texts) <= len(table) + 4


def _stays_inside(line: str, columns: list[int]) -> bool:
    """Whether no word of the line runs over a column edge."""
    return not any(
        line[edge - 1 : edge].strip() and line[edge : edge + 1].strip() for edge in columns[1:]
    )


def _cut(line: str, columns: list[int]) -> list[str]:
    """Cut a line at the column edges, or beside the word that runs over one."""
    if _is_prose(line, columns):
        return [line.strip()]
    edges = [0]
    for edge in columns[1:]:
        if edge >= len(line):
            break
        edges.append(max(edges[-1], _beside_word(line, edge)))
    cells = [line[a:b].strip() for a, b in pairwise([*edges, len(line)])]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _is_prose(line: str, columns: list[int]) -> bool:
    """Whether a line is words with single blanks between that run over a column edge."""
    return _PIECE.fullmatch(line.strip()) is not None and not _stays_inside(line, columns)


def _beside_word(line: str, edge: int) -> int:
    """Return `edge`, or the nearer end of the word that covers it."""
    if line[edge - 1] == " " or line[edge] == " ":
        return edge
    left = line.rfind(" ", 0, edge) + 1
    right = line.find(" ", edge)
    right = len(line) if right < 0 else right
    return left if left and edge - left <= right - edge else right
