"""Rows whose sizes stand in one cell: `60x80x8`, or inside a description."""

from __future__ import annotations

from typing import TYPE_CHECKING

from xref.kinds.spec import spec
from xref.tables.cells.dimension import Together, read_together
from xref.tables.column import Column
from xref.tables.sizecells import UNIT_CODE, UNIT_NAME
from xref.tables.sized import INSIDE, OUTSIDE, Dimension, Sized, dimension_of
from xref.tables.text import quoted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.sizes import Size


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
                f"{quoted(column.cell(row))} holds {len(sizes)} of the sizes of a "
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
                f"{quoted(column.cell(row))} carries no unit; read in "
                f"{'millimetres' if sizes[0].unit == 'mm' else 'inches'}",
            )


def _cannot(cell: Together, sizes: tuple[Size, ...], kind: str | None, text: str) -> str | None:
    if not sizes:
        if cell.problem:
            return cell.problem
        if cell.mm and not cell.inch:
            return (
                f"{quoted(text)} looks metric in a list of inches; confirm it by writing mm "
                "behind it"
            )
        return f"{quoted(text)} has no unit; write it behind the sizes, as in 60x80x8 mm"
    if kind is None:
        return f"what kind of part {quoted(text)} is the size of is not stated"
    if not spec(kind).written_order:
        return None
    return None


def place(sizes: tuple[Size, ...], order: tuple[str, ...]) -> dict[str, Size] | None:
    """Give each size its dimension: by its label (ID, OD, long), else in the written order."""
    if len(sizes) != len(order):
        return None
    free = list(order)
    placed: dict[str, Size] = {}
    unlabelled = []  # not told by value: a bush may be as long as it is wide
    for one in sizes:
        name = _labelled(one.label, free)
        if name:
            placed[name] = one
            free.remove(name)
        else:
            unlabelled.append(one)
    placed |= zip(free, unlabelled, strict=True)
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
