"""The rows of one block: fields, then kinds, sizes and properties once for all rows alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from xref.tables import describe_sizes
from xref.tables.assemble import add_sizes, add_traits, assemble
from xref.tables.cells.dimension import decide_decimal
from xref.tables.coded import combinations
from xref.tables.column import Column, absent
from xref.tables.extra import extra_cells
from xref.tables.heading_answers import label
from xref.tables.rowset import Rows
from xref.tables.schema import table_schema
from xref.tables.size_checks import check_rows
from xref.tables.size_merge import merge
from xref.tables.size_together import read_size_column, size_together
from xref.tables.sizecells import UNIT_CODE
from xref.tables.sized import Sized
from xref.tables.sizing import size_rows
from xref.tables.tapered import assembled_widths, rings_alone
from xref.tables.text import shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.alike import Alike
    from xref.tables.work import Part, Work

_NEEDS_SIZES = frozenset({"catalogue"})

Kept = dict[int, dict[str, str]]


def part_rows(work: Work, part: Part) -> Rows:
    """Return the rows of a block, those set aside among them."""
    rows = assemble(part.block, part.columns, work.table, work.said)
    kept: Kept = {}
    if table_schema(work.table).with_kinds:
        rows.take_over(part.kind_rows, part.kind_codes)
        made = Rows(len(part.alike.first))
        stated = _number_is_enough(rows, part.alike)
        sized = _add_sizes(work, part.alike, made, kept, stated)
        rows.take_over(made, part.alike.codes)
        _designations(rows, part, sized)
    _nothing_named(rows)
    rows.values["extra"] = extra_cells(part.block, part.columns, kept, part.alike.codes)
    _hidden(rows, part)
    return rows


def _add_sizes(
    work: Work, part: Alike, rows: Rows, kept: Kept, stated: NDArray[np.bool_] | None
) -> Sized:
    """Add sizes and properties; `kept` takes the cells that fit none of the row's kind."""
    sized = _sized(work, part)
    kept |= add_traits(rows, part.block, part.columns, part.kinds)
    rings_alone(part, rows)
    assembled_widths(part, rows, sized)
    check_rows(
        sized,
        part.kinds,
        rows.values.get("ring"),
        all_needed=work.table in _NEEDS_SIZES,
        stated=stated,
    )
    _without_kind(part, sized)
    add_sizes(rows, sized)
    _keep_sizes_of_others(part, kept)
    return sized


def _sized(work: Work, part: Alike) -> Sized:
    import numpy as np

    sized = size_rows(
        part.cells,
        part.columns.sizes,
        part.kinds,
        part.heading_units,
        part.row_unit,
        work.decided_unit,
        dict(enumerate(part.block.headings)),
    )
    described = part.columns.first("description")
    if part.columns.size is not None:
        for index in (part.columns.size, *part.columns.more_sizes):
            unit = part.columns.headings[index].unit or work.decided_unit
            size = len(part.kinds)
            also = Sized(np.zeros(size, dtype=np.int8), np.zeros(size, dtype=bool))
            _together(work, part, also, part.block.columns[index], unit, only_hint=False)
            merge(sized, also)
    elif described is not None and not part.columns.size_columns:
        whole = part.block.columns[described]
        column = Column(whole.codes, [describe_sizes.find(text) for text in whole.texts])
        _together(work, part, sized, column, work.decided_unit, only_hint=True)
    return sized


def _together(
    work: Work, part: Alike, sized: Sized, column: Column, unit: str | None, *, only_hint: bool
) -> None:
    """Fill dimensions from a column of sizes written together, read in `unit`."""
    import numpy as np

    sign = work.said.sign(decide_decimal(column.texts))
    applied = np.full(len(part.kinds), UNIT_CODE.get(unit, 0), dtype=np.int8)
    if part.row_unit is not None:
        applied = np.where(part.row_unit != 0, part.row_unit, applied).astype(np.int8)
    read = read_size_column(column, sign)
    size_together(sized, column, read, part.kinds, applied, only_hint=only_hint)


