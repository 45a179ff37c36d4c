"""From the rows of a reading to typed items, distinct judgement keys and sorted numbers.

All of it is SQL over an in-memory database, so that a million rows cost seconds. Sizes are kept
in millimetres rounded to the nanometre: the same size written as a fraction, as a decimal inch
or computed in a notebook is then the same number.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from ..errors import Refused
from ..kinds.spec import dimension_names, kinds, spec, trait_names
from .engine import named, quoted
from .number_key import number_key

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

# The columns of a reading and how they are kept; anything else that arrives is kept as text.
ITEM_TYPES = {
    "at": "VARCHAR",
    "number": "VARCHAR",
    "maker": "VARCHAR",
    "kind": "VARCHAR",
    "description": "VARCHAR",
    "quantity": "BIGINT",
    "quantity_words": "VARCHAR",
    "or_more": "BOOLEAN",
    "price": "DECIMAL(18,6)",
    "price_words": "VARCHAR",
    "currency": "VARCHAR",
    "tax": "VARCHAR",
    "condition": "VARCHAR",
    "variant": "VARCHAR",
    "assembly": "VARCHAR",
    "location": "VARCHAR",
    "as_of": "DATE",
    "replacements": "VARCHAR",
    "replacement_maker": "VARCHAR",
    "supersedes": "VARCHAR",
    "relation": "VARCHAR",
    "relation_quantity": "BIGINT",
    "written_unit": "VARCHAR",
    "extra": "VARCHAR",
    "warnings": "VARCHAR",
}
# Lists and dicts, kept as JSON text and given back as what they were.
JSON_COLUMNS = ("at", "replacements", "supersedes", "extra", "warnings")
OWN_COLUMNS = ("item", "key", "number_key")

_ASCII_SEPARATORS = "".join(map(chr, range(1, 33))) + "\x7f-/._"
# `number_key` in SQL for plain ASCII; the others follow one by one in Python.
KEY_OF_ASCII = (
    "CASE WHEN strlen(number) = length(number) "
    f"THEN upper(translate(number, {quoted(_ASCII_SEPARATORS)}, '')) END"
)


def size_columns() -> tuple[str, ...]:
    """Return every column that holds a size in mm, of any kind, in a stable order."""
    return tuple(
        f"{dimension}{end}"
        for dimension in dimension_names()
        for end in ("_mm", "_low_mm", "_high_mm")
    )


def key_columns() -> tuple[str, ...]:
    """Return all that a verdict may depend on: kind, sizes, traits, written unit."""
    return ("kind", *size_columns(), *trait_names(), "written_unit")


def _trait_types() -> dict[str, str]:
    return {
        trait.name: "DOUBLE" if trait.is_number else "VARCHAR"
        for kind in kinds()
        for trait in spec(kind).traits
    }


def _is_missing(value: Any) -> bool:
    return value is None or value != value


_WORTH_CODING = 10_000
"""Rows from which on repeated objects are looked for."""
_encode = json.JSONEncoder(ensure_ascii=False, default=str).encode


def _as_json(values: Iterable[Any]) -> list[str | None]:
    return [
        str(value)
        if type(value) is int
        else _encode(value)
        if isinstance(value, list | dict | tuple) or not _is_missing(value)
        else None
        for value in values
    ]


def _as_text(values: Iterable[Any]) -> list[str | None]:
    return [
        value
        if isinstance(value, str)
        else _encode(value)
        if isinstance(value, list | dict | tuple)
        else None
        if _is_missing(value)
        else f"{value:f}"
        if isinstance(value, Decimal)
        else str(value)
        for value in values
    ]


def _flat(frame: pd.DataFrame) -> pd.DataFrame:
    """Return `frame` with columns the database reads without guessing from a sample."""
    import pandas as pd

    columns: dict[str, Any] = {}
    for column in frame.columns:
        values = frame[column]
        if column in JSON_COLUMNS and not pd.api.types.is_integer_dtype(values.dtype):
            columns[column] = _written(values, _as_json)
        elif values.dtype == object:
            columns[column] = _written(values, _as_text)
        else:
            columns[column] = values.reset_index(drop=True)
    return pd.DataFrame(columns)


def _written(
    values: pd.Series[Any], write: Callable[[Iterable[Any]], list[str | None]]
) -> pd.Series[Any]:
    """Return `values` as text, each object written once however often it stands in the column.

    A big reading repeats few objects, one for each distinct cell; the database takes them coded.
    """
    import numpy as np
    import pandas as pd

    objects = values.tolist()
    ids = np.fromiter(map(id, objects), np.int64, len(objects))
    codes, distinct = pd.factorize(ids)
    if len(objects) < _WORTH_CODING or len(distinct) * 4 > len(objects):
        return pd.Series(write(objects), dtype="str")
    first = np.empty(len(distinct), dtype=np.int64)
    first[codes[::-1]] = np.arange(len(objects) - 1, -1, -1)
    texts = np.array(write(objects[place] for place in first.tolist()), dtype=object)
    again, words = pd.factorize(texts)  # different objects may be written alike; None is -1
    return pd.Series(pd.Categorical.from_codes(again[codes], categories=pd.Index(words)))


def typed(con: duckdb.DuckDBPyConnection, frame: pd.DataFrame) -> list[str]:
    """Make the table `typed` of `frame`, one row each with `item` (0-based); return its columns.

    Columns without any value are left out. Raises Refused when a column that must hold numbers
    or dates holds something else: readings never do, a hand-made DataFrame may.
    """
    lowered = [str(c).lower() for c in frame.columns]  # to SQL, case makes no other name
    twice = [c for c in dict.fromkeys(lowered) if lowered.count(c) > 1]
    if twice:
        raise Refused(f"the rows have two columns called {twice[0]!r}; give each its own name.")
    own = [c for c in lowered if c in OWN_COLUMNS]
    if own:
        raise Refused(f"the rows have a column {own[0]!r}, which the store fills itself; leave it.")
    flat = _flat(frame)
    types = ITEM_TYPES | _trait_types()
    sizes = set(size_columns())
    con.register("reading", flat)
    counted = con.execute(
        "SELECT " + ", ".join(f"count({named(c)})" for c in flat.columns) + " FROM reading"  # noqa: S608
        if len(flat.columns)
        else "SELECT 0"
    ).fetchone() or (0,)
    filled = [c for c, n in zip(flat.columns, counted, strict=False) if n]
    chosen = ["CAST(row_number() OVER () - 1 AS BIGINT) AS item"]
    for column in filled:
        name = named(column)
        if column in sizes:
            chosen.append(f"round(CAST({name} AS DOUBLE), 6) AS {name}")
        else:
            chosen.append(f"CAST({name} AS {types.get(column, 'VARCHAR')}) AS {name}")
    has_number = "number" in filled
    chosen.append(f"{KEY_OF_ASCII if has_number else 'CAST(NULL AS VARCHAR)'} AS number_key")
    try:
        con.execute(f"CREATE TABLE typed AS SELECT {', '.join(chosen)} FROM reading")  # noqa: S608
    except Exception as error:
        import duckdb

        if not isinstance(error, duckdb.ConversionException):
            raise
        raise Refused(f"the rows cannot be kept: {str(error).splitlines()[0]}") from error
    con.unregister("reading")
    if has_number:
        _key_other_numbers(con)
    return filled


def _key_other_numbers(con: duckdb.DuckDBPyConnection) -> None:
    """Fill `number_key` of numbers beyond ASCII (or with NUL in them), each distinct one once."""
    odd = con.execute(
        """SELECT DISTINCT number FROM typed
           WHERE number IS NOT NULL AND (number_key IS NULL OR contains(number, chr(0)))"""
    ).fetchall()
    if not odd:
        return
    import pandas as pd

    keys = pd.DataFrame({"number": [n for (n,) in odd], "k": [number_key(n) for (n,) in odd]})
    con.register("odd", keys)
    con.execute("UPDATE typed SET number_key = odd.k FROM odd WHERE typed.number = odd.number")
    con.unregister("odd")


def keyed(con: duckdb.DuckDBPyConnection, columns: list[str]) -> list[str]:
    """Make the tables `keys` and `items` from `typed`; return the columns that make up a key.

    Keys are numbered in their sort order (kind, sizes, traits), so that files sorted by key are
    sorted by size too.
    """
    parts = [c for c in key_columns() if c in columns]
    listed = ", ".join(map(named, parts))
    if not parts:
        con.execute("CREATE TABLE keys AS SELECT CAST(0 AS BIGINT) AS key FROM typed LIMIT 1")
        con.execute(
            """CREATE VIEW items AS
               SELECT item, CAST(0 AS BIGINT) AS key, * EXCLUDE (item) FROM typed"""
        )
        return parts
    con.execute(
        f"""CREATE TABLE keys AS
            SELECT CAST(row_number() OVER (ORDER BY {listed}) - 1 AS BIGINT) AS key, *
            FROM (SELECT DISTINCT {listed} FROM typed)"""  # noqa: S608
    )
    same = " AND ".join(f"typed.{named(c)} IS NOT DISTINCT FROM keys.{named(c)}" for c in parts)
    con.execute(
        f"""CREATE VIEW items AS
            SELECT item, key, typed.* EXCLUDE (item) FROM typed JOIN keys ON {same}"""  # noqa: S608
    )
    return parts
