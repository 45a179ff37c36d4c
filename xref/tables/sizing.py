"""Each row's dimensions: cells, units and kinds brought together, and what contradicts itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from xref.kinds.spec import spec
from xref.tables.cells.dimension import Together, read_together
from xref.tables.column import Column
from xref.tables.sizecells import (
    BAD,
    BARE,
    BLANK,
    INCH,
    MM,
    NO_UNIT,
    OWN,
    UNIT_CODE,
    UNIT_NAME,
    SizeCells,
)
from xref.tables.text import shown
from xref.tables.units import Evidence

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.sizes import Size

METRIC_FROM = 16
"""Whole or half figures whose largest is at least this are no inches: 16 in is 406 mm, and an
inch list of parts that large would show fractions."""
INCH_BELOW = 10
"""Figures all below this, one of them with three places, are no millimetres."""
INSIDE = ("shaft_diameter", "bore_diameter", "inside_diameter")
OUTSIDE = "outside_diameter"
ASSEMBLED = "assembled_width"


@dataclass(slots=True)
class Dimension:
    """One dimension of all rows [mm]; NaN and None where it is not stated."""

    nominal: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    text: NDArray[np.object_]


@dataclass(slots=True)
class Sized:
    """Dimensions of a block's rows, rows set aside with the reason, and warnings by row."""

    dimensions: dict[str, Dimension] = field(default_factory=dict)
    unit: NDArray[np.int8] | None = None
    problems: dict[int, str] = field(default_factory=dict)
    warnings: dict[int, list[str]] = field(default_factory=dict)
    any_size: NDArray[np.bool_] | None = None

    def problem(self, row: int, reason: str) -> None:
        """Set a row aside; the first reason found is the one shown."""
        self.problems.setdefault(row, reason)

    def warn(self, row: int, text: str) -> None:
        """Note something about a row that is loaded."""
        self.warnings.setdefault(row, []).append(text)


def gather(
    evidence: Evidence,
    cells: Mapping[int, SizeCells],
    heading_units: Mapping[int, str | None],
    row_unit: NDArray[np.int8] | None,
) -> None:
    """Add what the size columns of a block show about the unit to `evidence`."""
    import numpy as np

    if not cells:
        return
    size = len(next(iter(cells.values())).column)
    sized, bare, inch, mm, looks_metric, looks_inch = _looks(cells, heading_units, row_unit, size)
    evidence.rows += int(sized.sum())
    evidence.bare += int(bare.sum())
    evidence.inch += int(inch.sum())
    evidence.mm += int(mm.sum())
    evidence.looks_metric += int((looks_metric & bare).sum())
    evidence.looks_inch += int((looks_inch & bare).sum())
    if bare.any() and not evidence.example:
        row = int(np.argmax(bare))
        texts = [c.column.cell(row) for c in cells.values() if c.row_state[row] == BARE]
        evidence.example = " x ".join(shown(text, 20) for text in texts)


def _looks(
    cells: Mapping[int, SizeCells],
    heading_units: Mapping[int, str | None],
    row_unit: NDArray[np.int8] | None,
    size: int,
) -> tuple[NDArray[np.bool_], ...]:
    import numpy as np

    sized, bare, inch, mm, fine = (np.zeros(size, dtype=bool) for _ in range(5))
    halves = np.ones(size, dtype=bool)
    largest = np.zeros(size)
    open_rows = np.ones(size, dtype=bool) if row_unit is None else row_unit == NO_UNIT
    for index, column in cells.items():
        state = column.row_state
        here = state == BARE
        sized |= (state == OWN) | here
        raw = column.by_row(column.raw)
        largest = np.where(here, np.fmax(largest, raw), largest)
        halves &= ~here | column.by_row(column.half)
        fine |= here & column.by_row(column.fine)
        if not heading_units.get(index):
            bare |= here & open_rows
        unit = column.by_row(column.unit)
        inch |= (state == OWN) & (unit == INCH)
        mm |= (state == OWN) & (unit == MM)
    looks_metric = halves & (largest >= METRIC_FROM)
    looks_inch = fine & (largest < INCH_BELOW)
    # A figure without a zero before its point is itself inch style, so it is evidence too.
    hinted = np.zeros(size, dtype=bool)
    for column in cells.values():
        hints = np.fromiter((c.hint == "in" for c in column.cells), bool, len(column.cells))
        hinted |= column.by_row(hints) & (column.row_state == BARE)
    return sized, bare, inch | (hinted & ~looks_metric), mm, looks_metric, looks_inch


