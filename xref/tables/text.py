"""Text of cells and headings made comparable: folded for headings and words, kept for show."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

# Characters nobody sees: they survive in data, but must not hide a word or a heading.
INVISIBLE = re.compile(
    "[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5"
    "\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff9-\ufffb"
    "\U000e0000-\U000e0fff]"
)
_EDGES = " \t\r\n\v\f\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000"
_EDGE = re.compile(f"^(?:[{_EDGES}]|{INVISIBLE.pattern})+|(?:[{_EDGES}]|{INVISIBLE.pattern})+$")
# The diameter sign, and the letters typed for it where they stand as a word of their own.
_DIAMETER = re.compile(r"(?<![^\W\d_])[Ø⌀øφΦϕ∅](?![^\W\d_])")
_SEPARATORS = re.compile(r"[\W_]+")
# Letters that NFKD does not take apart.
_SPECIAL = str.maketrans(
    {"ß": "ss", "ø": "o", "đ": "d", "ł": "l", "æ": "ae", "œ": "oe", "ı": "i", "’": "'"}
)
_SPELT_UMLAUT = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "ø": "oe"})


def trimmed(text: str) -> str:
    """Return `text` without blanks and invisible characters at its ends; inside it is untouched."""
    if not text:
        return ""
    stripped = text.strip()
    if stripped.isascii() and stripped.isprintable():
        return stripped
    return _EDGE.sub("", stripped)


@lru_cache(maxsize=65536)
def fold(text: str) -> str:
    """Return the words of `text` in one spelling: lower case, no accents, no punctuation.

    A diameter sign becomes the word `dia`, `#` the word `no`. Used for headings and for words
    in cells, never for part numbers.
    """
    return _folded(text)


@lru_cache(maxsize=8192)
def folds(text: str) -> tuple[str, ...]:
    """Return every spelling a heading may be compared by: `Länge` gives `lange` and `laenge`."""
    plain = _folded(text)
    spelt = _folded(unicodedata.normalize("NFKC", text).casefold().translate(_SPELT_UMLAUT))
    return (plain,) if plain == spelt else (plain, spelt)


def _folded(text: str) -> str:
    if not text.isascii():
        text = INVISIBLE.sub("", _DIAMETER.sub(" dia ", text))
        text = unicodedata.normalize("NFKC", text.replace("№", "no").replace("º", "o"))
    text = text.replace("#", " no ").casefold()
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.translate(_SPECIAL))
        text = "".join(c for c in text if not unicodedata.combining(c))
    # `I.D.` and `p/n` are written with and without their points; join single letters.
    return _joined_initials(_SEPARATORS.sub(" ", text).strip())


def _joined_initials(words: str) -> str:
    parts = words.split(" ")
    if len(parts) < 2 or not all(len(part) == 1 and part.isalpha() for part in parts):
        return words
    return "".join(parts)


def shown(text: str, limit: int = 60) -> str:
    """Return `text` fit to stand in a sentence: control and invisible characters escaped, cut."""
    cut = text if len(text) <= limit else text[: limit - 1] + "…"
    if cut.isascii() and cut.isprintable():
        return cut
    return "".join(
        character
        if character.isprintable() and not INVISIBLE.match(character)
        else _escape(character)
        for character in cut
    )


def quoted(text: str, limit: int = 60) -> str:
    """Return `text` in quotation marks, fit to stand in a sentence."""
    return f"'{shown(text, limit)}'"


def _escape(character: str) -> str:
    code = ord(character)
    return f"\\x{code:02x}" if code < 256 else f"\\u{{{code:04x}}}"


def foreign_letters(text: str) -> str:
    """Return the letters in `text` that look Latin but belong to another alphabet.

    Only texts that also hold Latin letters or digits are of interest: a Greek word is no
    look-alike. The result is empty for ordinary text.
    """
    if text.isascii() or not re.search("[A-Za-z0-9]", text):
        return ""
    found = [
        character
        for character in text
        if character.isalpha()
        and unicodedata.name(character, "").startswith(
            ("CYRILLIC", "GREEK", "ARMENIAN", "CHEROKEE")
        )
        and character not in "φΦØµμ"
    ]
    return "".join(dict.fromkeys(found))


def invisible(text: str) -> bool:
    """Whether `text` holds characters that cannot be seen (zero width, direction, control)."""
    return not (text.isascii() and text.isprintable()) and INVISIBLE.search(text) is not None
