"""One written number with its unit: whole, decimal, fraction, mixed number, feet and inches.

A number that can be read in two ways keeps all readings; the grammar asks.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from xref.errors import Refused
from xref.sizes.text import Token
from xref.sizes.value import Unit, power_of_two

_SCALES: dict[str, tuple[Fraction, Unit]] = {
    "mm": (Fraction(1), "mm"),
    "cm": (Fraction(10), "mm"),
    "µm": (Fraction(1, 1000), "mm"),
    "in": (Fraction(1), "in"),
    "ft": (Fraction(12), "in"),
    "thou": (Fraction(1, 1000), "in"),
    "tenth": (Fraction(1, 10_000), "in"),
}


@dataclass(slots=True)
class Written:
    """A number as written: exact value, how it was written, the unit if one stood there."""

    value: Fraction
    kind: str  # "whole", "decimal", "fraction", "mixed number"
    decimals: int | None = None
    unit: Unit | None = None
    bare_point: bool = False  # .375
    comma: bool = False  # 12,7
    scale: Fraction = Fraction(1)  # of its own unit: a thou is 1/1000 in
    others: list[tuple[Fraction, Unit | None]] = field(default_factory=list)
    question: str | None = None
    notes: list[str] = field(default_factory=list)

    @property
    def inch_by_form(self) -> bool:
        """A fraction without a unit mark is an inch fraction (common practice)."""
        return self.unit is None and self.kind in ("fraction", "mixed number")

    @property
    def leading_zero(self) -> bool:
        """A decimal below one with its zero before the point: 0.02, not .02."""
        return self.kind == "decimal" and not self.bare_point and 0 < self.value < 1


class Cursor:
    """A place in the tokens of one text."""

    __slots__ = ("at", "found", "text")

    def __init__(self, found: list[Token], text: str) -> None:
        self.found = found
        self.text = text
        self.at = 0

    def kind(self, ahead: int = 0) -> str:
        """Kind of the token `ahead` places on; "end" behind the last."""
        at = self.at + ahead
        return self.found[at].kind if at < len(self.found) else "end"

    def word(self, ahead: int = 0) -> str:
        """Text of the token `ahead` places on; empty behind the last."""
        at = self.at + ahead
        return self.found[at].text if at < len(self.found) else ""

    def spaced(self, ahead: int = 0) -> bool:
        """Whether a space stands before that token."""
        at = self.at + ahead
        return at < len(self.found) and self.found[at].spaced

    def take(self, kind: str) -> Token | None:
        """Take the next token if it is of this kind."""
        if self.kind() != kind:
            return None
        self.at += 1
        return self.found[self.at - 1]

    def whole(self, ahead: int = 0) -> bool:
        """Whether that token is a number without a decimal part."""
        return self.kind(ahead) == "num" and self.word(ahead).isdigit()

    def fraction(self, ahead: int = 0) -> bool:
        """Whether `n/d` in whole numbers starts there."""
        return self.whole(ahead) and self.kind(ahead + 1) == "slash" and self.whole(ahead + 2)

    def refuse(self, why: str, code: str = "size-unreadable") -> Refused:
        """Return the refusal of this text, for the caller to raise."""
        shown = self.text if len(self.text) <= 40 else self.text[:40] + "…"
        return Refused(f"“{shown}” is no size: {why}", code=code)


def number(cursor: Cursor) -> Written:
    """Read a number and the unit behind it; raises `Refused`."""
    if cursor.kind() != "num":
        raise cursor.refuse(_expected(cursor))
    if cursor.fraction():
        written = _fraction(cursor)
    else:
        mixed_at = _mixed(cursor)
        written = _simple(cursor)
        if mixed_at is not None:
            cursor.at += mixed_at
            written = _with_fraction(cursor, written)
    if cursor.kind() == "num" and not cursor.spaced():
        raise cursor.refuse("two numbers stand together without a space or a sign between them.")
    if cursor.kind() == "word" and cursor.word().lower() in ("th", "ths"):
        if written.kind not in ("fraction", "mixed number"):
            raise cursor.refuse("“ths” belongs behind a fraction. Write the fraction.")
        cursor.at += 1
    if cursor.kind() == "sign" and cursor.word() == "-" and cursor.kind(1) == "unit":
        cursor.at += 1  # 3/4-inch
    unit = cursor.take("unit")
    if unit is not None:
        apply_unit(cursor, written, unit.text)
    return written


def _expected(cursor: Cursor) -> str:
    word = cursor.word()
    if cursor.kind() == "end":
        return "it ends where a number should stand. Give the number."
    if set(word) <= set("lIOoSB") and cursor.kind(1) in ("slash", "num"):
        return f"the letter {word} stands where a digit should, perhaps a scanning slip. Retype it."
    return f"a number was expected where “{word[:20]}” stands. Give the size alone, as in 2-3/8 in."


def _mixed(cursor: Cursor) -> int | None:
    """How many tokens join a whole number to its fraction; None if no fraction follows."""
    if not cursor.whole():
        return None
    if cursor.kind(1) in ("and",) and cursor.fraction(2):
        return 1
    if cursor.kind(1) == "sign" and cursor.word(1) == "-" and cursor.fraction(2):
        return 1
    if cursor.kind(1) == "num" and cursor.fraction(1):
        return 0
    return None


def _simple(cursor: Cursor) -> Written:
    text = cursor.found[cursor.at].text
    cursor.at += 1
    if text.isdigit():
        return Written(Fraction(int(text)), "whole", 0)
    comma = "," in text
    whole, _, places = text.replace(",", ".").partition(".")
    value = Fraction(int(whole + places), 10 ** len(places))
    written = Written(value, "decimal", len(places), bare_point=not whole, comma=comma)
    if comma and len(places) == 3 and whole != "0" and len(whole) <= 3:
        written.others.append((Fraction(int(whole + places)), None))
        written.question = "is the comma a decimal comma, or does it part thousands"
    return written


def _proper(cursor: Cursor) -> tuple[str, int, int]:
    """Take `n/d`; returns the numerator as written, numerator and denominator."""
    over, under = cursor.word(), cursor.word(2)
    cursor.at += 3
    numerator, denominator = int(over), int(under)
    if denominator == 0:
        raise cursor.refuse(
            "its denominator is zero; 3/0 and the like are wire gauges. Give the diameter."
        )
    if not power_of_two(denominator):
        raise cursor.refuse(
            f"{over}/{under} is no shop fraction; inches are divided into halves, quarters, "
            "eighths and so on to 128ths. Check the figures; "
            "write two sizes with an x between them."
        )
    if numerator == 0:
        raise cursor.refuse("the fraction is zero. Give the size.")
    return over, numerator, denominator


def _fraction_notes(numerator: int, denominator: int) -> list[str]:
    notes = []
    if denominator > 64:
        notes.append(f"{denominator}ths are finer than usual shop fractions")
    if numerator % 2 == 0:
        notes.append(f"{numerator}/{denominator} is not in lowest terms; check that it is no slip")
    return notes


def _fraction(cursor: Cursor) -> Written:
    over, numerator, denominator = _proper(cursor)
    written = Written(Fraction(numerator, denominator), "fraction")
    written.notes = _fraction_notes(numerator, denominator)
    if numerator < denominator:
        return written
    written.notes.append("improper fraction")
    for cut in range(1, len(over)):
        whole, rest = over[:cut], over[cut:]
        if rest[0] != "0" and whole[0] != "0" and int(rest) < denominator:
            written.others.append((int(whole) + Fraction(int(rest), denominator), None))
    if written.others:
        written.question = (
            f"is this the improper fraction {over}/{denominator}, or a mixed number "
            f"as {over[0]}-{over[1:]}/{denominator} with its space lost"
        )
    return written


def _with_fraction(cursor: Cursor, whole: Written) -> Written:
    over, numerator, denominator = _proper(cursor)
    if numerator >= denominator:
        raise cursor.refuse(
            f"{over}/{denominator} is improper behind a whole number. Check the figures."
        )
    return Written(
        whole.value + Fraction(numerator, denominator),
        "mixed number",
        notes=_fraction_notes(numerator, denominator),
    )


def apply_unit(cursor: Cursor, written: Written, unit: str) -> None:
    """Give `written` the unit that stands behind it, and take the inches behind feet."""
    if unit == "mil":
        # In inch shops a mil is a thousandth of an inch; in metric ones slang for a millimetre.
        written.others.append((written.value, "mm"))
        written.value, written.unit = written.value / 1000, "in"
        written.question = "does mil mean a thousandth of an inch, or millimetres"
        return
    scale, written.unit = _SCALES[unit]
    written.scale = scale
    if scale != 1:
        written.value *= scale
        written.others = [(value * scale, None) for value, _ in written.others]
        written.decimals = None
    if unit in ("thou", "tenth"):
        written.kind = "thousandths" if unit == "thou" else "ten-thousandths"
    if unit == "tenth":
        written.notes.append("tenths are ten-thousandths of an inch here, never 0.1")
    if unit == "ft":
        if cursor.kind() == "sign" and cursor.word() == "-" and cursor.kind(1) == "num":
            cursor.at += 1
        if cursor.kind() == "num":
            inches = number(cursor)
            if inches.unit not in (None, "in") or inches.value >= 12 or inches.others:
                raise cursor.refuse("inches from 0 to below 12 belong behind feet.")
            written.value += inches.value
            written.notes += inches.notes
        written.kind = "feet and inches"
