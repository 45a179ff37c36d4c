"""The files of one edition: items by judgement key, keys, numbers, and five mapped indexes."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import layout
from .edition import ListInfo
from .engine import memory
from .rows import OWN_COLUMNS

if TYPE_CHECKING:
    import pandas as pd

FILES = (
    *("items.parquet", "keys.parquet", "numbers.parquet"),
    *("numbers.index", "statements.index", "rows.index", "keys.index", "descriptions.index"),
)


def digest_of(path: Path) -> str:
    """Return the SHA-256 of the file at `path`."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write_files(
    folder: Path, info: ListInfo, rows: pd.DataFrame, *, number_index: bool = True
) -> dict[str, Any]:
    """Write the files of an edition and its meta.json into `folder`, synced.

    Returns what the event that makes it count is to say of them. Without `number_index` numbers
    are not searchable: for measuring what that costs.
    """
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

    con = memory()
    # Else the type of a column of texts is guessed from a sample of them.
    con.execute("SET pandas_analyze_sample = 0")
    try:
        columns = columns_of(con, rows)
        keys = judgement_keys(columns, len(rows))
        number_key = number_key_column(columns.get("number"), len(rows))
        ordered = {name: column.of_rows(keys.rows) for name, column in columns.items()}
        write_parquet(
            con,
            folder / "items.parquet",
            [
                Column("item", "BIGINT", keys.rows.astype(np.int64)),
                Column("key", "BIGINT", keys.of_row[keys.rows].astype(np.int64)),
                *ordered.values(),
                number_key_column(ordered.get("number"), len(rows)),
            ],
        )
        write_parquet(
            con,
            folder / "keys.parquet",
            [
                Column("key", "BIGINT", np.arange(len(keys))),
                *(columns[name].of_rows(keys.first_rows) for name in keys.columns),
            ],
        )
        mentions = write_statements(folder / "statements.index", info, columns, number_key)
        standing = write_numbers(con, folder / "numbers.parquet", number_key, keys.of_row, mentions)
        write_key_file(con, folder)
    finally:
        con.close()
    write_row_index(folder / "rows.index", columns, keys, standing)
    described, kinds = columns.get("description"), columns.get("kind")
    write_description_index(folder / DESCRIPTIONS, described, kinds, len(rows))
    if number_index:
        write_number_index(folder / "numbers.index", standing.numbers)
    written = [name for name in FILES if number_index or name != "numbers.index"]
    for name in written:
        layout.sync_file(folder / name)
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
        "files": {name: digest_of(folder / name) for name in written},
    }
    layout.write_json(folder / "meta.json", meta)
    return {**told, "meta_digest": digest_of(folder / "meta.json")}
