"""Write tables that are safe to open in a spreadsheet: no cell is ever run as a formula."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from xref.errors import Refused

# What a spreadsheet takes as the beginning of a formula. The apostrophe before it is the
# spreadsheets' own mark for "this is text" (common practice against formula injection).
_RUN = ("=", "+", "-", "@", "\t", "\r")


def safe(value: Any) -> Any:
    """Return a cell that a spreadsheet shows and does not run."""
    if isinstance(value, str) and value.startswith(_RUN):
        return "'" + value
    return value


def write_table(path: Path, columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> None:
    """Write rows as CSV or, ending in .tsv, tab-separated, in UTF-8 that spreadsheets recognise.

    Raises Refused for another ending, and when the place cannot be written.
    """
    ending = path.suffix.lower()
    if ending not in {".csv", ".tsv"}:
        raise Refused(
            f"{path.name} is written by its ending, and {ending or 'no ending'} is not known: "
            "name it .csv or .tsv.",
            at=str(path),
            code="unknown-format",
        )
    try:
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            writer = csv.writer(file, delimiter="\t" if ending == ".tsv" else ",")
            writer.writerow(columns)
            for row in rows:
                writer.writerow([safe(row.get(name)) for name in columns])
    except OSError as error:
        raise Refused(
            f"{path} cannot be written: {error.strerror}. Nothing else was changed.", at=str(path)
        ) from error
