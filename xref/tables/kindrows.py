"""Which kind of part each row is: its own word, the answer, the description, the headings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.kinds.spec import kinds, spec
from xref.tables.cells.replacement import RELATIONS, use_count
from xref.tables.cells.trait import read_trait
from xref.tables.column import absent
from xref.tables.columns import Columns
from xref.tables.grouped import grouped
from xref.tables.kindwords import OTHER, kind_in, kind_of
from xref.tables.layout import Block
from xref.tables.rowset import Rows
from xref.tables.text import fold, quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def holds_kinds(block: Block, index: int) -> bool:
    """Whether most distinct texts of a column name kinds of part."""
    texts = [text for text in block.columns[index].texts if text][:200]
    known = sum(1 for text in texts if kind_of(text) is not None)
    return bool(texts) and known * 2 > len(texts)


def holds_units(block: Block, index: int) -> bool:
    """Whether the distinct texts of a column are units of size."""
    from xref.tables.heading import unit_of

    texts = [text for text in block.columns[index].texts if text][:50]
    return bool(texts) and all(unit_of(text.strip(" .")) in ("mm", "in") for text in texts)


def holds_relations(block: Block, index: int) -> bool:
    """Whether most distinct texts of a column say how two numbers relate."""
    texts = [text for text in block.columns[index].texts if text][:200]
    known = sum(1 for text in texts if fold(text) in RELATIONS or use_count(text))
    return bool(texts) and known * 2 > len(texts)


def row_kinds(
    block: Block,
    columns: Columns,
    answer: str | None,
    context: str,
    before: str | None = None,
) -> tuple[Rows, NDArray[Any]]:
    """Return rows with the kind (None: not known) and warnings, and to which of them each points.

    The row's own word counts first, then the user's answer, the description, the section the row
    stands under, the headings where they belong to one kind only, and last the words above the
    table or the sheet's name (`context`). `before` is the kind of the supplier's earlier list,
    which holds where this one says nothing.
    """
    implied = implied_kind(columns, block) or kind_in(context)
    if columns.size is None and not columns.size_columns:
        implied = None
    group = grouped(block, [columns.first("kind"), columns.first("description")])
    made = Rows(len(group.first))
    made.values["kind"] = _kinds(made, group.block, columns, answer, implied or before)
    return made, group.codes


def _kinds(
    rows: Rows, block: Block, columns: Columns, answer: str | None, implied: str | None
) -> NDArray[np.object_]:
    import numpy as np

    size = rows.size
    found = np.full(size, None, dtype=object)
    own = columns.first("kind")
    if own is not None:
        column = block.columns[own]
        found = column.spread([_of(text) for text in column.texts])
        unknown = column.mask(
            lambda text: bool(text) and kind_of(text) is None and kind_in(text) is None
        )
        for row in np.nonzero(unknown)[0].tolist():
            rows.warn(
                row, f"kind {quoted(column.cell(row))} is not one that is judged; taken as other"
            )
    if answer is not None:
        return _fill(found, np.full(size, answer, dtype=object))
    described = columns.first("description")
    if described is not None:
        column = block.columns[described]
        found = _fill(found, column.spread([kind_in(text) for text in column.texts]))
    named = [kind_in(text) if text else None for text in block.sections.values]
    found = _fill(found, np.array(named, dtype=object)[block.sections.codes])
    return found if implied is None else _fill(found, np.full(size, implied, dtype=object))


def _of(text: str) -> str | None:
    if not text:
        return None
    return kind_of(text) or kind_in(text) or OTHER


def _fill(first: NDArray[np.object_], then: NDArray[np.object_]) -> NDArray[np.object_]:
    import numpy as np

    return np.where(absent(first), then, first)


def implied_kind(columns: Columns, block: Block) -> str | None:
    """Return the one kind whose dimensions the headings name best, if one does.

    All of its usual dimensions must have columns; at least one of them by its own name, and more
    by their own names than any other kind has, or it must be the only kind they fit at all.
    """
    for name in ("number", "description"):
        index = columns.first(name)
        named = kind_in(block.headings[index]) if index is not None else None
        if named is not None:
            return named  # `Bearing no.`, `Seal`
    if not columns.size_columns:
        return None
    ranks: dict[str, int] = {}
    for kind in kinds():
        order = spec(kind).written_order
        given = columns.sizes.get(kind, {})
        if order and all(name in given for name in order):
            used = {given[name][0] for name in order}
            every = {i for found in given.values() for i in found}
            if len(used) == len(order) and every >= set(columns.size_columns):
                ranks[kind] = columns.own_names.get(kind, 0) + _own_words(columns, block, kind)
    if len(ranks) == 1:
        return next(iter(ranks))
    best = sorted(ranks.items(), key=lambda item: -item[1])
    if len(best) > 1 and best[0][1] > best[1][1] and best[0][1] >= 1:
        return best[0][0]
    return None


def _own_words(columns: Columns, block: Block, kind: str) -> int:
    """Return how many property columns hold mostly words that this kind knows."""
    count = 0
    for name, indices in columns.traits.get(kind, {}).items():
        words = spec(kind).trait(name).words
        texts = [text for text in block.columns[indices[0]].texts if text][:100]
        if not words or not texts:
            continue
        known = sum(1 for text in texts if read_trait(text, kind, name)[0] is not None)
        count += known * 2 > len(texts)
    return count


def fitting_kinds(columns: Columns) -> list[str]:
    """Return the kinds whose usual dimensions all have columns, for a question."""
    return [
        kind
        for kind in kinds()
        if spec(kind).written_order
        and all(name in columns.sizes.get(kind, {}) for name in spec(kind).written_order)
    ]
