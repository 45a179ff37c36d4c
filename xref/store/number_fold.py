"""Characters that are read for one another, folded to one class for searching.

O and 0, I, L and 1, B and 8, S and 5, Z and 2 are the reading slips of smudged print and of
handwriting (common practice, no source); letters of other alphabets that look like a Latin one are
those of the Unicode confusables list (UTS #39) that occur in capitals. The fold is for finding
only: two numbers with one fold are still two numbers.
"""

from __future__ import annotations

_READING_SLIPS = {"O": "0", "I": "1", "L": "1", "B": "8", "S": "5", "Z": "2"}
_CYRILLIC = dict(zip("АВЕКМНОРСТХУІЈЅҮԚԜӀ", "ABEKMHOPCTXYIJSYQWI", strict=True))
_GREEK = dict(zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX", strict=True))
_LATIN = {"Ø": "O", "İ": "I", "ı": "I", "Ɩ": "I", "ǀ": "I", "Ð": "D"}


class _Fold(dict[int, str]):
    """Translation table that also gives every other character one byte."""

    def __missing__(self, code: int) -> str:
        folded = chr(code) if code < 128 else chr(128 + code % 128)
        self[code] = folded
        return folded


_TABLE = _Fold(
    {
        ord(written): _READING_SLIPS.get(read, read)
        for written, read in (_READING_SLIPS | _CYRILLIC | _GREEK | _LATIN).items()
    }
)


def fold_text(keys: str) -> bytes:
    """Return one byte per character of `keys` (one key, or many joined by a line feed).

    A character outside ASCII without a look-alike shares its byte with others; as a fold only
    finds, this costs a comparison and never an answer.
    """
    return keys.translate(_TABLE).encode("latin-1")
