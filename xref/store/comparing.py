"""What a newer edition of a list changed: new, gone, dearer, cheaper, other quantity or content."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .edition import Edition
from .engine import named, quoted
from .rows import key_columns

if TYPE_CHECKING:
    from .lists import Lists
    from .store import Store

# Rows of two editions are the same offer when these agree (number by its searching form).
_SAME = ("maker", "kind", "condition", "variant")
_CONTENT = (
    *("description", "quantity_words", "or_more", "price_words", "currency", "tax"),
    *("assembly", "location", "replacements", "relation", "relation_quantity"),
    "relation_quantities",
)
_SHOWN = (
    "number, maker, condition, variant, price_before, price, quantity_before, quantity, currency"
)
WORDS = ("new", "gone", "changed", "dearer", "cheaper", "quantity")


def _offers(lists: Lists, edition: Edition) -> str:
    """Return SQL of one edition's offers: identity, quantity, cheapest price, all other content."""
    there = set(edition.item_columns)

    def cell(column: str, otherwise: str = "NULL") -> str:
        return named(column) if column in there else otherwise

    same = ", ".join(
        f"coalesce(lower(CAST({cell(c)} AS VARCHAR)), '') AS {named('same_' + c)}" for c in _SAME
    )
    currency = quoted(edition.currency) if edition.currency else "NULL"
    # Nothing for a column that says nothing, so that a list which gains an empty column, or
    # loses one, has not changed.
    content = ", ".join(
        f"'{c}=' || CAST({named(c)} AS VARCHAR)"
        for c in dict.fromkeys((*_CONTENT, *key_columns()))
        if c in there
    )
    return f"""
        SELECT coalesce(nullif(number_key, ''), {cell("description", "''")}, '') AS same_number,
               {same}, any_value({cell("number")}) AS number, any_value({cell("maker")}) AS maker,
               any_value({cell("condition")}) AS condition, any_value({cell("variant")}) AS variant,
               CAST(sum({cell("quantity")}) AS BIGINT) AS quantity, min({cell("price")}) AS price,
               any_value(coalesce({cell("currency")}, {currency})) AS currency,
               list_sort(list(concat_ws(chr(31), {content or "''"}))) AS content
        FROM read_parquet({quoted(str(lists.file(edition, "items.parquet")))})
        GROUP BY ALL"""  # noqa: S608 - declared names and our own paths


def compare(
    store: Store, before: Edition | None, after: Edition, limit: int | None = 20
) -> dict[str, Any]:
    """Return counts of the changes and, in `examples`, up to `limit` rows of each.

    `changed` counts what is in both and differs in anything; `dearer`, `cheaper` and `quantity`
    are part of it. Against no edition before, every row is new.
    """
    if before is None:
        return {"new": after.items} | dict.fromkeys(WORDS[1:], 0)
    lists = store.lists
    same = ", ".join(["same_number", *(named("same_" + c) for c in _SAME)])
    con = lists.connection()
    con.execute(
        f"""CREATE OR REPLACE TEMP TABLE pair AS
            WITH n AS ({_offers(lists, after)}), o AS ({_offers(lists, before)})
            SELECT coalesce(n.number, o.number) AS number, coalesce(n.maker, o.maker) AS maker,
                   coalesce(n.condition, o.condition) AS condition,
                   coalesce(n.variant, o.variant) AS variant,
                   o.quantity AS quantity_before, n.quantity AS quantity,
                   o.price AS price_before, n.price AS price,
                   coalesce(n.currency, o.currency) AS currency,
                   o.content IS NULL AS "new", n.content IS NULL AS gone,
                   n.content IS NOT NULL AND o.content IS NOT NULL AS kept,
                   kept AND n.quantity IS DISTINCT FROM o.quantity AS quantity_differs,
                   kept AND (n.content <> o.content OR quantity_differs
                             OR n.price IS DISTINCT FROM o.price) AS changed,
                   n.currency IS NOT DISTINCT FROM o.currency AS comparable,
                   coalesce(comparable AND n.price > o.price, false) AS dearer,
                   coalesce(comparable AND n.price < o.price, false) AS cheaper
            FROM n FULL JOIN o USING ({same})"""  # noqa: S608 - declared names and our own paths
    )
    result: dict[str, Any] = {"examples": {}}
    top = "" if limit is None else f"LIMIT {int(limit)}"
    for word in WORDS:
        where = "quantity_differs" if word == "quantity" else named(word)
        counted = con.execute(f"SELECT count(*) FROM pair WHERE {where}").fetchone() or (0,)  # noqa: S608
        result[word] = counted[0]
        rows = con.execute(
            f"SELECT {_SHOWN} FROM pair WHERE {where} ORDER BY ALL {top}"  # noqa: S608 - as above
        )
        names = [column[0] for column in rows.description or ()]
        result["examples"][word] = [dict(zip(names, r, strict=True)) for r in rows.fetchall()]
    con.execute("DROP TABLE pair")
    return result
