"""One block's cells to rows: every field read once per distinct text, then put side by side."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from xref.kinds.spec import spec
from xref.tables.answers import Answers
from xref.tables.cells import dates, decimals
from xref.tables.cells import number as numbers
from xref.tables.cells.condition import read_condition
from xref.tables.cells.currency import doubt, read_currency
from xref.tables.cells.price import divide, read_price
from xref.tables.cells.quantity import Quantity, read_quantity
from xref.tables.cells.replacement import read_relation, read_replacement, relation_of_heading
from xref.tables.cells.tax import read_tax
from xref.tables.cells.trait import read_trait
from xref.tables.column import Column, absent
from xref.tables.columns import Columns, label
from xref.tables.layout import Block
from xref.tables.schema import table_schema
from xref.tables.sizing import Sized
from xref.tables.text import shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_WHOLE = frozenset({"reply_days", "priority", "relation_quantity", "price_per"})
_DATES = frozenset({"as_of", "last_order", "closes", "by"})
_DONE = frozenset(
    ["number", "kind", "quantity", "price", "price_per", "currency", "tax", "condition", "replacements", "supersedes", "relation", "written_unit"]
)


@dataclass(slots=True)
class Rows:
    """Rows of one block: columns of the result, reasons to set aside, and warnings by row."""

    size: int
    values: dict[str, Any] = field(default_factory=dict)
    aside: dict[int, str] = field(default_factory=dict)
    warnings: dict[int, list[str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def set_aside(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason is the one shown."""
        self.aside.setdefault(row, reason)

    def warn(self, row: int, text: str) -> None:
        """Note something about a row."""
        self.warnings.setdefault(row, []).append(text)

    def warn_texts(self, column: Column, said: list[tuple[str, ...]]) -> None:
        """Warn every row whose distinct text has something to say."""
        import numpy as np

        if not any(said):
            return
        has = np.fromiter((bool(one) for one in said), bool, len(said))
        for row in np.nonzero(has[column.codes])[0].tolist():
            for text in said[column.codes[row]]:
                self.warn(row, text)


def assemble(block: Block, columns: Columns, table: str, answers: Answers) -> Rows:
    """Read every field but kinds and sizes."""
    rows = Rows(len(block.at))
    _too_many_cells(rows, block)
    _number(rows, block, columns, table)
    _quantity(rows, block, columns, answers)
    _price(rows, block, columns, answers)
    _words(rows, block, columns, "condition", read_condition)
    _replacements(rows, block, columns, table)
    for schema_field in table_schema(table).fields:
        if schema_field.name in _DONE or schema_field.name not in columns.fields:
            continue
        _plain(rows, block, columns, schema_field.name, schema_field.required)
    return rows


def _too_many_cells(rows: Rows, block: Block) -> None:
    import numpy as np

    for cells in block.columns[block.width :]:
        for row in np.nonzero(cells.filled)[0].tolist():
            rows.set_aside(
                row,
                "the row has more cells than there are headings; a separator inside a text is "
                "probably not quoted",
            )


def _number(rows: Rows, block: Block, columns: Columns, table: str) -> None:
    import numpy as np

    index = columns.first("number")
    if index is None:
        return
    column = block.columns[index]
    rows.values["number"] = column.spread([text or None for text in column.texts])
    damaged = [numbers.damage(text) if text else None for text in column.texts]
    missing = np.fromiter((not t or numbers.states_none(t) for t in column.texts), bool)
    long = np.fromiter((len(t) > numbers.LONGEST for t in column.texts), bool)
    bad = np.fromiter((d is not None for d in damaged), bool, len(damaged))
    for row in np.nonzero((missing | bad | long)[column.codes])[0].tolist():
        code = column.codes[row]
        if damaged[code]:
            rows.set_aside(row, damaged[code])
        elif long[code]:
            rows.set_aside(row, f"the part number is {len(column.texts[code]):,} characters long")
        elif column.texts[code] and table == "wanted":
            rows.values["number"][row] = None
        else:
            rows.set_aside(row, "no part number")
    _flagged(rows, block, index)
    rows.warn_texts(column, [numbers.hints(text) for text in column.texts])


