"""The last steps of a reading: rows of all blocks, duplicates, and the account of every row."""

from __future__ import annotations

import json
from functools import partial
from itertools import compress
from typing import TYPE_CHECKING, Any, cast

from xref.tables.coded import Coded, objects
from xref.tables.duplicates import fingerprints, number_hashes, place, repeated, same_number
from xref.tables.part_rows import part_rows
from xref.tables.reading import Reading, empty_set_aside
from xref.tables.result import Result
from xref.tables.rowset import Rows

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.work import Part, Work


def finish(work: Work) -> Reading:
    """Return the reading of a file whose columns, kinds and units are settled."""
    import numpy as np
    import pandas as pd

    loaded: list[dict[str, Any]] = []
    aside: list[dict[str, Any]] = []
    kept: list[NDArray[np.uint64]] = []
    seen: dict[int, tuple[Part, int]] = {}
    for part in work.parts:
        rows = part_rows(work, part)
        numbers = number_hashes(rows)
        again = None
        if len(work.parts) == 1:  # a number that stands in no other row needs no further look
            again = repeated(numbers)
            numbers[~again] = 0
        _identical(rows, part, seen, again)
        for note in rows.notes:
            if note not in work.notes:
                work.notes.append(note)
        keep = _kept(rows)
        loaded.append(_loaded(rows, part, keep))
        kept.append(numbers[keep])
        aside += _aside(rows, part)
    result = Result(loaded)
    if work.table == "stock" and len(result):
        said: dict[int, list[str]] = {}
        same_number(result, np.concatenate(kept), said)
        result.add_warnings(said)
    if result.has("replacements"):
        _circles(work, result)
    reading = Reading(rows=cast("Any", result), set_aside=empty_set_aside())
    if aside:
        reading.set_aside = pd.DataFrame(aside, columns=["at", "raw", "reason", "cells"])
    work.fill(reading)
    if reading.unit is None and result.has("written_unit"):
        written = result.values("written_unit")
        reading.unit = written.pop() if len(written) == 1 else None
    reading.message = _message(reading)
    return reading


def _message(reading: Reading) -> str:
    rows, aside = reading.row_count, len(reading.set_aside)
    if rows == 0 and aside == 0:
        return "The table holds headings and no rows."
    return f"{rows:,} rows can be loaded, {aside:,} are set aside."


def _kept(rows: Rows) -> NDArray[np.bool_]:
    """Return which rows are not set aside."""
    import numpy as np

    keep = np.ones(rows.size, dtype=bool)
    keep[list(rows.aside)] = False
    return keep


def _identical(
    rows: Rows,
    part: Part,
    seen: dict[int, tuple[Part, int]],
    again: NDArray[np.bool_] | None,
) -> None:
    """Set aside a row that repeats an earlier loaded one cell by cell.

    `again` tells the rows that may have a like where there is but one part.
    """
    import numpy as np

    places = np.flatnonzero(_kept(rows))
    if again is not None:
        places = places[again[places]]
    prints = fingerprints(part.block, places)
    twice = repeated(prints)
    if seen:
        twice |= np.isin(prints, np.fromiter(seen, np.uint64, len(seen)))
    for row, hashed in zip(places[twice].tolist(), prints[twice].tolist(), strict=True):
        earlier, number = seen.setdefault(hashed, (part, row))
        if earlier is part and number == row:
            continue
        if _texts(earlier, number) == _texts(part, row):
            at = place(earlier.block.at[number], part.block.at[row])
            rows.set_aside(row, f"same as row {at}")
    if again is None:
        for row, hashed in zip(places[~twice].tolist(), prints[~twice].tolist(), strict=True):
            seen.setdefault(hashed, (part, row))


def _texts(part: Part, row: int) -> dict[str, str]:
    return {
        part.block.headings[i] or str(i): column.cell(row)
        for i, column in enumerate(part.block.columns)
        if column.cell(row)
    }


def _loaded(rows: Rows, part: Part, keep: NDArray[np.bool_]) -> dict[str, Any]:
    """Return the values of the rows to keep, by column."""
    values = {**rows.values, "warnings": rows.warning_lists()}
    if not keep.all():
        values = {name: one.taken(keep) for name, one in values.items()}
    return {"at": _at(part, keep), **values}


def _aside(rows: Rows, part: Part) -> list[dict[str, Any]]:
    """Return the rows that are set aside, with place, raw text, reason and cells."""
    places = sorted(rows.aside)
    raws = part.block.records.raws(part.block.rows[places].tolist())
    return [
        {
            "at": _plain(part.block.at[row]),
            "raw": raw,
            "reason": rows.aside[row],
            "cells": {
                heading or f"column {index + 1}": column.cell(row)
                for index, (heading, column) in enumerate(
                    zip(part.block.headings, part.block.columns, strict=True)
                )
                if index < part.block.width or column.cell(row)
            },
        }
        for row, raw in zip(places, raws, strict=True)
    ]


def _plain(at: Any) -> Any:
    return at if isinstance(at, dict) else int(at)


def _at(part: Part, keep: NDArray[np.bool_]) -> Any:
    """Return places as numbers, or each workbook row's own dict."""
    import numpy as np

    if len(part.block.at) and isinstance(part.block.at[0], dict):
        chosen = list(compress(part.block.at, keep.tolist()))
        return Coded(np.arange(len(chosen)), objects(chosen), write=partial(_as_json, chosen))
    return np.asarray(part.block.at, dtype=np.int64)[keep]


def _as_json(places: list[dict[str, Any]]) -> list[str | None]:
    """Return the places of rows in sheets as JSON; a name is written once."""
    names = {name: json.dumps(name, ensure_ascii=False) for name in {at["sheet"] for at in places}}
    return [f'{{"sheet": {names[at["sheet"]]}, "row": {at["row"]}}}' for at in places]


def _circles(work: Work, rows: Result) -> None:
    """Report numbers that replace each other in a circle, on their rows and in the notes."""
    from xref.store.number_key import number_key, number_keys
    from xref.tables.circles import circles

    if not rows.has("number"):
        return
    edges: dict[str, list[str]] = {}
    replacing = rows.listed("replacements")
    relations = rows.listed("relation")
    keys = number_keys(rows.listed("number"))
    known: dict[str, list[str]] = {}
    for key, others, relation in zip(keys, replacing, relations, strict=True):
        if not others or relation == "equal to":
            continue
        for other in others:
            if other not in known:
                known[other] = [number_key(piece) for piece in other.split(" + ")]
            edges.setdefault(key, []).extend(piece for piece in known[other] if piece != key)
    groups = circles(edges)
    member = {key: group for group in groups for key in group}
    rows.add_warnings(
        {
            position: [f"part of a circle of replacements: {', '.join(member[key][:5])}"]
            for position, key in enumerate(keys)
            if key in member and edges.get(key)
        },
    )
    for group in groups[:10]:
        work.notes.append(f"numbers replace each other in a circle: {', '.join(group[:8])}")
