"""Serial breaks and forms: which variant of a part a statement or a list row is for.

`before serial 412`, `from serial 412`, `serial 300-411`, `up to no. 411`, `ab Nr. 412` are ranges
of serial numbers. Any other text ("left hand") is kept as a form and compared as words only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from xref.errors import Impossible

_SERIAL = (
    r"(?:(?:serial|ser\.?|s/n|sn|no\.?|nr\.?|number|nos\.?|numbers|nummer|n°|machine|masch\.?"
    r"|série|serie|#)[\s:]*)*"
)
_NUMBER = r"(?P<{name}>[A-Za-z]{{0,4}}[-/ ]?\d[\d.,]*)"
_BEFORE = re.compile(
    rf"\b(?:before|prior\s+to|below|vor|avant)\s+{_SERIAL}{_NUMBER.format(name='n')}", re.I
)
_UP_TO = re.compile(
    rf"\b(?:up\s+to|to|until|till|through|thru|bis|jusqu'(?:à|au))\s+{_SERIAL}"
    rf"{_NUMBER.format(name='n')}",
    re.I,
)
_FROM = re.compile(
    rf"\b(?:from|since|starting|ab|von|dès|à\s+partir\s+d[eu])\s+(?:with\s+)?{_SERIAL}"
    rf"{_NUMBER.format(name='n')}",
    re.I,
)
_AFTER = re.compile(rf"\b(?:after|above|nach|après)\s+{_SERIAL}{_NUMBER.format(name='n')}", re.I)
_RANGE = re.compile(
    rf"{_SERIAL}{_NUMBER.format(name='low')}\s*(?:-|–|to|\.\.|bis)\s*{_SERIAL}"
    rf"{_NUMBER.format(name='high')}",
    re.I,
)
_ONWARDS = re.compile(
    rf"{_SERIAL}{_NUMBER.format(name='n')}\s*(?:and\s+(?:on|up|later)|on(?:wards?)?\b|up\b|\+|-\s*$)",
    re.I,
)
_ENDS = ((_BEFORE, "last", -1), (_UP_TO, "last", 0), (_FROM, "first", 0), (_AFTER, "first", 1))


@dataclass(frozen=True, slots=True)
class Variant:
    """A range of serial numbers (either end may be open) or a form in words.

    `prefix` is the letters before the digits of a serial number: ranges of different prefixes
    do not compare.
    """

    text: str
    first: int | None = None
    last: int | None = None
    prefix: str = ""

    @property
    def is_range(self) -> bool:
        """Whether serial numbers were recognised."""
        return self.first is not None or self.last is not None


_SERIAL_WORD = re.compile(r"serial|ser\.|s/n|\bsn\b|\bn[or]s?\b|n°|#|num", re.I)
_A_YEAR = "a year?"


def _number(written: str, text: str) -> tuple[str, int]:
    """Return prefix and number of a serial number.

    A bare figure that could be a year is marked, so that years and serial numbers do not compare.
    """
    number = int(re.sub(r"\D", "", written))
    letters = re.match(r"[A-Za-z]*", written)
    prefix = letters[0].upper() if letters else ""
    if not prefix and 1850 <= number <= 2050 and not _SERIAL_WORD.search(text):
        prefix = _A_YEAR
    return prefix, number


def variant(text: str) -> Variant:
    """Read a variant as written."""
    if found := _RANGE.search(text):
        prefix, one = _number(found["low"], text)
        return Variant(text.strip(), one, _number(found["high"], text)[1], prefix)
    first: int | None = None
    last: int | None = None
    prefix = ""
    for pattern, end, step in _ENDS:
        if found := pattern.search(text):
            prefix, number = _number(found["n"], text)
            if end == "last" and last is None:  # "prior to" is not also a "to"
                last = number + step
            elif end == "first" and first is None:
                first = number + step
    if first is None and last is None and (found := _ONWARDS.search(text)):
        prefix, first = _number(found["n"], text)
    return Variant(text.strip(), first, last, prefix)


def machine(serial: int | str) -> Variant:
    """Return the variant of one machine by its serial number; a form in words if it has no digit.

    Raises `Impossible` for an empty one.
    """
    text = str(serial).strip()
    if not text:
        raise Impossible("The serial number is empty; give it as it stands on the machine's plate.")
    if not any(c.isdigit() for c in text):
        return Variant(text)
    prefix, number = _number(text, "serial")
    return Variant(f"serial {text}", number, number, prefix)


def excludes(wanted: Variant, offered: Variant) -> bool:
    """Whether two serial ranges have no machine in common. Forms in words exclude nothing."""
    if not (wanted.is_range and offered.is_range) or wanted.prefix != offered.prefix:
        return False
    lows = [v.first for v in (wanted, offered) if v.first is not None]
    highs = [v.last for v in (wanted, offered) if v.last is not None]
    return bool(lows and highs) and max(lows) > min(highs)


def covers(outer: Variant, inner: Variant) -> bool:
    """Whether every machine of `inner` lies in `outer` (equal words for forms)."""
    if not (outer.is_range and inner.is_range):
        return outer.text.casefold() == inner.text.casefold()
    return (
        outer.prefix == inner.prefix
        and (outer.first is None or (inner.first is not None and inner.first >= outer.first))
        and (outer.last is None or (inner.last is not None and inner.last <= outer.last))
    )
