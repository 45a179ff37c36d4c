"""Is `1.200` twelve hundred or one point two: decided by the rest of the column, or not at all."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

# Spaces and apostrophes group thousands in several countries and are never a decimal sign.
_GROUPING = re.compile(r"(?<=\d)[\u0020\u00a0\u2009\u202f'’](?=\d{3}(?:\D|$))")
NUMBER = re.compile(r"\d+(?:[.,]\d+)*|[.,]\d+")


def decide(texts: Iterable[str]) -> str | None:
    """Return the decimal sign the cells prove, `.` or `,`; None if they prove none or both."""
    found: set[str] = set()
    for number in set(NUMBER.findall(_GROUPING.sub("", "\n".join(texts)))):
        if not number.isdecimal() and (sign := _proves(number)):
            found.add(sign)
        if len(found) == 2:
            return None
    return found.pop() if found else None


def _proves(number: str) -> str | None:
    """Return the decimal sign that this one number cannot be read without, else None."""
    signs = [character for character in number if character in ".,"]
    if not signs:
        return None
    last = signs[-1]
    if len(set(signs)) == 2:
        # 1.234,50: the last sign is the decimal one if it stands there once.
        return last if signs.count(last) == 1 else None
    parts = number.split(last)
    if len(signs) > 1:
        # 1.234.567: groups of three; so the other sign is the decimal one.
        grouped = all(len(part) == 3 for part in parts[1:]) and 1 <= len(parts[0]) <= 3
        return _other(last) if grouped else None
    if _could_be_thousands(parts):
        return None
    return last


def _could_be_thousands(parts: list[str]) -> bool:
    whole, after = parts
    return len(after) == 3 and 1 <= len(whole) <= 3 and not whole.startswith("0")


def _other(sign: str) -> str:
    return "," if sign == "." else "."


def number(text: str, sign: str | None) -> Decimal | None:
    """Return the value of `text`, one unsigned number; `sign` is the column's decimal sign.

    None when the number can be read in two ways and `sign` is None, or contradicts `sign`
    (`12.50` in a column of decimal commas), or is no number.
    """
    bare = _GROUPING.sub("", text.strip())
    if not NUMBER.fullmatch(bare):
        return None
    signs = [character for character in bare if character in ".,"]
    if not signs:
        return _decimal(bare)
    proved = _proves(bare)
    if proved is None and len(signs) == 1:
        proved = sign
    if proved is None:
        return None
    if sign is not None and proved != sign:
        return None
    thousands = _other(proved)
    whole, _, after = bare.partition(proved)
    if thousands in after or (thousands in whole and not _grouped(whole, thousands)):
        return None
    return _decimal(whole.replace(thousands, "") + ("." + after if after else ""))


def _grouped(whole: str, sign: str) -> bool:
    first, *rest = whole.split(sign)
    return 1 <= len(first) <= 3 and all(len(part) == 3 for part in rest)


def _decimal(text: str) -> Decimal | None:
    try:
        value = Decimal(text if not text.startswith(".") else "0" + text)
    except InvalidOperation:
        return None
    return value if value.is_finite() else None


def ambiguous(text: str) -> bool:
    """Whether `text` holds a number whose one sign may be decimal or thousands: `1.200`."""
    for match in NUMBER.finditer(_GROUPING.sub("", text)):
        signs = [character for character in match.group() if character in ".,"]
        if len(signs) == 1 and _proves(match.group()) is None:
            return True
    return False
