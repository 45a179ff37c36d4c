"""What a newer edition of a list changed: new, gone, dearer, cheaper, other quantity or size.

Rows are the same offer when number, maker, kind, condition and variant agree. Of several such rows
the lowest price and the sum of the quantities count.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..kinds.spec import dimension_names
from .edition import Edition
from .engine import memory, named, quoted

if TYPE_CHECKING:
    import pandas as pd

    from .store import Store

EXAMPLES = 20


def compare(store: Store, before: Edition | None, after: Edition) -> dict[str, Any]:
    """Return counts of `new`, `gone`, `changed`, `dearer`, `cheaper`, and up to 20 examples each.

    Against no edition before, every row is new.
    """
    if before is None:
        return {"new": after.items, "gone": 0, "changed": 0, "dearer": 0, "cheaper": 0}
    con = memory()
    try:
        for name, edition in (("old", before), ("fresh", after)):
            con.execute(f"CREATE TABLE {name} AS {_offers(store, edition)}")
        con.execute(
            """CREATE TABLE pairs AS
               SELECT coalesce(f.number, o.number) AS number, coalesce(f.maker, o.maker) AS maker,
                 o.offer IS NULL AS new, f.offer IS NULL AS gone,
                 o.price AS price_before, f.price AS price,
                 o.quantity AS quantity_before, f.quantity AS quantity,
                 coalesce(f.price > o.price, false) AS dearer,
                 coalesce(f.price < o.price, false) AS cheaper,
                 o.offer IS NOT NULL AND f.offer IS NOT NULL AND (
                   f.price IS DISTINCT FROM o.price OR f.quantity IS DISTINCT FROM o.quantity
                   OR f.sizes IS DISTINCT FROM o.sizes) AS changed
               FROM old o FULL JOIN fresh f USING (offer)"""
        )
        words = ("new", "gone", "changed", "dearer", "cheaper")
        counts = con.execute(
            "SELECT " + ", ".join(f"count(*) FILTER ({w})" for w in words) + " FROM pairs"  # noqa: S608 - own words
        ).fetchone()
        assert counts is not None  # noqa: S101 - an aggregate always gives a row
        examples = {
            word: _dicts(
                con.execute(
                    "SELECT number, maker, price_before, price, quantity_before, quantity "  # noqa: S608
                    f"FROM pairs WHERE {word} ORDER BY number, maker LIMIT {EXAMPLES}"
                )
            )
            for word in words
        }
    finally:
        con.close()
    return {**dict(zip(words, counts, strict=True)), "examples": examples}


def frame(store: Store, edition: Edition) -> pd.DataFrame:
    """Return the rows of an edition as they were read, ready to be added to and loaded again."""
    con = memory()
    try:
        rows = con.execute(
            "SELECT * EXCLUDE (item, key, number_key) "  # noqa: S608
            f"FROM {_items(store, edition)} ORDER BY item"
        ).df()
    finally:
        con.close()
    return rows


def _items(store: Store, edition: Edition) -> str:
    path = store.folder / "lists" / edition.folder / "items.parquet"
    return f"read_parquet({quoted(str(path))})"


def _offers(store: Store, edition: Edition) -> str:
    """Return the query of an edition's offers, the columns it lacks unknown."""
    there = set(edition.item_columns)

    def column(name: str) -> str:
        return named(name) if name in there else "NULL"

    sizes = [f"{name}_mm" for name in dimension_names() if f"{name}_mm" in there]
    listed = ", ".join(f"{column(name)}" for name in sizes) or "NULL"
    words = ["number_key", "maker", "kind", "condition", "variant"]
    parts = [
        f"coalesce(number_key, CAST({column('description')} AS VARCHAR), '')"
        if word == "number_key"
        else f"coalesce(lower(CAST({column(word)} AS VARCHAR)), '')"
        for word in words
    ]
    return (
        f"SELECT [{', '.join(parts)}] AS offer, any_value({column('number')}) AS number, "  # noqa: S608
        f"any_value({column('maker')}) AS maker, min({column('price')}) AS price, "
        f"sum({column('quantity')}) AS quantity, "
        f"list(DISTINCT [{listed}]::VARCHAR ORDER BY [{listed}]::VARCHAR) AS sizes "
        f"FROM {_items(store, edition)} GROUP BY 1"
    )


def _dicts(result: Any) -> list[dict[str, Any]]:
    names = [column[0] for column in result.description]
    return [dict(zip(names, row, strict=True)) for row in result.fetchall()]
