"""Rows alike in all that their sizes and properties depend on, each combination once."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from xref.tables.cells.replacement import read_replacement
from xref.tables.coded import Coded
from xref.tables.columns import Columns
from xref.tables.grouped import grouped
from xref.tables.layout import Block
from xref.tables.tapered import names_a_bore

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.sizecells import SizeCells


@dataclass(slots=True)
class Alike:
    """A block of rows that each stand for all rows alike, with the kind of each.

    `codes` tells for each row of the whole block which one stands for it, `first` the first row
    that each stands for, `counts` how many they are. Sizes are read into `cells` by column.
    """

    block: Block
    columns: Columns
    kinds: NDArray[np.object_]
    codes: NDArray[Any]
    first: NDArray[np.int64]
    counts: NDArray[np.int64]
    cells: dict[int, SizeCells] = field(default_factory=dict)
    heading_units: dict[int, str | None] = field(default_factory=dict)
    row_unit: NDArray[np.int8] | None = None


def alike(block: Block, columns: Columns, kinds: Coded) -> Alike:
    """Take together the rows of a block of which sizes, kinds and properties are the same."""
    indices = [*columns.size_columns, columns.size, *columns.more_sizes]
    indices.append(columns.first("written_unit"))
    for traits in columns.traits.values():
        indices += [index for listed in traits.values() for index in listed]
    if columns.size is None and not columns.size_columns:
        indices.append(columns.first("description"))  # may hold the sizes
    bearings = _of_bearings(block, columns, kinds)
    further = [kinds, *bearings.values()]
    for index in columns.fields.get("replacements", []):
        column = block.columns[index]
        named = [bool(read_replacement(text).alternatives) for text in column.texts]
        further.append(column.coded(named))
    made = grouped(block, indices, *map(_few, further), shown=bearings)
    return Alike(
        block=made.block,
        columns=columns,
        kinds=kinds.values[kinds.codes[made.first]],
        codes=made.codes,
        first=made.first,
        counts=made.counts,
    )


def _few(one: Coded) -> Coded:
    """Return the same with each value once."""
    import pandas as pd

    codes, values = pd.factorize(one.values, use_na_sentinel=False)
    return Coded(codes[one.codes], values)


def _of_bearings(block: Block, columns: Columns, kinds: Coded) -> dict[int, Coded]:
    """Return by column what tells tapered bearings, cups and cones apart, for bearings only."""
    import numpy as np

    bearing = (kinds.values == "rolling_bearing")[kinds.codes]
    if not bearing.any():
        return {}
    found = {}
    for name in ("kind", "description", "number"):
        index = columns.first(name)
        if index is None:
            continue
        column = block.columns[index]
        if name == "number":
            told = [text if names_a_bore(text) else None for text in column.texts]
        else:
            told = [*column.texts]
        values = np.array([*told, None], dtype=object)
        found[index] = Coded(np.where(bearing, column.codes, len(told)), values)
    return found
