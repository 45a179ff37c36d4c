"""Read a table and say how it is understood; nothing is loaded."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from xref.tables import read_table


def read(path: Path, *, rejects: Path | None = None, **answers: Any) -> dict[str, Any]:
    """Return the document of `xref read`; with `rejects`, write the rows set aside there."""
    reading = read_table(path, **answers)
    document: dict[str, Any] = reading.document()
    return document
