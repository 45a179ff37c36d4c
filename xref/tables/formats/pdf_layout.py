"""Columns of a table that is only laid out: pieces of text on a page, without ruled lines."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import Any

_SAME_LINE = 3.0  # points between baselines that still are one line
_NARROWEST_GAP = 2.0  # points of blank that part two columns


@dataclass(frozen=True, slots=True)
class Piece:
    """Text drawn at one place, from `left` to `right` in points."""

    left: float
    right: float
    text: str


def lines(words: list[dict[str, Any]]) -> list[list[Piece]]:
    """Return the page's lines from top to bottom, each a list of pieces from left to right."""
    found: list[tuple[float, list[Piece]]] = []
    for word in sorted(words, key=lambda w: (w["bottom"], w["x0"])):
        piece = Piece(word["x0"], word["x1"], word["text"].strip())
        if not piece.text:
            continue
        if found and word["bottom"] - found[-1][0] < _SAME_LINE:
            found[-1][1].append(piece)
        else:
            found.append((word["bottom"], [piece]))
    return [sorted(pieces, key=lambda piece: piece.left) for _, pieces in found]


def columns(page: list[list[Piece]]) -> list[float]:
    """Return where each column begins: after a strip (almost) no line of several pieces covers."""
    table = [line for line in page if len(line) > 1]
    least = max((len(line) for line in table), default=0) // 2 + 1
    table = [line for line in table if len(line) >= min(least, 3)]
    if not table:
        return []
    steps = sorted(
        [(piece.left, 1) for line in table for piece in line]
        + [(piece.right + _NARROWEST_GAP, -1) for line in table for piece in line]
    )
    tolerated = len(table) * 3 // 100
    starts: list[float] = []
    covered = 0
    for at, step in steps:
        before, covered = covered, covered + step
        if step > 0 and before <= tolerated < covered:
            starts.append(at)
    return starts


def cells(line: list[Piece], starts: list[float]) -> list[str]:
    """Return the line's cells: each piece in the column its middle lies in, joined by blanks."""
    row = [""] * max(1, len(starts))
    for piece in line:
        middle = (piece.left + piece.right) / 2
        # A title over the whole width belongs where it begins.
        at = piece.left if len(line) == 1 else middle
        column = max(0, bisect_right(starts, at + 0.01) - 1)
        row[column] = f"{row[column]} {piece.text}".strip()
    while len(row) > 1 and not row[-1]:
        row.pop()
    return row
