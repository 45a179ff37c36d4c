"""How many pieces a cell says there are; words are kept, and a doubt never becomes a count."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from xref.tables.cells import decimals
from xref.tables.cells.number_words import COUNTS
from xref.tables.text import fold, quoted

LARGEST = 10**9
"""More pieces than this is no quantity of a part: a price, a number or a slip."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """`value` pieces (None: unknown), more of them if `or_more`; `words` if not a plain number."""

    value: int | None
    words: str | None = None
    or_more: bool = False
    warnings: tuple[str, ...] = ()


UNKNOWN = Quantity(None)


def _words(single: str, phrases: str) -> frozenset[str]:
    return frozenset(single.split()) | {phrase.strip() for phrase in phrases.split("|")}


_NONE_LEFT = _words(
    """nil nill out os oos none sold gone zero no unavailable null
    ausverkauft verkauft vergriffen keine kein nein epuise rupture vendu aucun non neant
    indisponible esaurito venduto nessuno agotado vendido ninguno uitverkocht verkocht geen nee
    slutsald slut sald nej udsolgt solgt utsolgt ingen loppu loppunut myyty ei
    esaurita agotada terminado indisponivel brak sprzedane wyprzedane esgotado vyprodano prodano
    nema""",
    """sold out|nil stock|zero stock|out of stock|no stock|not in stock|not available|none left
    |nicht lieferbar|nicht auf lager|kein bestand|rupture de stock|non disponibile
    |sin existencias|no disponible
    |niet op voorraad|niet leverbaar|ej i lager|ikke pa lager|en rupture
    |plus en stock|sin stock|niet voorradig|slut i lager|brak w magazynie|neni skladem|sem stock""",
)
_NOT_SAID = _words(
    """call ring phone ask enquire poa instock stock stocked yes y available avail tba tbc tbd na
    unknown request some few several various plenty many lots limited low backorder x ok nv
    anfrage lagernd vorhanden ja verfugbar lieferbar einige unbekannt disponible oui quelques
    disponibile si consultar beschikbaar kylla varastossa
    dostepny dostepne jest disponivel sim skladem""",
    """|please ask|please call|in stock|on request|a few|ex stock|low stock|on order|due in
    |back order|auf anfrage|auf lager|bitte anfragen|sur demande|en stock|nous consulter
    |su richiesta|a richiesta|a magazzino|bajo pedido|en existencia|op aanvraag|op voorraad
    |na stanie|na zamowienie|zapytaj|em stock|sob consulta|na dotaz
    |a consulter|consulter|voorradig|pa lager|i lager|pa foresporgsel|pa forfragan""",
)
_DAMAGED = re.compile(
    r"#(?:N/?A|NV|REF!?|VALUE!?|WERT!?|NAME\?!?|DIV/0!?|NUM!?|NULL!?|ZAHL!?|BEZUG!?)|#+", re.I
)
_PIECE = (
    r"(?:pcs?|pces?|pieces?|off|ea|each|nos?|units?|items?|only|left|available|avail|in stock|"
    r"on hand|stk|stck|stück|stueck|stuks?|pièces?|pz|pezz[io]|uds?|unidades|kpl|styck|stycken|"
    r"stykker|szt|sztuk[ai]?|ks|kusy|kusu|st)\.?"
)
_PAIR = r"(?:pairs?|prs?|paare?|paires?|par|pares|paio|paia|paren)\.?"
_DOZEN = r"(?:doz|dozens?|dzn?|dutzend|dtzd|douzaines?|dozzin[ae]|docenas?|dozijn|dussin|dusin)\.?"
_GROUP = (
    r"(?:sets?|packs?|pkts?|packets?|box|boxes|kits?|bags?|lots?|satz|sätze|jeux?|serie|juegos?|"
    r"sats|cartons?|rolls?|m|mtrs?|metres?|meters?|ft|feet)\.?"
)
_NUMBER = r"\d[\d.,'  ]*|[.,]\d+"
_PLAIN = re.compile(
    rf"(?:qty|quantity|menge)?\s*[:x×]?\s*({_NUMBER})\s*(?:[x×]|-?\s*{_PIECE})?", re.I
)
_PAIRS = re.compile(rf"(.*?)\s*{_PAIR}", re.I)
_DOZENS = re.compile(rf"(.*?)\s*{_DOZEN}", re.I)
_GROSS = re.compile(r"(.+?)\s*gross", re.I)
_GROUPS_OF = re.compile(
    rf"(.+?)\s*{_GROUP}\s*(?:of|of the|à|a|zu|von|de|da|van|med|om|x|\()\s*(\d+)\s*\)?", re.I
)
_GROUPS = re.compile(rf"(.+?)\s*{_GROUP}", re.I)
_FRACTION = re.compile(r"(?:(\d+)\s*[- ]\s*|(\d+)(?=\d⁄))?(\d+)\s*[/⁄]\s*(\d+)")
_WORDS: dict[str, Fraction] = {word: Fraction(count) for word, count in COUNTS.items()} | {
    "half": Fraction(1, 2),
    "half a": Fraction(1, 2),
    "a": Fraction(1),
    "": Fraction(1),
}
# `In stock: 3`, `Yes (2)`: the figure says how many there are.
_STOCKED = re.compile(
    r"(?:in stock|stock|yes|available|avail|on hand|ja|lagernd|auf lager|vorhanden|verfügbar|oui|"
    r"en stock|disponibles?|disponibil[ei]|sì|sí|si|op voorraad|voorraad|i lager|lager|skladem|"
    r"na stanie|em stock)\s*[:=]?\s*\(?\s*(\d+)\s*\)?",
    re.I,
)
_TWICE = re.compile(r"(\d+)\s*\(\s*([^\W\d_]+)\s*\)")  # `5 (five)`
_ABOUT = re.compile(
    r"(?:approx(?:imately)?|appr|about|abt|circa|ca|c|around|roughly|say|etwa|ungefähr|zirka|env|"
    r"environ|aprox|ongeveer|ong|ung|ungefär|cirka|c:a|noin|asi|cca|około|ok|unos|unas|"
    r"alrededor de|cerca de|~|≈|±)\.?\s*(\d.*)"
    r"|(\d.*?)\s*(?:approx\.?|approximately|about|ca\.?|circa|env\.?|\?)",
    re.I,
)
_MORE = re.compile(
    r"(?:over|more than|at least|min(?:imum|d)?\.?|>\s*=?|≥|über|ueber|mindestens|mehr als|plus de|"
    r"au moins|oltre|almeno|m[aá]s de|al menos|meer dan|minstens|över|mer än|minst|ponad|"
    r"více než|mais de|pelo menos)\s*(\d.*)"
    r"|(\d.*?)\s*(?:\+|plus|(?:and|or) (?:more|over|up)|(?:oder|und) mehr|et plus|ou plus|"
    r"o pi[uù]|[oy] m[aá]s|of meer|eller (?:fler|flere|mer))\s*"
    rf"({_PIECE})?",
    re.I,
)
_LESS = re.compile(
    r"(?:under|less than|fewer than|up to|max(?:imum)?\.?|<\s*=?|≤|unter|bis zu|weniger als|"
    r"moins de|jusqu'à|meno di|menos de|minder dan)\s*\d.*",
    re.I,
)
_RANGE = re.compile(
    r"(\d+)\s*(?:-|–|—|\.\.+|to|or|bis|oder|à|ou|a|o|till|til|eller|tot|of)\s*(\d+)\s*"
    rf"(?:{_PIECE})?",
    re.I,
)
_NEGATIVE = re.compile(rf"\(\s*-?\s*(?:{_NUMBER})\s*\)|[-−–]\s*(?:{_NUMBER})|(?:{_NUMBER})-", re.I)


def read_quantity(text: str, sign: str | None = None) -> Quantity:
    """Return what `text` says of pieces; `sign` is the decimal sign the column has proved."""
    if not text:
        return UNKNOWN
    plain = unicodedata.normalize("NFKC", text).strip()
    if _DAMAGED.fullmatch(plain):
        return _unknown(text, "is damage done by a spreadsheet")
    folded = fold(plain)
    if folded in _NONE_LEFT:
        return Quantity(0, text)
    if folded in _NOT_SAID:
        return Quantity(None, text)
    if _NEGATIVE.fullmatch(plain):
        return Quantity(
            0, text, warnings=(f"quantity {quoted(text)} is read as nothing available",)
        )
    if _LESS.fullmatch(plain):
        return _unknown(text, "states only an upper limit")
    if match := _MORE.fullmatch(plain):
        amount = _amount(match[1] or match[2], sign)
        return _counted(amount, text, or_more=True)
    if match := _ABOUT.fullmatch(plain):
        amount = _amount(match[1] or match[2], sign)
        return _counted(amount, text, f"quantity {quoted(text)} is not exact")
    if (match := _RANGE.fullmatch(plain)) and int(match[1]) < int(match[2]):
        lower = Fraction(int(match[1]))
        return _counted(lower, text, f"quantity {quoted(text)}: the lower figure is taken")
    if match := _STOCKED.fullmatch(plain):
        return _counted(Fraction(match[1]), text)
    if (match := _TWICE.fullmatch(plain)) and COUNTS.get(match[2].casefold()) == int(match[1]):
        return _counted(Fraction(match[1]), text)
    return _counted(_amount(plain, sign), text)


def _counted(
    amount: Fraction | str, text: str, warning: str = "", *, or_more: bool = False
) -> Quantity:
    if isinstance(amount, str):
        return _unknown(text, amount)
    if amount.denominator != 1:
        return _unknown(text, "is no whole number of pieces")
    if amount > LARGEST:
        return _unknown(text, "is more than any store holds")
    words = None if text.isascii() and text.isdigit() else text
    return Quantity(int(amount), words, or_more, (warning,) if warning else ())


def _unknown(text: str, why: str) -> Quantity:
    return Quantity(None, text, warnings=(f"quantity {quoted(text)} {why}; kept as unknown",))


def _amount(text: str, sign: str | None) -> Fraction | str:
    """Return the pieces `text` states, or why they are not certain."""
    text = text.strip()
    if match := _PLAIN.fullmatch(text):
        return _number(match[1], sign)
    if match := _GROUPS_OF.fullmatch(text):
        return _times(_number(match[1], sign), Fraction(int(match[2])))
    for pattern, pieces in ((_PAIRS, 2), (_DOZENS, 12), (_GROSS, 144)):
        if match := pattern.fullmatch(text):
            return _times(_number(match[1], sign), Fraction(pieces))
    if _GROUPS.fullmatch(text):
        return "does not say how many pieces that is"
    return _number(text, sign)


def _times(count: Fraction | str, pieces: Fraction) -> Fraction | str:
    return count if isinstance(count, str) else count * pieces


def _number(text: str, sign: str | None) -> Fraction | str:
    text = text.strip(" ,.") if not text.strip().startswith((".", ",")) else text.strip()
    if text.casefold() in _WORDS:
        return _WORDS[text.casefold()]
    if (match := _FRACTION.fullmatch(text)) and int(match[4]):
        whole = int(match[1] or match[2] or 0)
        return whole + Fraction(int(match[3]), int(match[4]))
    value = decimals.number(text, sign)
    if value is not None:
        return Fraction(value)
    if decimals.NUMBER.fullmatch(text) and decimals.ambiguous(text) and sign is None:
        return "may be thousands or a decimal (say which with --decimal)"
    return "is not understood"
