"""One heading taken apart: its words, and the unit, currency, tax and count it carries."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from xref.tables.cells import currency as currencies
from xref.tables.cells import tax as taxes
from xref.tables.text import fold, folds

MM_WORDS = frozenset(
    ["mm", "millimetre", "millimetres", "millimeter", "millimeters", "millimetri", "milimetros"]
)
INCH_WORDS = frozenset(
    [
        "in",
        "ins",
        "inch",
        "inches",
        "zoll",
        "pouce",
        "pouces",
        "pollice",
        "pollici",
        "pulgada",
        "pulgadas",
        "duim",
        "tum",
        "tommer",
        "tomme",
        "tuuma",
        "tuumaa",
        "imperial",
    ]
)
OTHER_UNITS = frozenset(["cm", "m", "ft", "feet", "foot", "thou", "thous", "mil", "mils", "um"])

_BRACKETS = re.compile(r"[(\[{]([^)\]}]*)[)\]}]")
_INCH_MARK = re.compile(r"(?:''|[\"″”“])\s*$")
_PER_COUNT = re.compile(
    r"(?:/|per|pro|je|pour|por|%)\s*(10|12|50|100|500|1000|1\.000|c|m)\s*"
    r"(?:pcs?|st(?:ü|u|ue)?ck|stk|st|stuks?|pieces|pièces|units|uds?|pz|pezzi|szt|ks)?\.?\s*"
    r"[(\[)\]\s]*$",
    re.I,
)
# `Pris/st`, `Cena za ks`, `Prijs p/st`: what the price is for is one piece.
_FOR_ONE = re.compile(
    r"\s*(?:/|per|pro|pr|je|p[/.]|za|à|a|al|por|par|c/)\.?\s*(?:1\s*)?(?:pcs?|pieces?|ea|each|units?|"
    r"stk|stück|st|stuks?|styck|ks|kus|szt|sztukę|uds?|unid|unidad|unidade|pz|pezzo|pièce|unité)\.?$",
    re.I,
)
# Words that qualify a heading without changing what it names.
_FILLERS = frozenset(
    [
        "approx",
        "current",
        "nominal",
        "nom",
        "the",
        "now",
        "today",
        "actual",
        "latest",
        "our",
        "std",
        "a",
        "an",
    ]
)
_SYMBOLS = frozenset(["d", "d1", "d2", "d3", "b", "b1", "h", "l", "t", "w", "r", "s"])
_PARTING = re.compile(r"\s*[/|\n\r\t]\s*|\s+[-–—]\s+")


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading: `text` as written, and what its words say beside the name of the column.

    `spellings` are the folded forms to look up, the whole heading first; `words` is False where
    nothing but a currency stands there.
    """

    text: str
    spellings: tuple[str, ...]
    unit: str | None = None
    currency: str | None = None
    sign: str | None = None
    tax: str | None = None
    per: int = 1
    words: bool = True


@lru_cache(maxsize=4096)
def parse(text: str) -> Heading:
    """Take `text` apart; a heading that carries nothing has only its spellings."""
    words = text.strip().strip("*:;").strip()
    bare, unit = _unit(words)
    basis, bare = taxes.find(bare)
    currency, sign, bare = currencies.find(bare)
    per, bare = _per(bare)
    spellings: list[str] = []
    one = _FOR_ONE.sub("", bare)
    for candidate in (words, bare, one, *_simpler(one)):
        spellings += [form for form in folds(candidate) if form]
    return Heading(
        text, tuple(dict.fromkeys(spellings)), unit, currency, sign, basis, per, bool(fold(bare))
    )


def parts(text: str) -> list[str]:
    """Return the pieces of a heading that may be in two languages: `Menge / Qty`."""
    pieces = [piece for piece in _PARTING.split(text) if piece.strip()]
    return pieces if len(pieces) > 1 else []


def unit_of(text: str) -> str | None:
    """Return "mm", "in", another unit's name, or None: what a text that is only a unit says."""
    word = fold(text.replace("″", '"'))
    if text.strip() in ('"', "''", "″", "”", "“"):
        return "in"
    if word in MM_WORDS:
        return "mm"
    if word in INCH_WORDS:
        return "in"
    return word if word in OTHER_UNITS else None


def _unit(text: str) -> tuple[str, str | None]:
    """Return the heading without its unit, and the unit."""
    for match in _BRACKETS.finditer(text):
        inside = [unit_of(word) for word in re.split(r"[\s/,;]+", match[1]) if word]
        known = [unit for unit in inside if unit]
        if known and len(set(known)) == 1:
            return (text[: match.start()] + " " + text[match.end() :]).strip(), known[0]
    if mark := _INCH_MARK.search(text):
        return text[: mark.start()].strip(), "in"
    tokens = re.split(r"(?<=[\s/_,\-])", text)
    last = tokens[-1].strip(" .")
    unit = unit_of(last) if len(tokens) > 1 else None
    if unit and fold("".join(tokens[:-1])):
        return "".join(tokens[:-1]).rstrip(" /_,-"), unit
    return text, None


def _per(text: str) -> tuple[int, str]:
    if match := _PER_COUNT.search(text):
        word = match[1].casefold().replace(".", "")
        count = {"c": 100, "m": 1000}.get(word) or int(word)
        return count, text[: match.start()].strip()
    return 1, text


def _simpler(text: str) -> list[str]:
    """Return the heading without brackets, years, fillers and symbols, where that leaves words."""
    found = []
    without = _BRACKETS.sub(" ", text).strip()
    if without and without != text:
        found.append(without)
    tokens = fold(without or text).split()
    plain = [
        t for t in tokens if t not in _FILLERS and not (t.isdigit() and len(t) in (1, 2, 4, 8))
    ]
    while len(plain) > 1 and plain[-1] in _SYMBOLS:
        plain.pop()
    while len(plain) > 1 and plain[0] in _SYMBOLS:
        plain.pop(0)
    if plain and plain != tokens:
        found.append(" ".join(plain))
    return found
