"""Which currency a sign or a word states; `$` and `kr` state none for certain."""

from __future__ import annotations

import re

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
SUGGESTS = {
    "$": ("USD",),
    "dollars": ("USD",),
    "kr": ("SEK", "NOK", "DKK"),
    "kr.": ("SEK", "NOK", "DKK"),
    "¥": ("JPY", "CNY"),
    "fr": ("CHF", "EUR"),
}
"""What a sign used by several countries may mean; only the user can say."""

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
        if code[1].upper() in CODES:
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


def doubt(sign: str) -> str:
    """Return the sentence about a sign that several countries use."""
    meant = " or ".join(SUGGESTS.get(sign, ("another currency",)))
    return f"{sign} may mean {meant}: currency unknown until --currency says it for the supplier"


def _without(text: str, match: re.Match[str]) -> str:
    return (text[: match.start()] + " " + text[match.end() :]).strip()
