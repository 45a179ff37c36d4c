"""What one piece costs by a cell, as written; a cell that states no price has none."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from xref.tables.cells import currency as currencies
from xref.tables.cells import decimals, price_words, tax
from xref.tables.text import quoted


@dataclass(frozen=True, slots=True)
class Price:
    """`value` of one piece (None: no price), with what the cell itself says of it."""

    value: Decimal | None
    words: str | None = None
    currency: str | None = None
    sign: str | None = None
    tax: str | None = None
    warnings: tuple[str, ...] = ()


NO_PRICE = Price(None)
_LONGEST = 200

# Most cells of most lists; whatever this does not match takes the long way.
_USUAL = re.compile(r"([£€])?([1-9][0-9]{0,5}\.[0-9]{2})")
# A figure that no rule reads by its digits, but only by what stands around it: `£12.50 per 10`.
_FIGURE = re.compile(r"([^0-9]{0,12})([1-9][0-9]{0,5}\.[0-9]{2})((?:[^0-9.,].{0,24})?)", re.DOTALL)
_USUAL_SIGNS = {"£": "GBP", "€": "EUR"}

# Money before decimal coinage: pounds-shillings-pence, shillings/pence, `6d`, `12/-`.
_OLD_MONEY = re.compile(
    r"£?\s*\d+\s*-\s*\d{1,2}\s*-\s*\d{1,2}(?:\s*[½¼¾]|\s*\d⁄\d)?"
    r"|£?\s*(?:\d+\s*/)?\s*\d{1,3}\s*/\s*(?:-|=|\d{1,2}(?:\s*[½¼¾]|\s*\d⁄\d)?)(?:\s*d)?"
    r"|(?:£?\s*\d+\s*(?:£|l)\s*)?\d{1,3}\s*s(?:h|hillings?)?\.?(?:\s*\d{1,2}(?:\s*\d⁄\d)?\s*d\.?)?"
    r"|(?:£\s*\d+[ .]*)\d{1,2}\s*s\.?\s*\d{1,2}\s*d\.?"
    r"|\d{1,2}(?:\s*\d⁄\d)?\s*d\.?"
    r"|\d+\s*(?:guineas?|gns?\.?)",
    re.I,
)
_NUM = r"\d[\d.,'’  ]*\d|\d|[.,]\d+"
_PIECE = (
    r"(?:pcs?|pces?|pieces?|off|ea|each|units?|items?|stk|stck|stück|st|pièces?|pz|pezz[io]|uds?|"
    r"unid|unidade?|unité|stuks?|styck|kpl|szt|sztuk[aęi]|ks|kus|chacun|cad(?:auno|a)?|c/u|no)\.?"
)
_EACH = re.compile(
    rf"(?:^|(?<=[\d\s.,-]))(?:/|per|pro|je|a|the|à|par|al|la|l['’]|za|por|@)?\s*(?:(?<=[^\d.,])1\s+)?{_PIECE}$"
    rf"|^(?:each|ea\.?|@|à|je|only|now)\s+",
    re.I,
)
_PER = re.compile(
    rf"^({_NUM})\s*(?:/|per|pro|je|für|for|a|the|par|pour|los|por|al|p\.)\s*"
    rf"(?:(\d+|1[., ]000)\s*(?:{_PIECE})?|(pair|pr|paar|paire|par|paio|pareja|pár|para)"
    rf"|(doz(?:en)?|dz|dutzend|douzaine|dozzina|docena)"
    rf"|(hundred|c|%|hundert|cent|hundra)|(thousand|mille|tausend))\.?$",
    re.I,
)
_PAIR = re.compile(
    rf"^({_NUM})\s*[(\[]?(?:a|the|/)?\s*(?:pairs?|prs?|paar|paire|paio|pareja)\.?[)\]]?$", re.I
)
_FOR = re.compile(
    rf"^(\d+)\s*(?:{_PIECE})?\s*(?:for|für|fuer|pour|per|por|voor|för)\s*({_NUM})$", re.I
)
_SLASH_PRICE = re.compile(r"^(\d{1,3})\s*/\s*(?=[£€$])")  # 3/£1.50
_NOT_EACH = re.compile(
    r"(?:/|per|pro|je|a|the|par)\s*(?:set|kit|box|pack|pkt|m|mtr|metre|meter|ft|foot|kg|lb|satz|jeu|lot|roll)s?\.?$",
    re.I,
)
_TRAILING = re.compile(r"[,.]\s*[-–—=]{1,2}$|(?<![.,]\d)(?<![.,]\d\d)(?<=\d)[-–—]+$")
_FROM = re.compile(
    r"^(?:from|ab|ab:|dès|a partire da|desde|vanaf|från|fra|approx\.?|ca\.?|circa|about|~)\s*", re.I
)
_RANGE = re.compile(rf"^({_NUM})\s*(?:-|–|to|bis|à)\s*({_NUM})$", re.I)
_NEGATIVE = re.compile(rf"^(?:[-−]\s*(?:{_NUM})|\(\s*(?:{_NUM})\s*\)|(?:{_NUM})-)$")


def read_price(text: str, sign: str | None = None) -> Price:
    """Return the price of one piece that `text` states; `sign` is the column's decimal sign."""
    if not text:
        return NO_PRICE
    if (match := _USUAL.fullmatch(text)) and sign != ",":
        words = text if match[1] else None
        return Price(Decimal(match[2]), words, _USUAL_SIGNS.get(match[1] or ""))
    if match := _FIGURE.fullmatch(text):
        before, figure, after = match.groups()
        form = _form(before, len(figure) - 3, after, sign)
        if form is not None:
            return form.of(Decimal(figure), text)
    return _read(text, sign)