def size_rows(
    cells: Mapping[int, SizeCells],
    columns: Mapping[str, Mapping[str, list[int]]],
    kinds: NDArray[np.object_],
    heading_units: Mapping[int, str | None],
    row_unit: NDArray[np.int8] | None,
    unit: str | None,
) -> Sized:
    """Return the dimensions of each row by its kind.

    `columns[kind][dimension]` lists the columns that may hold the dimension; the first that is
    filled counts. `unit` is the unit of sizes for which neither cell, row nor heading states one.
    """
    import numpy as np

    size = len(kinds)
    result = Sized(unit=np.zeros(size, dtype=np.int8), any_size=np.zeros(size, dtype=bool))
    if not cells:
        return result
    applied = _applied(cells, heading_units, row_unit, unit, size)
    for kind in dict.fromkeys(k for k in kinds.tolist() if k):
        rows = np.nonzero(kinds == kind)[0]
        for name in spec(kind).dimension_names:
            listed = [index for index in columns.get(kind, {}).get(name, []) if index in cells]
            if listed:
                _one_dimension(result, name, listed, rows, cells, applied, heading_units)
    _check_looks(result, cells, applied, kinds)
    return result


def _applied(
    cells: Mapping[int, SizeCells],
    heading_units: Mapping[int, str | None],
    row_unit: NDArray[np.int8] | None,
    unit: str | None,
    size: int,
) -> dict[int, NDArray[np.int8]]:
    """Return, for each column, the unit that a cell without one is read in."""
    import numpy as np

    applied = {}
    for index in cells:
        general = UNIT_CODE[heading_units.get(index) or unit]
        array = np.full(size, general, dtype=np.int8)
        if row_unit is not None:
            array = np.where(row_unit != NO_UNIT, row_unit, array).astype(np.int8)
        applied[index] = array
    return applied


def dimension_of(result: Sized, name: str, size: int) -> Dimension:
    """Return (making it if need be) the arrays of a dimension."""
    import numpy as np

    if name not in result.dimensions:
        text = np.empty(size, dtype=object)
        result.dimensions[name] = Dimension(
            np.full(size, np.nan), np.full(size, np.nan), np.full(size, np.nan), text
        )
    return result.dimensions[name]


def _one_dimension(
    result: Sized,
    name: str,
    listed: list[int],
    rows: NDArray[Any],
    cells: Mapping[int, SizeCells],
    applied: Mapping[int, NDArray[np.int8]],
    heading_units: Mapping[int, str | None],
) -> None:
    import numpy as np

    assert result.unit is not None
    assert result.any_size is not None
    out = dimension_of(result, name, len(result.unit))
    open_rows = rows
    for index in listed:
        column = cells[index]
        state = column.row_state[open_rows]
        here = open_rows[state != BLANK]
        open_rows = open_rows[state == BLANK]
        if not len(here):
            continue
        codes = column.column.codes[here]
        states = column.state[codes]
        units = applied[index][here]
        values = column.value[units, :, codes]
        out.nominal[here] = values[:, 0]
        out.low[here] = values[:, 1]
        out.high[here] = values[:, 2]
        out.text[here] = column.column.spread(column.column.texts)[here]
        result.any_size[here] = True
        written = np.where(states == OWN, column.unit[codes], units)
        fresh = result.unit[here] == NO_UNIT
        result.unit[here[fresh]] = written[fresh]
        title = name.replace("_", " ")
        odd = (states == BAD) | ((states == BARE) & np.isnan(values[:, 0]))
        for place in np.nonzero(odd)[0].tolist():
            result.problem(
                int(here[place]), _why(column, int(codes[place]), int(units[place]), title)
            )
        stated = UNIT_CODE[heading_units.get(index)]
        beats = (states == OWN) & (column.unit[codes] != stated) & (stated != NO_UNIT)
        for place in np.nonzero(beats)[0].tolist():
            text = column.column.texts[int(codes[place])]
            result.warn(
                int(here[place]),
                f"{title} {shown(text)!r}: the cell's own unit counts, not the heading's "
                f"({UNIT_NAME[stated]})",
            )
        for place in _noted(column, codes):
            cell = column.cells[int(codes[place])]
            read = cell.read(UNIT_NAME[int(units[place])])
            for note in read.notes if read else ():
                if "stated" not in note and "no unit written" not in note:
                    result.warn(int(here[place]), f"{title} {shown(read.text)!r}: {note}")  # type: ignore[union-attr]


