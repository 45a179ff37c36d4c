"""Which currency a sign or a word states; `$` and `kr` state none for certain."""

from __future__ import annotations

import re
from functools import cache

from xref.tables.text import fold

# ISO 4217 codes of currencies in use, with those a stock list may still show.
CODES = frozenset(
    [
        "AED",
        "ARS",
        "AUD",
        "BGN",
        "BRL",
        "CAD",
        "CHF",
        "CLP",
        "CNY",
        "COP",
        "CZK",
        "DKK",
        "EGP",
        "EUR",
        "GBP",
        "HKD",
        "HRK",
        "HUF",
        "IDR",
        "ILS",
        "INR",
        "ISK",
        "JPY",
        "KES",
        "KRW",
        "MAD",
        "MXN",
        "MYR",
        "NGN",
        "NOK",
        "NZD",
        "PEN",
        "PHP",
        "PKR",
        "PLN",
        "RON",
        "RSD",
        "RUB",
        "SAR",
        "SEK",
        "SGD",
        "THB",
        "TRY",
        "TWD",
        "UAH",
        "USD",
        "UYU",
        "VND",
        "ZAR",
    ]
)
# Signs that belong to one currency. £ is written for others too, but they carry a letter (E£).
_SIGNS = {
    "€": "EUR", "£": "GBP", "US$": "USD", "A$": "AUD", "AU$": "AUD", "C$": "CAD", "CA$": "CAD",
    "NZ$": "NZD", "HK$": "HKD", "S$": "SGD", "R$": "BRL", "zł": "PLN", "zl": "PLN", "Kč": "CZK",
    "Kc": "CZK", "Ft": "HUF", "₹": "INR", "₽": "RUB", "₩": "KRW", "₪": "ILS", "₺": "TRY",
    "Fr.": "CHF", "SFr.": "CHF", "SFr": "CHF", "sFr.": "CHF", "stg": "GBP",
}  # fmt: skip
_WORDS = {
    "euro": "EUR", "euros": "EUR", "pounds": "GBP", "sterling": "GBP", "pound": "GBP",
    "pounds sterling": "GBP", "us dollars": "USD", "us dollar": "USD", "franken": "CHF",
    "swiss francs": "CHF", "pence": "", "cents": "", "cent": "",
}  # fmt: skip
# Words for currencies in running text, folded; the longest that stands there counts.
_NAMES = {
    "US dollar": "USD", "U.S. dollar": "USD", "dollar US": "USD", "American dollar": "USD",
    "dollari USA": "USD", "dollari americani": "USD", "dólares estadounidenses": "USD",
    "Canadian dollar": "CAD", "Australian dollar": "AUD", "New Zealand dollar": "NZD",
    "pound sterling": "GBP", "pounds sterling": "GBP", "sterling": "GBP", "British pound": "GBP",
    "UK pound": "GBP", "GB pound": "GBP", "livre sterling": "GBP", "libras esterlinas": "GBP",
    "pound": "GBP", "Pfund Sterling": "GBP", "sterline": "GBP", "euro": "EUR",
    "Swiss franc": "CHF", "Schweizer Franken": "CHF", "franc suisse": "CHF", "Franken": "CHF",
    "franchi svizzeri": "CHF", "Swedish kronor": "SEK", "svenska kronor": "SEK",
    "Swedish krona": "SEK", "Norwegian kroner": "NOK", "norske kroner": "NOK",
    "Danish kroner": "DKK", "danske kroner": "DKK", "zloty": "PLN", "złotych": "PLN",
    "złoty": "PLN", "Czech koruna": "CZK", "dollar": "$", "dollari": "$", "dólares": "$",
    "kronor": "kr", "kroner": "kr",
}  # fmt: skip
_WORDS_OF_PROSE = frozenset({"TRY", "ALL"})  # codes that are words where capitals are used
_SMALL_WORDS = frozenset(("cad", "try", "mad", "pen", "cop", "ron"))
"""Codes that in small letters are words: `0,40 cad.` is Italian for each."""
SUGGESTS = {
    "$": ("USD",),
    "dollars": ("USD",),
    "kr": ("SEK", "NOK", "DKK"),
    "kr.": ("SEK", "NOK", "DKK"),
    "¥": ("JPY", "CNY"),
    "fr": ("CHF", "EUR"),
}
"""What a sign used by several countries may mean; only the user can say."""

