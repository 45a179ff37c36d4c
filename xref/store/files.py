"""The files of one edition: items by judgement key, keys, numbers, and five mapped indexes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import layout
from .edition import ListInfo
from .engine import loading
from .rows import OWN_COLUMNS

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

    from .columns import Column
    from .judgement_keys import Keys

_ITEMS = "items.parquet"
FILES = (
    *(_ITEMS, "keys.parquet", "numbers.parquet"),
    *("numbers.index", "statements.index", "rows.index", "keys.index", "descriptions.index"),
)


def digest_of(path: Path) -> str:
    """Return the SHA-256 of the file at `path`."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _synced(path: Path) -> str:
    """See that the file at `path` is on the disk; return its digest."""
    layout.sync_file(path)
    return digest_of(path)


def write_files(
    folder: Path, info: ListInfo, rows: pd.DataFrame, *, number_index: bool = True
) -> dict[str, Any]:
    """Write the files of an edition and its meta.json into `folder`, synced.

    Returns what the event that makes it count is to say of them. Without `number_index` nothing
    is made that finds a row by its number: for measuring what that costs.
    """
    from concurrent.futures import ThreadPoolExecutor

    import numpy as np

    from .columns import Column, columns_of
    from .description_index import FILE as DESCRIPTIONS
    from .description_index import write_description_index
    from .judgement_keys import judgement_keys
    from .key_file import write_key_file
    from .number_index import write_number_index
    from .parquet import write_parquet
    from .row_index import write_row_index
    from .standing import number_key_column, write_numbers
    from .stating import write_statements

    # Writing items.parquet takes as long as all the rest, most of it in the database.
    with closing(loading()) as con, ThreadPoolExecutor(1) as beside:
        columns = columns_of(con, rows)
        keys = judgement_keys(columns, len(rows))
        items = beside.submit(_write_items, loading(con), folder / _ITEMS, columns, keys)
        write_parquet(
            con,
            folder / "keys.parquet",
            [
                Column("key", "BIGINT", np.arange(len(keys))),
                *(columns[name].of_rows(keys.first_rows) for name in keys.columns),
            ],
        )
        mentions = write_statements(folder / "statements.index", info, columns)
        standing = None
        if number_index:
            path = folder / "numbers.parquet"
            number_key = number_key_column(columns.get("number"), len(rows))
            standing = write_numbers(con, path, number_key, keys.of_row, mentions)
            write_number_index(folder / "numbers.index", standing.numbers)
        write_key_file(con, folder)
        write_row_index(folder / "rows.index", columns, keys, standing)
        described, kinds = columns.get("description"), columns.get("kind")
        write_description_index(folder / DESCRIPTIONS, described, kinds, len(rows))
        written = [name for name in FILES if number_index or not name.startswith("numbers.")]
        digests = {name: _synced(folder / name) for name in written if name != _ITEMS}
        digests[_ITEMS] = items.result()
    told = {
        "items": len(rows),
        "keys": len(keys),
        "kinds": columns["kind"].counts() if "kind" in columns else {},
        "item_columns": [*OWN_COLUMNS, *columns],
        "key_columns": keys.columns,
    }
    meta = {
        "table": info.table,
        "name": info.name,
        "supplier": info.supplier,
        "digest": info.digest,
        **told,
        "files": digests,
    }
    layout.write_json(folder / "meta.json", meta)
    return {**told, "meta_digest": digest_of(folder / "meta.json")}


def _write_items(
    con: duckdb.DuckDBPyConnection, path: Path, columns: Mapping[str, Column], keys: Keys
) -> str:
    """Write the rows sorted by key; return the digest of the file, which is synced."""
    import numpy as np

    from .columns import Column
    from .parquet import write_parquet
    from .standing import number_key_column

    places = keys.rows.astype(np.int64)
    ordered = {name: column.of_rows(places) for name, column in columns.items()}
    with closing(con):
        write_parquet(
            con,
            path,
            [
                Column("item", "BIGINT", places),
                Column("key", "BIGINT", keys.of_row[places].astype(np.int64)),
                *ordered.values(),
                number_key_column(ordered.get("number"), len(places)),
            ],
        )
    return _synced(path)
