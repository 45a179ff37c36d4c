"""The optimal string alignment distance of one text to many of equal length, column by column.

The bit-parallel recurrence of H. Hyyrö, "A bit-vector algorithm for computing Levenshtein and
Damerau edit distances", Nordic Journal of Computing 10 (2003), run over numpy arrays: one word
per text holds a column of the distance matrix, so that a hundred thousand numbers of ten
characters cost a few milliseconds and no Python object each.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

_LONGEST = 64  # bits of a word
_STEP = 1 << 14  # texts at a time: their words stay in the processor's cache


def alignment_distances(text: bytes, others: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the distance of `text` to each row of `others` (rows × length), 255 if farther."""
    if not text or len(text) > _LONGEST:
        from rapidfuzz import process  # late: an exact look-up of a number comes by here too
        from rapidfuzz.distance import OSA

        texts = [other.tobytes() for other in others]
        away = process.cdist([text], texts, scorer=OSA.distance, dtype=np.int32)[0]
        capped: NDArray[np.uint8] = np.minimum(away, 255).astype(np.uint8)
        return capped
    word: Any = next(w for w in (np.uint16, np.uint32, np.uint64) if len(text) <= w().nbytes * 8)
    matches = np.zeros(256, word)
    for place, code in enumerate(text):
        matches[code] |= word(1 << place)
    result = np.empty(len(others), np.uint8)
    for start in range(0, len(others), _STEP):
        columns = np.ascontiguousarray(others[start : start + _STEP].T)
        result[start : start + _STEP] = _distances(matches, len(text), columns)
    return result


def _distances(matches: NDArray[Any], length: int, columns: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return the distances; names as in the paper: V and H are vertical and horizontal deltas."""
    word = matches.dtype.type
    count = columns.shape[1]
    one, last = word(1), word(length - 1)
    vp = np.full(count, ~word(0))
    vn, d0, before = np.zeros(count, word), np.zeros(count, word), np.zeros(count, word)
    distance = np.full(count, length, np.uint8)
    for column in columns:
        here = matches[column]
        swapped = ((~d0 & here) << one) & before
        d0 = (((here & vp) + vp) ^ vp) | here | vn | swapped
        hp = vn | ~(d0 | vp)
        hn = d0 & vp
        distance += ((hp >> last) & one).astype(np.uint8)
        distance -= ((hn >> last) & one).astype(np.uint8)
        hp = (hp << one) | one
        vp = (hn << one) | ~(d0 | hp)
        vn = hp & d0
        before = here
    return distance
