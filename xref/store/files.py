"""The files of one edition: items by judgement key, keys, numbers, and four mapped indexes."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import layout
from .edition import ListInfo
from .engine import memory, named, quoted
from .rows import OWN_COLUMNS, keyed, typed

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

    from .statements import Statement

FILES = (
    *("items.parquet", "keys.parquet", "numbers.parquet"),
    *("numbers.index", "statements.index", "rows.index", "keys.index"),
)

# Rows per row group. Expanding keys reads whole groups of items; smaller ones make it quicker and
# the file's directory, read at every opening, longer.
_GROUP_ROWS = 10_240
# What a statement is made of.
_STATED = (
    *("number", "maker", "replacements", "replacement_maker", "supersedes", "relation"),
    *("relation_quantity", "variant", "at", "description"),
)


def digest_of(path: Path) -> str:
    """Return the SHA-256 of the file at `path`."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def write_files(folder: Path, info: ListInfo, rows: pd.DataFrame) -> dict[str, Any]:
    """Write the files of an edition and its meta.json into `folder`, synced.

    Returns what the event that makes it count is to say of them.
    """
    from .key_file import write_key_file
    from .row_index import write_row_index

    con = memory()
    try:
        columns = typed(con, rows)
        key_columns = keyed(con, columns)
        _copy(con, "SELECT * FROM items ORDER BY key, item", folder / "items.parquet")
        _copy(con, "SELECT * FROM keys ORDER BY key", folder / "keys.parquet")
        _write_statements(con, folder / "statements.index", info, columns)
        _write_numbers(con, folder)
        write_row_index(con, folder, key_columns)
        write_key_file(con, folder)
        kinds = "SELECT kind, count(*) FROM typed WHERE kind IS NOT NULL GROUP BY ALL ORDER BY 1"
        told = {
            "items": len(rows),
            "keys": (con.execute("SELECT count(*) FROM keys").fetchone() or (0,))[0],
            "kinds": dict(con.execute(kinds).fetchall()) if "kind" in columns else {},
            "item_columns": [*OWN_COLUMNS, *columns],
            "key_columns": key_columns,
        }
    finally:
        con.close()
    for name in FILES:
        layout.sync_file(folder / name)
    meta = {
        "table": info.table,
        "name": info.name,
        "supplier": info.supplier,
        "digest": info.digest,
        **told,
        "files": {name: digest_of(folder / name) for name in FILES},
    }
    layout.write_json(folder / "meta.json", meta)
    return {**told, "meta_digest": digest_of(folder / "meta.json")}


def _copy(con: duckdb.DuckDBPyConnection, query: str, path: Path) -> None:
    con.execute(
        f"COPY ({query}) TO {quoted(str(path))} "
        f"(FORMAT parquet, COMPRESSION zstd, ROW_GROUP_SIZE {_GROUP_ROWS})"
    )


def _write_statements(
    con: duckdb.DuckDBPyConnection, path: Path, info: ListInfo, columns: list[str]
) -> None:
    """Index what the rows state about replacements; make the table `mentioned` (item, key)."""
    import pandas as pd

    from .statement_index import write_statement_index
    from .statements import statements_of

    statements: list[Statement] = []
    items: list[int] = []
    mentions: list[str] = []
    stating = [c for c in ("replacements", "supersedes") if c in columns]
    if stating:
        wanted = [c for c in _STATED if c in columns]
        result = con.execute(
            f"SELECT item, number_key, {', '.join(map(named, wanted))} FROM typed "  # noqa: S608
            f"WHERE coalesce({', '.join(stating)}) IS NOT NULL ORDER BY item"
        )
        while batch := result.fetchmany(10_000):
            for item, own, *cells in batch:
                row = dict(zip(wanted, cells, strict=True))
                said = list(statements_of([row], list_name=info.name, table=info.table))
                other = {key for s in said for key in (s.key, *s.to_keys)} - {own, ""}
                statements += said
                items += [item] * len(other)
                mentions += sorted(other)
    write_statement_index(path, statements)
    frame = pd.DataFrame(
        {"item": pd.Series(items, dtype="int64"), "number_key": pd.Series(mentions, dtype="str")}
    )
    con.register("mention", frame)
    con.execute("CREATE TABLE mentioned AS SELECT * FROM mention")
    con.unregister("mention")


def _write_numbers(con: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Write where each number stands, as a row's own or mentioned in it, and the likeness index.

    Makes the table `standing` (number_key, role, item, key, and row: counted in items.parquet).
    """
    from .number_index import write_number_index

    con.execute(
        f"""CREATE TABLE standing AS
            WITH item AS (
                SELECT item, key, number_key, file_row_number AS row
                FROM read_parquet({quoted(str(folder / "items.parquet"))}, file_row_number=true))
            SELECT number_key, 'own' AS role, item, key, row FROM item
            WHERE number_key IS NOT NULL AND number_key <> ''
            UNION ALL
            SELECT mentioned.number_key, 'mentioned', item, key, row
            FROM mentioned JOIN item USING (item)"""  # noqa: S608
    )
    places = "SELECT number_key, role, item, key FROM standing ORDER BY number_key, item"
    _copy(con, places, folder / "numbers.parquet")
    keys = con.execute("SELECT DISTINCT number_key FROM standing ORDER BY 1").fetchnumpy()
    write_number_index(folder / "numbers.index", list(map(str, keys["number_key"])))
