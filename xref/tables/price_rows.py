"""Prices of a block: cell, heading, row and answer brought together."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.tables.answers import Answers
from xref.tables.cells import decimals
from xref.tables.cells.currency import doubt, may_mean, read_currency
from xref.tables.cells.price import divide, read_price
from xref.tables.cells.tax import read_tax
from xref.tables.column import absent
from xref.tables.columns import Columns
from xref.tables.layout import Block
from xref.tables.list_money import Stated, stated_in
from xref.tables.rowset import Rows, one_each
from xref.tables.text import fold, quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def warn_uncached(rows: Rows, block: Block, index: int, what: str) -> None:
    """Warn of formulas whose results the workbook does not hold."""
    for row, number in block.flagged_rows():
        if block.records.flags(number).get(index) == "uncached formula":
            rows.warn(row, f"the {what} is a formula whose result the file does not hold")


def add_prices(rows: Rows, block: Block, columns: Columns, answers: Answers) -> None:
    """Read price, currency and tax basis of every row."""
    import numpy as np

    index = columns.first("price")
    own_currency = add_words(rows, block, columns, "currency", read_currency)
    own_tax = add_words(rows, block, columns, "tax", read_tax)
    if index is None:
        return
    column = block.columns[index]
    heading = columns.headings[index]
    sign = answers.sign(decimals.decide(column.texts))
    read = [read_price(text, sign) for text in column.texts]
    values: list[Decimal | None] = [p.value for p in read]
    if heading.per > 1:
        values = [None if v is None else divide(v, Decimal(heading.per)) for v in values]
        rows.notes.append(
            f"prices are divided by {heading.per}, as the heading {quoted(heading.text)} says"
        )
    price = column.spread(values)
    _divide_by_column(rows, block, columns, price)
    rows.values["price"] = price
    rows.values["price_words"] = column.spread([p.words for p in read])
    stated = _stated(rows, block)
    signs = column.spread([p.sign for p in read])
    own = column.spread([p.currency for p in read])
    currency = np.where(absent(own), own_currency, own)
    if heading.currency is None and heading.sign is not None:
        signs = np.where(absent(signs), heading.sign, signs)
    for general in (heading.currency, stated.currency, answers.currency):
        if general is not None:
            currency = np.where(absent(currency) & _allowed(signs, general), general, currency)
    if answers.currency and stated.currency not in (None, answers.currency):
        rows.notes.append(f"the list's own {stated.currency} counts, not {answers.currency}")
    doubtful = absent(currency) & ~absent(signs) & column.filled
    rows.notes += [doubt(sign) for sign in sorted({str(sign) for sign in signs[doubtful].tolist()})]
    # Where a row states no price, no currency is claimed for it either.
    rows.values["currency"] = np.where(column.filled, currency, own_currency)
    general = heading.tax or stated.tax
    basis = column.spread([p.tax or (heading.tax if p.value is None else general) for p in read])
    rows.values["tax"] = np.where(absent(basis), own_tax, basis)
    rows.warn_texts(column, [p.warnings for p in read])
    warn_uncached(rows, block, index, "price")


def _stated(rows: Rows, block: Block) -> Stated:
    """Return what letterhead, footer and sections say of all prices of the block."""
    stated = stated_in(
        [*block.above, *block.lines, *sorted(set(block.sections.values.tolist()) - {""})]
    )
    rows.notes += stated.notes
    return stated


def _allowed(signs: NDArray[np.object_], currency: str) -> NDArray[np.bool_]:
    """Mark rows whose sign of several countries, if any, can stand for `currency`."""
    import numpy as np

    known = {sign: sign is None or may_mean(str(sign), currency) for sign in set(signs.tolist())}
    return np.fromiter((known[sign] for sign in signs.tolist()), bool, len(signs))


def add_words(
    rows: Rows,
    block: Block,
    columns: Columns,
    name: str,
    reader: Callable[[str], tuple[str | None, str | None]],
) -> NDArray[np.object_]:
    """Read a column of words, each of which gives its value and a warning; return the values."""
    import numpy as np

    index = columns.first(name)
    if index is None:
        return np.full(rows.size, None, dtype=object)
    column = block.columns[index]
    read = [reader(text) for text in column.texts]
    rows.warn_texts(column, one_each([warning for _, warning in read]))
    rows.values[name] = column.spread([value for value, _ in read])
    return rows.values[name]  # type: ignore[no-any-return]  # just stored


_PIECES = {
    **dict.fromkeys(("each", "ea", "1", "pc", "pcs", "piece", "unit", "stk", "stuck", "st"), 1),
    **dict.fromkeys(("pz", "ud", "stuk", "szt", "ks"), 1),
    **dict.fromkeys(("pair", "pr", "paar", "paire", "paio", "par"), 2),
    **dict.fromkeys(("doz", "dozen", "dtzd", "dutzend"), 12),
    **dict.fromkeys(("hundred", "hundert", "cent", "%"), 100),
    **dict.fromkeys(("mille", "thousand", "tausend"), 1000),
}


def _pieces(text: str) -> Decimal | None:
    """Return how many pieces a price is for: `100`, `100 St`, `each`, `C` for a hundred."""
    if text in ("C", "M"):  # Roman; a small m is a metre
        return Decimal(100 if text == "C" else 1000)
    number = decimals.number(text, None)
    words = fold(text)
    if number is None and words in _PIECES:
        return Decimal(_PIECES[words])
    count, _, unit = words.partition(" ")
    if number is None and count.isdecimal() and _PIECES.get(unit) == 1:
        return Decimal(count)
    return number


def _divide_by_column(rows: Rows, block: Block, columns: Columns, price: Any) -> None:
    """Divide by a column that says how many pieces each price is for."""
    import numpy as np

    index = columns.first("price_per")
    if index is None:
        return
    column = block.columns[index]
    counts = [_pieces(text) if text else None for text in column.texts]
    for row in np.nonzero(column.filled)[0].tolist():
        count = counts[column.codes[row]]
        if price[row] is None or count == 1:
            continue
        if not count or count != int(count):
            rows.warn(
                row, f"the price is per {quoted(column.cell(row))}, which is no count; no price"
            )
            price[row] = None
            continue
        price[row] = divide(price[row], count)
        rows.warn(row, f"the price is for {int(count)} pieces, divided")
