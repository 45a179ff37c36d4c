"""Where the headings stand: one row or two, among letterheads, again further down or not at all."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from xref.tables.heading import unit_of
from xref.tables.names import CLOSE, EXACT, LESSER, meanings
from xref.tables.schema import TABLES
from xref.tables.text import fold

SEARCHED = 200
"""Filled rows searched for headings before a file counts as having none."""

_WIDEST = 2000
"""Columns looked at to tell headings: no list has more, and a hostile one has 16,000."""

_CLOSE_ENOUGH = 3
"""Headings that are all misspelt are headings where so many different things are meant."""

_DIGIT = re.compile(r"\d")
_WORDY = re.compile(r"[^\W\d_]|[Ø⌀#№€£$]")
# `4 off` and `ST-1` fold to names of quantities, but are a quantity and a part.
_FIGURE_OR_NUMBER = re.compile(r"\d+\s+[^\W\d_]|[^\W\d_]{2}[-/. ]\d+$")
_KEYS = frozenset({"number", "description", "name", "replacements"})


@dataclass(frozen=True, slots=True)
class Found:
    """Headings found: the text of each column, and the index of each row they stand in."""

    headings: tuple[str, ...]
    rows: tuple[int, ...]


def find(rows: Sequence[Sequence[str]], tables: Sequence[str] = TABLES) -> Found | None:
    """Return the first headings in `rows` (cells trimmed), or None.

    `tables` are those the file may be. Two rows are taken together when together they name more
    fields than either alone, or when the second holds only units.
    """
    seen = 0
    for index, cells in enumerate(rows):
        if not any(cells):
            continue
        seen += 1
        if seen > SEARCHED:
            return None
        found = _at(rows, index, tables)
        if found is not None:
            return found
    return None


def at(rows: Sequence[Sequence[str]], index: int, tables: Sequence[str] = TABLES) -> Found:
    """Return the headings in row `index`, which the user says is the heading row."""
    headings = list(rows[index])
    below = _below(rows, index)
    if below is not None and _only_units(rows[below]):
        return Found(tuple(_with_units(headings, rows[below])), (index, below))
    if below is not None:
        both = _together(rows[index], rows[below], tables)
        if _may_be_headings(rows[below]) and score(both, tables) > score(headings, tables):
            return Found(tuple(both), (index, below))
    return Found(tuple(headings), (index,))


def _at(rows: Sequence[Sequence[str]], index: int, tables: Sequence[str]) -> Found | None:
    cells = rows[index]
    alone = score(cells, tables)
    below = _below(rows, index)
    if below is not None and _may_be_headings(cells) and _may_be_headings(rows[below]):
        both = _together(cells, rows[below], tables)
        lower = score(rows[below], tables)
        together = score(both, tables)
        # Cells merged downwards stand in both rows: the lower one may say all, and the upper one
        # only what is over it.
        nested = together >= lower > alone and _looks_like_headings(cells, tables)
        if (nested or together > max(alone, lower)) and _looks_like_headings(both, tables):
            return Found(tuple(both), (index, below))
    if not _looks_like_headings(cells, tables):
        return None
    if below is not None and _only_units(rows[below]):
        return Found(tuple(_with_units(list(cells), rows[below])), (index, below))
    return Found(tuple(cells), (index,))


def score(cells: Sequence[str], tables: Sequence[str]) -> int:
    """Return how many different things the cells name as headings of the best fitting table."""
    return max((_score(tuple(cells), table) for table in tables), default=0)


@lru_cache(maxsize=4096)
def _score(cells: tuple[str, ...], table: str) -> int:
    named = set()
    for cell in dict.fromkeys(cells[:_WIDEST]):
        found = _named(cell, table)
        if found:
            named.add(found[0].target)
    return len(named)


def _named(cell: str, table: str):  # type: ignore[no-untyped-def]  # see meanings
    if not cell or len(cell) > 60 or not _WORDY.search(cell):
        return ()
    if _FIGURE_OR_NUMBER.match(cell):
        return ()
    return meanings(" ".join(cell.split()), table)


def _looks_like_headings(cells: Sequence[str], tables: Sequence[str]) -> bool:
    return any(_looks_like(tuple(cells), table) for table in tables)


@lru_cache(maxsize=4096)
def _looks_like(cells: tuple[str, ...], table: str) -> bool:
    filled = [cell for cell in cells[:_WIDEST] if cell]
    if not filled or any(_is_value(cell) for cell in filled):
        return False
    meant = {cell: _named(cell, table) for cell in dict.fromkeys(filled)}
    known = [meant[cell] for cell in filled]
    exact = [found for found in known if found and found[0].score > CLOSE]
    close = [found for found in known if found and found[0].score == CLOSE]
    targets = {found[0].target for found in (*exact, *close)}
    keyed = any(
        meaning.target.name in _KEYS or meaning.target.role in ("size", "dimension")
        for found in (*exact, *close)
        for meaning in found
        if meaning.target.role in ("field", "size", "dimension")
    )
    if not keyed or not (exact or len(targets) >= _CLOSE_ENOUGH):
        return False
    if len(filled) == 1:
        # One column: `Part number` above a list of numbers; a lone general word is no heading.
        return len(cells) == 1 and bool(exact) and exact[0][0].score > LESSER
    if len(targets) < 2:
        return False
    # Most cells are known; or few are, but two of them by names that mean nothing else.
    own = {found[0].target for found in exact if found[0].score >= EXACT}
    return (len(exact) + len(close)) * 5 >= len(filled) * 2 or len(own) >= 2


def _is_value(cell: str) -> bool:
    """Whether a cell holds a value no heading would: a figure, mostly digits."""
    if not re.match(r"[-+£€$]?\s?\d", cell) or re.fullmatch(r"\d{1,4} ?\+", cell):
        return False  # `100+` heads the price for so many
    digits = len(_DIGIT.findall(cell))
    return digits >= 3 and digits * 2 > len(cell) and not re.search(r"[^\W\d_]{3}", cell)


def _below(rows: Sequence[Sequence[str]], index: int) -> int | None:
    return index + 1 if index + 1 < len(rows) and any(rows[index + 1]) else None


def _may_be_headings(cells: Sequence[str]) -> bool:
    """Whether no cell holds a digit, apart from symbols such as d1 and counts such as `per 100`."""
    return all(
        not _DIGIT.search(cell) or re.fullmatch(r"[A-Za-zØ]{1,2}\d|.*(?:/|per|pro|je)\s?1?0+", cell)
        for cell in cells
        if cell
    )


def no_data(cells: Sequence[str], tables: Sequence[str]) -> bool:
    """Whether a row amid data holds nothing that may be data.

    A figure in a heading follows a word and is known with it (`Price 2026`); `ST-1` and `1 pr`
    fold to names of columns too, but are a part and a quantity.
    """
    return all(
        not _DIGIT.search(cell)
        or _may_be_headings((cell,))
        or (re.match(r"[^\W\d_]{3}", cell) and _known(cell, tables))
        for cell in cells
        if cell
    )


def _only_units(cells: Sequence[str]) -> bool:
    filled = [cell for cell in cells if cell]
    return bool(filled) and all(_bare_unit(cell) for cell in filled)


def _bare_unit(cell: str) -> bool:
    inside = cell.strip("()[] .")
    return (
        bool(unit_of(inside))
        or inside in {"€", "£", "$", "EUR", "GBP", "USD", "CHF", "SEK"}
        or (fold(inside) in {"pcs", "pc", "ea", "stk", "st", "pz", "kg", "g", "nos"})
    )


def _with_units(headings: list[str], units: Sequence[str]) -> list[str]:
    padded = [*headings, *[""] * (len(units) - len(headings))]
    return [
        f"{heading} ({units[i].strip('()[] .')})"
        if heading
        and i < len(units)
        and units[i]
        and (
            unit_of(units[i].strip("()[] ."))
            or not units[i].strip("()[] .").isascii()
            or units[i].strip("()[] .").isupper()
        )
        else heading
        for i, heading in enumerate(padded)
    ]


def _together(upper: Sequence[str], lower: Sequence[str], tables: Sequence[str]) -> list[str]:
    """Join two heading rows: `Outside` over `diameter`; `Dimensions (mm)` over `ID`, `OD`, `B`."""
    width = max(len(upper), len(lower))
    top = [*upper, *[""] * (width - len(upper))]
    low = [*lower, *[""] * (width - len(lower))]
    joined: list[str] = []
    over = ""
    for index in range(width):
        over = top[index] or (over if low[index] else "")
        joined.append(_one_heading(top[index], over, low[index], tables))
    return joined


def _one_heading(own: str, over: str, low: str, tables: Sequence[str]) -> str:
    if not low:
        return own
    if not over:
        return low
    symbol = re.fullmatch(r"[A-Za-zØ]\d?(?: ?[(\[][^)\]]*[)\]])?", low) and _known(low, tables)
    if own and not symbol and _known(f"{own} {low}", tables):
        return f"{own} {low}"
    if _known(low, tables):
        # What the wider heading adds is its unit: `Dimensions (mm)`.
        unit = re.search(
            r"[(\[]\s*(mm|in|inch|inches|zoll|pouces|\")\s*[)\]]|\b(mm|inch|inches)\b", over, re.I
        )
        return f"{low} ({(unit[1] or unit[2])})" if unit and not re.search(r"[(\[]", low) else low
    if own:
        return own if _known(own, tables) and not low else f"{own} {low}"
    return low


def _known(text: str, tables: Sequence[str]) -> bool:
    return any(found and found[0].score > CLOSE for found in (_named(text, t) for t in tables))
