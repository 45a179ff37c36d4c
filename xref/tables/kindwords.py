"""Which kind of part words mean: a cell of a kind column, a section heading, a description."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from xref.kinds.spec import kinds, spec
from xref.tables.false_friends import makes_other, names_other, no_ring, undecided
from xref.tables.text import fold

OTHER = "other"
_COMPOUND = 6  # letters: a shorter ending belongs to too many words
# No name holds a figure, so texts that differ in their figures only name the same.
_ALIKE = str.maketrans("123456789", "0" * 9)
_PARTED = re.compile(r"[,;(\[:]|\s-\s")
# What follows is what the part serves, or what comes with it, and no name of it.
_SERVES = re.compile(
    r"\b(?:for|für|fuer|pour|per|para|voor|till|til|dla|with|w/|mit|avec|con|med|incl|including|"
    r"without|less|to suit|to fit|suits|fits|zu)(?![\w-])",
    re.I,
)


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


def kind_in(text: str) -> str | None:
    """Return the kind that a description names, or None where it names none.

    The part stands before the first comma or bracket; what stands behind `for` or `with` is not
    the part. In it the last name counts, for English names the part last (`bearing spacer` is a
    spacer), and a longer name counts before one inside it. What only sounds like a kind (`grease
    cup`, `bearing housing`) is `other`.
    """
    return _named(text.translate(_ALIKE))[0]


def ring_named(text: str) -> str | None:
    """Return "cup" or "cone" where a text names that ring of a bearing alone, else None."""
    kind, words = _named(text.translate(_ALIKE))
    last = words.rpartition(" ")[2].removesuffix("s")
    both = {"cup", "cone"} <= {word.removesuffix("s") for word in fold(text).split()}
    return last if kind is not None and last in ("cup", "cone") and not both else None


@lru_cache(maxsize=65536)
def _named(text: str) -> tuple[str | None, str]:
    """Return the kind a description names and the words that do."""
    parts = [words for part in _PARTED.split(text) if (words := _served(part))]
    if len(parts) > 1 and len(parts[0]) == 1:
        # `Cup, grease` and `Seal, oil` turn the words round.
        turned = _in_words([*parts[1], *parts[0]])
        if turned[0]:
            return turned
    for words in parts:
        found = _in_words(words)
        if found[0]:
            return found
    return None, ""


def _served(part: str) -> list[str]:
    return fold(_SERVES.split(part, maxsplit=1)[0]).split()


def _in_words(words: list[str]) -> tuple[str | None, str]:
    best: tuple[int, int] | None = None
    kind: str | None = None
    named = ""
    for start in range(len(words)):
        if not _may_begin(words[start]):
            continue
        for length in range(min(_longest(), len(words) - start), 0, -1):
            name = " ".join(words[start : start + length])
            match = next((form for form in _forms(name) if form in _phrases()), None)
            if match is None and length == 1:
                match = _compound(name)
            if match is None or _phrases()[match] == OTHER or undecided(match, words):
                continue
            rank = (start + length, length)
            if best is None or rank > best:
                best, kind, named = rank, _phrases()[match], name
            break
    if best is None:
        return None, ""
    if (
        names_other(words)
        or makes_other(named, words[best[0] :])
        or (named.removesuffix("s") in ("cup", "cone") and no_ring(words))
    ):
        return OTHER, named
    return kind, named


@lru_cache(maxsize=8192)
def _may_begin(word: str) -> bool:
    """Whether the name of a kind may begin with a word: most words of a list are none of these."""
    return (
        word in _first_words()
        or any(form in _phrases() for form in _forms(word))
        or _compound(word) is not None
    )


@cache
def _first_words() -> frozenset[str]:
    return frozenset(phrase.split()[0] for phrase in _phrases() if " " in phrase)


@cache
def _endings() -> dict[int, frozenset[str]]:
    """Return the names that compounds end in, by their length, the longest first."""
    long = [name for name in _phrases() if len(name) >= _COMPOUND]
    lengths = sorted({len(name) for name in long}, reverse=True)
    return {n: frozenset(name for name in long if len(name) == n) for n in lengths}


@lru_cache(maxsize=8192)
def _compound(word: str) -> str | None:
    """Return the name a compound ends in: `Rillenkugellager` is a `Kugellager`."""
    if len(word) < _COMPOUND + 2:
        return None
    forms = _forms(word)
    longest = next(
        (form[-n:] for n, names in _endings().items() for form in forms if form[-n:] in names), None
    )
    return None if longest is None or names_other([word]) else longest


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
