"""A file before it is loaded: a short look at how it is understood, and rows mended one by one."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.acts.load import load
from xref.errors import Impossible, NothingFound
from xref.tables import read_table

if TYPE_CHECKING:
    from xref.store import Store
    from xref.tables import Reading

Row = dict[str, Any]
ROWS_SHOWN = 12
ASIDE_SHOWN = 100


def preview(path: Path, **answers: Any) -> Row:
    """Return how a file is understood, its first rows, and the rows set aside with their cells.

    The document of `xref read` with few `rows`, and `row_count`, `aside_count`, `headings`,
    `aside` (each with `key`, `at`, `reason`, `cells` by heading) besides.
    """
    reading = read_table(path, **answers)
    short = replace(
        reading,
        rows=reading.rows.head(ROWS_SHOWN),
        set_aside=reading.set_aside.head(ASIDE_SHOWN),
    )
    return {
        **short.document(),
        "row_count": len(reading.rows),
        "aside_count": len(reading.set_aside),
        "headings": list(reading.headings),
        "aside": aside_rows(reading),
    }


def aside_rows(reading: Reading) -> list[Row]:
    """Return the first rows set aside, each with the cells that can be mended."""
    return [
        {
            "key": _key(row["at"]),
            "at": row["at"],
            "reason": row["reason"],
            "raw": row["raw"],
            "cells": dict(row.get("cells") or {}),
        }
        for row in reading.set_aside.head(ASIDE_SHOWN).to_dict("records")
    ]


def mend(
    store: Store,
    path: Path,
    edits: Mapping[str, Mapping[str, str]],
    *,
    on: date,
    name: str,
    **answers: Any,
) -> Row:
    """Load rows of a file that were set aside and are mended now, into its current list.

    `edits`: for the `key` of a row, its cells by heading. Returns the document of `xref load`;
    a row that is still wrong is set aside again. Raises NothingFound when no such row was set
    aside, Impossible when nothing was changed.
    """
    from xref.tables.mending import write_rejects

    reading = read_table(path, **answers)
    rows = reading.set_aside.to_dict("records")
    there = {_key(row["at"]): row for row in rows}
    unknown = [key for key in edits if key not in there]
    if unknown:
        raise NothingFound(f"no row {unknown[0]} of {path.name} was set aside", at=unknown[0])
    changed = []
    for key, cells in edits.items():
        row = there[key]
        before = {heading: str(cell) for heading, cell in (row.get("cells") or {}).items()}
        after = before | {heading: cells[heading] for heading in before if heading in cells}
        if after != before:
            changed.append({**row, "cells": after})
    if not changed:
        raise Impossible("No row was changed, so there is nothing to mend.", at=path.name)
    import pandas as pd

    mended = replace(reading, set_aside=pd.DataFrame(changed))
    with tempfile.TemporaryDirectory(prefix="xref-") as folder:
        file = Path(folder) / f"{path.stem} mended.csv"
        write_rejects(mended, file)
        return load(store, file, on=on, name=name, mend=True, **answers)


def _key(at: Any) -> str:
    return f"{at['sheet']}!{at['row']}" if isinstance(at, dict) else str(at)
