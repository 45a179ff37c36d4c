"""Sizes that go by a name: drills, threads, chamfers, undersizes, dual units, nominal and actual.

Each reader takes the cleaned text and returns the sizes, or None when the text
is nothing of its kind.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

from xref.errors import NeedsAnswer, Refused
from xref.sizes.grammar import one
from xref.sizes.number import Cursor
from xref.sizes.settle import ask, resolve
from xref.sizes.text import tokens
from xref.sizes.value import MM_PER_INCH, SCALE_MM, Size, Unit

Found = list[Size] | None
# Only texts with one of these can be special; the test keeps plain sizes fast.
_MAYBE = re.compile(
    r"[#(=°]|(?:[mM]|[nN]|\") ?/|^ ?M ?[0-9]|^Tr ?[0-9]|^(?:G|Rp|Rc) ?[0-9]"
    r"|(?i:u/s|o/s|dersize|versize|drill|\b(?:no|nr|letter|number|size|nom|nominal|act|actual)\b"
    r"|\bdeg|cham|unc|unf|unef|\bn[cf]\b|bsw|bsf|whit|bsp|npt|\bgas\b|\buns\b|\btpi\b|\bthread)"
)
_NUMBER_DRILL = re.compile(
    r"(?i)(?P<before>drill )?(?:size )?(?:#|no\.?|nr\.?|number|size) ?(?P<number>[0-9]{1,2})"
    r"(?P<after> (?:twist )?drill(?:ed)?)?"
)
_BARE_DRILL = re.compile(r"(?i)(?P<number>[0-9]{1,2}) drill|drill (?P<behind>[0-9]{1,2})")
_LETTER_DRILL = re.compile(
    r"(?i)(?:drill )?letter (?P<a>[a-z])(?: drill)?|(?P<b>[a-z]) drill|drill (?:size )?(?P<c>[a-z])"
)
_METRIC = re.compile(
    r"(?P<kind>M|Tr) ?(?P<size>[0-9]{1,3}(?:[.,][0-9]{1,2})?)"
    r"(?: ?[xX×*] ?(?P<pitch>[0-9]{1,2}(?:[.,][0-9]{1,2})?))?(?: ?- ?[0-9A-Za-z]{1,8})*(?: thread)?"
)
_PIPE = re.compile(r"(?i:\b(?:bspt?p?|npt[fr]?|nps[mlc]?|gas)\b)|^(?:G|Rp|Rc) ?[0-9]")
_UNIFIED = re.compile(
    r"(?i)[ -]*(?<![a-z])(?:unc|unf|unef|uns|unrc|unrf|nc|nf|nef|bsw|bsf|whitworth|whit|tpi)\b"
    r"\.?(?:[ -]*[0-9][ab])?(?: thread)?$"
)
_SIZE_PITCH = re.compile(r"(?P<size>.*?[0-9\"])(?:(?: ?- ?| )(?P<pitch>[0-9]{1,2}))?")
_SCREW = re.compile(r"(?i)(?:#|no\.?) ?(?P<number>1?[0-9])")
_CHAMFER = re.compile(
    r"(?i)(?P<leg>.+?) ?[x×*] ?(?P<angle>[0-9]{1,2}) ?(?:°|deg(?:rees?)?\.?)(?: cham(?:fer)?)?"
    r"|(?P<angle2>[0-9]{1,2}) ?(?:°|deg(?:rees?)?\.?) ?[x×*] ?(?P<leg2>.+?)(?: cham(?:fer)?)?"
)
_OFF = re.compile(r"(?i)\b(?P<which>u/s|o/s|under ?sized?|over ?sized?)(?![a-z])")
_STANDARD = re.compile(r"(?i)\b(?:std|standard)\b\.?")
_BESIDE = re.compile(r"(?P<size>.*[^ ,;(])(?: ?[,;(] ?| )\+?(?P<step>[0-9./]+(?: ?mm| ?in)?)")
_DUAL = re.compile(r"(?P<a>[^=()]+?) ?(?:= ?(?P<b>[^=()]+)|\( ?(?P<c>[^=()]+?) ?\))")
_DUAL_STROKE = re.compile(
    r"(?i)(?P<a>[^=()]+?(?:mm ?/(?=[^=()]+(?:in|\")$)|(?:in|\") ?/(?=[^=()]+mm$))) ?(?P<b>[^=()]+)"
)
_DEVIATIONS = re.compile(r"[+±-]|0 ?[/-]")
_ZONE_BEHIND = re.compile(r"[A-Za-z]{1,2} ?[0-9]{1,2}$")
_NAMED = re.compile(r"(?i)\b(nom(?:inal)?|act(?:ual)?)\b\.?")


def special(text: str, given: Unit | None) -> Found:
    """Read a `cleaned` text as one of the named forms; None when it is none."""
    if _MAYBE.search(text) is None:
        return None
    for read in _READERS:
        found = read(text, given)
        if found is not None:
            return found
    return None


def single(piece: str, given: Unit | None) -> Size:
    """Read one size that fills the whole of `piece`."""
    cursor = Cursor(tokens(piece), piece)
    drafts, question = one(cursor)
    if cursor.kind() != "end":
        raise cursor.refuse("it holds more than one size where one belongs.")
    return resolve(drafts, given, piece, question)


@lru_cache(maxsize=1)
def drill_sizes() -> dict[str, Fraction]:
    """Diameter of number and letter drills [in], ANSI/ASME B94.11M; keys "1"–"97", "A"–"Z"."""
    text = Path(__file__).with_name("drills.csv").read_text("utf-8")
    return {row["drill"]: Fraction(row["diameter_in"]) for row in csv.DictReader(text.splitlines())}


def _tabulated(inches: Fraction, text: str, form: str, note: str) -> Size:
    value = inches * MM_PER_INCH
    return Size(value, value, value, "in", text, form, "diameter", notes=(note,))


def _drill(key: str, text: str) -> Size:
    diameter = drill_sizes().get(key)
    if diameter is None:
        raise Refused(
            f"“{text}” is no size: number drills run from 1 to 97. Check the number.",
            code="size-unreadable",
        )
    kind = "number" if key.isdigit() else "letter"
    return _tabulated(diameter, text, f"{kind} drill", f"{kind} drill {key}, ANSI/ASME B94.11M")


def _drills(text: str, given: Unit | None) -> Found:  # noqa: ARG001  (a drill's name has its unit)
    match = _LETTER_DRILL.fullmatch(text)
    if match:
        return [_drill((match["a"] or match["b"] or match["c"]).upper(), text)]
    match = _NUMBER_DRILL.fullmatch(text)
    if match and (match["before"] or match["after"]):
        return [_drill(match["number"].lstrip("0") or "0", text)]
    if match:
        readings = [_drill(match["number"].lstrip("0") or "0", text)]
        if int(match["number"]) <= 14:
            readings.append(_screw(int(match["number"]), text))
        question = "is this a number drill, a screw size, or only the number of the part"
        raise NeedsAnswer(ask(text, question, readings), readings=tuple(readings))
    match = _BARE_DRILL.fullmatch(text)
    if match:
        key = match["number"] or match["behind"]
        value = Fraction(int(key))
        readings = [
            _drill(key.lstrip("0") or "0", text),
            Size(value, value, value, "mm", text, "drilled", "diameter", 0),
        ]
        question = "is this a number drill or a drill in millimetres"
        raise NeedsAnswer(ask(text, question, readings), readings=tuple(readings))
    return None


def _screw(number: int, text: str) -> Size:
    # ASME B1.1: number sizes are 0.060 in + 0.013 in per number.
    return _tabulated(
        Fraction(60 + 13 * number, 1000),
        text,
        "thread",
        f"screw size {number}, ASME B1.1: nominal major diameter of a thread",
    )


def _threads(text: str, given: Unit | None) -> Found:
    match = _METRIC.fullmatch(text)
    if match:
        value = Fraction(match["size"].replace(",", "."))
        pitch = f", pitch {match['pitch']} mm" if match["pitch"] else ""
        note = f"a thread, not a plain diameter: nominal major diameter{pitch}"
        if value == 0:
            raise Refused(f"“{text}” is no thread: its size is zero.", code="size-zero")
        return [Size(value, value, value, "mm", text, "thread", "diameter", notes=(note,))]
    if _PIPE.search(text):
        raise Refused(
            f"“{text[:40]}” names a pipe thread, whose diameter is not the size in its name "
            "(G 1/2 is 20.955 mm across, ISO 228-1). Measure it and give the diameter.",
            code="size-pipe-thread",
        )
    match = _UNIFIED.search(text)
    parts = _SIZE_PITCH.fullmatch(text[: match.start()]) if match else None
    if parts is None:
        return None
    screw = _SCREW.fullmatch(parts["size"])
    per_inch = int(parts["pitch"] or 0)
    if screw or (per_inch >= 24 and parts["size"].isdigit() and int(parts["size"]) <= 14):
        return [_screw(int(screw["number"] if screw else parts["size"]), text)]
    size = single(parts["size"], given or "in")
    note = "a thread, not a plain diameter: nominal major diameter" + (
        f", {per_inch} threads per inch" if per_inch else ""
    )
    return [replace(size, text=text, form="thread", label="diameter", notes=(*size.notes, note))]


def _chamfer(text: str, given: Unit | None) -> Found:
    match = _CHAMFER.fullmatch(text)
    if match is None:
        return None
    angle = match["angle"] or match["angle2"]
    size = single(match["leg"] or match["leg2"], given)
    note = f"a chamfer of {angle}°, not a diameter: the length of its leg"
    return [replace(size, text=text, form="chamfer", notes=(*size.notes, note))]


def _undersize(text: str, given: Unit | None) -> Found:
    match = _OFF.search(text)
    if match is None:
        return None
    sign = 1 if match["which"][0] in "oO" else -1
    word = "oversize" if sign > 0 else "undersize"
    before, behind = text[: match.start()].strip(" ,;("), text[match.end() :].strip(" ,;.)=")
    if _STANDARD.search(before) and not behind:
        parts = [part.strip() for part in re.split("[,;]", _STANDARD.sub(",", before))]
        values = [part for part in parts if part]
        if len(values) == 2:
            step = single(values[1].lstrip("+-"), given)
            size = single(values[0], given or step.unit)
            off = _stepped(size, sign * step.low, word, text, f"{step.shown()} {word}")
            return [replace(size, notes=(*size.notes, "stated as the standard size")), off]
    if before and behind:
        step = single(before.lstrip("+-"), given)
        size = single(behind, given or step.unit)
        origin = replace(size, low=size.low - sign * step.low, high=size.low - sign * step.low)
        note = f"{step.shown()} {word} of the standard size {origin.shown()}"
        return [replace(size, text=text, form=word, notes=(*size.notes, note))]
    beside = _BESIDE.fullmatch(before)
    if beside and not behind:
        step = single(beside["step"], given)
        size = single(beside["size"], given or step.unit)
        readings = [size, _stepped(size, sign * step.low, word, text, f"{step.shown()} {word}")]
        question = f"is the size before the step the standard one, or {word} already"
        raise NeedsAnswer(ask(text, question, readings), readings=tuple(readings))
    raise Refused(
        f"“{text[:40]}” is no size but a step of {word}; the size it starts from is missing. "
        f"Write the standard size first, as in 1.500 STD, .020 {word[0].upper()}/S.",
        code="size-step-alone",
    )


def _stepped(size: Size, step: Fraction, form: str, text: str, note: str) -> Size:
    """Return `size` made larger by `step` [mm]."""
    value = size.low + step
    if value <= 0:
        raise Refused(f"“{text[:40]}” is no size: it comes to nothing.", code="size-zero")
    return replace(size, low=value, high=value, nominal=value, form=form, text=text, notes=(note,))


def _named(text: str, given: Unit | None) -> Found:
    names = [match[1][0].lower() for match in _NAMED.finditer(text)]
    if sorted(names) != ["a", "n"]:
        return None
    parts = [part.strip(" ,;:()=/") for part in _NAMED.split(text)[::2]]
    values = [part for part in parts if part]
    if len(values) != 2:
        return None
    named = {name: single(value, given) for name, value in zip(names, values, strict=True)}
    note = f"named {named['n'].shown()}; the actual size is used"
    actual = named["a"]
    return [replace(actual, text=text, form="actual size", notes=(*actual.notes, note))]


def _dual(text: str, given: Unit | None) -> Found:
    stroke = _DUAL_STROKE.fullmatch(text)
    match = stroke or _DUAL.fullmatch(text)
    if match is None:
        return None
    inner = match["b"] or match["c"]
    if not stroke and match["c"] and _DEVIATIONS.match(inner):
        return _with_deviations(match["a"], inner, text, given)
    first, second = _pair(match["a"].rstrip(" /"), inner, given)
    other: Unit = "mm" if first.unit == "in" else "in"
    apart = abs(first.low - second.low)
    rounding = max(_rounding(first), _rounding(second))
    if apart > max(rounding, Fraction(1, 1000)):
        raise Refused(
            f"“{text[:40]}” contradicts itself: {first.shown()} is {first.shown(other)}. "
            "Find out which of the two was measured, and give that alone.",
            code="size-contradiction",
        )
    if apart > Fraction(6, 100):  # more than a gauge would miss: someone rounded
        question = "the two do not agree; which of them was measured"
        raise NeedsAnswer(ask(text, question, [first, second]), readings=(first, second))
    note = f"also written as {second.shown()}"
    return [replace(first, text=text, notes=(*first.notes, note))]


def _rounding(size: Size) -> Fraction:
    """Half a unit of the last place written [mm]; nothing for a fraction, which is exact."""
    if size.decimals is None:
        return Fraction(0)
    return SCALE_MM[size.unit] * Fraction(1, 2 * 10**size.decimals)


def _pair(one_text: str, other_text: str, given: Unit | None) -> tuple[Size, Size]:
    """Two ways of writing one size; the units that are missing are those that agree."""
    try:
        firsts = [single(one_text, given)]
    except NeedsAnswer as needs:
        if needs.code != "size-unit":
            raise
        firsts = [single(one_text, "in"), single(one_text, "mm")]
    pairs = [(first, single(other_text, "mm" if first.unit == "in" else "in")) for first in firsts]
    return min(pairs, key=lambda pair: abs(pair[0].low - pair[1].low) / pair[0].low)


def _with_deviations(base: str, deviations: str, text: str, given: Unit | None) -> Found:
    """`60 h11 (0/-0.19)`: a zone, and its deviations once more in brackets."""
    if _ZONE_BEHIND.search(base) is None:
        return [replace(single(f"{base} {deviations}", given), text=text)]
    first = single(base, given)
    if first.nominal is None:
        return None
    nominal = float(first.nominal / SCALE_MM[first.unit])
    second = single(f"{nominal:.6f} {first.unit} {deviations}", first.unit)
    if first.zone and (first.low, first.high) != (second.low, second.high):
        raise Refused(
            f"“{text[:40]}” contradicts itself: {first.zone} at this size is {first.shown()}, the "
            f"deviations give {second.shown()}. Give the one that was meant.",
            code="size-contradiction",
        )
    return [replace(first, text=text, low=second.low, high=second.high)]


_READERS: tuple[Callable[[str, Unit | None], Found], ...] = (
    _drills, _threads, _chamfer, _undersize, _named, _dual,
)  # fmt: skip
