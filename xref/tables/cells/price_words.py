"""What stands beside a price and leaves it what it is: open to offers, carriage; small coins.

Words of small ads and sale tables; common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

_OFFERS = (
    r"o\.?\s?[nvb]\.?\s?o\.?|or (?:near(?:est)?|best|very near) offer|(?:or )?offers?|"
    r"open to offers|neg(?:otiable|\.)?|v\.?h?\.?b\.?|verhandlungsbasis|verhandelbar|"
    r"à débattre|a debattre|négociable|trattabil[ei]|negociable|t\.?e\.?a\.?b\.?|"
    r"bieden vanaf|of bod|do negocjacji|dohodou"
)
_FIXED = r"fp|festpreis|fixed|firm|no offers|prix ferme|fest|fast pris|vaste prijs|cena pevná"
_CARRIAGE = r"p\s?&\s?p|p\s?\+\s?p|p and p|post(?:age)?|carriage|shipping|delivery|versand|porto|fracht|frais de port|port|spedizione|envío|gastos de envío|verzending|verzendkosten|frakt|wysyłka|poštovné"  # noqa: E501
_PLUS = r"\+|plus|excl?\.?|excluding|zzgl\.?|zuzüglich|hors|más|più|exkl\.?|ohne|excl"
_WITH = r"inc(?:l(?:\.|uding|usive(?: of)?)?)?\.?|inkl\.?|with|mit|compris|incluso|incluido"

_OPEN = re.compile(
    rf"^(?:{_OFFERS})[\s:]+(?=\D{{0,3}}\d)|(?<=[\d\s,.)–-])\(?(?:{_OFFERS})\)?$", re.I
)
_FIRM = re.compile(rf"^(?:{_FIXED})[\s:]+(?=\d)|(?<=[\d\s])\(?(?:{_FIXED})\)?$", re.I)
_SENT = re.compile(
    rf"[\s,(]*(?:(?P<without>{_PLUS})|(?P<within>{_WITH}))\s*(?:{_CARRIAGE})\.?\)?$", re.I
)
_BEFORE = re.compile(
    r"\s*[(,]?\s*(?:was|rrp|instead of|reduced from|statt|vorher|au lieu de|invece di|antes|"
    r"voorheen|tidigare)\s*\D{0,3}[\d.,]+\D{0,4}\)?$",
    re.I,
)
_QUANTITY_PRICE = re.compile(
    r"(?<=\d)\s*(?:ea\.?|each|a piece|apiece|per piece|je Stück|pièce|cad\.?|c/u)\s*"
    r"(?:,|;|or|oder|ou|o)\s*(?:\d+\s*(?:for|für|pour|per|por|@)\s*\D{0,3}[\d.,]+)$",
    re.I,
)
_EACH = r"(?:\s*(?:/\s*)?(?:ea\.?|each|per (?:piece|item)|a piece|apiece))?"
_PENCE = re.compile(rf"(\d{{1,3}})\s?(?:p|pence){_EACH}", re.I)
_POUNDS_PENCE = re.compile(r"(£\s?\d+\.\d{2})\s?p(?=\s|$)", re.I)
_CENTS = re.compile(rf"(\d{{1,2}})\s?(?:c|¢|ct|cts|cents?){_EACH}\.?", re.I)
# 120:- and 45:50 are Swedish for 120,00 and 45,50 kronor.
_COLON = re.compile(r"(?<![\d:])(\d{1,3}(?:[ .]?\d{3})*):(-{1,2}|–|\d{2})(?![\d:])")


# Most prices: a figure, and a currency before or behind it.
_COIN = "(?:EUR|GBP|USD|CHF|SEK|NOK|DKK|PLN|CZK|[£€$])?"
_NOTHING = re.compile(rf"{_COIN}\s*[\d.,'’ ]+\s*{_COIN}")


@dataclass(frozen=True, slots=True)
class Coins:
    """A price in the small coin: its value in the whole one, and the currency where it is sure."""

    value: Decimal
    currency: str | None


def small_coins(text: str) -> Coins | None:
    """Return what `50p` and `99 cents` are; cents are those of several currencies."""
    if not text[-1:].isalpha() and text[-1:] not in "¢.":
        return None
    if match := _PENCE.fullmatch(text):
        return Coins(Decimal(match[1]) / 100, "GBP")
    if match := _CENTS.fullmatch(text):
        return Coins(Decimal(match[1]) / 100, None)
    return None


def bare(text: str) -> tuple[str, str]:
    """Return the price without what stands beside it, and what that says, for a warning."""
    if _NOTHING.fullmatch(text):
        return text, ""
    text = _BEFORE.sub("", _POUNDS_PENCE.sub(r"\1", text))
    text = _COLON.sub(lambda m: m[1] if m[2][0] in "-–" else f"{m[1]},{m[2]}", text)
    said = ""
    if match := _SENT.search(text):
        said = "is without carriage" if match["without"] else "includes carriage"
        text = text[: match.start()]
    if match := _QUANTITY_PRICE.search(text):
        return text[: match.start()], "is of a single piece; several cost less"
    if match := _OPEN.search(text):
        text = (text[: match.start()] + " " + text[match.end() :]).strip()
        said = "is open to offers"
    elif match := _FIRM.search(text):
        text = (text[: match.start()] + " " + text[match.end() :]).strip()
    return text.strip(" ,"), said