def _flagged(rows: Rows, block: Block, index: int) -> None:
    """Use what a workbook says of number cells: real dates, E notation, lost results."""
    for row, place in enumerate(block.rows.tolist()):
        flags = block.grid.rows[place].flags
        if not flags:
            continue
        flag = flags.get(index)
        if flag == "uncached formula":
            rows.aside.pop(row, None)
            rows.set_aside(
                row,
                "the part number is a formula whose result the file does not hold; open it in a "
                "spreadsheet, save it and send it again",
            )
        elif flag is not None and (reason := numbers.damage(block.columns[index].cell(row), flag)):
            rows.set_aside(row, reason)


def _quantity(rows: Rows, block: Block, columns: Columns, answers: Answers) -> None:
    import numpy as np
    import pandas as pd

    index = columns.first("quantity")
    if index is None:
        return
    column = block.columns[index]
    sign = answers.decimal or decimals.decide(column.texts)
    read: list[Quantity] = [read_quantity(text, sign) for text in column.texts]
    value = np.fromiter((-1 if q.value is None else q.value for q in read), np.int64, len(read))
    taken = value[column.codes]
    rows.values["quantity"] = pd.array(np.where(taken < 0, 0, taken), dtype="Int64")
    rows.values["quantity"][taken < 0] = pd.NA
    rows.values["quantity_words"] = column.spread([q.words for q in read])
    more = np.fromiter((q.or_more for q in read), bool, len(read))
    rows.values["or_more"] = more[column.codes]
    rows.warn_texts(column, [q.warnings for q in read])
    _uncached(rows, block, index, "quantity")


def _uncached(rows: Rows, block: Block, index: int, what: str) -> None:
    for row, place in enumerate(block.rows.tolist()):
        flags = block.grid.rows[place].flags
        if flags and flags.get(index) == "uncached formula":
            rows.warn(row, f"the {what} is a formula whose result the file does not hold")


def _price(rows: Rows, block: Block, columns: Columns, answers: Answers) -> None:
    import numpy as np

    index = columns.first("price")
    own_currency = _row_currency(rows, block, columns)
    own_tax = _row_tax(rows, block, columns)
    if index is None:
        return
    column = block.columns[index]
    heading = columns.headings[index]
    sign = answers.decimal or decimals.decide(column.texts)
    read = [read_price(text, sign) for text in column.texts]
    values: list[Decimal | None] = [p.value for p in read]
    if heading.per > 1:
        values = [None if v is None else divide(v, Decimal(heading.per)) for v in values]
        rows.notes.append(
            f"prices are divided by {heading.per}, as the heading {shown(heading.text)!r} says"
        )
    price = column.spread(values)
    _divide_by_column(rows, block, columns, price)
    rows.values["price"] = price
    rows.values["price_words"] = column.spread([p.words for p in read])
    signs = column.spread([p.sign for p in read])
    stated = column.spread([p.currency for p in read])
    currency = np.where(absent(stated), own_currency, stated)
    general = heading.currency
    ambiguous = absent(currency) & ~absent(signs)
    if general is None and heading.sign is not None:
        ambiguous |= absent(currency)
        signs = np.where(absent(signs), heading.sign, signs)
    if general is not None:
        currency = np.where(absent(currency) & ~ambiguous, general, currency)
    if answers.currency is not None:
        currency = np.where(absent(currency), answers.currency, currency)
    else:
        doubts = sorted({str(s) for s in signs[ambiguous & column.filled].tolist() if s})
        rows.notes += [doubt(sign) for sign in doubts]
    # Where a row states no price, no currency is claimed for it either.
    rows.values["currency"] = np.where(column.filled, currency, own_currency)
    basis = column.spread([p.tax or heading.tax for p in read])
    rows.values["tax"] = np.where(absent(basis), own_tax, basis)
    rows.warn_texts(column, [p.warnings for p in read])
    _uncached(rows, block, index, "price")


def _row_currency(rows: Rows, block: Block, columns: Columns) -> NDArray[np.object_]:
    import numpy as np

    index = columns.first("currency")
    if index is None:
        return np.full(rows.size, None, dtype=object)
    column = block.columns[index]
    read = [read_currency(text) for text in column.texts]
    rows.warn_texts(column, [(w,) if w else () for _, w in read])
    rows.values["currency"] = column.spread([c for c, _ in read])
    return rows.values["currency"]  # type: ignore[no-any-return]  # just stored


def _row_tax(rows: Rows, block: Block, columns: Columns) -> NDArray[np.object_]:
    import numpy as np

    index = columns.first("tax")
    if index is None:
        return np.full(rows.size, None, dtype=object)
    column = block.columns[index]
    read = [read_tax(text) for text in column.texts]
    rows.warn_texts(column, [(w,) if w else () for _, w in read])
    rows.values["tax"] = column.spread([t for t, _ in read])
    return rows.values["tax"]  # type: ignore[no-any-return]  # just stored


