"""Parts by description: "oil seal, feed drum" is the kind shaft_seal and the words feed, drum.

The names the trade uses for a kind, in several languages, are those of its `kind.json`; a row
counts for a kind if it is of that kind or if its own words name it so.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from rapidfuzz import fuzz, process

from xref.kinds.spec import kinds, spec
from xref.matching.lists import Told

_WORD = re.compile(r"[^\W_]+(?:[-'’][^\W_]+)*")
# Words that say nothing of the part (common practice, no source).
_EMPTY = frozenset(
    {"the", "a", "an", "of", "for", "to", "in", "on", "at", "and", "or", "with", "from", "by"}
    | {"der", "die", "das", "des", "für", "und", "mit", "im", "le", "la", "les", "de", "du"}
    | {"pour", "et", "avec", "il", "lo", "per", "con", "el", "los", "para", "y", "het", "voor"}
)
_CLOSE_ENOUGH = 80.0  # RapidFuzz ratio of two words: one slip in five letters or more
_MOST_WORDS = 12
_ANY_KIND = "other"


@dataclass(frozen=True, slots=True)
class Description:
    """What a text asks for: kinds by their trade names, and the remaining words."""

    kinds: tuple[str, ...]
    words: tuple[str, ...]


@lru_cache(maxsize=4096)
def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text that say something, folded for comparing."""
    folded = unicodedata.normalize("NFKC", text).casefold()
    return tuple(w for w in _WORD.findall(folded) if w not in _EMPTY)


@cache
def _trade_names() -> tuple[tuple[tuple[str, ...], str], ...]:
    """Return the names of kinds as words, the longest first."""
    names = {
        words_of(name): kind for kind in kinds() if kind != _ANY_KIND for name in spec(kind).names
    }
    return tuple(sorted(((n, k) for n, k in names.items() if n), key=lambda e: (-len(e[0]), e)))


def _same(word: str, name: str) -> bool:
    """Whether a word is a name, its plural, or the name within a slip."""
    return (
        word == name
        or word in (name + "s", name + "es")
        or (min(len(word), len(name)) >= 5 and fuzz.ratio(word, name) >= 85)
    )


@lru_cache(maxsize=4096)
def described(text: str) -> Description:
    """Return the kinds and words in a text."""
    words = list(words_of(text)[:_MOST_WORDS])
    found: list[str] = []
    for name, kind in _trade_names():
        for at in range(len(words) - len(name) + 1):
            if all(_same(w, n) for w, n in zip(words[at : at + len(name)], name, strict=True)):
                found.append(kind)
                del words[at : at + len(name)]
                break
    return Description(tuple(dict.fromkeys(found)), tuple(words))


def stems(words: Iterable[str]) -> list[str]:
    """Return what to look for in lists: short enough to survive a plural or a slip at the end."""
    return [w[: max(4, len(w) - 2)] if len(w) > 4 else w for w in words]


def score(wanted: Description, text: str, kind: str | None) -> float:
    """Return how well a description and the kind stated with it answer, 0..1.

    The share of what was asked for that is there: each word counts one (less for a slip), the
    kind counts two words. The kind alone does not answer for words that are not there.
    """
    own = words_of(text)
    of_words = 0.0
    for word in wanted.words:
        best = process.extractOne(word, own, scorer=fuzz.ratio, score_cutoff=_CLOSE_ENOUGH)
        of_words += best[1] / 100 if best else 0.9 * any(word in other for other in own)
    if wanted.words and not of_words:
        return 0.0
    if not wanted.kinds:
        return of_words / len(wanted.words) if wanted.words else 0.0
    is_kind = kind in wanted.kinds or bool(set(described(text).kinds) & set(wanted.kinds))
    return (of_words + 2 * is_kind) / (len(wanted.words) + 2)


def ranked(text: str, found: Sequence[Told], *, least: float = 0.6) -> list[tuple[float, Told]]:
    """Return the descriptions that answer `text`, the best first.

    Those below `least`, or a quarter below the best, are left out.
    """
    wanted = described(text)
    scored = [(round(score(wanted, told.description, told.kind), 4), told) for told in found]
    least = max(least, 0.75 * max((s for s, _ in scored), default=0.0))
    kept = [entry for entry in scored if entry[0] >= least]
    return sorted(kept, key=lambda entry: -entry[0])  # stable: else the order of the lists
