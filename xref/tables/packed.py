"""Questions about each of many texts, asked of all at once: its hash, whether it is ordinary."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from functools import cache, partial
from re import Pattern
from typing import TYPE_CHECKING, Any

from xref.texts import BLOCK, Texts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LONG = 64
"""Bytes from which on the rest of a text is hashed by itself."""
_FOREIGN, _DIGIT, _FOUR, _EXPONENT = 1, 2, 4, 8


@cache
def _factors() -> tuple[int, ...]:
    """Return odd factors of this process: nobody can make a list whose hashes meet."""
    return tuple(secrets.randbits(63) | 1 for _ in range(_LONG // 8 + 1))


def hashes(texts: Sequence[str]) -> NDArray[np.uint64]:
    """Return 64 bits of each text, 0 for an empty one.

    Other texts have other bits, but for one pair in some 10^19.
    """
    return _in_blocks(Texts.of(texts), _hashes, "uint64")


def _in_blocks(texts: Texts, ask: Callable[[Texts], NDArray[Any]], kind: str) -> NDArray[Any]:
    import numpy as np

    found = np.empty(len(texts), dtype=kind)
    for number, block in enumerate(texts.blocks()):
        found[number * BLOCK : (number + 1) * BLOCK] = ask(block)
    return found


def _hashes(one: Texts) -> NDArray[np.uint64]:
    import numpy as np

    factors = _factors()
    lengths = one.lengths
    total = (lengths + 1).astype(np.uint64) * np.uint64(factors[-1])
    for place in range(0, _LONG, 8):
        rows: slice | NDArray[np.int64] = slice(None)
        if place:
            rows = np.flatnonzero(lengths > place)
            if not len(rows):
                break
        mixed = (total[rows] ^ one.words(rows, place)) * np.uint64(factors[place // 8])
        total[rows] = mixed ^ (mixed >> np.uint64(29))
    for row in np.flatnonzero(lengths > _LONG).tolist():
        rest = one.data[one.begins[row] + _LONG : one.ends[row]]
        total[row] ^= np.uint64(hash(rest) & 0xFFFFFFFFFFFFFFFF)
    total[lengths == 0] = 0
    return total


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
    return _in_blocks(Texts.of(texts), partial(_ordinary, rule=rule), "bool")


def _ordinary(one: Texts, rule: Pattern[str]) -> NDArray[np.bool_]:
    import numpy as np

    what, letter, either = _classes()
    codes = np.frombuffer(one.data, dtype=np.uint8)
    lengths = one.lengths
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
        found[row] = rule.fullmatch(one[row]) is not None
    return found