_CROWNS = frozenset(("SEK", "NOK", "DKK", "ISK"))
_DOLLARS = ("USD", "CAD", "AUD", "NZD", "HKD", "SGD", "MXN", "ARS", "CLP", "COP", "UYU", "TWD")
_USED_BY = {
    "$": frozenset(_DOLLARS),
    "kr": _CROWNS,
    "kr.": _CROWNS,
    "¥": frozenset(("JPY", "CNY")),
    "fr": frozenset(("CHF",)),
}

_CODE = re.compile(r"(?<![A-Za-z])([A-Za-z]{3})(?![A-Za-z])")
_SIGN = re.compile(
    "|".join(
        (rf"(?<![A-Za-z]){re.escape(sign)}" if sign[0].isalpha() else re.escape(sign))
        + (r"(?![A-Za-z])" if sign[-1].isalpha() else "")
        for sign in sorted((*_SIGNS, *SUGGESTS), key=len, reverse=True)
        if sign not in ("dollars",)
    )
)
_WORD = re.compile(
    r"\b(" + "|".join(sorted((*_WORDS, "dollars"), key=len, reverse=True)) + r")\b", re.I
)


def find(text: str) -> tuple[str | None, str | None, str]:
    """Return (currency, ambiguous sign, the text without either).

    `12.50 EUR` gives ("EUR", None, "12.50"); `$5` gives (None, "$", "5").
    """
    for code in _CODE.finditer(text):
        if code[1].upper() in CODES and not (code[1].islower() and code[1] in _SMALL_WORDS):
            return code[1].upper(), None, _without(text, code)
    if signed := _SIGN.search(text):
        sign = signed.group()
        if sign in _SIGNS:
            return _SIGNS[sign], None, _without(text, signed)
        return None, sign, _without(text, signed)
    if match := _WORD.search(text):
        word = match[1].casefold()
        if _WORDS.get(word):
            return _WORDS[word], None, _without(text, match)
        if word == "dollars":
            return None, "$", _without(text, match)
    return None, None, text


def read_currency(text: str) -> tuple[str | None, str | None]:
    """Return (currency, warning) of a cell in a currency column."""
    if not text:
        return None, None
    currency, sign, rest = find(text)
    if currency and not rest.strip(" .()[]"):
        return currency, None
    if sign:
        return None, doubt(sign)
    return None, f"currency {text[:20]!r} is not understood"


def may_mean(sign: str, currency: str) -> bool:
    """Whether a sign of several countries can stand for `currency`: `$` for CAD, not for EUR."""
    return currency in _USED_BY.get(sign, frozenset())


@cache
def _names() -> list[tuple[re.Pattern[str], str]]:
    """Return what finds each of `_NAMES` in folded text, long names first."""
    ordered = sorted(_NAMES.items(), key=lambda item: -len(item[0]))
    return [(re.compile(rf" {fold(name)}(?:e?s)? "), code) for name, code in ordered]


def named_in(text: str) -> tuple[set[str], str | None]:
    """Return the currencies a sentence names, and a sign in it that several countries use.

    >>> named_in("All prices in GBP"), named_in("Prices in $")
    (({'GBP'}, None), (set(), '$'))
    """
    codes = {
        match[1]
        for match in _CODE.finditer(text)
        if match[1] in CODES
        and (match[1] not in _WORDS_OF_PROSE or text[: match.start()].casefold().endswith("in "))
    }
    sign = None
    folded = f" {fold(text)} "
    for name, code in _names():
        if found := name.search(folded):
            folded = f"{folded[: found.start()]} | {folded[found.end() :]}"
            if code in CODES:
                codes.add(code)
            else:
                sign = sign or code
    for match in _SIGN.finditer(text):
        if match.group() in _SIGNS:
            codes.add(_SIGNS[match.group()])
        else:
            sign = sign or match.group()
    if sign and any(may_mean(sign, code) for code in codes):
        sign = None
    return codes, sign


def doubt(sign: str) -> str:
    """Return the sentence about a sign that several countries use."""
    meant = " or ".join(SUGGESTS.get(sign, ("another currency",)))
    return f"{sign} may mean {meant}: currency unknown until --currency says it for the supplier"


def _without(text: str, match: re.Match[str]) -> str:
    return (text[: match.start()] + " " + text[match.end() :]).strip()
