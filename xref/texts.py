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
_LONG = 64
"""Bytes up to which texts are handled eight bytes at a time."""
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
            if which.step not in (None, 1):  # they would not follow each other
                return self.taken(np.arange(len(self))[which])
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
        for start in range(0, len(self), BLOCK):
            yield from self[start : start + BLOCK].listed()

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
        starts = range(0, len(places), BLOCK)
        return Texts.joined([self._taken(places[start : start + BLOCK]) for start in starts])

    def _taken(self, places: NDArray[Any]) -> Texts:
        begins, ends = self.begins[places], self.ends[places]
        lengths = ends - begins
        longest = int(lengths.max())
        if longest < _LONG:  # eight bytes at a time
            words = np.empty((len(places), longest // _WORD + 1), np.uint64)
            for number in range(words.shape[1]):
                words[:, number] = _words(self.data, begins + _WORD * number, ends)
            cells = words.view(np.uint8)
            cells[np.arange(len(places)), lengths] = _LINE_FEED
            written = cells.tobytes().translate(None, b"\0")
            if len(written) == int(lengths.sum()) + len(lengths):  # no text holds a NUL
                return Texts.spaced(written[:-1], lengths)
        return Texts.of([self[place] for place in places.tolist()])

    def order(self) -> NDArray[np.int64]:
        """Return the places of the texts, none with a NUL, sorted by code points.

        Equal texts keep their order.
        """
        lengths = self.lengths
        first = range(0, min(int(lengths.max(initial=1)), _LONG), _WORD)
        keys = [self.words(slice(None), offset).byteswap() for offset in first]
        beyond = np.flatnonzero(lengths > _LONG)
        if len(beyond):  # told apart by their rank where all the bytes before are the same
            rank = {text: n for n, text in enumerate(sorted(self[at] for at in beyond.tolist()), 1)}
            ranks = np.zeros(len(self), np.uint64)
            ranks[beyond] = [rank[self[at]] for at in beyond.tolist()]
            keys.append(ranks)
        return np.lexsort(keys[::-1])

    def words(self, places: NDArray[np.int64] | slice, offset: int) -> NDArray[np.uint64]:
        """Return eight bytes of each text from `offset` on, zeros behind its end."""
        return _words(self.data, self.begins[places] + offset, self.ends[places])

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


def _words(data: bytes, begins: NDArray[np.int64], ends: NDArray[np.int64]) -> NDArray[np.uint64]:
    """Return the eight bytes from each of `begins` on, zeros from its end on."""
    everywhere = np.lib.stride_tricks.as_strided(
        np.frombuffer(data, np.uint64, count=1), (len(data) - _WORD + 1,), (1,)
    )
    found: NDArray[np.uint64] = everywhere[np.minimum(begins, len(everywhere) - 1)]
    found &= masks().take(ends - begins, mode="clip")
    return found
