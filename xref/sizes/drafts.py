"""From what was read of one size to the drafts it may be.

Style rules that suggest a unit (never more than suggest): inch drawings write no
zero before the point, metric ones do (ASME Y14.5, from memory); a decimal comma is
metric; four decimal places are inch practice (common practice, no source).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from xref.errors import Refused
from xref.sizes.iso286 import exact_deviations, read_zone
from xref.sizes.number import Cursor, Written
from xref.sizes.settle import Draft
from xref.sizes.value import MM_PER_INCH, Label, Unit


@dataclass(slots=True)
class Reading:
    """What has been read of one size so far."""

    main: Written
    form: str | None = None
    label: Label | None = None
    diameter_sign: bool = False
    limit: Written | None = None
    deviations: list[tuple[int, Written]] = field(default_factory=list)
    micrometres: bool = False  # deviations in whole numbers, as tables of zones print them
    zones: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    question: str | None = None
    extra: list[Draft] = field(default_factory=list)


def drafts_of(cursor: Cursor, reading: Reading) -> tuple[list[Draft], str | None]:
    """Return the drafts a reading may be, and the question where more than the unit is open.

    Raises `Refused` for readings that contradict themselves.
    """
    main = reading.main
    if reading.extra:
        return reading.extra, reading.question
    others = [reading.limit] if reading.limit else [size for _, size in reading.deviations]
    if others:
        for part in (main, *others):
            _no_second_reading(cursor, part)
    strong = _strong(cursor, reading, [main, *others])
    weak, why = _style(reading, others)
    label = reading.label or ("diameter" if reading.diameter_sign else None)
    notes = [*main.notes, *(note for part in others for note in part.notes), *reading.notes]
    draft = Draft(
        main.value, main.value, main.value, reading.form or main.kind, strong,
        any(part.unit for part in (main, *others)), weak, why, label, main.decimals, notes,
    )  # fmt: skip
    question = reading.question or main.question
    if reading.limit is not None:
        draft.low, draft.high = sorted((main.value, reading.limit.value))
        draft.nominal = main.value if draft.low == draft.high else None
        draft.form = "limits"
        draft.decimals = max(main.decimals or 0, reading.limit.decimals or 0) or None
        return [draft], question
    if draft.form == "radius":
        draft.notes.append("a radius, of a fillet or a corner; not a diameter")
    if reading.deviations:
        return _toleranced(draft, reading, question)
    if reading.zones:
        return _zoned(cursor, draft, reading, question)
    drafts = [draft]
    for value, unit in main.others:
        second = Draft(
            value, value, value, draft.form, unit or strong, draft.stated, weak, why, label
        )  # fmt: skip
        second.notes = notes
        drafts.append(second)
    return drafts, question


def _no_second_reading(cursor: Cursor, part: Written) -> None:
    if part.others and not part.comma:
        raise cursor.refuse(
            "an improper fraction, or mils, with limits or deviations can be read in several ways. "
            "Write it as a mixed number, or in decimals."
        )
    # Beside limits or deviations a comma with three places can only be decimal.
    part.others, part.question = [], None


def _strong(cursor: Cursor, reading: Reading, parts: list[Written]) -> Unit | None:
    stated = {part.unit for part in parts if part.unit}
    inch_by_form = any(part.inch_by_form for part in parts)
    if len(stated) > 1 or (stated == {"mm"} and inch_by_form):
        raise cursor.refuse("it mixes inches and millimetres. Write it in one unit.")
    if stated:
        return stated.pop()
    if inch_by_form:
        return "in"
    return "mm" if reading.zones else None


def _style(reading: Reading, others: list[Written]) -> tuple[Unit | None, str]:
    """Unit that the style of writing suggests, and why; None when nothing does or two do."""
    main = reading.main
    parts = [main, *others]
    sizes = [main, reading.limit] if reading.limit else [main]  # deviations left aside
    found: dict[Unit, str] = {}
    if any(part.bare_point for part in parts):
        found["in"] = "a decimal without a zero before the point is inch style"
    elif others and all((part.decimals or 0) >= 4 for part in sizes):
        found["in"] = "four decimal places are inch style"
    if others and any(part.comma for part in parts):
        found["mm"] = "a decimal comma is metric style"
    elif reading.deviations:
        # 2.375 +0.001 may be an inch size with careless zeros; 60 +0.02 is not.
        coarse = main.kind == "whole" or (
            main.decimals is not None and main.decimals <= 2 and main.value >= 10
        )
        if coarse and any(part.leading_zero for part in others):
            found["mm"] = "a deviation with a zero before the point is metric style"
    elif reading.diameter_sign and main.kind == "whole":
        found["mm"] = "a whole number behind a diameter sign is metric style"
    if len(found) != 1:
        return None, ""
    return next(iter(found.items()))


def _toleranced(
    draft: Draft, reading: Reading, question: str | None
) -> tuple[list[Draft], str | None]:
    values = sorted(sign * size.value for sign, size in reading.deviations)
    draft.form = "deviations"
    nominal = draft.low
    if reading.micrometres:
        fine = replace(draft, strong="mm", low=nominal + values[0] / 1000)
        fine.high = nominal + values[-1] / 1000
        raw = replace(draft, low=nominal + values[0], high=nominal + values[-1])
        likely = [raw] if raw.low > 0 else []
        if len(values) == 2:
            return [fine, *likely], "are its deviations in micrometres or in the unit of the size"
    if len(values) == 2:
        draft.low, draft.high = nominal + values[0], nominal + values[1]
        return [draft], question
    if values[0] < 0:
        draft.low = nominal + values[0]
        draft.notes.append("one deviation written; the other side is taken as zero")
        return [draft], question
    draft.high = nominal + values[0]
    alone = Draft(
        nominal, nominal, nominal, reading.main.kind, draft.strong, draft.stated,
        draft.weak, draft.why, draft.label, draft.decimals,
        ["the tolerance is incomplete: one side of it is missing"],
    )  # fmt: skip
    return [draft, alone], "is the missing minus deviation zero, or was it lost"


def _zoned(
    cursor: Cursor, draft: Draft, reading: Reading, question: str | None
) -> tuple[list[Draft], str | None]:
    drafts = []
    inch = draft.strong == "in"
    scale = MM_PER_INCH if inch else Fraction(1)
    if inch:
        draft.notes.append("an ISO 286 zone on an inch size; taken at its size in millimetres")
    for name in reading.zones:
        try:
            lower, upper = exact_deviations(draft.low * scale, read_zone(name))
        except Refused as refusal:
            raise cursor.refuse(refusal.message, refusal.code) from None
        nominal = draft.low
        drafts.append(
            Draft(
                nominal + lower / scale, nominal + upper / scale, nominal, "zone", draft.strong,
                label=draft.label, decimals=draft.decimals, notes=draft.notes, zone=name,
            )
        )  # fmt: skip
    if len(drafts) > 1:
        question = "it names a fit, hole and shaft: which of the two is meant"
    return drafts, question
