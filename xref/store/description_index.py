"""The descriptions of one edition by their words, so that none has to be read to be passed over.

A list repeats its descriptions; what is indexed is therefore each distinct one with the kind
stated beside it, in the order in which they first stand in the list, with the first rows that
bear it. Words are what lies between white space, in lower case. As a description holds a text
without white space only if one of its words does, looking through the distinct words finds what
looking through every description would.

`descriptions.index`, in the layout of `array_file`, holds the words and for each the descriptions
it stands in, the descriptions, their kinds, and the places of their rows.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .array_file import open_arrays, write_arrays

if TYPE_CHECKING:
    from .columns import Column

FILE = "descriptions.index"
MOST_PLACES = 20
"""Rows that are kept of each description."""
ALWAYS_INDEXED, MOST_SHARE = 250_000, 0.25
"""Distinct descriptions, and their share of the rows, above which a list is not indexed.

Descriptions that hardly repeat are no help to a search by words and would take as long to index
as all the rest; such a list is looked through row by row.
"""

_ABOUT = "descriptions of a list, version 1"
_STEP = 1 << 20  # rows looked through at a time for those that bear a description
_BLOCK = 1 << 21  # bytes of text taken apart at a time: bounds the memory of a build
_FACTOR = 0x9E3779B97F4A7C15  # odd, so that it has an inverse among 64-bit numbers
_INVERSE = pow(_FACTOR, -1, 1 << 64)
_LINE = 10
_GAPS = {code: " " for code in range(32) if chr(code).isspace() and code != _LINE}

Array = NDArray[Any]
_NOTHING: dict[str, Array] = {
    **dict.fromkeys(("words", "texts", "kind_names"), np.zeros(0, np.uint8)),
    **dict.fromkeys(("postings", "kinds", "places"), np.zeros(0, np.uint32)),
    **dict.fromkeys(
        ("word_starts", "posting_starts", "text_starts", "place_starts"), np.zeros(1, np.int64)
    ),
}


class Found(NamedTuple):
    """A description that holds some of the words: how many, its kind and the rows that bear it."""

    hits: int
    description: str
    kind: str | None
    items: list[int]


class DescriptionIndex:
    """The distinct descriptions of one list."""

    def __init__(self, arrays: dict[str, Array]) -> None:
        self._words = arrays["words"]
        self._word_starts = arrays["word_starts"]
        self._postings = arrays["postings"]
        self._posting_starts = arrays["posting_starts"]
        self._texts = arrays["texts"]
        self._text_starts = arrays["text_starts"]
        self._kinds = arrays["kinds"]
        self._places = arrays["places"]
        self._place_starts = arrays["place_starts"]
        names = arrays["kind_names"].tobytes()
        self._kind_names: list[str | None] = json.loads(names) if names else []
        self.is_whole = bool(arrays["whole"][0])
        """Whether every description is here; else none is (see `MOST_SHARE`)."""

    @classmethod
    def open(cls, path: Path) -> DescriptionIndex:
        """Return the index written to `path`, mapped."""
        return cls(open_arrays(path, _ABOUT))

    def __len__(self) -> int:
        return len(self._text_starts) - 1

    def search(self, words: Sequence[str], kinds: Sequence[str], limit: int) -> list[Found]:
        """Return up to `limit` descriptions that hold some of `words`, most of them first.

        Words are looked for as parts of words, whatever their case. With `kinds` only rows of
        these kinds count, and those without any of the words come last. Of equally many the one
        that stands first in the list comes first.
        """
        hits = np.zeros(len(self), np.int16)
        for word in words:
            hits[self._holding(word.lower())] += 1
        if kinds:
            wanted = [code for code, name in enumerate(self._kind_names) if name in kinds]
            hits[~np.isin(self._kinds, wanted)] = -1
        chosen: list[tuple[int, int]] = []
        for count in range(len(words), -1 if kinds else 0, -1):
            at = np.flatnonzero(hits == count)[: limit - len(chosen)]
            chosen += [(count, place) for place in at.tolist()]
        return [self._found(place, count) for count, place in chosen]

    def _holding(self, word: str) -> Array:
        """Return the descriptions that hold a text without white space, each at least once."""
        if not word or word.split() != [word]:
            return np.flatnonzero([word in self._text(at).lower() for at in range(len(self))])
        wanted = re.escape(word.encode("utf-8", "surrogatepass"))
        matches = re.finditer(wanted, self._words.data)
        at = np.fromiter((match.start() for match in matches), np.int64)
        found = np.unique(np.searchsorted(self._word_starts, at, "right") - 1)
        if not found.size:
            return found
        pieces = zip(
            self._posting_starts[found].tolist(),
            self._posting_starts[found + 1].tolist(),
            strict=True,
        )
        held = np.zeros(len(self), np.bool_)
        for first, last in pieces:
            held[self._postings[first:last]] = True
        return np.flatnonzero(held)

    def _text(self, place: int) -> str:
        written = self._texts[self._text_starts[place] : self._text_starts[place + 1]].tobytes()
        return written.decode("utf-8", "surrogatepass")

    def _found(self, place: int, hits: int) -> Found:
        items = self._places[self._place_starts[place] : self._place_starts[place + 1]]
        return Found(hits, self._text(place), self._kind_names[self._kinds[place]], items.tolist())


def write_description_index(
    path: Path, descriptions: Column | None, kinds: Column | None, count: int
) -> None:
    """Write the index of the descriptions of `count` rows, and of the kinds beside them."""
    write_arrays(path, _built(descriptions, kinds, count), _ABOUT)


def _built(descriptions: Column | None, kinds: Column | None, count: int) -> dict[str, Array]:
    texts, text_codes = _coded(descriptions, count)
    names, kind_codes = _coded(kinds, count)
    rows = np.flatnonzero(text_codes >= 0)
    width = len(names) + 1  # one more for rows that state no kind: the code -1
    narrow = np.min_scalar_type(-len(texts) * width - 1)
    pairs = text_codes[rows].astype(narrow) * narrow.type(width)
    pairs += (kind_codes[rows] % width).astype(narrow)
    groups, distinct = _numbered(pairs)
    if len(distinct) > max(ALWAYS_INDEXED, MOST_SHARE * count):
        return {**_NOTHING, "whole": np.zeros(1, np.uint8)}
    places, place_starts = _first_rows(groups, rows, len(distinct))
    own_texts = [texts[code] for code in (distinct // width).tolist()]
    encoded = [text.encode("utf-8", "surrogatepass") for text in own_texts]
    return {
        "whole": np.ones(1, np.uint8),
        **_words(own_texts),
        "texts": np.frombuffer(b"".join(encoded), np.uint8),
        "text_starts": _starts(np.array([len(text) for text in encoded], np.int64)),
        "kinds": (distinct % width).astype(np.uint16),
        "kind_names": np.frombuffer(json.dumps([*names, None]).encode(), np.uint8),
        "places": places,
        "place_starts": place_starts,
    }


def _coded(column: Column | None, count: int) -> tuple[list[str], Array]:
    """Return the distinct texts of a column and each row's place among them, -1 for none."""
    if column is None:
        return [], np.full(count, -1, np.int64)
    if column.codes is not None:
        return [str(cell) for cell in column.cells.tolist()], column.codes
    import pandas as pd

    assert column.texts is not None  # noqa: S101 - descriptions are texts
    codes, cells = pd.factorize(np.array(column.texts.listed(), object))
    return [str(cell) for cell in cells.tolist()], codes


