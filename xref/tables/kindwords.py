"""Which kind of part words mean: a cell of a kind column, a section heading, a description."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from xref.kinds.spec import kinds, spec
from xref.tables.text import fold

OTHER = "other"
_COMPOUND = 6  # letters: a shorter ending belongs to too many words


@cache
def _phrases() -> dict[str, str]:
    """Folded name of a kind to the kind; names of `other` never displace a real kind."""
    names: dict[str, str] = {}
    for kind in sorted(kinds(), key=lambda name: name != OTHER):
        declared = spec(kind)
        for name in (*declared.other_names, declared.title, kind.replace("_", " ")):
            folded = fold(name)
            names[folded] = kind
            if len(folded) > _COMPOUND:  # also written as one word
                names.setdefault(folded.replace(" ", ""), kind)
    return names


@cache
def _longest() -> int:
    return max(len(phrase.split()) for phrase in _phrases())


@lru_cache(maxsize=65536)
def kind_of(text: str) -> str | None:
    """Return the kind that a cell of a kind column names as a whole, also in the plural."""
    folded = fold(text)
    for form in _forms(folded):
        if form in _phrases():
            return _phrases()[form]
    compound = _compound(folded) if " " not in folded else None
    return _phrases()[compound] if compound else None


@lru_cache(maxsize=65536)
def kind_in(text: str) -> str | None:
    """Return the kind that a description names, or None where it names none or two.

    The part stands before the first comma or bracket, or before `for`; in it the last name
    counts, for English names the part last (`bearing spacer` is a spacer), and a longer name
    counts before one inside it.
    """
    for segment in re.split(r"[,;(\[:]|\s-\s|\b(?:for|für|pour|per|para|voor|till|til)\b", text):
        found = _in_words(fold(segment).split())
        if found:
            return found
    return None


def _in_words(words: list[str]) -> str | None:
    best: tuple[int, int] | None = None
    kind: str | None = None
    for start in range(len(words)):
        for length in range(min(_longest(), len(words) - start), 0, -1):
            name = " ".join(words[start : start + length])
            match = next((form for form in _forms(name) if form in _phrases()), None)
            if match is None and length == 1:
                match = _compound(name)
            if match is None or _phrases()[match] == OTHER:
                continue
            rank = (start + length, length)
            if best is None or rank > best:
                best, kind = rank, _phrases()[match]
            break
    return kind


@lru_cache(maxsize=8192)
def _compound(word: str) -> str | None:
    """Return the name a compound ends in: `Rillenkugellager` is a `Kugellager`."""
    if len(word) < _COMPOUND + 2:
        return None
    ends = [
        name
        for form in _forms(word)
        for name in _phrases()
        if len(name) >= _COMPOUND and form.endswith(name)
    ]
    return max(ends, key=len, default=None)


def _forms(words: str) -> tuple[str, ...]:
    forms = [words]
    if words.endswith("s"):
        forms.append(words[:-1])
    if words.endswith(("es", "en", "er")):
        forms.append(words[:-2])
    if words.endswith("n"):
        forms.append(words[:-1])
    if words.endswith("e"):
        forms.append(words[:-1])
    return tuple(forms)
