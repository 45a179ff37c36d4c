"""Read a table and say how it is understood; nothing is loaded."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.tables import read_table, write_rejects

if TYPE_CHECKING:
    from xref.tables import Reading


def read(path: Path, *, rejects: Path | None = None, **answers: Any) -> dict[str, Any]:
    """Return the document of `xref read`; with `rejects`, write the rows set aside there."""
    reading = read_table(path, **answers)
    if rejects is not None:
        export_rejects(reading, rejects)
    return reading.document()


def export_rejects(reading: Reading, path: Path) -> None:
    """Write the rows set aside with their own cells, to be mended and loaded with `--mended`."""
    write_rejects(reading, path)