def _numbered(pairs: Array) -> tuple[Array, Array]:
    """Return each row's number, in the order of first appearance, and what the numbers mean."""
    import pandas as pd

    groups, distinct = pd.factorize(pairs)
    return groups, np.asarray(distinct)


def _first_rows(groups: Array, rows: Array, count: int) -> tuple[Array, Array]:
    """Return the first `MOST_PLACES` rows of each group, group by group, and where each begins.

    Step by step, because after some steps most groups have theirs.
    """
    have = np.zeros(count, np.int64)
    kept_groups, kept_rows = [], []
    for start in range(0, len(groups), _STEP):
        here = groups[start : start + _STEP]
        few = np.flatnonzero(have[here] < MOST_PLACES)
        order = few[np.argsort(here[few], kind="stable")]
        own = here[order]
        begins = np.flatnonzero(np.diff(own, prepend=-1))
        sizes = np.diff(begins, append=len(own))
        rank = np.arange(len(own)) - np.repeat(begins, sizes) + have[own]
        keep = rank < MOST_PLACES
        kept_groups.append(own[keep])
        kept_rows.append(rows[start : start + _STEP][order[keep]])
        have += np.bincount(own[keep], minlength=count)
    if not kept_groups:
        return np.zeros(0, np.int64), np.zeros(1, np.int64)
    group, row = np.concatenate(kept_groups), np.concatenate(kept_rows)
    return row[np.argsort(group, kind="stable")], _starts(have)


