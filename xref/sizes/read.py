"""`size` and `sizes`: written text to exact sizes."""

from __future__ import annotations

import re
from fractions import Fraction

from xref.errors import Impossible, NeedsAnswer
from xref.sizes.grammar import one
from xref.sizes.number import Cursor
from xref.sizes.settle import LARGEST_MM, resolve
from xref.sizes.several import separated, several, slashed
from xref.sizes.special import special
from xref.sizes.text import cleaned, tokens
from xref.sizes.value import MM_PER_INCH, Size, Unit, power_of_two

# The plain forms that fill the columns of tables; whatever they do not match takes the grammar.
_FRACTION = re.compile(r"(?:([1-9][0-9]{0,2})(-| ))?([1-9][0-9]?)/([1-9][0-9]?)( ?in| ?\"|)")
_DECIMAL = re.compile(r"([0-9]{1,3})(?:\.([0-9]{1,6}))?( ?mm| ?in| ?\"|)")


def _plain(text: str, unit: Unit | None) -> Size | None:
    """Return the size of a plain fraction or decimal that raises no question."""
    match = _DECIMAL.fullmatch(text)
    if match is not None:
        whole, places, mark = match.groups("")
        written: Unit | None = "mm" if mark[-2:] == "mm" else "in" if mark else unit
        if written is None or (unit is not None and written != unit):
            return None
        value = Fraction(int(whole + places), 10 ** len(places))
        if written == "in":
            value *= MM_PER_INCH
        if not 0 < value <= LARGEST_MM:
            return None
        form = "decimal" if places else "whole"
        return Size(value, value, value, written, text, form, None, len(places))
    match = _FRACTION.fullmatch(text)
    if match is None or unit == "mm":
        return None
    whole, _, over, under, _ = match.groups("")
    numerator, denominator = int(over), int(under)
    if numerator >= denominator or numerator % 2 == 0 or not power_of_two(denominator):
        return None
    value = Fraction((int(whole or 0) * denominator + numerator) * 127, denominator * 5)
    return Size(value, value, value, "in", text, "mixed number" if whole else "fraction")


def _checked(unit: str | None) -> None:
    if unit not in (None, "mm", "in"):
        raise Impossible(f"the unit {str(unit)[:20]!r} is not known; it is “mm” or “in”.")


def _sizes(text: str, unit: Unit | None) -> list[Size]:
    clean = cleaned(text)
    named = special(clean, unit)
    if named is not None:
        return named
    clean = slashed(clean) or clean
    found = tokens(clean)
    parts = separated(found)
    if len(parts) > 1:
        return several(parts, clean, unit)
    cursor = Cursor(found, clean)
    drafts, question = one(cursor)
    return [resolve(drafts, unit, text, question)]


def size(text: str, unit: Unit | None = None) -> Size:
    """Read one written size.

    Parameters
    ----------
    text : str
        The size as written: `2-3/8`, `60.31 mm`, `1.1875 +.001 -.000`, `25 k6`
    unit : "mm" or "in", optional
        Unit of the page or column, for a text without one. A unit in the text wins.

    Returns
    -------
    Size
        Exact limits and nominal size [mm], and how it was written

    Raises
    ------
    NeedsAnswer
        The text has more than one reading; `readings` holds them.
    Refused
        The text is no size; the message says why.

    Examples
    --------
    >>> size("2-3/8").nominal_mm
    60.325
    >>> print(size("1.1875 +.001 -.000"))
    1.1875 to 1.1885 in (30.1625 to 30.1879 mm)
    >>> size("60")
    Traceback (most recent call last):
    xref.errors.NeedsAnswer: “60”: it has no unit: millimetres or inches? \
It could be 60 mm (2.3622 in) or 60 in (1524 mm).
    """
    _checked(unit)
    plain = _plain(text, unit) if isinstance(text, str) else None
    if plain is not None:
        return plain
    found = _sizes(text, unit)
    if len(found) > 1:
        raise NeedsAnswer(
            f"“{text[:40]}” holds {len(found)} sizes: which of them is meant?",
            readings=tuple(found),
            code="size-several",
        )
    return found[0]


def sizes(text: str, unit: Unit | None = None) -> list[Size]:
    """Read all sizes of a text, in the order written; a single size gives a list of one.

    Parameters
    ----------
    text : str
        Sizes as written: `25x52x15`, `5/8 DIA x 1-1/4 LG`, `45/62/8`
    unit : "mm" or "in", optional
        Unit of the page or column, for a text without one. A unit in the text wins.

    Returns
    -------
    list of Size
        Exact sizes [mm], each with its label where one was written

    Raises
    ------
    NeedsAnswer
        More than one reading: `readings` holds all sizes of the first, then of the next.
    Refused
        The text holds no size.

    Examples
    --------
    >>> [each.nominal_mm for each in sizes("25x52x15")]
    [25.0, 52.0, 15.0]
    >>> [(each.label, str(each)) for each in sizes("5/8 DIA x 1-1/4 LG")]
    [('diameter', '5/8 in (15.875 mm)'), ('length', '1-1/4 in (31.75 mm)')]
    """
    _checked(unit)
    plain = _plain(text, unit) if isinstance(text, str) else None
    return [plain] if plain is not None else _sizes(text, unit)
