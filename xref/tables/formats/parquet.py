"""Parquet through the in-memory engine: every column cast to text, names as the first row."""

from __future__ import annotations

import tempfile
from pathlib import Path

from xref.errors import Refused
from xref.store import engine
from xref.tables.formats.grid import Grid, GridSet, Row
from xref.tables.formats.source import Source

_MOST_CELLS = 20_000_000


def read_parquet(source: Source) -> GridSet:
    """Return one grid whose first row (`at` 0) is the column names and the others count from 1.

    Raises Refused for damaged files and for more cells than fit in memory.
    """
    if source.path is not None:
        return _read(source.path, source.label)
    with tempfile.NamedTemporaryFile(suffix=".parquet") as file:
        file.write(source.data)
        file.flush()
        return _read(Path(file.name), source.label)


def _read(path: Path, label: str) -> GridSet:
    with engine.memory() as connection:
        connection.execute("SET memory_limit = '600MB'")
        # Names and path go in quoted by the engine's own functions.
        where = f"read_parquet({engine.quoted(str(path))})"
        try:
            names = [row[0] for row in connection.execute(f"DESCRIBE FROM {where}").fetchall()]
            count = connection.execute(f"SELECT count(*) FROM {where}").fetchall()[0][0]  # noqa: S608
            if count * len(names) > _MOST_CELLS:
                raise Refused(f"{label} holds {count * len(names):,} cells: cut it into lists.")
            columns = ", ".join(f"{engine.named(name)}::VARCHAR" for name in names)
            found = connection.execute(f"SELECT {columns} FROM {where}").fetchall()  # noqa: S608
        except (Refused, MemoryError):
            raise
        except Exception:  # noqa: BLE001 - the engine's own errors, which only the store may name
            raise Refused(f"{label} is cut off or damaged: send or export it again.") from None
    rows = [Row(0, names, "\t".join(names))]
    for at, values in enumerate(found, start=1):
        cells = ["" if value is None else value for value in values]
        rows.append(Row(at, cells, "\t".join(cells)))
    return GridSet([Grid(None, rows)], "parquet")