def _words(texts: list[str]) -> dict[str, Array]:
    """Return the distinct words of the texts, and for each the texts it stands in.

    Words are told apart by a 64-bit hash, found for all of a block at once: with H(i) the sum of
    byte times factor^place up to i, a word's is (H(end) - H(start)) / factor^start, modulo 2^64.
    Two words with one hash would count as one; what is found is compared in full later anyway.
    """
    import pandas as pd

    hashes, owners, written = [], [], []
    at = 0
    while at < len(texts):
        size, last = 0, at
        while last < len(texts) and (size < _BLOCK or last == at):
            size += len(texts[last]) + 1
            last += 1
        data = _lines(texts[at:last])
        starts, ends, lines = _bounds(data)
        hashes.append(_hashed(data, starts, ends))
        owners.append(lines + at)
        written.append((data, starts, ends))
        at = last
    if not hashes:
        names = ("words", "word_starts", "postings", "posting_starts")
        return {name: _NOTHING[name] for name in names}
    word, distinct = pd.factorize(np.concatenate(hashes))
    # Numbers in the order of first appearance; sorting them with their places behind them is
    # several times quicker than sorting their places by them.
    packed = np.sort(
        word.astype(np.uint64) << np.uint64(32) | np.arange(len(word), dtype=np.uint64)
    )
    order = (packed & np.uint64(0xFFFFFFFF)).astype(np.int64)
    starts = _starts(np.bincount(word, minlength=len(distinct)))
    return {
        **_texts_of(order[starts[:-1]], written),
        "postings": np.concatenate(owners)[order].astype(np.uint32),
        "posting_starts": starts,
    }


def _lines(texts: list[str]) -> Array:
    """Return texts in lower case, line by line, with nothing but single gaps between words."""
    joined = "\n".join(texts)
    if joined.isascii() and joined.count("\n") == len(texts) - 1:
        return np.frombuffer(f"{joined}\n".lower().translate(_GAPS).encode(), np.uint8)
    lines = [" ".join(text.lower().split()) for text in texts]
    return np.frombuffer(("\n".join(lines) + "\n").encode("utf-8", "surrogatepass"), np.uint8)


def _bounds(data: Array) -> tuple[Array, Array, Array]:
    """Return where each word starts and ends, and the line it stands in."""
    gap = (data == 32) | (data == _LINE)
    ends = np.flatnonzero(gap)
    starts = np.concatenate([[0], ends[:-1] + 1])
    lines = np.cumsum(data[ends] == _LINE) - (data[ends] == _LINE)
    some = ends > starts
    return starts[some], ends[some], lines[some]


def _hashed(data: Array, starts: Array, ends: Array) -> Array:
    """Return the hash of each word of a block."""
    powers = np.cumprod(np.full(len(data), _FACTOR, np.uint64))
    inverses = np.cumprod(np.full(len(data), _INVERSE, np.uint64))
    sums = np.zeros(len(data) + 1, np.uint64)
    np.cumsum((data.astype(np.uint64) + np.uint64(1)) * powers, out=sums[1:])
    found: Array = (sums[ends] - sums[starts]) * inverses[starts]
    return found


def _texts_of(first: Array, written: list[tuple[Array, Array, Array]]) -> dict[str, Array]:
    """Return the distinct words, each from where it stands first, with a line feed behind it."""
    pieces, lengths = [], []
    done = 0
    for data, starts, ends in written:
        here = first[(first >= done) & (first < done + len(starts))] - done
        done += len(starts)
        length = ends[here] + 1 - starts[here]
        within = np.arange(length.sum()) - np.repeat(np.cumsum(length) - length, length)
        piece = data[np.repeat(starts[here], length) + within].copy()
        piece[np.cumsum(length) - 1] = _LINE
        pieces.append(piece)
        lengths.append(length)
    return {
        "words": np.concatenate(pieces),
        "word_starts": _starts(np.concatenate(lengths)),
    }


def _starts(lengths: Array) -> Array:
    starts = np.zeros(len(lengths) + 1, np.int64)
    np.cumsum(lengths, out=starts[1:])
    return starts
