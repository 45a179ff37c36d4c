"""Parts on offer as columns for the judges: from a DataFrame or from a list's distinct keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import Impossible
from xref.kinds.base import NOT_STATED, Part, encode
from xref.kinds.spec import spec
from xref.kinds.systems import (
    IN,
    MM,
    NO_UNIT,
    Written,
    as_written,
    made_standard,
    second_readings,
    snap_inch,
    system_of,
    unit_codes,
    with_row_places,
)
from xref.matching.inches import float_or_nan
from xref.sizes import Size
from xref.store.key_file import Column, Words


def part_from_columns(kind: str, columns: Mapping[str, Column], length: int) -> Part:
    """Build parts from columns `<dimension>_mm`, traits by name, and `written_unit`.

    `length` is the number of rows. Columns a kind does not know are ignored. Texts may come as
    the codes of a list's keys (`key_file.Words`): then each word is understood once.
    """
    declared = spec(kind)
    size = {
        name: _possible(_figures(columns[f"{name}_mm"]))
        for name in declared.dimension_names
        if f"{name}_mm" in columns
    }
    unit = np.full(length, NO_UNIT, dtype=np.int8)
    if "written_unit" in columns:
        unit = _understood(columns["written_unit"], _units)
    written = with_row_places({name: as_written(value, unit) for name, value in size.items()})
    return _part(kind, written, columns, length)


def part_from_sizes(kind: str, sizes: Mapping[str, Size], traits: Mapping[str, str]) -> Part:
    """Build one part from written sizes: decimals count as they were written, 0.9840 in has four.

    Of limits the middle is judged, and no standard size is recognised in it.
    """
    written = {}
    for name, read in sizes.items():
        shown = read.decimals if read.low == read.high else None
        written[name] = Written(
            np.array(
                [(read.low_mm + read.high_mm) / 2 if read.nominal is None else read.nominal_mm]
            ),
            np.array([IN if read.unit == "in" else MM], dtype=np.int8),
            np.array([-1 if shown is None else shown], dtype=np.int8),
        )
    stated = {name: np.array([value], dtype=object) for name, value in traits.items()}
    return _part(kind, written, stated, 1)


def _part(
    kind: str, written: Mapping[str, Written], columns: Mapping[str, Column], length: int
) -> Part:
    """Build parts from sizes as written and the columns of their traits."""
    declared = spec(kind)
    written = made_standard(kind, written)
    size = {name: one.value_mm for name, one in written.items()}
    system, printed = system_of(kind, written)
    if len(system) != length:
        system = np.zeros(length, dtype=np.int8)
    elif printed.any():
        size = {name: snap_inch(value, printed) for name, value in size.items()}
    traits: dict[str, NDArray[Any]] = {}
    for trait in declared.traits:
        if trait.name not in columns:
            continue
        values = columns[trait.name]
        if trait.is_number:
            traits[trait.name] = _figures(values)
        elif trait.words:
            traits[trait.name] = _understood(values, partial(encode, kind, trait.name))
    return Part(kind, system, size, traits, second_readings(written))


def _understood(
    column: Column, understand: Callable[[Sequence[object]], NDArray[np.int8]]
) -> NDArray[np.int8]:
    """Return what texts mean to `understand`, row by row."""
    if isinstance(column, Words):
        return np.asarray(understand(column.words)[column.codes])
    return understand(list(column))


def _units(texts: Sequence[object]) -> NDArray[np.int8]:
    return unit_codes(np.array(texts, dtype=object))


def _possible(size_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return sizes of a list [mm] with those that cannot be, as if it did not state them."""
    possible = (size_mm > 0) & np.isfinite(size_mm)
    return size_mm if possible.all() else np.where(possible, size_mm, np.nan)


def _figures(column: Column) -> NDArray[np.float64]:
    if isinstance(column, np.ndarray) and column.dtype.kind in "fiu":
        return column.astype(np.float64, copy=False)
    values = column.texts() if isinstance(column, Words) else column
    return np.array([float_or_nan(v) for v in values], dtype=np.float64)


def understood(kind: str, trait: str, value: str) -> None:
    """Raise `Impossible` where a trait's word or figure is none that the kind knows."""
    declared = spec(kind).trait(trait)
    if declared.is_number:
        if not float_or_nan(value) >= 0 or np.isinf(float_or_nan(value)):
            raise Impossible(f"{declared.title} is a figure not below zero; {value!r} is none.")
    elif declared.words and encode(kind, trait, [value])[0] == NOT_STATED:
        raise Impossible(f"{declared.title} is {', '.join(declared.words)}; not {value!r}.")
