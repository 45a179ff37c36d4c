"""What a spreadsheet's number format adds to a number: leading zeros, units, currency, fractions.

Only what carries meaning is restored. Decimals are never rounded away (12.7 under the format
`0` stays 12.7) and no thousands separators are put in (they would have to be guessed apart
again). Format codes: ECMA-376 part 1, 18.8.31.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import isfinite

from xref.tables.formats.grid import ROUNDED, SCIENTIFIC

Shown = tuple[str, str | None]
"""Text of a cell and its flag."""

_BUILTIN = {9: "0%", 10: "0.00%", 11: "0.00E+00", 12: "# ?/?", 13: "# ??/??", 48: "##0.0E+0"}
# 5 to 8, 37 to 44 are the currency of whoever looks: unknown, so nothing is restored.


def number_text(value: float) -> str:
    """Return a number as a cell shows it: 15 significant digits, no exponent.

    >>> number_text(12.699999999999999), number_text(5.0), number_text(1e-05)
    ('12.7', '5', '0.00001')
    """
    if value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    text = f"{value:.15g}"
    return f"{Decimal(text):f}" if "e" in text else text


def plain(value: float) -> Shown:
    """Return a number without a format; a whole number beyond 15 digits is flagged."""
    if not isfinite(value):
        return "", None
    return number_text(value), ROUNDED if abs(value) >= 1e15 else None


def builtin_code(format_id: int) -> str | None:
    """Return the code of a format that files name by number only, where it carries meaning."""
    return _BUILTIN.get(format_id)


@lru_cache(maxsize=1024)
def renderer(code: str) -> Callable[[float], Shown] | None:
    """Return what turns a number into text under the format `code`, None if `number_text` does."""
    if len(code) > 255:
        return None
    sections = _sections(code)
    parts = _parts(sections[0])
    if parts is None:
        return None
    before, digits, after = parts
    if "/" in digits:
        return _fraction(digits, before, after)
    if "E" in digits.upper():
        return _scientific(digits)
    whole, _, decimals = digits.partition(".")
    zeros = sum(c == "0" for c in whole)
    literal = before.strip() or after.strip()
    inner = re.search(r"[^0#?,. ]", digits) is not None
    if zeros < 2 and not literal and not inner:
        return None
    percent = "%" in before + after
    places = sum(c == "0" for c in decimals)

    def render(value: float) -> Shown:
        text, flag = plain(abs(value) * 100 if percent else abs(value))
        if inner and "." not in text:
            text = _into_mask(digits, text)
        else:
            integer, _, rest = text.partition(".")
            rest = rest.ljust(places, "0") if literal and not percent else rest
            text = integer.zfill(zeros) + (f".{rest}" if rest else "")
        return f"{'-' if value < 0 else ''}{before}{text}{after}".strip(), flag

    if inner or percent:
        return render
    start, end = before.lstrip(), after.rstrip()
    # The same for the common numbers, at a quarter of the cost.
    if not literal:
        places = 0

    def render_fast(value: float) -> Shown:
        text = f"{value:.{places}f}"
        if 0 <= value < 1e15 and float(text) == value:
            return f"{start}{text.zfill(zeros) if not places else text}{end}", None
        return render(value)

    return render_fast if zeros < 2 or not places else render


def _sections(code: str) -> list[str]:
    """Split at the semicolons that stand outside quotation marks and brackets."""
    return re.findall(r'(?:"[^"]*"|\[[^\]]*\]|\\.|[^;])+', code) or [""]


def _parts(section: str) -> tuple[str, str, str] | None:
    """Return (text before, digit places, text after), None for General, text and dates."""
    before, digits, after = "", "", ""
    pending = ""
    for match in re.finditer(
        r'"([^"]*)"|\\(.)|\[\$([^\]-]*)[^\]]*\]|\[[^\]]*\]|_(.)|\*(.)|(General)|(.)', section
    ):
        quoted, escaped, currency, space, fill, general, bare = match.groups()
        if general:
            digits += "#"
            continue
        text = quoted if quoted is not None else escaped or currency or ""
        if space or fill:
            continue
        if bare:
            if bare in "0#?" or (bare in "Ee+" and digits) or (bare in ",./" and digits):
                digits += pending + bare
                pending = ""
                continue
            if bare in "@dDmMyYhHsSaAgGbB":
                return None
            if bare.isdecimal() and "/" in digits:  # the denominator of `# ?/16`
                digits += bare
                continue
            text = bare
        if digits:
            pending += text
        else:
            before += text
    after = pending
    return (before, digits, after) if digits else None


def _into_mask(digits: str, text: str) -> str:
    """Put digits into a mask with text between them, from the right: 000-000, 00/000/0.

    >>> _into_mask("000-000", "4071")
    '004-071'
    """
    places = [i for i, c in enumerate(digits) if c in "0#?"]
    left = list(text)
    out: list[str] = []
    for i in range(len(digits) - 1, -1, -1):
        c = digits[i]
        if i == places[0]:
            out.extend(reversed(left))
            left = []
            if not text or (c == "0" and len(text) < len(places)):
                out.append("0")
        elif c in "0#?":
            out.append(left.pop() if left else "0" if c == "0" else "")
        elif c != ",":
            out.append(c)
    return "".join(reversed(out))


def _fraction(digits: str, before: str, after: str) -> Callable[[float], Shown]:
    """Show a number as the fraction it is; one that needs a larger denominator stays decimal."""
    mixed = " " in digits or "/" not in digits.split(" ")[0]
    below = digits.partition("/")[2]
    largest = int(below) if re.fullmatch(r"[1-9]\d{0,3}", below) else 10 ** min(3, len(below)) - 1

    def render(value: float) -> Shown:
        exact = Fraction(abs(value)).limit_denominator(max(1, largest))
        text, flag = plain(value)
        if abs(float(exact) - abs(value)) > 1e-9:
            return f"{before}{text}{after}".strip(), flag
        whole, rest = divmod(exact.numerator, exact.denominator)
        if not rest:
            shown = str(whole)
        elif mixed and whole:
            shown = f"{whole} {rest}/{exact.denominator}"
        else:
            shown = f"{exact.numerator}/{exact.denominator}"
        return f"{'-' if value < 0 else ''}{before}{shown}{after}".strip(), flag

    return render


def _scientific(digits: str) -> Callable[[float], Shown]:
    mantissa = digits.upper().partition("E")[0]
    places = len(mantissa.partition(".")[2])

    def render(value: float) -> Shown:
        text = f"{value:.{places}E}"
        if float(text) != value:
            text = number_text(value)
        return text, SCIENTIFIC

    return render
