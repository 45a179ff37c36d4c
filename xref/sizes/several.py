"""Several sizes in one text: `25x52x15`, `5/8 DIA x 1-1/4 LG`, `45/62/8`."""

from __future__ import annotations

import re
from fractions import Fraction

from xref.errors import NeedsAnswer, Refused
from xref.sizes.grammar import one
from xref.sizes.number import Cursor
from xref.sizes.settle import UNIT_NAMES, Draft, resolve, settled, units
from xref.sizes.text import Token
from xref.sizes.value import Size, Unit

MOST = 6  # sizes in one text; more is a line of a table
_NUMBER = r"([0-9]+(?:[.,][0-9]+)?)"
_SLASHED = re.compile(rf"{_NUMBER} ?/ ?{_NUMBER} ?/ ?{_NUMBER}(?: ?(mm|in|\"))?")
# Whole numbers whose largest is at least this are millimetres (decision of the reading
# rules); an inch list of parts this large would write fractions or decimals somewhere.
_METRIC_FROM = 10
_DECIMAL_METRIC_FROM = 20
_TOO_LARGE_IN = 16
_INITIALS = {"W": "width", "T": "width", "L": "length"}


def slashed(text: str) -> str | None:
    """`45/62/8` with crosses in place of the strokes; None when the text is not of that form.

    Raises `Refused` for three values that lie as close as limits of one size do, and for dates.
    """
    match = _SLASHED.fullmatch(text)
    if match is None:
        return None
    values = [Fraction(part.replace(",", ".")) for part in match.groups()[:3]]
    shown = text[:40]
    if max(values) <= min(values) * Fraction(11, 10):
        raise Refused(
            f"“{shown}” is no size: it holds three values where two limits are the most. "
            "Write different sizes with an x between them.",
            code="size-unreadable",
        )
    if 1900 <= values[2] <= 2100 and values[0] <= 31 and values[1] <= 31:
        raise Refused(
            f"“{shown}” is no size but a date. Send the column as text.", code="size-date"
        )
    return " x ".join(match.groups()[:3]) + (f" {match[4]}" if match[4] else "")


def separated(found: list[Token]) -> list[list[Token]]:
    """Tokens parted at crosses, or at commas where every part has its label."""
    parts = _parted(found, "times")
    if len(parts) == 1:
        by_comma = _parted(found, "comma")
        if len(by_comma) > 1 and all(any(t.kind == "label" for t in part) for part in by_comma):
            return by_comma
    return parts


def _parted(found: list[Token], kind: str) -> list[list[Token]]:
    parts: list[list[Token]] = [[]]
    for token in found:
        if token.kind == kind:
            parts.append([])
        else:
            parts[-1].append(token)
    return parts


def several(parts: list[list[Token]], text: str, given: Unit | None) -> list[Size]:
    """Read two to six sizes that share a unit where only one of them states it.

    Raises `NeedsAnswer` (readings: all sizes in millimetres, then all in inches) or `Refused`.
    """
    if len(parts) > MOST:
        raise Refused(
            f"“{text[:40]}” holds {len(parts)} sizes; no part here takes more than {MOST}.",
            code="size-unreadable",
        )
    pieces = [_piece(parts, n, text) for n in range(len(parts))]
    labelled = any(token.kind == "label" for part in parts for token in part)
    groups = []
    for part in parts:
        cursor = Cursor([_initial(token) for token in part] if labelled else part, text)
        groups.append(one(cursor))
    drafts = [found[0] for found, _ in groups]
    _share(drafts, text)
    sizes = []
    for (found, question), piece in zip(groups, pieces, strict=True):
        for other in found[1:]:
            other.strong = other.strong or found[0].strong
        if question is not None:
            sizes.append(resolve(found, given, piece, question))  # most often: asks
        elif found[0].strong is not None:
            (unit,), notes = units(found[0], given)
            sizes.append(settled(found[0], unit, piece, notes))
    if len(sizes) == len(groups):
        return sizes
    return _unstated(drafts, pieces, text, given)


def _initial(token: Token) -> Token:
    """Beside sizes with labels a single W, T or L is a label too: `ID x OD x W`."""
    label = _INITIALS.get(token.text.upper()) if token.kind == "word" else None
    return token if label is None else token._replace(kind="label", text=label)


def _piece(parts: list[list[Token]], number: int, text: str) -> str:
    """Return the text of one part."""
    part = parts[number]
    if not part:
        raise Refused(
            f"“{text[:40]}” is no size: a number is missing beside an x. Give all of them.",
            code="size-unreadable",
        )
    start = part[0].at
    end = parts[number + 1][0].at if number + 1 < len(parts) and parts[number + 1] else len(text)
    return re.sub(r" ?(?:[xX×*,;]|by|BY|By) ?$", "", text[start:end]).strip()


def _share(drafts: list[Draft], text: str) -> None:
    """Carry the one unit written to the parts without; raises `Refused` where two are."""
    strong = {draft.strong for draft in drafts if draft.strong}
    if len(strong) > 1 and not all(draft.stated for draft in drafts):
        raise Refused(
            f"“{text[:40]}” mixes inches and millimetres. Write the unit behind each size.",
            code="size-mixed-units",
        )
    if len(strong) == 1:
        (unit,) = strong
        for draft in drafts:
            if draft.strong is None and not any(other.stated for other in drafts):
                draft.notes.append(f"no unit written; read as {UNIT_NAMES[unit]} like the others")
            draft.strong = unit


def _unstated(drafts: list[Draft], pieces: list[str], text: str, given: Unit | None) -> list[Size]:
    """Sizes without any unit: by what was stated, by style, or by asking."""
    largest = max(draft.high for draft in drafts)
    whole = all(draft.decimals == 0 for draft in drafts)
    style: Unit | None = None
    why = ""
    if any(draft.weak == "in" for draft in drafts):
        style, why = "in", "a decimal without a zero before the point is inch style"
    elif whole and largest >= _METRIC_FROM:
        style, why = "mm", "sizes in whole numbers are metric"
    elif largest >= _DECIMAL_METRIC_FROM and all((d.decimals or 0) <= 2 for d in drafts):
        style, why = "mm", "sizes this large with two places at the most are metric"
    elif any(draft.weak == "mm" for draft in drafts):
        style, why = "mm", next(draft.why for draft in drafts if draft.weak == "mm")
    looks_metric = given == "in" and whole and largest >= _TOO_LARGE_IN
    unit = given or style
    if unit is not None and not looks_metric:
        notes = []
        if given is None:
            notes = [f"no unit written; read as {UNIT_NAMES[unit]}: {why}"]
        elif style is not None and style != given:
            notes = [f"read as {UNIT_NAMES[unit]}, as stated, although {why}"]
        return [
            settled(draft, unit, piece, notes) for draft, piece in zip(drafts, pieces, strict=True)
        ]
    both: tuple[Unit, ...] = ("mm", "in")
    readings = [
        [settled(draft, choice, piece, []) for draft, piece in zip(drafts, pieces, strict=True)]
        for choice in both
    ]
    question = (
        "this looks metric although inches were stated; which is it"
        if looks_metric
        else "it has no unit: millimetres or inches"
    )
    shown = " or ".join(" x ".join(each.shown() for each in reading) for reading in readings)
    raise NeedsAnswer(
        f"“{text[:40]}”: {question}? It could be {shown}.",
        readings=tuple(each for reading in readings for each in reading),
        code="size-unit",
    )