@dataclass(frozen=True, slots=True)
class _Form:
    """What all prices mean that differ from `sample` in the digits of their one figure only."""

    sample: str
    read: Price
    pieces: Decimal

    def of(self, figure: Decimal, text: str) -> Price:
        read = self.read
        value = read.value
        if value is not None:
            value = figure if self.pieces == 1 else divide(figure, self.pieces)
        words = text if read.words == self.sample else read.words
        said = tuple(w.replace(quoted(self.sample), quoted(text)) for w in read.warnings)
        return Price(value, words, read.currency, read.sign, read.tax, said)


@lru_cache(maxsize=4096)
def _form(before: str, digits: int, after: str, sign: str | None) -> _Form | None:
    """Read one price of a form; None where its figure is not simply divided."""
    figure = Decimal(f"{'7' * digits}.77")
    sample = f"{before}{figure}{after}"
    read = _read(sample, sign)
    pieces = Decimal(1) if read.value is None else (figure / read.value).to_integral_value()
    known = read.value in (None, figure if pieces == 1 else divide(figure, pieces))
    return _Form(sample, read, pieces) if known else None


def _read(text: str, sign: str | None) -> Price:
    plain = unicodedata.normalize("NFKC", text).strip()
    if not any(character.isdigit() for character in plain):
        stated, doubtful, _ = currencies.find(plain)
        return Price(None, text, stated, doubtful)
    if len(plain) > _LONGEST:
        return Price(None, text, warnings=(f"price {quoted(text)} is too long for a price",))
    if _OLD_MONEY.fullmatch(plain):
        return Price(
            None, text, warnings=(f"{quoted(text)} is money before decimal coinage: no price",)
        )
    if coins := price_words.small_coins(plain):
        return Price(coins.value or None, text, coins.currency)
    plain = _SLASH_PRICE.sub(r"\1 for ", plain)
    basis, rest = tax.find(plain)
    rest, beside = price_words.bare(rest)
    stated, doubtful, rest = currencies.find(rest)
    rest = _TRAILING.sub("", rest.strip(" :;")).strip()
    # `£5 for 2` is the price of two, `2 for £5` two for the price: the sign stands by the price.
    leads = rest != plain and not plain[0].isdigit()
    value, warning = _value(rest, sign, text, price_leads=leads)
    if value == 0:
        return Price(None, text, stated, doubtful, basis)
    said = [warning] if warning else []
    if value is not None and beside:
        said.append(f"price {quoted(text)} {beside}")
    plainly = _plain(text)
    return Price(
        value,
        None if value is not None and plainly else text,
        stated,
        doubtful,
        basis,
        tuple(said),
    )


def _plain(text: str) -> bool:
    return decimals.NUMBER.fullmatch(text) is not None


def _value(
    text: str, sign: str | None, said: str, *, price_leads: bool
) -> tuple[Decimal | None, str]:
    """Return (price of one piece or None, what to tell the user about it or an empty text)."""
    if not price_leads and (match := _FOR.match(text)):
        return _divided(match[2], Decimal(match[1]), sign, said)
    if match := _PER.match(text):
        return _divided(match[1], _pieces(match), sign, said)
    if match := _PAIR.match(text):
        return _divided(match[1], Decimal(2), sign, said)
    if _NOT_EACH.search(text):
        return None, f"price {quoted(said)} is not for one piece; kept as words, no price"
    if _NEGATIVE.match(text):
        return None, f"price {quoted(said)} is negative; kept as words, no price"
    bare = _EACH.sub("", text).strip()
    about = _FROM.sub("", bare)
    if _RANGE.match(about):
        return None, f"price {quoted(said)} is a range; kept as words, no price"
    value, why = _number(about, sign, said)
    if value is not None and about != bare:
        return value, f"price {quoted(said)} is not exact"
    return value, why


def _pieces(match: re.Match[str]) -> Decimal:
    if match[2]:
        return Decimal(re.sub(r"\D", "", match[2]))
    pieces = 2 if match[3] else 12 if match[4] else 100 if match[5] else 1000
    return Decimal(pieces)


def _divided(text: str, pieces: Decimal, sign: str | None, said: str) -> tuple[Decimal | None, str]:
    value, why = _number(text, sign, said)
    if value is None:
        return None, why
    if pieces == 0:
        return None, f"price {quoted(said)} is for no pieces; kept as words, no price"
    if pieces == 1:
        return value, ""
    return divide(value, pieces), f"price {quoted(said)} is for {pieces} pieces, divided"


def divide(value: Decimal, pieces: Decimal) -> Decimal:
    """Return the price of one piece, exact where it ends within six places, else rounded there."""
    each = (value / pieces).quantize(Decimal("0.000001"))
    return each.normalize() if each != each.to_integral() else each.quantize(Decimal(1))


def _number(text: str, sign: str | None, said: str) -> tuple[Decimal | None, str]:
    value = decimals.number(text, sign)
    if value is not None:
        return value, ""
    if sign is None and decimals.NUMBER.fullmatch(text) and decimals.ambiguous(text):
        return None, (
            f"price {quoted(said)} may be thousands or a decimal (say which with --decimal); "
            "no price"
        )
    return None, f"price {quoted(said)} is not understood; kept as words, no price"
