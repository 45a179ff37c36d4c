"""Rows of lists by the words of their description."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from .engine import quoted

if TYPE_CHECKING:
    from .edition import Edition
    from .lists import Lists


def items_by_words(
    lists: Lists,
    editions: Sequence[Edition],
    words: Sequence[str],
    kinds: Sequence[str],
    limit: int,
) -> list[dict[str, Any]]:
    """Return up to `limit` rows whose description holds some of `words`, most of them first.

    Words are looked for as parts of words, whatever their case. With `kinds` only rows of these
    kinds count, and rows of them without any of the words come last.
    """
    described = [e for e in editions if "description" in e.item_columns]
    if not described or not (words or kinds):
        return []
    hits = " + ".join(
        f"CAST(contains(lower(description), {quoted(word.lower())}) AS INTEGER)" for word in words
    )
    kind = ""
    if kinds:
        described = [e for e in described if "kind" in e.item_columns]
        if not described:
            return []
        kind = f"kind IN ({', '.join(map(quoted, kinds))}) AND "
    return lists._rows(
        described,
        f"""SELECT file_index, *, {hits or "0"} AS hits
            FROM {lists.source(described, "items.parquet")}
            WHERE {kind}description IS NOT NULL AND hits >= {0 if kinds else 1}
            ORDER BY hits DESC, file_index, item LIMIT {int(limit)}""",  # noqa: S608 - quoted
    )