def _divide_by_column(rows: Rows, block: Block, columns: Columns, price: Any) -> None:
    """Divide by a column that says how many pieces each price is for."""
    import numpy as np

    index = columns.first("price_per")
    if index is None:
        return
    column = block.columns[index]
    counts = [decimals.number(text, ".") if text else None for text in column.texts]
    for row in np.nonzero(column.filled)[0].tolist():
        count = counts[column.codes[row]]
        if price[row] is None or count == 1:
            continue
        if not count or count != int(count):
            rows.warn(
                row, f"the price is per {shown(column.cell(row))!r}, which is no count; no price"
            )
            price[row] = None
            continue
        price[row] = divide(price[row], count)
        rows.warn(row, f"the price is for {int(count)} pieces, divided")


def _words(
    rows: Rows,
    block: Block,
    columns: Columns,
    name: str,
    reader: Callable[[str], tuple[str | None, str | None]],
) -> None:
    index = columns.first(name)
    if index is None:
        return
    column = block.columns[index]
    read = [reader(text) for text in column.texts]
    rows.values[name] = column.spread([value for value, _ in read])
    rows.warn_texts(column, [(w,) if w else () for _, w in read])


def _replacements(rows: Rows, block: Block, columns: Columns, table: str) -> None:
    import numpy as np

    required = table == "interchange"
    for name in ("replacements", "supersedes"):
        indices = columns.fields.get(name, [])
        if not indices:
            continue
        listed: list[list[str]] = [[] for _ in range(rows.size)]
        quantity: list[int | None] = [None] * rows.size
        said_none = np.zeros(rows.size, dtype=bool)
        for index in indices:
            column = block.columns[index]
            read = [read_replacement(text) for text in column.texts]
            for row in np.nonzero(column.filled)[0].tolist():
                one = read[column.codes[row]]
                if damaged := _damaged(one.alternatives):
                    rows.set_aside(row, damaged)
                if one.problem and required:
                    rows.set_aside(row, one.problem)
                elif one.problem:
                    rows.warn(row, one.problem)
                listed[row] = list(dict.fromkeys([*listed[row], *one.alternatives]))
                quantity[row] = one.quantity or quantity[row]
                said_none[row] |= one.no_part
                for text in one.warnings:
                    rows.warn(row, text)
        array = np.empty(rows.size, dtype=object)
        array[:] = listed
        rows.values[name] = array
        if name == "supersedes":
            continue
        if any(quantity):
            rows.values["relation_quantity"] = _whole_array(quantity)
        if required:
            for row in range(rows.size):
                if not listed[row] and not said_none[row]:
                    rows.set_aside(row, "no other number is given")
        _self_references(rows, listed)
        _relations(rows, block, columns, listed, indices)


def _damaged(alternatives: tuple[str, ...]) -> str | None:
    return next((d for text in alternatives if (d := numbers.damage(text))), None)


def _self_references(rows: Rows, listed: list[list[str]]) -> None:
    from xref.store.number_key import number_key

    own = rows.values.get("number")
    if own is None:
        return
    for row, others in enumerate(listed):
        if not others or not own[row]:
            continue
        key = number_key(own[row])
        if any(key == number_key(piece) for other in others for piece in other.split(" + ")):
            rows.warn(row, f"{shown(own[row])!r} is named as its own replacement")


def _relations(
    rows: Rows, block: Block, columns: Columns, listed: list[list[str]], indices: list[int]
) -> None:
    import numpy as np

    general = relation_of_heading(columns.headings[indices[0]].text)
    index = columns.first("relation")
    found = np.full(rows.size, None, dtype=object)
    if index is not None:
        column = block.columns[index]
        read = [read_relation(text) for text in column.texts]
        found = column.spread([value for value, _ in read])
        rows.warn_texts(column, [(w,) if w else () for _, w in read])
    for row in range(rows.size):
        if found[row] is None and listed[row]:
            found[row] = general
    rows.values["relation"] = found


