"""Many texts as one array of bytes, so that a question about each is asked of all at once."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from re import Pattern
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LONG = 64
"""Bytes from which on the rest of a text is hashed by itself."""
_BLOCK = 1 << 15
_MARK = 10
_FOREIGN, _DIGIT, _FOUR, _EXPONENT = 1, 2, 4, 8


@dataclass(frozen=True, slots=True)
class Packed:
    """Texts in UTF-8, one after the other: from each of `begins` to each of `ends` in `data`."""

    texts: Sequence[str]
    data: bytes
    begins: NDArray[np.int64]
    ends: NDArray[np.int64]


def packed(texts: Sequence[str]) -> Packed:
    """Return texts packed, with a line end between two."""
    import numpy as np

    joined = "\n".join(texts)
    data = joined.encode(errors="surrogatepass")
    if joined.count("\n") == len(texts) - 1:
        marks = np.flatnonzero(np.frombuffer(data, dtype=np.uint8) == _MARK)
        ends = np.append(marks, len(data))
    else:  # some hold line ends themselves
        lengths = [len(text.encode(errors="surrogatepass")) + 1 for text in texts]
        ends = np.cumsum(np.array(lengths, dtype=np.int64)) - 1
    begins = np.concatenate([[0], ends[:-1] + 1]) if len(ends) else ends
    return Packed(texts, data + bytes(8), begins, ends)


@cache
def _factors() -> tuple[int, ...]:
    """Return odd factors of this process: nobody can make a list whose hashes meet."""
    return tuple(secrets.randbits(63) | 1 for _ in range(_LONG // 8 + 1))


def hashes(texts: Sequence[str]) -> NDArray[np.uint64]:
    """Return 64 bits of each text, 0 for an empty one.

    Other texts have other bits, but for one pair in some 10^19.
    """
    return _in_blocks(texts, _hashes, "uint64")


def _in_blocks(
    texts: Sequence[str], ask: Callable[[Packed], NDArray[Any]], kind: str
) -> NDArray[Any]:
    """Ask some thousand texts at a time, which stay in the processor's cache."""
    import numpy as np

    found = np.empty(len(texts), dtype=kind)
    for start in range(0, len(texts), _BLOCK):
        found[start : start + _BLOCK] = ask(packed(texts[start : start + _BLOCK]))
    return found


