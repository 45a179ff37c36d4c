"""Dates as written: ISO and stated forms; `03/04/2026` only where the column shows its order."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from xref.tables.text import fold, quoted

_MONTHS: dict[str, int] = {}
for _number, _names in enumerate(
    (
        "jan january januar janvier janv gennaio gen enero ene januari",
        "feb february februar fevrier fevr fev febbraio febrero februari",
        "mar march marz maerz mrz mars marzo maart mrt marts",
        "apr april avril avr aprile abril abr",
        "may mai maggio mag mayo mei maj",
        "jun june juni juin giugno giu junio",
        "jul july juli juillet juil luglio lug julio",
        "aug august aout agosto ago augustus augusti",
        "sep sept september septembre settembre set septiembre",
        "oct october okt oktober octobre ottobre ott octubre",
        "nov november novembre noviembre",
        "dec december dez dezember decembre dicembre dic diciembre des desember",
    ),
    start=1,
):
    for _name in _names.split():
        _MONTHS[_name] = _number
MONTHS = dict(_MONTHS)
"""Month names and their short forms, folded, in the languages of the headings."""

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?Z?)?")
_ISO_MONTH = re.compile(r"(\d{4})[-/](\d{1,2})")
_MONTH_YEAR = re.compile(r"(\d{1,2})[/.](\d{4})")
_NUMERIC = re.compile(r"(\d{1,2})([/.-])(\d{1,2})\2(\d{4}|\d{2})")


def day_first(texts: Iterable[str]) -> bool | None:
    """Return whether the column writes day before month, None if no cell shows it."""
    seen: set[bool] = set()
    for text in texts:
        if (match := _NUMERIC.fullmatch(text.strip())) and match[2] != ".":
            first, second = int(match[1]), int(match[3])
            if first > 12 >= second:
                seen.add(True)
            elif second > 12 >= first:
                seen.add(False)
    return seen.pop() if len(seen) == 1 else None


def read_date(text: str, first_is_day: bool | None = None) -> tuple[date | None, str | None]:
    """Return (date, warning); a month without a day is its first day, the cautious reading."""
    plain = text.strip()
    if not plain or fold(plain) in {"", "none", "n a", "na", "open", "unknown", "tbc"}:
        return None, None
    if match := _ISO.fullmatch(plain):
        return _made(text, int(match[1]), int(match[2]), int(match[3]))
    if match := _ISO_MONTH.fullmatch(plain):
        return _made(text, int(match[1]), int(match[2]), 1)
    if match := _MONTH_YEAR.fullmatch(plain):
        return _made(text, int(match[2]), int(match[1]), 1)
    if match := _NUMERIC.fullmatch(plain):
        return _numeric(text, match, first_is_day)
    return _named(text)


def _numeric(
    text: str, match: re.Match[str], first_is_day: bool | None
) -> tuple[date | None, str | None]:
    first, second, year = int(match[1]), int(match[3]), int(match[4])
    if len(match[4]) == 2:
        year += 2000 if year < 70 else 1900
    if match[2] == "." or first > 12 or first == second:
        return _made(text, year, second, first)
    if second > 12:
        return _made(text, year, first, second)
    if first_is_day is None:
        return None, f"date {quoted(text)} may be day or month first; write it as YYYY-MM-DD"
    day, month = (first, second) if first_is_day else (second, first)
    return _made(text, year, month, day)


def _named(text: str) -> tuple[date | None, str | None]:
    words = re.sub(r"(?<=\d)(?:st|nd|rd|th|er)\b", "", fold(text)).split()
    words = [word for word in words if word not in {"de", "of", "den", "del", "d"}]
    months = [MONTHS[word] for word in words if word in MONTHS]
    numbers = [word for word in words if word.isdecimal()]
    if len(months) == 1 and len(words) == len(numbers) + 1:
        years = [int(word) for word in numbers if len(word) == 4]
        days = [int(word) for word in numbers if len(word) <= 2]
        if len(numbers) == 2 and len(years) == 1 and len(days) == 1:
            return _made(text, years[0], months[0], days[0])
        if len(numbers) == 1 and len(years) == 1:
            return _made(text, years[0], months[0], 1)
    return None, f"date {quoted(text)} is not understood; write it as YYYY-MM-DD"


def _made(text: str, year: int, month: int, day: int) -> tuple[date | None, str | None]:
    try:
        return date(year, month, day), None
    except ValueError:
        return None, f"date {quoted(text)} is not in the calendar"
