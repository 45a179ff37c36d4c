"""The long view of a list: what it said of a number over its editions, and what it dropped."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from .edition import Edition
from .engine import quoted

if TYPE_CHECKING:
    from .lists import Lists


def history(lists: Lists, keys: Sequence[str], editions: Sequence[Edition]) -> list[dict[str, Any]]:
    """Return, edition by edition, what each list said of some numbers."""
    by_number = {e.edition: e for e in editions}
    rows = lists.by_number(keys, editions, "own")
    rows.sort(key=lambda row: (row["list"], by_number[row["edition"]].number, row["item"]))
    wanted = (
        *("number", "maker", "supplier", "list", "table", "edition", "condition", "variant"),
        *("quantity", "quantity_words", "or_more", "price", "price_words", "currency"),
    )
    return [{"as_of": by_number[row["edition"]].day, **{c: row[c] for c in wanted}} for row in rows]


def not_listed(
    lists: Lists, keys: Sequence[str] | None, editions: Sequence[Edition]
) -> list[dict[str, Any]]:
    """Return the numbers that earlier editions of a list held and its current one does not.

    `editions` are all editions of the lists in question, history included.
    """
    result: list[dict[str, Any]] = []
    for list_id in dict.fromkeys(e.list for e in editions):
        line = sorted((e for e in editions if e.list == list_id), key=lambda e: e.number)
        if len(line) < 2:
            continue
        only = "" if keys is None else f"AND number_key IN ({', '.join(map(quoted, keys))})"
        gone = lists.query(
            f"""SELECT number_key, max(file_index) AS last
                FROM {lists.source(line, "numbers.parquet")} WHERE role = 'own' {only}
                GROUP BY ALL HAVING last < {len(line) - 1} ORDER BY ALL"""  # noqa: S608
        ).fetchall()
        for last in dict.fromkeys(i for _, i in gone):
            here = [k for k, i in gone if i == last]
            result += _last_seen(lists, here, line[last], line[last + 1])
    return result


def _last_seen(
    lists: Lists, keys: Iterable[str], last: Edition, after: Edition
) -> list[dict[str, Any]]:
    wanted = ("number", "maker", "supplier", "list", "table", "quantity", "price", "currency")
    return [
        {**{c: row[c] for c in wanted}, "last_listed": last.day, "not_listed_since": after.day}
        for row in lists.by_number(list(keys), [last], "own")
    ]
