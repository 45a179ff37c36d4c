"""What is remembered of a supplier's earlier lists, and where a new file contradicts it.

A heading is recognised anew in every file. What it fed before is remembered beside the answers,
so that a column that was renamed, moved or joined by another is asked about, never swapped in
silence.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from xref.tables.cells.price import read_price
from xref.tables.cells.quantity import read_quantity
from xref.tables.columns import Columns
from xref.tables.heading_answers import called, label
from xref.tables.number_columns import holds_numbers
from xref.tables.text import fold, quoted

if TYPE_CHECKING:
    from xref.tables.layout import Block

_FIELDS = ("number", "quantity", "price", "replacements")
"""What must not come from another column than before without a word."""
_LOOKED_AT = 200
_MOST = 500
_LONGEST = 200


def seen(headings: Sequence[str], fed: Mapping[str, str]) -> dict[str, str]:
    """Return headings with the field each feeds, "" for none; none of an endless row of them."""
    if len(headings) > _MOST:
        return {}
    return {one: fed.get(one, "") for one in headings if len(one) <= _LONGEST}


def moved(
    block: Block, columns: Columns, before: Mapping[str, str], fresh: Collection[str]
) -> tuple[list[str], list[str]]:
    """Return questions and notes about fields that come from another heading than before.

    `before` are the headings of the earlier list with the fields they fed, "" for none; `fresh` the
    fields the user has just said the column of.
    """
    questions, notes = [], []
    known = {fold(heading) for heading in before}
    for name in _FIELDS:
        fed = [heading for heading, field in before.items() if field == name]
        now = [label(block.headings, index) for index in columns.fields.get(name, ())]
        if not fed or not now or name in fresh:
            continue
        if {fold(heading) for heading in now} & {fold(heading) for heading in fed}:
            continue
        stood = " and ".join(quoted(heading) for heading in fed)
        still = [h for h in fed if set(called(block.headings, h)) - set(columns.counting)]
        answer = f"Answer with --column '{now[0]}={name}'"
        if still:
            questions.append(
                f"the {name} stood under {stood} in the list before; is it now {quoted(now[0])}? "
                f"{answer} or --column '{still[0]}={name}'"
            )
        elif fold(now[0]) in known:
            questions.append(
                f"the {name} stood under {stood} in the list before, which this file lacks; is it "
                f"now {quoted(now[0])}, which was something else? {answer}"
            )
        else:
            notes.append(f"the {name} stood under {stood} in the list before; now {quoted(now[0])}")
    return questions, notes


def unlike(block: Block, columns: Columns, before: Mapping[str, str]) -> str | None:
    """Return how columns without headings differ from those remembered by their place, or None."""
    if before and len(block.headings) != len(before):
        return f"the list before had {len(before)} columns, this one has {len(block.headings)}"
    number, quantity, price = map(columns.first, ("number", "quantity", "price"))
    if number is not None and not holds_numbers(block, number):
        return f"column {number + 1}, which held the number, holds words"
    if quantity is not None and _mostly(block, quantity, lambda t: bool(read_quantity(t).warnings)):
        return f"column {quantity + 1}, which held the quantity, holds something else"
    if price is not None and _mostly(block, price, lambda t: bool(read_price(t).warnings)):
        return f"column {price + 1}, which held the price, holds something else"
    return None


def _mostly(block: Block, index: int, wrong: Callable[[str], bool]) -> bool:
    texts = [text for text in block.columns[index].texts[:_LOOKED_AT] if text]
    return sum(map(wrong, texts)) * 2 > len(texts)
