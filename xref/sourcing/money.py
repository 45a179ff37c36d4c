"""Money typed by the user: exact decimals to the cent, and the user's own rate table.

Rates are never looked up: the user states them in a file, so that a plan can be repeated.
"""

from __future__ import annotations

import csv
import re
from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from pathlib import Path

from xref.errors import Impossible, NeedsAnswer, Refused

_CENT = Decimal("0.01")
_AMOUNT = re.compile(r"\d{1,10}(\.\d{1,2})?")
_FREE = {"free", "gift"}
_MOST_CURRENCIES = 1000


def amount(text: str | Decimal | None, what: str = "price") -> Decimal | None:
    """Read `12.5` or `12.50` to the cent; `free` is zero; None stays None.

    Raises Impossible for a negative or zero amount, a decimal comma, or parts of a cent.
    A typed 0 is refused because lists print it for "no price": a gift is written `free`.
    """
    if text is None:
        return None
    plain = str(text).strip()
    if plain.lower() in _FREE:
        return Decimal("0.00")
    if not _AMOUNT.fullmatch(plain):
        raise Impossible(
            f"the {what} {plain!r} is not an amount to the cent: write 12.50 (with a point, "
            "without a currency sign)",
            at=what,
            code="impossible-price",
        )
    value = Decimal(plain).quantize(_CENT)
    if value == 0 and what == "price":
        raise Impossible(
            "a price of 0 usually means that none was given: leave the price out, "
            "or write free if the part is given away",
            at=what,
            code="impossible-price",
        )
    return value


def currency_code(text: str | None) -> str | None:
    """Return the three-letter currency code in capitals (ISO 4217 form); None stays None."""
    if text is None:
        return None
    code = text.strip().upper()
    if not re.fullmatch(r"[A-Z]{3}", code):
        raise Impossible(
            f"the currency {text!r} is not a three-letter code: write EUR, GBP or USD",
            at="currency",
            code="impossible-currency",
        )
    return code


def read_rates(path: Path) -> dict[str, Decimal]:
    """Read the user's rate table: a CSV with the headings `currency,rate`.

    A rate says how much of the plan's currency one unit of the other buys; the plan's own
    currency stands there with 1. Raises Refused for a file that is not such a table.
    """
    try:
        with path.open(newline="", encoding="utf-8-sig") as file:
            reader = csv.DictReader(file)
            headings = [h.strip().lower() for h in (reader.fieldnames or [])]
            if "currency" not in headings or "rate" not in headings:
                raise Refused(
                    f"the rate table {path} needs the headings currency,rate; "
                    f"it has {', '.join(headings) or 'none'}"
                )
            rates: dict[str, Decimal] = {}
            for line in reader:
                cells = {
                    (k or "").strip().lower(): (v or "")
                    for k, v in line.items()
                    if not isinstance(v, list)
                }
                code, rate = _rate(cells["currency"], cells["rate"], path, reader.line_num)
                if rates.get(code, rate) != rate:
                    raise Refused(f"{path}, line {reader.line_num}: {code} has two rates")
                rates[code] = rate
                if len(rates) > _MOST_CURRENCIES:
                    raise Refused(f"{path} holds more than {_MOST_CURRENCIES} currencies")
            return rates
    except OSError as error:
        reason = error.strerror or "it cannot be opened"
        raise Refused(f"the rate table {path} cannot be read: {reason}") from None
    except (UnicodeDecodeError, csv.Error):
        raise Refused(f"the rate table {path} is not a UTF-8 text table") from None


def _rate(code_text: str, rate_text: str, path: Path, line: int) -> tuple[str, Decimal]:
    code = currency_code(code_text)
    try:
        rate = Decimal(rate_text.strip())
    except InvalidOperation:
        rate = Decimal(0)
    if code is None or not rate.is_finite() or rate <= 0:
        raise Refused(f"{path}, line {line}: {rate_text!r} is not a rate above zero")
    return code, rate


def convert(value: Decimal, currency: str, target: str, rates: dict[str, Decimal]) -> Decimal:
    """Return `value` in `target`, rounded half up to the cent.

    Raises NeedsAnswer when the table holds no rate for `currency`.
    """
    if currency == target:
        return value
    if currency not in rates:
        raise NeedsAnswer(
            f"prices in {currency} cannot be compared with {target}: give the rate in a file "
            f"with the headings currency,rate and a line {currency},RATE (--rates FILE)",
            at="currency",
            code="rate-missing",
        )
    per_target = rates.get(target, Decimal(1))
    return (value * rates[currency] / per_target).quantize(_CENT, ROUND_HALF_UP)


def minor(value: Decimal) -> int:
    """Return an amount to the cent as whole cents."""
    return int((value / _CENT).to_integral_exact())


def major(cents: int) -> Decimal:
    """Return whole cents as an amount."""
    return (Decimal(cents) * _CENT).quantize(_CENT)
