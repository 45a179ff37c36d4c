"""Rows of lists by the words of their description."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from .engine import quoted

if TYPE_CHECKING:
    from .edition import Edition
    from .lists import Lists

Place = tuple[int, int]
"""Where a row stands: the number of its edition and of its item."""


def descriptions_with(
    lists: Lists,
    editions: Sequence[Edition],
    words: Sequence[str],
    kinds: Sequence[str],
    *,
    limit: int,
    places: int,
) -> list[tuple[str, str | None, list[Place]]]:
    """Return up to `limit` distinct descriptions that hold some of `words`, most of them first.

    Each with its kind and up to `places` rows that bear it. Words are looked for as parts of
    words, whatever their case. With `kinds` only rows of these kinds count, and those without any
    of the words come last.
    """
    described = [e for e in editions if "description" in e.item_columns]
    if kinds:
        described = [e for e in described if "kind" in e.item_columns]
    if not described or not (words or kinds):
        return []
    found: list[tuple[int, int, list[int], str, str | None]] = []
    older: list[int] = []
    for at, edition in enumerate(described):
        index = lists.description_index(edition)
        if index is None or not index.is_whole:
            older.append(at)
            continue
        found += [
            (-one.hits, at, one.items[:places], one.description, one.kind)
            for one in index.search(words, kinds, limit)
        ]
    if older:
        scanned = _scanned(lists, [described[at] for at in older], words, kinds, limit, places)
        found += [(-hits, older[at], items, text, kind) for text, kind, at, items, hits in scanned]
    found.sort(key=lambda one: one[:3])
    return [
        (text, kind, [(described[at].edition, item) for item in items])
        for _, at, items, text, kind in found[:limit]
    ]


def _scanned(
    lists: Lists,
    described: Sequence[Edition],
    words: Sequence[str],
    kinds: Sequence[str],
    limit: int,
    places: int,
) -> list[tuple[str, str | None, int, list[int], int]]:
    """Look through every description, of editions that no index tells of."""
    hits = " + ".join(
        f"CAST(contains(lower(description), {quoted(word.lower())}) AS INTEGER)" for word in words
    )
    kind = "kind" if any("kind" in e.item_columns for e in described) else "CAST(NULL AS VARCHAR)"
    of_kind = f"kind IN ({', '.join(map(quoted, kinds))}) AND" if kinds else ""
    return lists.query(
        f"""SELECT description, {kind} AS kind, file_index, min(item, {int(places)}) AS items,
                   {hits or "0"} AS hits
            FROM {lists.source(described, "items.parquet")}
            WHERE {of_kind} description IS NOT NULL AND hits >= {0 if kinds else 1}
            GROUP BY ALL ORDER BY hits DESC, file_index, items LIMIT {int(limit)}"""  # noqa: S608
    ).fetchall()
