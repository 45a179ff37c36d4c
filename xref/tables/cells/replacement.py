"""What a cell of an interchange list says: alternatives, sets, `use 2 of`, no longer available."""

from __future__ import annotations

import re
from dataclasses import dataclass

from xref.tables.text import fold, quoted


def _phrases(words: str) -> frozenset[str]:
    return frozenset(word.strip() for word in words.split("|"))


_EITHER = re.compile(r"\s+/\s+|\s*[;\n|]\s*|\s+(?:or|oder|ou|eller|tai)\s+|,\s+(?:or\s+)?", re.I)
_LATIN_OR = re.compile(r"\s+[ou]\s+", re.I)  # Italian and Spanish
_DUTCH_OR = re.compile(r"\s+of\s+", re.I)  # between two numbers; `2 of X` counts
_BOTH = re.compile(r"\s+(?:\+|&|and|und|et|en|och|og|ja)\s+|(?<=\S)\s*\+\s+|\s+\+\s*(?=\S)", re.I)
_NUMBERED = re.compile(r"[^\W\d_].*\d|\d.*[^\W\d_]|\d{3}")
_OF = r"(?:x|×|of|off|pcs\.?(?:\s+of)?|pieces of|stk\.?|stück|st\.?|pz\.?)"
_COUNT = re.compile(
    r"(?:use|need(?:s)?|nimm|fit|requires?|utiliser|usare|usar|gebruik)?\s*"
    rf"\(?(\d{{1,2}})\)?\s*{_OF}\s+(\S.*)",
    re.I,
)
_COUNT_AFTER = re.compile(
    r"(\S.*?)\s*(?:[x×]\s*(\d{1,2})"
    r"|\(\s*(?:use|qty|[x×])?\s*(\d{1,2})\s*(?:off|pcs|req'?d|required|[x×])?\s*\))",
    re.I,
)
_LEAD = re.compile(
    r"^(?:use(?: only)?|superseded (?:by|to)|replaced by|see|now|order|was replaced by|"
    r"sub(?:stitute)?|ersetzt durch|remplac[ée] par|sostituito da|sustituido por|vervangen door|"
    r"ersatt av|=|->|→)[:\s]\s*",
    re.I,
)
_NO_PART = _phrases(
    """nla|n l a|no longer available|na|n a|none|nil|discontinued|obsolete|no replacement
    |not available|no longer made|no longer supplied|disc|unavailable|nicht mehr lieferbar|entfallt
    |entfallen|nml|ersatzlos entfallen|ohne ersatz|plus disponible|supprime|non piu disponibile
    |fuori produzione|no disponible|descatalogado|niet meer leverbaar|vervallen|utgatt|udgaet"""
)


@dataclass(frozen=True, slots=True)
class Replacement:
    """`alternatives`, each a number or several joined by ` + `; how many of each; doubts.

    `no_part` says that the cell states there is no replacement.
    """

    alternatives: tuple[str, ...] = ()
    quantity: int | None = None
    no_part: bool = False
    problem: str | None = None
    warnings: tuple[str, ...] = ()


NONE = Replacement()


def read_replacement(text: str) -> Replacement:
    """Read one cell; a single number comes back as it is written."""
    if not text or not fold(text):
        return NONE
    if fold(text) in _NO_PART:
        return Replacement(no_part=True, warnings=("no longer available, no replacement named",))
    if len(text) > 500:
        return Replacement(problem=f"{quoted(text)} is too long for part numbers")
    plain = _LEAD.sub("", text).strip()
    quantities: list[int] = []
    alternatives = []
    for alternative in _split(plain):
        pieces = []
        for piece in _BOTH.split(alternative):
            count, number = _counted(piece.strip())
            if count is not None:
                quantities.append(count)
            if number and fold(number) not in _NO_PART:
                pieces.append(number)
        if pieces:
            alternatives.append(" + ".join(dict.fromkeys(pieces)))
    if not alternatives:
        return Replacement(problem=f"{quoted(text)} names no number")
    if len(set(quantities)) > 1:
        return Replacement(
            problem=f"{quoted(text)} states different quantities; write one row for each number"
        )
    return Replacement(tuple(dict.fromkeys(alternatives)), quantities[0] if quantities else None)