def _plain(rows: Rows, block: Block, columns: Columns, name: str, required: bool) -> None:
    import numpy as np

    column = block.columns[columns.fields[name][0]]
    if name in _DATES:
        first = dates.day_first(column.texts)
        read = [dates.read_date(text, first) for text in column.texts]
        rows.values[name] = column.spread([value for value, _ in read])
        rows.warn_texts(column, [(w,) if w else () for _, w in read])
    elif name in _WHOLE:
        counts = [_whole(text, name) for text in column.texts]
        values = [value for value, _ in counts]
        rows.values[name] = _whole_array([values[code] for code in column.codes.tolist()])
        rows.warn_texts(column, [(w,) if w else () for _, w in counts])
    elif name == "postage":
        prices = [read_price(text, decimals.decide(column.texts)) for text in column.texts]
        rows.values[name] = column.spread([p.value for p in prices])
        rows.warn_texts(column, [p.warnings for p in prices])
    else:
        rows.values[name] = column.spread([text or None for text in column.texts])
    if required:
        for row in np.nonzero(~column.filled)[0].tolist():
            rows.set_aside(row, f"the {name.replace('_', ' ')} is missing")


def _whole(text: str, name: str) -> tuple[int | None, str | None]:
    if not text:
        return None, None
    digits = "".join(c for c in text.split()[0] if c.isdigit()) if text.split() else ""
    word = text.casefold().strip(" .")
    if name == "priority" and word in ("high", "urgent", "hoch", "dringend", "urgent!", "a"):
        return 1, None
    if name == "priority" and word in ("normal", "medium", "mittel", "b"):
        return 2, None
    if name == "priority" and word in ("low", "niedrig", "c"):
        return 3, None
    if digits and len(digits) <= 9 and digits == text.split()[0]:
        return int(digits), None
    return None, f"{name.replace('_', ' ')} {shown(text)!r} is no whole number; kept as unknown"


def _whole_array(values: list[int | None]) -> Any:
    import pandas as pd

    return pd.array([pd.NA if value is None else value for value in values], dtype="Int64")


def add_traits(
    rows: Rows, block: Block, columns: Columns, kinds: NDArray[np.object_]
) -> dict[int, dict[str, str]]:
    """Read the kinds' properties; return by row the texts that are kept because none fits."""
    import numpy as np

    kept: dict[int, dict[str, str]] = {}
    for kind in dict.fromkeys(k for k in kinds.tolist() if k):
        here = kinds == kind
        for trait in spec(kind).traits:
            for index in columns.traits.get(kind, {}).get(trait.name, []):
                column = block.columns[index]
                out = rows.values.setdefault(trait.name, np.full(rows.size, None, dtype=object))
                read = [read_trait(text, kind, trait.name) for text in column.texts]
                values = column.spread([value for value, _ in read])
                open_rows = here & absent(out)
                out[open_rows] = values[open_rows]
                odd = np.fromiter((w is not None for _, w in read), bool, len(read))
                for row in np.nonzero(odd[column.codes] & open_rows)[0].tolist():
                    rows.warn(row, str(read[column.codes[row]][1]))
                    name = label(block.headings, index)
                    kept.setdefault(row, {})[name] = column.cell(row)
    return kept


def add_extra(rows: Rows, block: Block, columns: Columns, kept: dict[int, dict[str, str]]) -> None:
    """Keep what no field takes, under its heading."""
    import numpy as np

    extra = np.full(rows.size, None, dtype=object)
    for index in columns.kept:
        if index >= block.width:
            continue
        column = block.columns[index]
        name = label(block.headings, index)
        for row in np.nonzero(column.filled)[0].tolist():
            if extra[row] is None:
                extra[row] = {}
            extra[row][name] = column.cell(row)
    for row, texts in kept.items():
        extra[row] = {**(extra[row] or {}), **texts}
    rows.values["extra"] = extra


def add_sizes(rows: Rows, sized: Sized) -> None:
    """Put dimensions beside the other fields, with limits only where some were written."""
    import numpy as np

    for name, dimension in sized.dimensions.items():
        rows.values[f"{name}_mm"] = dimension.nominal
        if not np.isnan(dimension.low).all():
            rows.values[f"{name}_low_mm"] = dimension.low
            rows.values[f"{name}_high_mm"] = dimension.high
        rows.values[f"{name}_text"] = dimension.text
    if sized.unit is not None:
        names = np.array([None, "mm", "in"], dtype=object)
        rows.values["written_unit"] = names[sized.unit]
    for row, reason in sized.problems.items():
        rows.set_aside(row, reason)
    for row, said in sized.warnings.items():
        for text in said:
            rows.warn(row, text)
