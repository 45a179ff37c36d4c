"""The grammar of one size: a number, and what may stand before and behind it.

[label ⌀ R] number [unit] [deviations | limits | zone] [label, finish, "full" …]
"""

from __future__ import annotations

from fractions import Fraction

from xref.errors import Refused
from xref.sizes.drafts import Reading, drafts_of
from xref.sizes.iso286 import LETTERS, read_zone
from xref.sizes.number import Cursor, apply_unit, number
from xref.sizes.settle import Draft
from xref.sizes.value import Label

_NEAR = Fraction(11, 10)  # two limits of one size differ by less than a tenth
_FORMS = {
    **dict.fromkeys(("ream", "reamed", "reamer"), "reamed"),
    **dict.fromkeys(("drill", "drilled"), "drilled"),
    **dict.fromkeys(("r", "rad", "radius"), "radius"),
}
_ABOUT = {
    **dict.fromkeys(("full",), "“full” means a little over, by an amount not stated"),
    **dict.fromkeys(("bare", "scant"), "“{}” means a little under, by an amount not stated"),
    **dict.fromkeys(
        ("approx", "approximately", "about", "abt", "ca", "circa", "environ", "etwa"),
        "“{}” means that the size is not exact",
    ),
}
_REMARKS = {
    **dict.fromkeys(("nom", "nominal"), "a nominal size: what the part really measures may differ"),
    **dict.fromkeys(("act", "actual"), "stated as the actual size"),
    **dict.fromkeys(("std", "standard"), "stated as the standard size"),
}


def one(cursor: Cursor) -> tuple[list[Draft], str | None]:
    """Read one size up to the end or to a `times` token.

    Returns the drafts it may be, and the question to ask where more than the
    unit is open. Raises `Refused`.
    """
    form, label, sign, about = _prefix(cursor)
    reading = Reading(number(cursor), form, label, sign)
    if about:
        _roughly(cursor, reading, about)
    while cursor.kind() not in ("end", "times"):
        _suffix(cursor, reading)
    return drafts_of(cursor, reading)


def _prefix(cursor: Cursor) -> tuple[str | None, Label | None, bool, str]:
    form: str | None = None
    label: Label | None = None
    sign = False
    about = ""
    while True:
        kind, word = cursor.kind(), cursor.word()
        if kind == "phi":
            sign = True
        elif kind == "label":
            label = _label(cursor, label)
        elif kind == "word" and word.lower() in _FORMS and word != "r":
            form = _FORMS[word.lower()]
        elif (kind == "word" and word.lower() in _ABOUT) or (kind == "other" and word in "~≈"):
            about = word
        elif kind == "sign":
            raise cursor.refuse(
                "it begins with a sign: a size is not negative, and a deviation needs its size. "
                "Give the size, then the deviation.",
                "size-zero",
            )
        else:
            return form, label, sign, about
        cursor.at += 1
        if kind in ("word", "label") and cursor.kind() == "equals":
            cursor.at += 1


def _label(cursor: Cursor, before: Label | None) -> Label:
    """Join a label to the one before it: “outside” and “diameter” are one."""
    label: Label = cursor.word()  # type: ignore[assignment]  # the tokens hold only labels
    if before is None or before == label or (before == "diameter" and label in ("id", "od")):
        return label
    if label == "diameter" and before in ("id", "od"):
        return before
    raise cursor.refuse("it names two things that it might measure. Leave one out.")


def _suffix(cursor: Cursor, reading: Reading) -> None:
    """Take what stands next behind the number."""
    kind, word = cursor.kind(), cursor.word()
    bare = not (reading.deviations or reading.zones or reading.limit)
    zero = kind == "num" and word.strip("0.,") == "" and cursor.kind(1) in ("slash", "sign")
    if kind == "sign" and word == "-" and bare:
        _dash(cursor, reading)
    elif (kind in ("pm", "sign") or zero) and bare:
        _deviations(cursor, reading)
    elif kind in ("slash", "to", "dots") and bare:
        _limits(cursor, reading)
    elif kind == "slash" and reading.zones and cursor.kind(1) == "word" and cursor.whole(2):
        cursor.at += 1
        _zone(cursor, reading)
    elif kind == "slash" and reading.limit is not None:
        raise cursor.refuse(
            "it holds three values where two limits are the most. "
            "Write different sizes with an x between them."
        )
    elif kind == "word" and cursor.whole(1) and bare:
        _zone(cursor, reading)
    elif kind == "unit" and reading.main.unit is None:
        cursor.at += 1
        apply_unit(cursor, reading.main, word)
    elif kind == "label":
        reading.label = _label(cursor, reading.label)
        cursor.at += 1
    elif kind == "phi" and not reading.diameter_sign:
        reading.diameter_sign = True
        cursor.at += 1
    elif kind == "word":
        _word(cursor, reading, word)
    elif kind == "comma":
        raise cursor.refuse(
            "the comma behind the number may part a list, or thousands. Give one size, "
            "with a point for its decimals."
        )
    else:
        raise cursor.refuse(f"what “{word[:20]}” does behind the size is not clear. Leave it out.")