def _noted(column: SizeCells, codes: NDArray[Any]) -> list[int]:
    import numpy as np

    noted = np.fromiter(
        (
            any(size is not None and size.notes for size in (c.own, c.mm, c.inch))
            for c in column.cells
        ),
        bool,
        len(column.cells),
    )
    found: list[int] = np.nonzero(noted[codes])[0].tolist()
    return found


def _why(column: SizeCells, code: int, unit: int, title: str) -> str:
    cell, text = column.cells[code], shown(column.column.texts[code])
    if cell.problem:
        return f"{title}: {cell.problem}"
    if unit == NO_UNIT:
        return f"{title} {text!r} has no unit; write it in the cell, as in 60 mm or 2.375 in"
    name = "inches" if unit == INCH else "millimetres"
    return f"{title} {text!r} is no size in {name}; write the unit in the cell if it has another"


def _check_looks(
    result: Sized,
    cells: Mapping[int, SizeCells],
    applied: Mapping[int, NDArray[np.int8]],
    kinds: NDArray[np.object_],
) -> None:
    """Set aside figures that look metric among inches (decision 18), or inches among metric."""
    import numpy as np

    size = len(kinds)
    for unit in (INCH, MM):
        read = np.zeros(size, dtype=bool)
        halves = np.ones(size, dtype=bool)
        fine = np.zeros(size, dtype=bool)
        largest = np.zeros(size)
        count = np.zeros(size, dtype=np.int8)
        for index, column in cells.items():
            here = (column.row_state == BARE) & (applied[index] == unit)
            read |= here
            count += here
            largest = np.where(here, np.fmax(largest, column.by_row(column.raw)), largest)
            halves &= ~here | column.by_row(column.half)
            fine |= here & column.by_row(column.fine)
        if unit == INCH:
            odd = read & halves & (largest >= METRIC_FROM)
        else:
            small = np.isin(kinds.astype(str), ["o_ring"])
            odd = read & fine & (largest < INCH_BELOW) & (count >= 3) & ~small
        for row in np.nonzero(odd)[0].tolist():
            figures = " x ".join(
                shown(c.column.cell(row), 20) for c in cells.values() if c.row_state[row] == BARE
            )
            looks, among = ("metric", "inches") if unit == INCH else ("like inches", "millimetres")
            mark = "mm" if unit == INCH else "in"
            result.problem(
                row,
                f"{figures} looks {looks} in a list of {among}; confirm it by writing the unit "
                f"in the cells ({mark})",
            )


def read_size_column(column: Column, sign: str | None) -> list[Together]:
    """Read every distinct text of a column that holds all sizes of a part."""
    return [read_together(text, sign) for text in column.texts]


def size_together(
    result: Sized,
    column: Column,
    read: list[Together],
    kinds: NDArray[np.object_],
    applied: NDArray[np.int8],
    *,
    only_hint: bool,
) -> None:
    """Fill the dimensions of rows that have none yet from one column of sizes.

    With `only_hint` (sizes found inside descriptions) a doubt is a warning, not a reason to set
    the row aside, save where figures look metric in an inch list.
    """
    import numpy as np

    assert result.unit is not None
    assert result.any_size is not None
    size = len(kinds)
    wanted = ~result.any_size & column.mask(bool)
    for row in np.nonzero(wanted)[0].tolist():
        cell = read[column.codes[row]]
        kind = kinds[row]
        if cell.blank or (only_hint and kind is None):
            continue
        unit = UNIT_NAME[int(applied[row])]
        sizes = cell.read(unit)
        reason = _cannot(cell, sizes, kind, column.cell(row))
        order = () if reason else spec(kind).written_order
        placed = None if reason else place(sizes, order)
        if reason is None and placed is None:
            reason = (
                f"{shown(column.cell(row))!r} holds {len(sizes)} of the sizes of a "
                f"{spec(kind).title.lower()} ({', '.join(n.replace('_', ' ') for n in order)})"
            )
        if reason is not None or placed is None:
            looks = unit == "in" and bool(cell.mm) and not cell.inch
            if only_hint and not looks:
                result.warn(row, f"no sizes taken from the description: {reason}")
            else:
                result.problem(row, reason or "")
            continue
        for name, one in placed.items():
            _put(dimension_of(result, name, size), row, one)
        result.any_size[row] = True
        result.unit[row] = UNIT_CODE[sizes[0].unit]
        if cell.styled and unit is None:
            result.warn(
                row,
                f"{shown(column.cell(row))!r} carries no unit; read in "
                f"{'millimetres' if sizes[0].unit == 'mm' else 'inches'}",
            )


