"""Properties of a part: words the kind knows, numbers in its unit, or free text."""

from __future__ import annotations

from functools import cache
from typing import Any

from xref.kinds.spec import Trait, spec
from xref.tables.cells import decimals
from xref.tables.text import fold, quoted


def read_trait(text: str, kind: str, name: str) -> tuple[Any, str | None]:
    """Return (value, warning): a word of the kind, a float, or the text; None if not stated."""
    folded = fold(text)
    if not folded or folded in ("na", "n a", "unknown"):
        return None, None
    trait = spec(kind).trait(name)
    if trait.is_number:
        return _figure(text, trait)
    if not trait.words:
        return text, None
    word = _words(kind, name).get(folded)
    if word is not None:
        return word, None
    return None, f"{trait.title.lower()} {quoted(text)} is not known; kept as it is"


def _figure(text: str, trait: Trait) -> tuple[float | None, str | None]:
    bare = text.casefold().replace((trait.unit or "").casefold(), "").strip(" .°")
    value = decimals.number(bare, decimals.decide([bare]) or ".")
    if value is not None:
        return float(value), None
    return None, f"{trait.title.lower()} {quoted(text)} is no number; kept as it is"


@cache
def _words(kind: str, name: str) -> dict[str, str]:
    trait = spec(kind).trait(name)
    known: dict[str, str] = {}
    for word, others in trait.words.items():
        for other in others:
            known.setdefault(fold(other), word)
    for word in trait.words:
        known[fold(word)] = word
    return known