def _hashes(one: Packed) -> NDArray[np.uint64]:
    import numpy as np

    factors = _factors()
    lengths = one.ends - one.begins
    total = (lengths + 1).astype(np.uint64) * np.uint64(factors[-1])
    everywhere = np.lib.stride_tricks.as_strided(
        np.frombuffer(one.data, dtype=np.uint64, count=1), (len(one.data) - 7,), (1,)
    )
    for place in range(0, _LONG, 8):
        rows: slice | NDArray[np.int64] = slice(None)
        if place:
            rows = np.flatnonzero(lengths > place)
            if not len(rows):
                break
        words = everywhere[one.begins[rows] + place]
        words &= masks()[np.minimum(lengths[rows] - place, 8)]
        mixed = (total[rows] ^ words) * np.uint64(factors[place // 8])
        total[rows] = mixed ^ (mixed >> np.uint64(29))
    for row in np.flatnonzero(lengths > _LONG).tolist():
        rest = one.data[one.begins[row] + _LONG : one.ends[row]]
        total[row] ^= np.uint64(hash(rest) & 0xFFFFFFFFFFFFFFFF)
    total[lengths == 0] = 0
    return total


def searching_hashes(texts: Sequence[str]) -> NDArray[np.uint64]:
    """Return hashes of the searching forms of numbers (see `number_key`); 0 for an empty one."""
    return _in_blocks(texts, _searching_hashes, "uint64")


def _searching_hashes(one: Packed) -> NDArray[np.uint64]:
    import numpy as np

    from xref.store.number_key import number_key

    codes = np.frombuffer(one.data, dtype=np.uint8)
    if int(np.count_nonzero(codes == _MARK)) != len(one.texts) - 1:
        return _hashes(packed([number_key(text) for text in one.texts]))
    foreign = np.searchsorted(one.begins, np.flatnonzero(codes >= 128), side="right") - 1
    data = one.data[: one.ends[-1]].translate(*_folding())
    marks = np.flatnonzero(np.frombuffer(data, dtype=np.uint8) == _MARK)
    begins, ends = np.concatenate([[0], marks + 1]), np.append(marks, len(data))
    found = _hashes(Packed(one.texts, data + bytes(8), begins, ends))
    if len(foreign):
        rows = np.unique(foreign)
        found[rows] = _hashes(packed([number_key(one.texts[row]) for row in rows.tolist()]))
    return found


@cache
def _folding() -> tuple[bytes, bytes]:
    """Return what `number_key` does to ASCII: letters made capitals, and what is left out."""
    from xref.store.number_key import number_key

    everything = bytes(range(128))
    left_out = bytes(c for c in everything if c != _MARK and not number_key(chr(c)))
    return everything.upper() + bytes(range(128, 256)), left_out


@cache
def masks() -> NDArray[np.uint64]:
    """Return for 0 to 8 the word whose first so many bytes are all ones."""
    import numpy as np

    return np.frombuffer(b"".join(b"\xff" * n + bytes(8 - n) for n in range(9)), dtype=np.uint64)


@cache
def _classes() -> tuple[NDArray[np.uint8], NDArray[np.bool_], NDArray[np.bool_]]:
    """Return for each byte what it is in an ordinary number; letters; letters and digits."""
    import numpy as np

    what = np.full(256, _FOREIGN, dtype=np.uint8)
    what[[ord(c) for c in "ABCDEFGHIJKLMNOPQRSTUVWXYZ/ ._-"]] = 0
    what[[ord(c) for c in "0123456789"]] = _DIGIT
    letter = np.zeros(256, dtype=bool)
    letter[ord("A") : ord("Z") + 1] = True
    return what, letter, letter | (what == _DIGIT)


def ordinary(texts: Sequence[str], rule: Pattern[str]) -> NDArray[np.bool_]:
    """Return which texts match `rule`, that of ordinary part numbers (see `column.ORDINARY`).

    What it says of characters, ends, length, digits and words of four letters is found for all
    texts at once; the few that could be dates, E notation or page numbers are tried one by one.
    """
    return _in_blocks(texts, partial(_ordinary, rule=rule), "bool")


def _ordinary(one: Packed, rule: Pattern[str]) -> NDArray[np.bool_]:
    import numpy as np

    what, letter, either = _classes()
    codes = np.frombuffer(one.data, dtype=np.uint8)
    lengths = one.ends - one.begins
    found = (lengths >= 3) & (lengths <= 40)
    flags = what[codes]
    flags[one.ends] = 0  # the mark between two texts belongs to neither
    flags[one.ends[-1] :] = 0
    letters = letter[codes]
    run = letters[:-1] & letters[1:]
    flags[:-3][run[:-2] & run[2:]] |= _FOUR
    flags[:-1][(codes[:-1] == ord("E")) & (codes[1:] == ord("-"))] |= _EXPONENT
    seen = np.bitwise_or.reduceat(flags, one.begins)
    first = codes[one.begins]
    found &= either[first] & either[codes[one.ends - 1]]
    found &= (seen & (_FOREIGN | _DIGIT | _FOUR)) == _DIGIT
    digits_first = found & (what[first] == _DIGIT)
    doubtful = digits_first & ((seen & _EXPONENT) != 0)
    second, third = codes[one.begins + 1], codes[one.begins + 2]
    page = ((first == ord("P")) | (first == ord("S"))) & ~letter[second] & ~letter[third]
    doubtful |= found & page
    # A date needs a separator within the first five characters.
    early = np.zeros(len(found), dtype=bool)
    for place in range(1, 5):
        at = codes[one.begins + place]
        early |= (at == ord("-")) | (at == ord("/")) | (at == ord("."))
    doubtful |= digits_first & early & (lengths >= 6)
    for row in np.flatnonzero(doubtful).tolist():
        found[row] = rule.fullmatch(one.texts[row]) is not None
    return found
