"""Each row's dimensions: cells, units and kinds brought together, and what contradicts itself."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from xref.kinds.spec import spec
from xref.tables import size_pairs
from xref.tables.cells.dimension import Cell
from xref.tables.column import present
from xref.tables.size_checks import check_looks
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
from xref.tables.sized import INCH_BELOW, METRIC_FROM, Sized, dimension_of
from xref.tables.text import quoted, shown
from xref.tables.units import Evidence

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.alike import Alike


def gather(evidence: Evidence, rows: Alike) -> None:
    """Add what the size columns of a block show about the unit to `evidence`."""
    import numpy as np

    cells = rows.cells
    if not cells:
        return

    def count(mask: NDArray[np.bool_]) -> int:
        return int(rows.counts[mask].sum())

    sized, bare, inch, mm, looks_metric, looks_inch = _looks(
        cells, rows.heading_units, rows.row_unit, len(rows.counts)
    )
    evidence.rows += count(sized)
    evidence.bare += count(bare)
    evidence.inch += count(inch)
    evidence.mm += count(mm)
    evidence.looks_metric += count(looks_metric & bare)
    evidence.looks_inch += count(looks_inch & bare)
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
    headings: Mapping[int, str] | None = None,
) -> Sized:
    """Return the dimensions of each row by its kind.

    `columns[kind][dimension]` lists the columns that may hold the dimension; the first that is
    filled counts, and of two in different units the one the part was made to. `unit` is the unit
    of sizes for which neither cell, row nor heading states one.
    """
    import numpy as np

    size = len(kinds)
    result = Sized(np.zeros(size, dtype=np.int8), np.zeros(size, dtype=bool))
    if not cells:
        return result
    applied = _applied(cells, heading_units, row_unit, unit, size)
    for kind in present(kinds):
        rows = np.nonzero(kinds == kind)[0]
        listed_of = {
            name: [index for index in columns.get(kind, {}).get(name, []) if index in cells]
            for name in spec(kind).dimension_names
        }
        pairs = [one for one in listed_of.values() if size_pairs.has_two_units(one, applied)]
        inch = size_pairs.made_to_inches(pairs, rows, cells, applied) if pairs else None
        for name, listed in listed_of.items():
            if listed in pairs and inch is not None:
                for inch_first, here in ((False, rows[~inch]), (True, rows[inch])):
                    ordered = size_pairs.by_unit(listed, applied, inch_first)
                    _one_dimension(result, name, ordered, here, cells, applied, heading_units)
                size_pairs.differing(result, name, listed, rows, cells, applied, headings or {})
            elif listed:
                _one_dimension(result, name, listed, rows, cells, applied, heading_units)
    check_looks(result, cells, applied, kinds)
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
        nominal, low, high = column.values(units, codes)
        out.nominal[here] = nominal
        if low is not None:
            out.low[here], out.high[here] = low, high
        out.text[here] = column.texts[codes]
        result.any_size[here] = True
        written = np.where(states == OWN, column.unit[codes], units)
        fresh = result.unit[here] == NO_UNIT
        result.unit[here[fresh]] = written[fresh]
        title = name.replace("_", " ")
        odd = (states == BAD) | ((states == BARE) & np.isnan(nominal))
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
                f"{title} {quoted(text)}: the cell's own unit counts, not the heading's "
                f"({UNIT_NAME[stated]})",
            )
        _warn_notes(result, column, here, codes, units, title)


def _warn_notes(
    result: Sized,
    column: SizeCells,
    here: NDArray[Any],
    codes: NDArray[np.int32],
    units: NDArray[np.int8],
    title: str,
) -> None:
    """Pass on what reading a size noted, apart from where its unit came from."""
    import numpy as np

    noted = np.fromiter((bool(_notes(cell)) for cell in column.cells), bool, len(column.cells))
    for place in np.nonzero(noted[codes])[0].tolist():
        cell = column.cells[int(codes[place])]
        read = cell.read(UNIT_NAME[int(units[place])])
        if read is None:
            continue
        for note in _notes(cell):
            if note in read.notes:
                result.warn(int(here[place]), f"{title} {quoted(read.text)}: {note}")


def _notes(cell: Cell) -> list[str]:
    return [
        note
        for size in (cell.own, cell.mm, cell.inch)
        if size is not None
        for note in size.notes
        if "stated" not in note and "no unit written" not in note
    ]


def _why(column: SizeCells, code: int, unit: int, title: str) -> str:
    cell, text = column.cells[code], shown(column.column.texts[code])
    if cell.problem:
        return f"{title}: {cell.problem}"
    if unit == NO_UNIT:
        return f"{title} {text!r} has no unit; write it in the cell, as in 60 mm or 2.375 in"
    name = "inches" if unit == INCH else "millimetres"
    return f"{title} {text!r} is no size in {name}; write the unit in the cell if it has another"