def _word(cursor: Cursor, reading: Reading, word: str) -> None:
    lower = word.lower()
    cursor.at += 1
    if word == "L" and reading.label is None:
        reading.label = "length"
    elif lower in _FORMS and word != "r":
        reading.form = _FORMS[lower]
    elif lower in _ABOUT:
        _roughly(cursor, reading, word)
    elif word in ("F", "f") and reading.main.kind in ("fraction", "mixed number"):
        reading.form = "approximate"
        reading.question = (
            "F may mean “full”, a little over, or be the mark for a finished surface: measure it, "
            "or leave the F out"
        )
    elif lower in _REMARKS:
        reading.notes.append(_REMARKS[lower])
    elif word in ("l", "I", "O", "o"):
        raise cursor.refuse(f"the letter {word} stands where a digit should. Retype it.")
    elif lower == "e" and cursor.kind() == "sign":
        raise cursor.refuse(
            "a spreadsheet has turned it into a power of ten. Send the column as text.",
            "size-spreadsheet",
        )
    elif lower in LETTERS:
        raise cursor.refuse(
            f"the zone letter {word} has no grade behind it. Write the zone whole, as in h11."
        )
    else:
        raise cursor.refuse(f"the word “{word[:20]}” behind it is not known here. Leave it out.")


def _roughly(cursor: Cursor, reading: Reading, word: str) -> None:
    note = _ABOUT.get(word.lower(), "“{}” means that the size is not exact").format(word.lower())
    reading.form = "approximate"
    reading.question = f"{note}: measure it, or leave the word out to take the size as written"
    if cursor.kind() == "dots":
        cursor.at += 1


def _dash(cursor: Cursor, reading: Reading) -> None:
    """A dash behind a number: a minus deviation, limits, a thread, or nothing certain."""
    start, main = cursor.at, reading.main
    cursor.at += 1
    other = number(cursor)
    ratio = other.value / main.value if main.value else Fraction(0)
    if ratio < Fraction(1, 10) and (other.kind != "whole" or other.value == 0 or other.scale != 1):
        cursor.at = start
        _deviations(cursor, reading)
    elif min(main.decimals or 0, other.decimals or 0) >= 2 and 1 / _NEAR < ratio < _NEAR:
        reading.limit = other
        reading.notes.append("the dash is read as “to”: two limits of one size")
    elif main.kind in ("fraction", "mixed number") and other.kind == "whole" and other.value:
        unit = main.unit or other.unit or "in"
        pitch = other.value >= 4 and other.unit is None  # no inch thread is coarser
        first = Draft(main.value, main.value, main.value, "thread" if pitch else main.kind, unit)
        if pitch:
            first.notes = [f"a thread, {other.value} per inch: nominal major diameter"]
        second = Draft(other.value, other.value, other.value, "whole", unit)
        if pitch:
            low, high = sorted((main.value, other.value))
            second = Draft(low, high, None, "limits", unit)
        reading.extra = [first, second]
        reading.question = "is the number behind the dash a second size" + (
            ", or the threads per inch" if pitch else ", or a dash number"
        )
    else:
        raise cursor.refuse(
            "a dash between two numbers is no limit: write “to” between two limits, "
            "x between two sizes, or the deviation with its sign."
        )


def _deviations(cursor: Cursor, reading: Reading) -> None:
    found = reading.deviations
    if cursor.take("pm"):
        size = number(cursor)
        found += [(1, size), (-1, size)]
    else:
        while len(found) < 2:
            sign = cursor.take("sign")
            if sign is None and cursor.word().strip("0.,") != "":
                break
            if sign is None and cursor.kind() != "num":
                break
            size = number(cursor)
            if sign is None and size.value != 0:
                raise cursor.refuse("a deviation lacks its sign. Write + or - before it.")
            found.append((-1 if sign and sign.text == "-" else 1, size))
            cursor.take("slash")
    if len(found) == 1 and found[0][1].value == 0:
        raise cursor.refuse("a deviation of zero alone says nothing. Give both deviations.")
    # A unit behind the last deviation counts for the one before it.
    last = found[-1][1]
    if all(size.unit is None for _, size in found):
        reading.micrometres = any(size.kind == "whole" and size.value >= 2 for _, size in found)
    for _, size in found:
        if size.unit is None and last.unit is not None:
            size.unit = last.unit
            size.value *= last.scale
            size.scale = last.scale


def _limits(cursor: Cursor, reading: Reading) -> None:
    how, main = cursor.kind(), reading.main
    cursor.at += 1
    other = number(cursor)
    small, large = sorted((main.value, other.value))
    near = 0 < large < small * _NEAR
    both_fine = min(main.decimals or 0, other.decimals or 0) >= 2  # .010/.012
    near = near or (both_fine and 0 < large < small * 3 / 2)
    if main.unit and other.unit and main.unit != other.unit:
        raise cursor.refuse(
            "its two values are in different units. If the second is the first converted, write "
            "it in brackets."
        )
    if how == "slash" and not near:
        raise cursor.refuse(
            "a decimal has no place in a fraction, and for two limits the values are too far "
            "apart. Write a mixed number as 2-3/8, and different sizes with an x between them."
        )
    plain = main.kind == other.kind == "whole" and not (main.unit or other.unit)
    if how == "dots" and (not near or plain):
        raise cursor.refuse("it holds two points in a row. Check the figures.")
    reading.limit = other
    if near and large > small * Fraction(102, 100):
        reading.notes.append("wide for limits of one size; check the figures")
    if not near:
        reading.question = (
            "these lie far apart for limits of one size; is it a range, and which size is meant"
        )


def _zone(cursor: Cursor, reading: Reading) -> None:
    word, grade = cursor.word(), cursor.word(1)
    try:
        read_zone(word + grade)
    except Refused as refusal:
        raise cursor.refuse(refusal.message, refusal.code) from None
    cursor.at += 2
    reading.zones.append(word + grade)
