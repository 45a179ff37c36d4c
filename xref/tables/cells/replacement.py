"""What a cell of an interchange list says: alternatives, sets, `use 2 of`, no longer available."""

from __future__ import annotations

import re
from dataclasses import dataclass

from xref.tables.cells.number_words import COUNTS
from xref.tables.text import fold, quoted


def _phrases(words: str) -> frozenset[str]:
    return frozenset(word.strip() for word in words.split("|"))


_EITHER = re.compile(
    r"\s+/\s+|\s*[;\n|]\s*|\s+(?:or|oder|ou|eller|tai|lub|albo|nebo)\s+|,\s+(?:or\s+)?", re.I
)
_LATIN_OR = re.compile(r"\s+[ou]\s+", re.I)  # Italian and Spanish
_LATIN_AND = re.compile(r"\s+[eyi]\s+")  # Italian, Portuguese, Spanish, Polish
_DUTCH_OR = re.compile(r"\s+of\s+", re.I)  # between two numbers; `2 of X` counts
_BOTH = re.compile(r"\s+(?:\+|&|and|und|et|en|och|og|ja)\s+|(?<=\S)\s*\+\s+|\s+\+\s*(?=\S)", re.I)
_NUMBERED = re.compile(r"[^\W\d_].*\d|\d.*[^\W\d_]|\d{3}")
_PAIR = dict.fromkeys(("pair", "pr", "paar", "paire", "paio", "par"), 2)
_WORDS = {word: count for word, count in COUNTS.items() if count <= 6} | _PAIR
_MANY = rf"(?:\d{{1,2}}|{'|'.join(sorted(_WORDS, key=len, reverse=True))})"
# Without `of` behind them; `EN 12` and `SIX 4` are numbers of parts.
_BARE_WORDS = "|".join(
    form
    for word, count in _WORDS.items()
    if count > 1
    and word not in ("pair", "paar", "paire", "paio", "pr", "par", "sex", "sei", "cinco")
    for form in (word, word.capitalize())
)
_USE = r"(?:use|need(?:s)?|nimm|fit|requires?|utiliser|usare|usar|gebruik)"
_OF = (
    r"(?:[x×*]|of|off|nos?\.?(?:\s+of)?|pcs\.?(?:\s+of)?|pieces of|stk\.?|stück|st\.?|pz\.?|"
    r"pezzi(?:\s+di)?|pièces?(?:\s+de)?|stuks?|szt\.?|ks|uds?\.?|pairs? of)"
)
_COUNT = re.compile(
    rf"{_USE}?\s*(?:an?\s+)?\(?({_MANY})\)?\s*{_OF}\s+(\S.*)"
    rf"|{_USE}?\s*(?-i:({_BARE_WORDS}))\s+(\S.*)",
    re.I,
)
_COUNT_CLOSE = re.compile(
    r"()()(\d{1,2})\s?[x×](?=[A-Z])(\S.*)"
)  # `2xKM 1`: small x, then a capital
_PIECES = r"(?:off|pcs|pieces|req'?d|required|needed|each|nos?|stk|stück|st|pz|[x×])"
_COUNT_AFTER = re.compile(
    r"(\S.*?)\s*(?:(?<=\s)[x×*]\s*(\d{1,2})"
    rf"|[(\[]\s*(?:use|qty|[x×])?\s*({_MANY})\s*{_PIECES}?\.?\s*[)\]]"
    rf"|(?:\s|,|-)\s*(\d{{1,2}})\s*(?:off|pcs|req'?d|required|stk|stück)\.?"
    r"|(?:\s|,)\s*qty\.?:?\s*(\d{1,2}))",
    re.I,
)
_NAMED = re.compile(r"\d{3}|[^\W\d_].*\d|\d.*[^\W\d_]")
_SIZE = re.compile(r"\d\s*[x×]\s*\d|^M\d+$")  # `30 x 42 x 7`, `M8 x 20`
# `make from bar` is advice to a reader, no number.
_ADVICE = re.compile(r"[^\W\d_]+(?:[ '’-]+[^\W\d_]+)*(?<=[^\W\d_A-Z])(?:[ '’-]+[^\W\d_]+)+")
_COMMA_COUNT = re.compile(r",\s+(?=\d{1,2}\s*(?:off|pcs|req'?d|required)\b)", re.I)
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
    |fuori produzione|no disponible|descatalogado|niet meer leverbaar|vervallen|utgatt|udgaet
    |kein ersatz|sans remplacement|arrete|plus fabrique|nessun sostituto|sin sustituto|descontinuado
    |sin reemplazo|geen vervanging|ingen ersattning|utgar|ingen erstatning|brak|brak zamiennika
    |wycofany|wycofane|nedostupne|bez nahrady|zruseno|ukonceno|sem substituicao|indisponivel"""
)


@dataclass(frozen=True, slots=True)
class Replacement:
    """`alternatives`, each a number or several joined by ` + `; how many of each; doubts.

    `quantity` is how many it takes of every number, where that is said and the same for all;
    `counts` how many of each number of each alternative, where they differ. `no_part` says that
    the cell states there is no replacement.
    """

    alternatives: tuple[str, ...] = ()
    quantity: int | None = None
    counts: tuple[tuple[int, ...], ...] = ()
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
    plain = _COMMA_COUNT.sub(" ", _LEAD.sub("", text).strip())
    said = False
    alternatives: dict[str, tuple[int, ...]] = {}
    for alternative in _split(plain):
        pieces: dict[str, int] = {}
        for piece in _together(alternative):
            count, number = _counted(piece.strip())
            said |= count is not None
            said |= number in pieces
            if _ADVICE.fullmatch(number):
                continue
            if number and fold(number) not in _NO_PART:
                pieces[number] = pieces.get(number, 0) + (count or 1)
        if pieces:
            alternatives.setdefault(" + ".join(pieces), tuple(pieces.values()))
    if not alternatives:
        return Replacement(problem=f"{quoted(text)} names no number")
    every = {count for counts in alternatives.values() for count in counts}
    if len(every) > 1:
        return Replacement(tuple(alternatives), counts=tuple(alternatives.values()))
    return Replacement(tuple(alternatives), every.pop() if said else None)


def _split(text: str) -> list[str]:
    pieces = [piece for piece in _EITHER.split(text) if piece and piece.strip()]
    if len(pieces) == 1 and all(any(c.isdigit() for c in piece) for piece in _LATIN_OR.split(text)):
        pieces = _LATIN_OR.split(text)
    if len(pieces) == 1 and all(_NUMBERED.search(piece) for piece in _DUTCH_OR.split(text)):
        pieces = _DUTCH_OR.split(text)
    return pieces


def _together(alternative: str) -> list[str]:
    """Return the numbers that an alternative takes together."""
    pieces = _BOTH.split(alternative)
    if len(pieces) == 1 and all(_NUMBERED.search(one) for one in _LATIN_AND.split(alternative)):
        return _LATIN_AND.split(alternative)
    return pieces


def _counted(piece: str) -> tuple[int | None, str]:
    """Return (how many, the number) of `use 2 of X`, `2 x X`, `X (2 off)`."""
    piece = _LEAD.sub("", piece).strip()
    for pattern in (_COUNT, _COUNT_CLOSE, _COUNT_AFTER):
        if match := pattern.fullmatch(piece):
            first, second = [group for group in match.groups() if group]
            word, number = (second, first) if pattern is _COUNT_AFTER else (first, second)
            count = _how_many(word)
            if count and _NAMED.search(number) and not _SIZE.search(number):
                return count, number.strip()
    return None, piece


def _how_many(word: str) -> int:
    """Return the 2 of `2`, `two` and `pair of`."""
    plain = word.casefold().split()[0]
    return int(plain) if plain.isdecimal() else _WORDS[plain]


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
