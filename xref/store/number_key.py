"""The searching form of a part number: `TW/3/118`, `TW 3 118` and `tw-3-118` are one.

What is taken away is only what nobody reads as part of the number: case, width (full-width
letters), separators (space, dash, slash, point, underscore) and characters that cannot be seen.
Letters and digits are never taken away and never merged: O and 0, I and 1, the Latin A and the
Cyrillic A stay apart, because a number that differs in one of them is another number.
Likenesses belong to the search (`number_index`), not to the key.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import cache, lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..texts import Texts

# Slashes and dots that NFKC leaves alone; dashes and spaces are recognised by category.
_SLASHES_AND_MINUS = frozenset("/._⁄∕−")
_DROPPED_CATEGORIES = frozenset({"Zs", "Zl", "Zp", "Pd", "Pc", "Cc", "Cf", "Cs"})
# Variation selectors choose a glyph and leave the character the same.
_VARIATION_SELECTORS = frozenset(map(chr, (*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0))))

_TOGETHER = 512
"""Texts keyed together; one beyond ASCII among them has each keyed by itself."""

_ASCII = dict.fromkeys((*range(33), 127, *map(ord, "-/._")))


@lru_cache(maxsize=4096)
def _folded(character: str) -> str:
    """Return the character's upper-case form, or nothing for a separator or an invisible one.

    Only case pairs that return to the same letter are folded: `ß` would become `SS` and the
    dotless `ı` would become `I`, which are other letters.
    """
    if (
        character in _SLASHES_AND_MINUS
        or character in _VARIATION_SELECTORS
        or unicodedata.category(character) in _DROPPED_CATEGORIES
    ):
        return ""
    upper = character.upper()
    return upper if upper.lower() == character else character


def number_key(text: str) -> str:
    """Return the searching form of `text`; empty if nothing of a number is in it.

    Idempotent. Two texts get the same key only if their letters and digits are the same and in
    the same order (width and case apart).
    """
    if text.isascii():
        return text.upper().translate(_ASCII)
    key = text
    while True:
        # Taking a separator away can bring a letter and an accent together, which NFKC then
        # joins; hence until nothing changes (twice at most in practice).
        after = "".join(map(_folded, unicodedata.normalize("NFKC", key)))
        if after == key:
            return key
        key = after


def number_keys(texts: Iterable[object]) -> list[str]:
    """Return the key of each text, in order; anything that is no text (None, NaN) gets ``""``."""
    listed = list(texts)
    keys: list[str] = []
    for start in range(0, len(listed), _TOGETHER):
        keys += _keys_together(listed[start : start + _TOGETHER])
    return keys


def _keys_together(listed: list[Any]) -> list[str]:
    """Return the keys of a few texts: one long one is translated faster than many short ones."""
    try:
        joined = "|".join(listed)
    except TypeError:
        listed = [text if isinstance(text, str) else "" for text in listed]
        joined = "|".join(listed)
    if joined.isascii() and joined.count("|") == len(listed) - 1:
        return number_key(joined).split("|")
    return [number_key(text) for text in listed]


def keyed(texts: Texts) -> Texts:
    """Return the key of each text."""
    from ..texts import Texts

    capitals, left_out = _of_bytes()
    keys = []
    for block in texts.blocks():
        written = block.written
        if written.isascii() and block.is_lines():
            keys.append(written.translate(capitals, left_out))
        else:
            keys.append("\n".join(map(number_key, block)).encode())
    return Texts.lines(b"\n".join(keys)) if keys else texts


@cache
def _of_bytes() -> tuple[bytes, bytes]:
    """Return what `number_key` makes of ASCII but line feeds: capitals, and what is left out."""
    everything = bytes(range(128))
    left_out = bytes(code for code in everything if code != 10 and not number_key(chr(code)))
    return everything.upper() + bytes(range(128, 256)), left_out
