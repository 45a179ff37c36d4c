"""The last steps of a reading: rows of all blocks, duplicates, and the account of every row."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.tables import describe_sizes
from xref.tables.assemble import add_extra, add_sizes, add_traits, assemble
from xref.tables.cells.dimension import decide_decimal
from xref.tables.column import Column, absent
from xref.tables.duplicates import fingerprints, place, same_number
from xref.tables.reading import Reading, empty_set_aside
from xref.tables.rowset import Rows
from xref.tables.schema import table_schema
from xref.tables.size_checks import check_rows
from xref.tables.size_together import read_size_column, size_together
from xref.tables.sized import Sized
from xref.tables.sizing import size_rows
from xref.tables.tapered import assembled_widths, rings_alone
from xref.tables.text import shown

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from xref.tables.work import Part, Work

_NEEDS_SIZES = frozenset({"catalogue"})


def finish(work: Work) -> Reading:
    """Return the reading of a file whose columns, kinds and units are settled."""
    import pandas as pd

    frames: list[pd.DataFrame] = []
    aside: list[dict[str, Any]] = []
    seen: dict[int, tuple[Part, int]] = {}
    for part in work.parts:
        rows = _part_rows(work, part)
        _identical(rows, part, seen, alone=len(work.parts) == 1)
        for note in rows.notes:
            if note not in work.notes:
                work.notes.append(note)
        frame, put_aside = _frame(rows, part)
        frames.append(frame)
        aside += put_aside
    filled = [frame for frame in frames if len(frame)] or frames[:1]
    result = _tidy(pd.concat(filled, ignore_index=True)) if len(filled) > 1 else filled[0]
    reading = Reading(rows=result, set_aside=empty_set_aside())
    if aside:
        reading.set_aside = pd.DataFrame(aside, columns=["at", "raw", "reason", "cells"])
    if work.table == "stock":
        _shown_conflicts(reading.rows)
    if "replacements" in reading.rows:
        _circles(work, reading.rows)
    work.fill(reading)
    if reading.unit is None and "written_unit" in reading.rows:
        written = set(reading.rows["written_unit"].dropna())
        reading.unit = written.pop() if len(written) == 1 else None
    reading.message = _message(reading)
    return reading


def _message(reading: Reading) -> str:
    rows, aside = len(reading.rows), len(reading.set_aside)
    if rows == 0 and aside == 0:
        return "The table holds headings and no rows."
    return f"{rows:,} rows can be loaded, {aside:,} are set aside."


def _part_rows(work: Work, part: Part) -> Rows:
    rows = assemble(part.block, part.columns, work.table, work.said)
    kept: dict[int, dict[str, str]] = {}
    if table_schema(work.table).with_kinds:
        rows.values["kind"] = part.kinds
        for row, said in part.kind_warnings.items():
            for text in said:
                rows.warn(row, text)
        sized = _sized(work, part)
        kept = add_traits(rows, part.block, part.columns, part.kinds)
        rings_alone(part, rows)
        assembled_widths(part, rows, sized)
        check_rows(
            sized,
            part.kinds,
            rows.values.get("ring"),
            all_needed=work.table in _NEEDS_SIZES,
            stated=_number_is_enough(rows, part),
        )
        _without_kind(part, sized)
        add_sizes(rows, sized)
        _keep_sizes_of_others(part, kept)
        _designations(rows, part, sized)
    _nothing_named(rows)
    add_extra(rows, part.block, part.columns, kept)
    _hidden(rows, part)
    return rows


def _sized(work: Work, part: Part) -> Sized:
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
            _together(work, part, sized, part.block.columns[index], unit, only_hint=False)
    elif described is not None and not part.columns.size_columns:
        whole = part.block.columns[described]
        column = Column(whole.codes, [describe_sizes.find(text) for text in whole.texts])
        _together(work, part, sized, column, work.decided_unit, only_hint=True)
    return sized


def _together(
    work: Work, part: Part, sized: Sized, column: Column, unit: str | None, *, only_hint: bool
) -> None:
    """Fill dimensions from a column of sizes written together, read in `unit`."""
    import numpy as np

    from xref.tables.sizecells import UNIT_CODE

    sign = work.said.decimal or decide_decimal(column.texts)
    applied = np.full(len(part.kinds), UNIT_CODE.get(unit, 0), dtype=np.int8)
    if part.row_unit is not None:
        applied = np.where(part.row_unit != 0, part.row_unit, applied).astype(np.int8)
    read = read_size_column(column, sign)
    size_together(sized, column, read, part.kinds, applied, only_hint=only_hint)


def _number_is_enough(rows: Rows, part: Part) -> NDArray[np.bool_] | None:
    """Mark rows that name their replacement: such a row is of use without sizes."""
    import numpy as np

    listed = rows.values.get("replacements")
    if listed is None:
        return None
    return np.fromiter((bool(one) for one in listed), bool, len(part.block.at))


def _without_kind(part: Part, sized: Sized) -> None:
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


def _keep_sizes_of_others(part: Part, kept: dict[int, dict[str, str]]) -> None:
    """Keep size cells that the row's kind has no dimension for (a gasket's, say)."""
    import numpy as np

    from xref.tables.heading_answers import label

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
    column = part.block.columns[index]
    named = np.isin(part.kinds.astype(str), ["rolling_bearing", "o_ring"])
    decoded: dict[int, Any] = {}
    for row in np.nonzero(named)[0].tolist():
        code = int(column.codes[row])
        if code not in decoded:
            decoded[code] = decode(column.texts[code]) if column.texts[code] else None
        found = decoded[code]
        if found is None or found.kind != part.kinds[row]:
            continue
        for name, expected in found.dimensions_mm.items():
            if name not in sized.dimensions:
                continue
            actual = float(sized.dimensions[name].nominal[row])
            if actual == actual and abs(actual - expected) > 0.011:
                rows.warn(
                    row,
                    f"the designation {shown(column.cell(row))} means {name.replace('_', ' ')} "
                    f"{expected:g} mm ({found.source}); the row says {actual:g} mm",
                )


def _nothing_named(rows: Rows) -> None:
    """Set aside rows that name neither a number nor a description nor a size."""
    import numpy as np

    nameless = np.ones(rows.size, dtype=bool)
    for name, values in rows.values.items():
        if name in ("number", "description", "name") or name.endswith("_text"):
            nameless &= absent(values)
    for row in np.nonzero(nameless)[0].tolist():
        rows.set_aside(row, "neither a part number nor a description is given")


def _identical(rows: Rows, part: Part, seen: dict[int, tuple[Part, int]], *, alone: bool) -> None:
    """Set aside a row that repeats an earlier loaded one cell by cell."""
    import numpy as np
    import pandas as pd

    prints = fingerprints(part.block)
    left = np.ones(rows.size, dtype=bool)
    left[list(rows.aside)] = False
    places = np.nonzero(left)[0]
    series = pd.Series(prints[places])
    twice = series.duplicated(keep=False).to_numpy()
    if seen:
        twice = twice | series.isin(list(seen)).to_numpy()
    for row in places[twice].tolist():
        earlier, number = seen.setdefault(int(prints[row]), (part, row))
        if earlier is part and number == row:
            continue
        if _texts(earlier, number) == _texts(part, row):
            at = place(earlier.block.at[number], part.block.at[row])
            rows.set_aside(row, f"same as row {at}")
    if not alone:
        for row in places[~twice].tolist():
            seen.setdefault(int(prints[row]), (part, row))


def _texts(part: Part, row: int) -> dict[str, str]:
    return {
        part.block.headings[i] or str(i): column.cell(row)
        for i, column in enumerate(part.block.columns)
        if column.cell(row)
    }


def _hidden(rows: Rows, part: Part) -> None:
    """Tell that a row is hidden in its workbook; it is loaded all the same."""
    for row, number in part.block.flagged_rows():
        if part.block.records.hidden(number):
            rows.warn(row, "the row is hidden in the workbook")


def _frame(rows: Rows, part: Part) -> tuple[pd.DataFrame, list[dict[str, Any]]]:
    import numpy as np
    import pandas as pd

    keep = np.ones(rows.size, dtype=bool)
    keep[list(rows.aside)] = False
    data: dict[str, Any] = {"at": _at(part, keep)}
    for name, values in rows.values.items():
        data[name] = values if keep.all() else values[keep]
    data["warnings"] = rows.warning_lists()[keep]
    frame = pd.DataFrame({name: _series(values) for name, values in data.items()})
    aside_rows = sorted(rows.aside)
    raws = part.block.records.raws(part.block.rows[aside_rows].tolist())
    aside = [
        {
            "at": _plain(part.block.at[row]),
            "raw": raw,
            "reason": rows.aside[row],
            "cells": {
                heading or f"column {index + 1}": column.cell(row)
                for index, (heading, column) in enumerate(
                    zip(part.block.headings, part.block.columns, strict=True)
                )
            },
        }
        for row, raw in zip(aside_rows, raws, strict=True)
    ]
    return frame, aside


def _plain(at: Any) -> Any:
    return at if isinstance(at, dict) else int(at)


def _at(part: Part, keep: NDArray[np.bool_]) -> Any:
    import numpy as np

    if len(part.block.at) and isinstance(part.block.at[0], dict):
        chosen = [at for at, kept in zip(part.block.at, keep.tolist(), strict=True) if kept]
        array = np.empty(len(chosen), dtype=object)
        array[:] = chosen
        return array
    return np.asarray(part.block.at, dtype=np.int64)[keep]


def _series(values: Any) -> Any:
    import pandas as pd

    if getattr(values, "dtype", None) == "object":
        return pd.Series(values, dtype=object)
    return pd.Series(values)


def _tidy(rows: pd.DataFrame) -> pd.DataFrame:
    """Make what several blocks leave open the same everywhere: lists are lists, flags are flags."""
    for name in ("warnings", "replacements", "supersedes"):
        if name in rows:
            rows[name] = [one if isinstance(one, list) else [] for one in rows[name]]
    if "or_more" in rows:
        rows["or_more"] = rows["or_more"].eq(True)
    return rows


def _shown_conflicts(rows: pd.DataFrame) -> None:
    warn: dict[int, list[str]] = {}
    same_number(rows, warn)
    _add_warnings(rows, warn)


def _add_warnings(rows: pd.DataFrame, warn: dict[int, list[str]]) -> None:
    """Add warnings to rows by their position."""
    if warn:
        listed = rows["warnings"].tolist()
        for position, said in warn.items():
            listed[position] = [*listed[position], *said]
        rows["warnings"] = listed


def _circles(work: Work, rows: pd.DataFrame) -> None:
    """Report numbers that replace each other in a circle, on their rows and in the notes."""
    from xref.store.number_key import number_key
    from xref.tables.circles import circles

    if "number" not in rows:
        return
    edges: dict[str, list[str]] = {}
    relations = rows["relation"] if "relation" in rows else [None] * len(rows)
    keys = [number_key(text) if isinstance(text, str) else "" for text in rows["number"]]
    for key, others, relation in zip(keys, rows["replacements"], relations, strict=True):
        if others and relation != "equal to":
            pieces = [number_key(piece) for other in others for piece in other.split(" + ")]
            edges.setdefault(key, []).extend(piece for piece in pieces if piece != key)
    groups = circles(edges)
    member = {key: group for group in groups for key in group}
    _add_warnings(
        rows,
        {
            position: [f"part of a circle of replacements: {', '.join(member[key][:5])}"]
            for position, key in enumerate(keys)
            if key in member and edges.get(key)
        },
    )
    for group in groups[:10]:
        work.notes.append(f"numbers replace each other in a circle: {', '.join(group[:8])}")