def _cannot(cell: Together, sizes: tuple[Size, ...], kind: str | None, text: str) -> str | None:
    if not sizes:
        if cell.problem:
            return cell.problem
        if cell.mm and not cell.inch:
            return f"{shown(text)!r} looks metric in a list of inches; confirm it by writing mm behind it"
        return f"{shown(text)!r} has no unit; write it behind the sizes, as in 60x80x8 mm"
    if kind is None:
        return f"what kind of part {shown(text)!r} is the size of is not stated"
    if not spec(kind).written_order:
        return None
    return None


def place(sizes: tuple[Size, ...], order: tuple[str, ...]) -> dict[str, Size] | None:
    """Give each size its dimension: by its label (ID, OD, long), else in the written order."""
    if len(sizes) != len(order):
        return None
    free = list(order)
    placed: dict[str, Size] = {}
    for one in sizes:
        name = _labelled(one.label, free)
        if name:
            placed[name] = one
            free.remove(name)
    for one in sizes:
        if one not in placed.values():
            placed[free.pop(0)] = one
    return placed if len(placed) == len(order) else None


def _labelled(label: str | None, free: list[str]) -> str | None:
    choices = {
        "id": INSIDE,
        "od": (OUTSIDE,),
        "length": ("length", "width", "thickness"),
        "width": ("width", "thickness", "length"),
    }.get(label or "", ())
    return next((name for name in choices if name in free), None)


def _put(out: Dimension, row: int, size: Size) -> None:
    low, high = size.low_mm, size.high_mm
    out.nominal[row] = (low + high) / 2 if size.nominal_mm is None else size.nominal_mm
    if not size.low == size.high == size.nominal:
        out.low[row], out.high[row] = low, high
    out.text[row] = size.text


def check_rows(
    result: Sized,
    kinds: NDArray[np.object_],
    rings: NDArray[np.object_] | None,
    *,
    all_needed: bool,
    stated: NDArray[np.bool_] | None,
) -> None:
    """Set aside impossible and incomplete sizes (decision 22).

    A row with some of its kind's sizes lacks the others; a row with none is incomplete only
    where `all_needed` (a catalogue). `stated` marks rows whose number alone is enough. `rings`
    says of a bearing's row that it is a cup or a cone alone, which has one diameter and either
    ring's width.
    """
    import numpy as np

    size = len(kinds)
    for kind in dict.fromkeys(k for k in kinds.tolist() if k):
        rows = kinds == kind
        order = spec(kind).written_order
        if not order:
            continue
        has = {
            name: ~np.isnan(result.dimensions[name].nominal)
            if name in result.dimensions
            else np.zeros(size, dtype=bool)
            for name in order
        }
        some = np.logical_or.reduce(list(has.values()))
        needed = rows & (some | all_needed)
        if stated is not None:
            needed &= some | ~stated
        for name in order:
            title = name.replace("_", " ")
            lacks = needed & ~has[name] & ~_not_needed(result, name, rings, size)
            for row in np.nonzero(lacks)[0].tolist():
                result.problem(row, f"the {title} is missing")
        inside = next((name for name in order if name in INSIDE), None)
        if (
            inside
            and OUTSIDE in order
            and inside in result.dimensions
            and OUTSIDE in result.dimensions
        ):
            wrong = rows & (result.dimensions[OUTSIDE].nominal <= result.dimensions[inside].nominal)
            for row in np.nonzero(wrong)[0].tolist():
                inner, outer = (
                    result.dimensions[inside].text[row],
                    result.dimensions[OUTSIDE].text[row],
                )
                result.problem(
                    row,
                    f"the outside diameter {shown(str(outer))!r} is not larger than the "
                    f"{inside.replace('_', ' ')} {shown(str(inner))!r}",
                )


def _not_needed(
    result: Sized, name: str, rings: NDArray[np.object_] | None, size: int
) -> NDArray[np.bool_]:
    """Mark rows that do without a dimension: tapered bearings state T, a cup has no bore."""
    import numpy as np

    spare = np.zeros(size, dtype=bool)
    if name == "width" and ASSEMBLED in result.dimensions:
        spare |= ~np.isnan(result.dimensions[ASSEMBLED].nominal)
    if rings is not None and name in INSIDE:
        spare |= rings == "cup"
    if rings is not None and name == OUTSIDE:
        spare |= rings == "cone"
    return spare
