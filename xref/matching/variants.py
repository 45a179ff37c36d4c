"""Serial breaks and forms: which variant of a part a statement or a list row is for.

`before serial 412`, `from serial 412`, `serial 300-411`, `up to no. 411`, `ab Nr. 412`, `>= 412`
and `412 and later` are ranges of serial numbers. Any other text ("left hand") is kept as a form
and compared as words only.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from xref.errors import Impossible

_SERIAL = (
    r"(?:(?:the|serial|ser\.?|s/n|sn|no\.?|nr\.?|n[oº]|number|nos\.?|numbers|nummer|numéro|n°"
    r"|machine|machines|masch\.?|maschine|engine|chassis|frame|unit|série|serie|#)[\s:.]*+)*+"
)
# A figure with a unit behind it is a size and no serial number.
_NUMBER = (
    r"(?P<{name}>[A-Za-z]{{0,4}}[-/ ]?\d(?:\d|[.,](?=\d))*+)"
    r"(?!\s*(?:mm|cm|in\b|inch|\"|″|kg|hp\b|ps\b|kw\b|rpm|°|%|v\b|volt))"
)
_INCLUDING = r"(?:(?:and\s+|und\s+)?(?:incl(?:\.|uding)?|einschl(?:\.|ie(?:ß|ss)lich)?)\s+)?"


def _after_words(words: str) -> re.Pattern[str]:
    """Return the pattern of a number behind one of these words."""
    number = _NUMBER.format(name="n")
    return re.compile(rf"(?:{words})\s*{_INCLUDING}{_SERIAL}{number}", re.IGNORECASE)


# What the words in front of a number mean: which end it is, and how far from it that end lies.
# The first that matches an end decides it; negations come first, for they hold the plain words.
_ENDS = (
    (_after_words(r"\b(?:not\s+before|not?\s+earlier\s+than|nicht\s+vor)\b"), "first", 0),
    (_after_words(r"\b(?:not\s+after|not?\s+later\s+than|nicht\s+nach)\b"), "last", 0),
    (
        _after_words(
            r"\b(?:before|prior(?:\s+to)?|pre|below|under|(?:earlier|lower|less)\s+than|vor|unter"
            r"|avant|prima\s+d[ei]l?|antes\s+del?|voor)\b-?|<(?!=)"
        ),
        "last",
        -1,
    ),
    (
        _after_words(
            r"\b(?:up\s+to(?:\s+and)?|to|until|till|through|thru|bis(?:\s+zu)?|jusqu['’](?:à|au)"
            r"|fino\s+a|hasta|t/m|tot\s+en\s+met)(?!\w)|<=|≤"
        ),
        "last",
        0,
    ),
    (
        _after_words(
            r"\b(?:from|since|as\s+of|(?:starting|beginning|commencing)(?:\s+(?:with|at|from))?|ab"
            r"|von|dès(?:\s+le)?|(?:à\s+)?partir\s+d[eu]|a\s+partire\s+da|da|dal|desde|vanaf)"
            r"\b(?:\s+with)?|>=|≥"
        ),
        "first",
        0,
    ),
    (
        _after_words(
            r"\b(?:after|above|over|(?:later|higher|greater)\s+than|post|nach|über|après|dopo"
            r"|después\s+de)\b-?|>(?!=)"
        ),
        "first",
        1,
    ),
)
_RANGE = re.compile(
    rf"{_SERIAL}{_NUMBER.format(name='low')}\s*(?:-|–|to|\.\.+|…|bis|and\s+up\s+to)\s*{_SERIAL}"
    rf"{_NUMBER.format(name='high')}",
    re.IGNORECASE,
)
_BETWEEN = re.compile(
    rf"\b(?:between|zwischen|entre)\s+{_SERIAL}{_NUMBER.format(name='low')}\s+(?:and|und|et)\s+"
    rf"{_SERIAL}{_NUMBER.format(name='high')}",
    re.IGNORECASE,
)
_ONWARDS = re.compile(
    rf"{_SERIAL}{_NUMBER.format(name='n')}\s*(?:(?:and|&|und|et)\s+(?:on|up|upwards?|later|after"
    r"|above|over|subsequent|höher|später|folgende|suivants?)\b|on(?:wards?)?\b|up(?:wards?)?\b"
    r"|ff\b|\+|-\s*$)",
    re.IGNORECASE,
)
_AND_EARLIER = re.compile(
    rf"{_SERIAL}{_NUMBER.format(name='n')}\s*(?:and|&|und|et)\s+(?:earlier|before|below|prior"
    r"|previous|older|under|lower|down|früher|älter|antérieurs?)\b",
    re.IGNORECASE,
)
_ONE = re.compile(
    rf"^(?:only\s+)?(?:serial|ser\.|s/n|sn\b|machine)\s*{_SERIAL}{_NUMBER.format(name='n')}"
    r"(?:\s+only)?$",
    re.IGNORECASE,
)


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
_LONGEST = 200


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


@lru_cache(maxsize=4096)
def variant(text: str) -> Variant:
    """Read a variant as written; what stands beyond its first two hundred characters is words."""
    plain, text = text.strip(), text[:_LONGEST]
    if found := _RANGE.search(text) or _BETWEEN.search(text):
        prefix, one = _number(found["low"], text)
        return Variant(plain, one, _number(found["high"], text)[1], prefix)
    if found := _AND_EARLIER.search(text):
        prefix, number = _number(found["n"], text)
        return Variant(plain, None, number, prefix)
    ends: dict[str, int] = {}
    prefix, rest = "", text
    for pattern, end, step in _ENDS:
        if end not in ends and (found := pattern.search(rest)):
            prefix, number = _number(found["n"], text)
            ends[end] = number + step
            # "prior to" is not also a "to", nor "not before" a "before"
            rest = f"{rest[: found.start()]} ; {rest[found.end() :]}"
    if not ends and (found := _ONWARDS.search(text)):
        prefix, ends["first"] = _number(found["n"], text)
    if not ends and (found := _ONE.match(plain)):
        prefix, number = _number(found["n"], text)
        ends = {"first": number, "last": number}
    return Variant(plain, ends.get("first"), ends.get("last"), prefix)


def machine(serial: int | str) -> Variant:
    """Return the variant of one machine by its serial number; a form in words if it has no digit.

    Raises `Impossible` for an empty one, or one longer than any plate.
    """
    text = str(serial).strip()
    if not text:
        raise Impossible("The serial number is empty; give it as it stands on the machine's plate.")
    if len(text) > _LONGEST:
        raise Impossible(
            f"A serial number of {len(text):,} characters stands on no plate; give it as it "
            "stands there."
        )
    if not any(c.isdecimal() for c in text):
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
