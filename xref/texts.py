"""Many texts as one array of bytes, so that a question about each is asked of all at once.

The numbers of a long list hardly repeat. As a million objects they cost more to make, to compare
and to hand to the database than all that is done with them; as one piece of UTF-8 they are
folded, hashed, ordered and written a block at a time.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, overload

import numpy as np
from numpy.typing import NDArray

_LINE_FEED = 10
_WORD = 8
_SLACK = bytes(_WORD)
BLOCK = 1 << 15
"""Texts looked at together: what is made of them stays in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class Texts(Sequence[str]):
    """Texts in UTF-8: from each of `begins` to each of `ends` in `data`.

    They follow each other with a line feed between two; eight bytes stand behind the last.
    """

    data: bytes
    begins: NDArray[np.int64]
    ends: NDArray[np.int64]

    @classmethod
    def of(cls, texts: Sequence[str]) -> Texts:
        """Return these texts as one array."""
        if isinstance(texts, Texts):
            return texts
        joined = "\n".join(texts)
        data = joined.encode(errors="surrogatepass")
        if joined.count("\n") == len(texts) - 1:
            return cls.lines(data)
        lengths = [len(text.encode(errors="surrogatepass")) for text in texts]
        return cls.spaced(data, np.array(lengths, np.int64))

    @classmethod
    def lines(cls, data: bytes) -> Texts:
        """Return the lines of `data`, whose last one ends without a line feed."""
        marks = np.flatnonzero(np.frombuffer(data, np.uint8) == _LINE_FEED)
        ends = np.append(marks, len(data))
        return cls(data + _SLACK, np.append(0, marks + 1), ends)

    @classmethod
    def spaced(cls, data: bytes, lengths: NDArray[np.int64]) -> Texts:
        """Return texts of these lengths, which stand in `data` with one byte between two."""
        ends = np.cumsum(lengths + 1) - 1
        return cls(data + _SLACK, ends - lengths, ends)

    @classmethod
    def joined(cls, parts: Sequence[Texts]) -> Texts:
        """Return the texts of all parts."""
        if len(parts) == 1:
            return parts[0]
        lengths = np.concatenate([np.zeros(0, np.int64), *(part.lengths for part in parts)])
        return cls.spaced(b"\n".join(part.written for part in parts if len(part)), lengths)

    def __len__(self) -> int:
        return len(self.ends)

    @overload
    def __getitem__(self, which: int) -> str: ...
    @overload
    def __getitem__(self, which: slice) -> Texts: ...
    def __getitem__(self, which: int | slice) -> str | Texts:
        if isinstance(which, slice):
            return Texts(self.data, self.begins[which], self.ends[which])
        return self.data[self.begins[which] : self.ends[which]].decode(errors="surrogatepass")

    def replaced(self, changed: Mapping[int, str]) -> Texts:
        """Return the texts with some of them changed."""
        if not changed:
            return self
        listed = self.listed()
        for place, text in changed.items():
            listed[place] = text
        return Texts.of(listed)

    def __iter__(self) -> Iterator[str]:
        for block in self.blocks():
            yield from block.listed()

    @property
    def lengths(self) -> NDArray[np.int64]:
        """The bytes of each text."""
        return self.ends - self.begins

    @property
    def written(self) -> bytes:
        """All texts with a line feed between two."""
        return self.data[self.begins[0] : self.ends[-1]] if len(self) else b""

    def unseparated(self) -> NDArray[np.uint8]:
        """Return the bytes of all texts without what stands between."""
        if self.is_lines():
            return np.frombuffer(self.written.translate(None, b"\n"), np.uint8)
        return np.delete(np.frombuffer(self.written, np.uint8), self.ends[:-1] - self.begins[0])

    def is_lines(self) -> bool:
        """Whether no text holds a line feed itself."""
        return self.written.count(b"\n") == max(len(self) - 1, 0)

    def listed(self) -> list[str]:
        """Return the texts as objects."""
        if len(self) and self.is_lines():
            return self.written.decode(errors="surrogatepass").split("\n")
        return [self[place] for place in range(len(self))]

    def blocks(self) -> Iterator[Texts]:
        """Yield some thousand texts at a time, with data of their own."""
        for start in range(0, len(self), BLOCK):
            some = self[start : start + BLOCK]
            first = some.begins[0]
            yield Texts(some.written + _SLACK, some.begins - first, some.ends - first)

    def taken(self, places: NDArray[Any]) -> Texts:
        """Return the texts at some places, in the order asked for."""
        parts = []
        for start in range(0, len(places), BLOCK):
            here = places[start : start + BLOCK]
            begins, lengths = self.begins[here], self.lengths[here] + 1
            ends = np.cumsum(lengths)
            bytes_at = np.arange(ends[-1]) + np.repeat(begins - ends + lengths, lengths)
            data = np.frombuffer(self.data, np.uint8)[bytes_at]
            data[ends - 1] = _LINE_FEED
            parts.append(Texts(data.tobytes()[:-1] + _SLACK, ends - lengths, ends - 1))
        return Texts.joined(parts)

    def words(self, places: NDArray[np.int64] | slice, offset: int) -> NDArray[np.uint64]:
        """Return eight bytes of each text from `offset` on, zeros behind its end."""
        everywhere = np.lib.stride_tricks.as_strided(
            np.frombuffer(self.data, np.uint64, count=1), (len(self.data) - _WORD + 1,), (1,)
        )
        left = np.clip(self.lengths[places] - offset, 0, _WORD)
        at = np.minimum(self.begins[places] + offset, self.ends[places])
        found: NDArray[np.uint64] = everywhere[at] & masks()[left]
        return found

    def repeats(self) -> NDArray[np.bool_]:
        """Return for each text whether it is the same as the one before it."""
        lengths = self.lengths
        same = np.zeros(len(self), np.bool_)
        places = np.flatnonzero(lengths[1:] == lengths[:-1]) + 1
        offset = 0
        while len(places):
            here, before = self.words(places, offset), self.words(places - 1, offset)
            places = places[here == before]
            offset += _WORD
            done = lengths[places] <= offset
            same[places[done]] = True
            places = places[~done]
        return same


@cache
def masks() -> NDArray[np.uint64]:
    """Return for 0 to 8 the word whose first so many bytes are all ones."""
    return np.frombuffer(b"".join(b"\xff" * n + bytes(_WORD - n) for n in range(9)), np.uint64)
