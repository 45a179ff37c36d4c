"""Part numbers: kept as written; what a spreadsheet made of one is set aside with the cure."""

from __future__ import annotations

import re

from xref.tables.cells.dates import MONTHS
from xref.tables.text import fold, foreign_letters, invisible, quoted, shown

CURE = "ask for the file again with this column as text"
LONGEST = 80

_ERROR = re.compile(
    r"#(?:N/?A|NV|N/D|REF!?|VALUE!?|WERT!?|VALEUR!?|VALOR!?|NAME\?|DIV/0!?|NUM!?|ZAHL!?|NULL!?|"
    r"BEZUG!?|SPILL!?|CALC!?)|#{2,}",
    re.I,
)
# A sign after the E is what a spreadsheet shows; `1E05` and `12E4` may be genuine numbers.
_SCIENTIFIC = re.compile(r"[-+]?\d(?:[.,]\d+)?E[+-]\d{1,3}", re.I)
_DAY_MONTH = re.compile(r"(\d{1,2})[-./ ]\s?([^\W\d_]{3,9})\.?(?:[-./ ](\d{2}|\d{4}))?")
_MONTH_DAY = re.compile(r"([^\W\d_]{3,9})\.?[-./ ](\d{2}|\d{4})")
_DATE_TIME = re.compile(r"\d{4}-\d{2}-\d{2}(?:[T ]\d{2}:\d{2}(?::\d{2})?)?")
_DATE = re.compile(r"(?:0?[1-9]|[12]\d|3[01])([/.])(?:0?[1-9]|[12]\d|3[01])\1(?:19|20)\d\d")
_NO_NUMBER = frozenset(
    [
        "na",
        "none",
        "unknown",
        "tba",
        "tbc",
        "tbd",
        "ohne",
        "without",
        "various",
        "diverse",
        "div",
        "sans",
        "senza",
        "sin",
        "utan",
        "ingen",
        "no",
        "number",
        "not",
        "known",
        "see",
        "note",
        "missing",
    ]
) | {"no number", "not known", "see note", "n a", "ohne nummer"}


def damage(text: str, flag: str | None = None) -> str | None:
    """Return why `text` cannot be a part number as its maker wrote it, or None.

    `flag` is what the workbook itself says of the cell (a real date, a number in E notation).
    """
    if flag in ("date", "scientific", "error", "more digits than a cell keeps"):
        return f"spreadsheet damage: the number became {_BECAME[flag]} ({shown(text)}); {CURE}"
    if text.isalnum() and text.isascii():
        return None
    if _ERROR.fullmatch(text):
        return f"spreadsheet damage: {shown(text)} stands where the number was; {CURE}"
    if _SCIENTIFIC.fullmatch(text):
        return f"spreadsheet damage: the number became {shown(text)}; {CURE}"
    if _is_date(text):
        return f"spreadsheet damage: the number became the date {shown(text)}; {CURE}"
    return None


_BECAME = {
    "date": "a date",
    "scientific": "a number in E notation",
    "error": "an error",
    "more digits than a cell keeps": "a figure whose last digits are lost",
}


def _is_date(text: str) -> bool:
    # A spreadsheet writes Mar, Mrz or mars, never MAR: capitals were typed by someone.
    if text.isupper():
        return False
    if _DATE_TIME.fullmatch(text) or _DATE.fullmatch(text):
        return True
    if (match := _DAY_MONTH.fullmatch(text)) and fold(match[2]) in MONTHS:
        return 1 <= int(match[1]) <= 31 and ("-" in text or match[3] is not None or "." in text)
    if (match := _MONTH_DAY.fullmatch(text)) and fold(match[1]) in MONTHS:
        return "-" in text
    return False


def states_none(text: str) -> bool:
    """Whether the cell says that there is no number: `n/a`, `-`, `none`."""
    folded = fold(text)
    return not folded or folded in _NO_NUMBER


def hints(text: str) -> tuple[str, ...]:
    """Return warnings about a number that is kept as it stands."""
    if text.isascii() and text.isprintable():
        return ()
    found = []
    if letters := foreign_letters(text):
        found.append(
            f"number {quoted(text)} holds letters of another alphabet ({letters}) that look "
            "Latin: it is another number"
        )
    if invisible(text):
        found.append(f"number {quoted(text)} holds characters that cannot be seen")
    return tuple(found)