def _split(text: str) -> list[str]:
    pieces = [piece for piece in _EITHER.split(text) if piece and piece.strip()]
    if len(pieces) == 1 and all(any(c.isdigit() for c in piece) for piece in _LATIN_OR.split(text)):
        pieces = _LATIN_OR.split(text)
    if len(pieces) == 1 and all(_NUMBERED.search(piece) for piece in _DUTCH_OR.split(text)):
        pieces = _DUTCH_OR.split(text)
    return pieces


def _counted(piece: str) -> tuple[int | None, str]:
    """Return (how many, the number) of `use 2 of X`, `2 x X`, `X (2 off)`."""
    piece = _LEAD.sub("", piece).strip()
    for pattern in (_COUNT, _COUNT_AFTER):
        if match := pattern.fullmatch(piece):
            groups = [group for group in match.groups() if group]
            count = next(int(g) for g in groups if g.isdecimal() and len(g) <= 2)
            number = groups[1] if pattern is _COUNT else groups[0]
            if count and any(c.isdigit() for c in number):
                return count, number.strip()
    return None, piece


RELATIONS = {
    word: relation
    for relation, words in (
        (
            "superseded by",
            """superseded|superseded by|replaced|replaced by|replacement|new number|ersetzt
            |ersetzt durch|remplace|remplace par|sostituito|sostituito da|sustituido
            |sustituido por|vervangen|ersatt|erstattet|s|sup""",
        ),
        (
            "equal to",
            """equal|equal to|equals|same|same as|identical|equivalent|exact|direct|gleich
            |direct replacement|identisch|identique|equivalente|identico|identiek|gelijk|lika|e|eq
            |interchangeable|interchange""",
        ),
        (
            "may serve as",
            """may serve as|may serve|may use|alternative|alternate|alt|substitute|similar
            |similar to|nearest|suitable|possible|check|vergleichbar|ahnlich|ersatzweise|similaire
            |simile|similar a|vergelijkbaar|a""",
        ),
    )
    for word in _phrases(words)
}


_USE_COUNT = re.compile(
    rf"(?:use|qty|needs?|requires?|nimm|fit)?\s*:?\s*(\d{{1,2}})\s*{_OF}?(?:\s*(?:required|reqd|req'd))?",
    re.I,
)


def use_count(text: str) -> int | None:
    """Return the 2 of a remark that only says `use 2 of` or `2 off`."""
    match = _USE_COUNT.fullmatch(text.strip())
    return int(match[1]) or None if match else None


def read_relation(text: str) -> tuple[str | None, str | None]:
    """Return (relation, warning) of a cell that says how two numbers relate."""
    folded = fold(text)
    if not folded:
        return None, None
    relation = RELATIONS.get(folded)
    if relation:
        return relation, None
    return None, f"relation {quoted(text)} is none of superseded by, equal to, may serve as"


def relation_of_heading(text: str) -> str | None:
    """Return the relation that the heading of a column of replacements states."""
    words = fold(text)
    if any(w in words for w in ("supersed", "replaced by", "ersetzt", "remplace", "sostituito",
                                "sustituido", "reemplazado", "vervangen", "ersatt", "ersatts",
                                "erstattet", "new n", "new part", "neue ", "nuevo n", "nuovo c",
                                "nouvelle", "nytt", "nyt n", "nieuw n", "nachfolger")):  # fmt: skip
        return "superseded by"
    if any(w in words for w in ("equal", "equivalen", "interchange", "motsvarar", "vastaava")):
        return "equal to"
    if any(w in words for w in ("alternativ", "substitute", "may use", "alt")):
        return "may serve as"
    return None
