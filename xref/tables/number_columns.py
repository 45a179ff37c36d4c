"""Which column holds the part's number, where headings leave it open: the cells decide."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from xref.tables.heading_answers import label
from xref.tables.names import EXACT, Meaning, Target, meanings
from xref.tables.text import fold, quoted

if TYPE_CHECKING:
    from xref.tables.layout import Block

NUMBER = Target("field", "number")
_DESCRIPTION = Target("field", "description")
_QUANTITY = Target("field", "quantity")
# `Stan` and `Stav` are the stock or the condition, `Nombre` a count in French, a name in Spanish.
_STOCK_OR_STATE = {_QUANTITY, Target("field", "condition"), _DESCRIPTION}

# Headings under which a count of the rows is as usual as a number; `Part no` is none of them.
_GENERAL = frozenset(
    [
        *("no", "nr", "n", "n o", "number", "numero", "numer", "nummer", "num", "cislo", "pos"),
        *("item", "item no", "item number", "ref", "ref no", "reference", "position", "line"),
        *("code", "kod", "codice", "codigo", "indeks", "artikel", "article", "articulo"),
        "articolo",
    ]
)
_COUNT = re.compile(r"0*(\d{1,7})[.)]?")
_NUMBERED = re.compile(r"\d")
_WORD = re.compile(r"[^\W\d_]{3,}")
_LONGEST = 40
_LOOKED_AT = 200


@dataclass(frozen=True, slots=True)
class CellTests:
    """What can be asked of the cells of a column, by its index.

    Whether they name kinds of part, units of size, or how two numbers relate; whether they count
    the rows, look like numbers of parts, or hold figures.
    """

    kinds: Callable[[int], bool]
    units: Callable[[int], bool]
    relations: Callable[[int], bool]
    counts_rows: Callable[[int], bool]
    numbers: Callable[[int], bool]
    counts: Callable[[int], bool]


@dataclass(frozen=True, slots=True)
class ByCells:
    """What columns may mean by their cells, which of them count the rows, and notes."""

    candidates: dict[int, tuple[Meaning, ...]]
    counting: list[int]
    notes: list[str]


def counts_rows(block: Block, index: int) -> bool:
    """Whether a column counts the rows: 1, 2, 3 ..., perhaps with gaps, or anew in a section."""
    import numpy as np

    column = block.columns[index]
    first = [text for row in range(min(50, len(column))) if (text := column.cell(row))]
    if not all(map(_COUNT.fullmatch, first)):  # most columns show at once that they do not
        return False
    filled = np.flatnonzero(column.filled)
    if len(filled) == 1 == len(column):
        return _COUNT.fullmatch(column.cell(0)) is not None and int(column.cell(0).strip(".)")) == 1
    if len(filled) < 2 or len(filled) * 2 < len(column):
        return False
    for rows in (filled[:50], filled):
        texts = [column.cell(row) for row in rows.tolist()]
        matches = [_COUNT.fullmatch(text) for text in texts]
        counts = np.array([int(m[1]) if m else -1 for m in matches], dtype=np.int64)
        steps = np.diff(counts)
        starts_low = counts[0] <= int(block.rows[rows[0]]) + 1
        rises = bool(((steps >= 1) | (counts[1:] == 1)).all())
        if counts.min() < 0 or not rises or not starts_low:
            return False
        if counts.max() - counts[0] > 2 * len(rows):
            return False
    return True


def holds_numbers(block: Block, index: int) -> bool:
    """Whether most distinct texts of a column look like numbers of parts, not like words."""
    texts = [text for text in block.columns[index].texts[:_LOOKED_AT] if text]
    like = sum(1 for text in texts if _looks_like_number(text))
    return like * 2 > len(texts)


def holds_counts(block: Block, index: int) -> bool:
    """Whether most distinct texts of a column hold a figure, as quantities do."""
    texts = [text for text in block.columns[index].texts[:_LOOKED_AT] if text]
    return sum(1 for text in texts if _NUMBERED.search(text)) * 2 > len(texts)


def _looks_like_number(text: str) -> bool:
    """Whether a text has a digit and at most one word: `TW/3/118`, `TOTAL-1`, not `seal 40x55`."""
    if len(text) > _LONGEST or not _NUMBERED.search(text):
        return False
    words = _WORD.findall(text)
    return len(words) <= 1 and not any(word.islower() for word in words)


def by_cells(
    headings: Sequence[str],
    candidates: Mapping[int, tuple[Meaning, ...]],
    cells: CellTests,
    *,
    needed: bool,
) -> ByCells:
    """Return the candidates without columns that their cells show to be no number.

    A column that counts the rows is no number where another may be one, or where its heading is
    a general one, the rows are described and no number is `needed`. A column of words that may be
    the description is no number; of several that may be the number those of words give way.
    """
    found = dict(candidates)
    claims = [index for index, meant in found.items() if _may_be(meant)]
    dropped: list[int] = []
    notes: list[str] = []
    if not claims:
        return ByCells(found, dropped, notes)
    described = any(_describes(meant) for i, meant in found.items() if i not in claims)
    counting = [index for index in claims if cells.counts_rows(index)]
    for index in counting:
        general = fold(headings[index]) in _GENERAL
        rivals = [other for other in claims if other not in counting and cells.numbers(other)]
        worded = [i for i in claims if i not in counting and _describes(found[i])]
        if rivals or (general and not needed and (described or worded)):
            found[index] = ()
            dropped.append(index)
            notes.append(f"{quoted(label(headings, index))} counts the rows: it is no part number")
    left = [index for index in claims if found[index]]
    words = [index for index in left if not cells.numbers(index)]
    several = len([i for i in left if found[i][0].target == NUMBER]) > 1
    for index in words:
        may_describe = any(meaning.target == _DESCRIPTION for meaning in found[index])
        others = [other for other in left if other not in words]
        if (may_describe and not described) or (several and others):
            found[index] = tuple(m for m in found[index] if m.target != NUMBER)
    return ByCells(found, dropped, notes)


# `Price group` and `Price list` name no price.
_NO_PRICE = frozenset(
    [
        *("code", "group", "list", "date", "break", "class", "unit", "per", "basis", "ref", "no"),
        *("total", "line", "ext", "extended", "sum", "type", "category", "gruppe", "liste"),
        *("datum", "einheit", "gesamt", "groupe", "gruppo", "grupo", "code"),
    ]
)


def of_several(
    headings: Sequence[str], table: str, candidates: Mapping[int, tuple[Meaning, ...]], name: str
) -> tuple[list[int], list[str]]:
    """Return a column that names a field with a word more, or the question which of several.

    `Qty Leeds` and `Qty York`, `Club price` and `Guest price`. A price alone is taken; a quantity
    alone may as well be what is sold or ordered.
    """
    unnamed = {i: fold(headings[i]).split() for i, found in candidates.items() if not found}
    rivals = [i for i, words in unnamed.items() if _with_a_word_more(words, table, name)]
    if len(rivals) == 1 and name == "price":
        return rivals, []
    if len(rivals) < 2:
        return [], []
    names = " or ".join(quoted(label(headings, index)) for index in rivals)
    return [], [
        f"which column is the {name}: {names}? Answer with "
        f"--column '{label(headings, rivals[0])}={name}'"
    ]


def _with_a_word_more(words: list[str], table: str, name: str) -> bool:
    if len(words) < 2 or (name == "price" and _NO_PRICE & set(words)):
        return False
    ends = (words[0], words[-1]) if name == "price" else (words[0],)
    return any(
        found and found[0].target == Target("field", name) and found[0].score == EXACT
        for found in (meanings(word, table) for word in ends)
    )


def stock_or_state(meant: tuple[Meaning, ...], counts: Callable[[], bool]) -> tuple[Meaning, ...]:
    """Return what a heading means that names a quantity and something in words: cells decide."""
    named = {meaning.target for meaning in meant} & _STOCK_OR_STATE
    if _QUANTITY not in named or len(named) < 2:
        return meant
    counted = counts()
    return tuple(meaning for meaning in meant if (meaning.target == _QUANTITY) == counted)


def _may_be(meant: tuple[Meaning, ...]) -> bool:
    return any(meaning.target == NUMBER for meaning in meant)


def _describes(meant: tuple[Meaning, ...]) -> bool:
    return any(m.target == _DESCRIPTION or m.target.role in ("size", "dimension") for m in meant)
