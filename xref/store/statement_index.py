"""The statements of one list, findable from either number without reading the rest.

Built when the list is loaded and mapped from then on. A number is known by 64 bits of a hash of
its key, so that the numbers of several lists can be joined by sorted look-up alone; whoever gets
a statement compares the keys themselves.
"""

from __future__ import annotations

import hashlib
import json
from array import array
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.store.array_file import open_arrays, write_arrays
from xref.store.statements import EQUAL_TO, Statement

Names = NDArray[np.uint64]

_ABOUT = "statements, version 1"
_encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def name_of(key: str) -> int:
    """Return the 64 bits a number key is known by."""
    return int.from_bytes(hashlib.blake2b(key.encode(), digest_size=8).digest(), "little")


def holds_both_ways(statement: Statement) -> bool:
    """Whether the statement may be read from right to left as well."""
    return statement.relation == EQUAL_TO and len(statement.to) == 1 and statement.quantity == 1


class StatementIndex:
    """Statements by number; made by `from_statements` or `open`."""

    def __init__(self, arrays: dict[str, NDArray[Any]]) -> None:
        self.names: Names = arrays["names"]
        self._text: NDArray[np.uint8] = arrays["text"]
        self._text_starts: NDArray[np.int64] = arrays["text_starts"]
        self._mention_starts: NDArray[np.int64] = arrays["mention_starts"]
        self._mentions: NDArray[np.uint32] = arrays["mentions"]
        self._next = arrays["next_starts"], arrays["next"]
        self._previous = arrays["previous_starts"], arrays["previous"]
        lists = arrays["lists"].tobytes().decode()
        self._lists: list[list[str]] = json.loads(lists) if lists else []

    @classmethod
    def from_statements(cls, statements: Iterable[Statement]) -> StatementIndex:
        """Return an index in memory."""
        return cls(_built(statements))

    @classmethod
    def open(cls, path: Path) -> StatementIndex:
        """Return the index written to `path`, mapped."""
        return cls(open_arrays(path, _ABOUT))

    def __len__(self) -> int:
        return len(self._text_starts) - 1

    def statement(self, number: int) -> Statement:
        """Return a statement by its place in the index (0-based)."""
        written = self._text[self._text_starts[number] : self._text_starts[number + 1]].tobytes()
        (
            of, to, relation, quantity, variant, maker, to_maker, where, row, note, holds, *counts
        ) = json.loads(written)  # fmt: skip
        list_name, table = self._lists[where]
        return Statement(
            of, tuple(to), relation, quantity, variant, maker, to_maker, list_name, table, row,
            note, holds, tuple(counts),
        )  # fmt: skip

    def about(self, key: str, most: int = 5000) -> list[Statement]:
        """Return the statements that name `key`, on either side, in the list's order.

        At most `most`: a number that thousands of lines lead to stands for no choice.
        """
        wanted = np.uint64(name_of(key))
        at = int(np.searchsorted(self.names, wanted))
        if at == len(self.names) or self.names[at] != wanted:
            return []
        mentions = self._mentions[self._mention_starts[at] : self._mention_starts[at + 1]]
        found = map(self.statement, mentions[:most].tolist())
        return [s for s in found if s.key == key or key in s.to_keys]

    def next(self, names: Names, *, backwards: bool = False) -> Names:
        """Return the names one statement away from `names`: what may stand in for them.

        `backwards`: what they may stand in for.
        """
        starts, targets = self._previous if backwards else self._next
        at = np.searchsorted(self.names, names)
        inside = at < len(self.names)
        at = at[inside]
        at = at[self.names[at] == names[inside]]
        first, last = starts[at], starts[at + 1]
        counts = last - first
        if not counts.sum():
            return np.zeros(0, np.uint64)
        within = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
        reached: Names = self.names[targets[np.repeat(first, counts) + within]]
        return reached


def write_statement_index(path: Path, statements: Iterable[Statement]) -> None:
    """Write the index of `statements` to `path`."""
    write_arrays(path, _built(statements), _ABOUT)


def _built(statements: Iterable[Statement]) -> dict[str, NDArray[Any]]:
    lists: dict[tuple[str, str], int] = {}
    known: dict[str, int] = {}
    text = bytearray()
    text_starts = array("q", [0])
    mention_of, mentioned = array("q"), array("q")
    left, right = array("q"), array("q")
    for place, s in enumerate(statements):
        where = lists.setdefault((s.list, s.table), len(lists))
        row = [s.number, s.to, s.relation, s.quantity, s.variant, s.maker, s.to_maker, where,
               s.row, s.note, s.holds, *s.quantities]  # fmt: skip
        text += _encode(row).encode()
        text_starts.append(len(text))
        of = known.setdefault(s.key, len(known))
        to = [known.setdefault(key, len(known)) for key in s.to_keys]
        for node in {of, *to}:
            mention_of.append(node)
            mentioned.append(place)
        if s.holds:
            left.extend([of] * len(to))
            right.extend(to)
            if holds_both_ways(s):
                left.append(to[0])
                right.append(of)
    names = np.array([name_of(key) for key in known], np.uint64)
    order = np.argsort(names)
    sorted_place = np.empty(len(names), np.int64)
    sorted_place[order] = np.arange(len(names))
    source, target = (sorted_place[np.array(side, np.int64)] for side in (left, right))
    mention_starts, mentions = _grouped(
        sorted_place[np.array(mention_of, np.int64)], np.array(mentioned, np.int64), len(names)
    )
    next_starts, following = _grouped(source, target, len(names))
    previous_starts, previous = _grouped(target, source, len(names))
    return {
        "names": names[order],
        "text": np.frombuffer(text, np.uint8),
        "text_starts": np.array(text_starts, np.int64),
        "mention_starts": mention_starts,
        "mentions": mentions,
        "next_starts": next_starts,
        "next": following,
        "previous_starts": previous_starts,
        "previous": previous,
        "lists": np.frombuffer(json.dumps(list(lists)).encode(), np.uint8),
    }


def _grouped(
    by: NDArray[np.int64], values: NDArray[np.int64], groups: int
) -> tuple[NDArray[np.int64], NDArray[np.uint32]]:
    """Return where each group starts, and the values group by group in their order."""
    order = np.argsort(by, kind="stable")
    starts = np.zeros(groups + 1, np.int64)
    np.cumsum(np.bincount(by, minlength=groups), out=starts[1:])
    return starts, values[order].astype(np.uint32)
