"""One block's cells to rows: every field read once per distinct text, then put side by side."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING

from xref.kinds.spec import spec
from xref.tables.answers import Answers
from xref.tables.cells import dates, decimals
from xref.tables.cells import number as numbers
from xref.tables.cells.condition import read_condition
from xref.tables.cells.price import read_price
from xref.tables.cells.quantity import Quantity, read_quantity
from xref.tables.cells.trait import read_trait
from xref.tables.column import absent, present
from xref.tables.columns import Columns
from xref.tables.grouped import by_groups
from xref.tables.heading_answers import label
from xref.tables.layout import Block
from xref.tables.price_rows import add_prices, add_words, warn_uncached
from xref.tables.replacement_rows import add_replacements
from xref.tables.rowset import Rows, one_each, whole_array
from xref.tables.schema import Field, table_schema
from xref.tables.sized import Sized
from xref.tables.text import fold, quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_WHOLE = frozenset({"reply_days", "priority", "relation_quantity", "price_per"})
_DATES = frozenset({"as_of", "last_order", "closes", "by"})
_FREE = frozenset({"free", "nil", "none", "0", "0 00", "included", "frei", "gratis", "gratuit"})
_DONE = frozenset(
    [
        "number",
        "kind",
        "quantity",
        "price",
        "price_per",
        "currency",
        "tax",
        "condition",
        "replacements",
        "supersedes",
        "relation",
        "written_unit",
    ]
)


def assemble(block: Block, columns: Columns, table: str, answers: Answers) -> Rows:
    """Read every field but kinds and sizes."""
    rows = Rows(len(block.at))
    _too_many_cells(rows, block)
    _number(rows, block, columns, table)
    if (index := columns.first("quantity")) is not None:
        by_groups(rows, block, [index], partial(_quantity, columns=columns, answers=answers))
    money = [columns.first(name) for name in ("price", "currency", "tax", "price_per")]
    by_groups(rows, block, money, partial(add_prices, columns=columns, answers=answers))
    if (index := columns.first("condition")) is not None:
        words = partial(add_words, columns=columns, name="condition", reader=read_condition)
        by_groups(rows, block, [index], words)
    add_replacements(rows, block, columns, table)
    for schema_field in table_schema(table).fields:
        if schema_field.name in _DONE or schema_field.name not in columns.fields:
            continue
        step = partial(_plain, columns=columns, schema_field=schema_field)
        by_groups(rows, block, columns.fields[schema_field.name][:1], step)
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
    number = column.said()
    reasons: dict[int, str] = {}
    unknown: list[int] = []
    for code in np.flatnonzero(column.per_text(_odd_number, ordinary=False)).tolist():
        text = column.texts[code]
        if not text or (numbers.states_none(text) and table != "wanted"):
            reasons[code] = "no part number"
        elif numbers.states_none(text):
            unknown.append(code)
        elif len(text) > numbers.LONGEST:
            reasons[code] = f"the part number is {len(text):,} characters long"
        elif (reason := numbers.damage(text)) is not None:
            reasons[code] = reason
    rows.values["number"] = number.without(unknown)
    rows.set_aside_all(column.codes, reasons)
    _flagged(rows, block, index)
    hinted = column.per_text(numbers.hints, ordinary=False)
    if hinted.any():
        said = [
            numbers.hints(t) if odd else () for t, odd in zip(column.texts, hinted, strict=True)
        ]
        rows.warn_texts(column, said)


def _odd_number(text: str) -> bool:
    return (
        not text
        or len(text) > numbers.LONGEST
        or numbers.states_none(text)
        or numbers.damage(text) is not None
    )


def _flagged(rows: Rows, block: Block, index: int) -> None:
    """Use what a workbook says of number cells: real dates, E notation, lost results."""
    for row, number in block.flagged_rows():
        flag = block.records.flags(number).get(index)
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

    index = columns.fields["quantity"][0]
    column = block.columns[index]
    sign = answers.sign(decimals.decide(column.texts))
    read: list[Quantity] = [read_quantity(text, sign) for text in column.texts]
    value = np.fromiter((-1 if q.value is None else q.value for q in read), np.int64, len(read))
    taken = value[column.codes]
    rows.values["quantity"] = pd.array(np.where(taken < 0, 0, taken), dtype="Int64")
    rows.values["quantity"][taken < 0] = pd.NA
    rows.values["quantity_words"] = column.spread([q.words for q in read])
    more = np.fromiter((q.or_more for q in read), bool, len(read))
    rows.values["or_more"] = more[column.codes]
    rows.warn_texts(column, [q.warnings for q in read])
    warn_uncached(rows, block, index, "quantity")


def _plain(rows: Rows, block: Block, columns: Columns, schema_field: Field) -> None:
    import numpy as np

    name = schema_field.name
    column = block.columns[columns.fields[name][0]]
    if name in _DATES:
        first = dates.day_first(column.texts)
        read = [dates.read_date(text, first) for text in column.texts]
        rows.values[name] = column.spread([value for value, _ in read])
        rows.warn_texts(column, one_each([w for _, w in read]))
    elif name in _WHOLE:
        counts = [_whole(text, name) for text in column.texts]
        values = [value for value, _ in counts]
        rows.values[name] = whole_array([values[code] for code in column.codes.tolist()])
        rows.warn_texts(column, one_each([w for _, w in counts]))
    elif name == "postage":
        prices = [read_price(text, decimals.decide(column.texts)) for text in column.texts]
        free = [fold(text) in _FREE for text in column.texts]
        rows.values[name] = column.spread(
            [Decimal(0) if none else p.value for p, none in zip(prices, free, strict=True)]
        )
        rows.warn_texts(column, [p.warnings for p in prices])
    else:
        rows.values[name] = column.said()
    if schema_field.required:
        for row in np.nonzero(~column.filled)[0].tolist():
            rows.set_aside(row, f"the {name.replace('_', ' ')} is missing")


def _whole(text: str, name: str) -> tuple[int | None, str | None]:
    if not text:
        return None, None
    digits = "".join(c for c in text.split()[0] if c.isdecimal()) if text.split() else ""
    word = text.casefold().strip(" .")
    if name == "priority" and word in ("high", "urgent", "hoch", "dringend", "urgent!", "a"):
        return 1, None
    if name == "priority" and word in ("normal", "medium", "mittel", "b"):
        return 2, None
    if name == "priority" and word in ("low", "niedrig", "c"):
        return 3, None
    if digits and len(digits) <= 9 and digits == text.split()[0]:
        return int(digits), None
    return None, f"{name.replace('_', ' ')} {quoted(text)} is no whole number; kept as unknown"


def add_traits(
    rows: Rows, block: Block, columns: Columns, kinds: NDArray[np.object_]
) -> dict[int, dict[str, str]]:
    """Read the kinds' properties; return by row the texts that are kept because none fits."""
    import numpy as np

    kept: dict[int, dict[str, str]] = {}
    for kind in present(kinds):
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


def add_sizes(rows: Rows, sized: Sized) -> None:
    """Put dimensions beside the other fields, with limits only where some were written."""
    import numpy as np

    for name, dimension in sized.dimensions.items():
        rows.values[f"{name}_mm"] = dimension.nominal
        if not np.isnan(dimension.low).all():
            rows.values[f"{name}_low_mm"] = dimension.low
            rows.values[f"{name}_high_mm"] = dimension.high
        rows.values[f"{name}_text"] = dimension.text
    names = np.array([None, "mm", "in"], dtype=object)
    rows.values["written_unit"] = names[sized.unit]
    for row, reason in sized.problems.items():
        rows.set_aside(row, reason)
    for row, said in sized.warnings.items():
        for text in said:
            rows.warn(row, text)
