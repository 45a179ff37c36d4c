"""The rows among which contradictions can be: found by the engine, not by reading every row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from .engine import named, quoted
from .rows import key_columns

if TYPE_CHECKING:
    from .edition import Edition
    from .lists import Lists

MOST_OF_ONE_NUMBER = 40
"""Rows shown of one number: what thousands of rows repeat, a few of them say."""


def disputable(
    lists: Lists, editions: Sequence[Edition], numbers: Iterable[str], kinds: Sequence[str]
) -> list[dict[str, Any]]:
    """Return rows that may contradict something, those that say the same once.

    They are the rows of the number keys in `numbers` (named in statements), of numbers that stand
    in rows of different sizes or prices, and of `kinds` (whose numbers may be designations).
    """
    numbered = [e for e in editions if "number" in e.item_columns]
    if not numbered:
        return []
    there = {c for e in numbered for c in e.item_columns}
    judged = [c for c in key_columns() if c in there and c != "written_unit"]
    same = [c for c in ("maker", "variant", *judged) if c in there]
    offer = [c for c in ("price", "currency", "condition") if c in there]
    differ = " OR ".join(
        f"min({named(c)}) <> max({named(c)})" for c in judged if c == "kind" or c.endswith("_mm")
    )
    of_kind = f"OR kind IN ({', '.join(map(quoted, kinds))})" if kinds and "kind" in there else ""
    return lists._rows(
        numbered,
        f"""WITH item AS (SELECT file_index, * FROM {lists.source(numbered, "items.parquet")}
                          WHERE number_key <> ''),
        wanted AS (
            SELECT unnest(?) AS number_key
            UNION SELECT number_key FROM item GROUP BY number_key HAVING {differ or "false"}
            UNION SELECT number_key FROM item GROUP BY file_index, number_key
                  HAVING {"min(price) <> max(price)" if "price" in there else "false"}),
        told AS (SELECT file_index, number_key, min(item) AS item FROM item
                 WHERE number_key IN (FROM wanted) {of_kind}
                 GROUP BY {", ".join(["file_index", "number_key", *map(named, [*same, *offer])])}),
        few AS (SELECT file_index, item FROM told
                QUALIFY row_number() OVER (PARTITION BY number_key ORDER BY file_index, item)
                    <= {MOST_OF_ONE_NUMBER})
        SELECT * FROM item SEMI JOIN few USING (file_index, item)
        ORDER BY file_index, item""",  # noqa: S608 - our own names, the rest quoted
        [sorted(set(numbers))],
    )
