"""Tables drawn with bars: Markdown, and the boxes that database programs print."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

from xref.tables.formats.grid import Row

_RULE = re.compile(r"\s*[|+]?\s*:?-{2,}:?\s*(?:[|+]\s*:?-+:?\s*)+[|+]?\s*$")
_ONE_COLUMN_RULE = re.compile(r"\s*[|+]\s*:?-{2,}:?\s*[|+]\s*$")


def is_markdown(text: str) -> bool:
    """Whether a ruled line such as `|---|:--:|` stands under a line with a bar."""
    before = ""
    for line in io.StringIO(text[:400_000]):
        if ("|" in before or "+" in line) and is_rule(line):
            return True
        before = line
    return False


def is_rule(line: str) -> bool:
    """Whether the line only rules the table: `|---|---|`, `---|---`, `+----+----+`."""
    if len(line) > 100_000:
        return False
    return bool(_RULE.match(line) or _ONE_COLUMN_RULE.match(line)) and ("|" in line or "+" in line)


def rows(text: str, limit: int | None = None) -> Iterator[Row]:
    r"""Yield at most `limit` rows; lines without a bar are rows of one cell, ruled lines as well.

    `at` is the physical line. A bar written `\|` or between back-ticks is part of its cell.
    """
    blank_before = False
    count = 0
    for at, line in enumerate(io.StringIO(text, newline=None), start=1):
        raw = line.rstrip("\n")
        bare = re.sub(r"^\s*(?:>\s?)+", "", raw).strip()  # quoted in an e-mail
        if not bare and blank_before:
            continue
        if count == limit:
            return
        blank_before = not bare
        yield Row(at, [] if not bare else [bare] if is_rule(bare) else _cells(bare), raw)
        count += 1


def _cells(line: str) -> list[str]:
    if "|" not in line:
        return [line]
    if "\\|" not in line and "`" not in line:
        cells = line.split("|")
    else:
        cells = [""]
        for part in re.findall(r"\\\||`[^`]*`|[^\\|`]+|.", line):
            if part == "|":
                cells.append("")
            else:
                cells[-1] += "|" if part == "\\|" else part
    if line.startswith("|"):
        cells = cells[1:]
    if line.endswith("|") and not line.endswith("\\|"):
        cells = cells[:-1]
    return [_plain(cell.strip()) for cell in cells]


def _plain(cell: str) -> str:
    """Take off emphasis and code marks that wrap the whole cell."""
    for mark in ("**", "__", "`"):
        if len(cell) > 2 * len(mark) and cell.startswith(mark) and cell.endswith(mark):
            cell = cell[len(mark) : -len(mark)]
    return cell
