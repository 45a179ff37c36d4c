"""Read a table and say how it is understood; nothing is loaded."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.acts.safe_table import write_table
from xref.tables import read_table

if TYPE_CHECKING:
    from xref.tables import Reading


def read(path: Path, *, rejects: Path | None = None, **answers: Any) -> dict[str, Any]:
    """Return the document of `xref read`; with `rejects`, write the rows set aside there."""
    reading = read_table(path, **answers)
    if rejects is not None:
        export_rejects(reading, rejects)
    return reading.document()


def export_rejects(reading: Reading, path: Path) -> None:
    """Write the rows set aside to a CSV file, to be mended and loaded with `--mended`."""
    rows = [
        {"at": _place(row["at"]), "reason": row["reason"], "raw": row["raw"]}
        for row in reading.document()["set_aside"]
    ]
    write_table(path, ["at", "reason", "raw"], rows)


def _place(at: Any) -> str:
    return f"{at['sheet']}!{at['row']}" if isinstance(at, dict) else str(at)
