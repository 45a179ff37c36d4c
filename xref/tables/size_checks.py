"""What sizes contradict themselves: other units by their looks, impossible or missing ones."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from xref.kinds.spec import spec
from xref.tables.column import present
from xref.tables.sizecells import BARE, INCH, MM, SizeCells
from xref.tables.sized import ASSEMBLED, INCH_BELOW, INSIDE, METRIC_FROM, OUTSIDE, Sized
from xref.tables.text import quoted, shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def check_looks(
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
    for kind in present(kinds):
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
                    f"the outside diameter {quoted(str(outer))} is not larger than the "
                    f"{inside.replace('_', ' ')} {quoted(str(inner))}",
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
