"""What a letterhead, a note or a section states of all prices: their currency and tax basis."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from xref.tables.cells import currency as currencies
from xref.tables.cells import tax as taxes
from xref.tables.text import fold, quoted

_LONGEST = 300
_PRICES = re.compile(
    r"\b(?:(?:list|unit|net|net+o|einzel|listen|verkaufs)?(?:prices?|pricing|preise?n?|preisliste)|"
    r"prix|tarifs?|prezzi?o?|listino|precios?|tarifa|prij[sz](?:en)?|prislista|priser?|priserna|"
    r"cen[ay]|cennik|hin(?:ta|nat)|amounts?|betrage|montants?|importi|importes|belopp|belob)\b"
)
_CURRENCY = re.compile(
    r"\b(?:currency|wahrung|waehrung|devise|monnaie|valuta|moneda|divisa|waluta|valuutta)\b"
)


@dataclass(frozen=True, slots=True)
class Stated:
    """`currency` and `tax` that hold for prices without their own, and what to tell the user."""

    currency: str | None = None
    tax: str | None = None
    notes: tuple[str, ...] = ()


def stated_in(texts: Iterable[str]) -> Stated:
    """Return what the texts around a list say of its prices; two answers are none.

    Only a text that speaks of prices or of a currency counts: `All prices in GBP excl. VAT`,
    `Preise in EUR`, or the cell behind `Currency:`. A `$` stays unknown (decision 8).
    """
    lines = list(texts)
    money: dict[str, str] = {}
    basis: dict[str, str] = {}
    notes: list[str] = []
    for place, text in enumerate(lines):
        if not text or len(text) > _LONGEST:
            continue
        words = fold(text)
        line = text
        if _CURRENCY.search(words):
            if len(words.split()) <= 2 and place + 1 < len(lines):
                line = f"{text} {lines[place + 1]}"[:_LONGEST]
        elif not _PRICES.search(words) and not taxes.in_prose(text):
            continue
        codes, sign = currencies.named_in(line)
        if not _PRICES.search(words) and not _CURRENCY.search(words):
            codes, sign = set(), None  # a line of tax alone: `VAT will be added`
        for code in codes:
            money.setdefault(code, line)
        if sign and not codes:
            notes.append(currencies.doubt(sign))
        if tax := taxes.in_prose(line):
            basis.setdefault(tax, line)
    if len(money) == 1:
        ((code, line),) = money.items()
        notes = [f"prices are taken in {code}, as the list says: {quoted(line, 80)}"]
    elif money:
        notes = [f"the list names {' and '.join(sorted(money))} for its prices: currency unknown"]
    if len(basis) == 1:
        ((tax, line),) = basis.items()
        notes.append(f"prices are taken with tax {tax}, as the list says: {quoted(line, 80)}")
    elif basis:
        notes.append("the list says both that tax is in its prices and that it is not: unknown")
    return Stated(
        next(iter(money)) if len(money) == 1 else None,
        next(iter(basis)) if len(basis) == 1 else None,
        tuple(notes),
    )