def _number_is_enough(rows: Rows, part: Alike) -> NDArray[np.bool_] | None:
    """Mark rows that name their replacement: such a row is of use without sizes."""
    import numpy as np

    listed = rows.values.get("replacements")
    if listed is None:
        return None
    named = listed.taken(part.first).dense()
    return np.fromiter(map(bool, named), bool, len(part.first))


def _without_kind(part: Alike, sized: Sized) -> None:
    """Set aside rows with sizes whose kind nothing states: the sizes could not be named."""
    import numpy as np

    if not part.columns.size_columns:
        return
    filled = np.zeros(len(part.kinds), dtype=bool)
    for index in part.columns.size_columns:
        filled |= part.block.columns[index].filled
    for row in np.nonzero(filled & absent(part.kinds))[0].tolist():
        sized.problem(
            row, "the kind of part is not stated, so its sizes cannot be named; add a column Kind"
        )


def _keep_sizes_of_others(part: Alike, kept: Kept) -> None:
    """Keep size cells that the row's kind has no dimension for (a gasket's, say)."""
    import numpy as np

    for index in part.columns.size_columns:
        column = part.block.columns[index]
        takers = {
            kind
            for kind, dims in part.columns.sizes.items()
            if any(index in listed for listed in dims.values())
        } | {
            kind
            for kind, traits in part.columns.traits.items()
            if any(index in listed for listed in traits.values())
        }
        homeless = column.filled & ~np.isin(part.kinds.astype(str), sorted(takers))
        for row in np.nonzero(homeless)[0].tolist():
            kept.setdefault(row, {})[label(part.block.headings, index)] = column.cell(row)


def _designations(rows: Rows, part: Part, sized: Sized) -> None:
    """Warn where a number that names sizes by a standard contradicts them (decision 23)."""
    import numpy as np

    from xref.kinds.designation import decode

    index = part.columns.first("number")
    if index is None or not sized.dimensions:
        return
    column, alike = part.block.columns[index], part.alike
    named = np.isin(alike.kinds.astype(str), ["rolling_bearing", "o_ring"])
    places = np.flatnonzero(named[alike.codes])
    if not len(places):
        return
    numbers, groups = column.codes[places], alike.codes[places]
    sizes = [(numbers, len(column.texts)), (groups, len(alike.first))]
    codes, first = combinations(sizes, len(places))
    said: dict[int, list[str]] = {}
    for code, (number, group) in enumerate(zip(numbers[first], groups[first], strict=True)):
        text = column.texts[number]
        found = decode(text) if text else None
        if found is None or found.kind != alike.kinds[group]:
            continue
        for name, expected in found.dimensions_mm.items():
            if name not in sized.dimensions:
                continue
            actual = float(sized.dimensions[name].nominal[group])
            if actual == actual and abs(actual - expected) > 0.011:
                said.setdefault(code, []).append(
                    f"the designation {shown(text)} means {name.replace('_', ' ')} "
                    f"{expected:g} mm ({found.source}); the row says {actual:g} mm",
                )
    has = np.zeros(len(first), dtype=bool)
    has[list(said)] = True
    for place in np.flatnonzero(has[codes]).tolist():
        for text in said[int(codes[place])]:
            rows.warn(int(places[place]), text)


def _nothing_named(rows: Rows) -> None:
    """Set aside rows that name neither a number nor a description nor a size."""
    import numpy as np

    nameless = np.ones(rows.size, dtype=bool)
    for name, values in rows.values.items():
        if name in ("number", "description", "name") or name.endswith("_text"):
            nameless &= values.absent()
    for row in np.nonzero(nameless)[0].tolist():
        rows.set_aside(row, "neither a part number nor a description is given")


def _hidden(rows: Rows, part: Part) -> None:
    """Tell that a row is hidden in its workbook; it is loaded all the same."""
    for row, number in part.block.flagged_rows():
        if part.block.records.hidden(number):
            rows.warn(row, "the row is hidden in the workbook")
