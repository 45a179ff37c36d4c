"""From drafts in a written unit to sizes in millimetres; where that is open, to a question."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from xref.errors import NeedsAnswer, Refused
from xref.sizes.value import MM_PER_INCH, Label, Size, Unit

LARGEST_MM = 20_000  # beyond this no single part of a machine, but a slip of the decimal sign


@dataclass(slots=True)
class Draft:
    """A size before its unit is settled; values in that unit."""

    low: Fraction
    high: Fraction
    nominal: Fraction | None
    form: str
    strong: Unit | None = None  # written, or implied by a form that only one system uses
    stated: bool = False  # the unit itself was written
    weak: Unit | None = None  # suggested by style; a stated unit overrides it
    why: str = ""  # the style that suggests `weak`
    label: Label | None = None
    decimals: int | None = None
    notes: list[str] = field(default_factory=list)
    zone: str | None = None


UNIT_NAMES: dict[Unit, str] = {"mm": "millimetres", "in": "inches"}


def units(draft: Draft, given: Unit | None) -> tuple[tuple[Unit, ...], list[str]]:
    """Return the units the draft may be in, and what the user should know of the choice."""
    if draft.strong is not None:
        if given is not None and given != draft.strong:
            return (draft.strong,), [
                f"written in {UNIT_NAMES[draft.strong]} although {UNIT_NAMES[given]} were stated; "
                "what is written counts"
            ]
        return (draft.strong,), []
    if given is not None:
        if draft.weak is not None and draft.weak != given:
            return (given,), [f"read as {UNIT_NAMES[given]}, as stated, although {draft.why}"]
        return (given,), []
    if draft.weak is not None:
        return (draft.weak,), [f"no unit written; read as {UNIT_NAMES[draft.weak]}: {draft.why}"]
    return ("mm", "in"), []


def settled(draft: Draft, unit: Unit, text: str, notes: list[str]) -> Size:
    """Build the size in millimetres; raises `Refused` for sizes that cannot be."""
    low, high, nominal = draft.low, draft.high, draft.nominal
    if unit == "in":
        low = low * MM_PER_INCH
        high = low if draft.high == draft.low else high * MM_PER_INCH
        if nominal is not None:
            nominal = low if nominal == draft.low else nominal * MM_PER_INCH
    if low <= 0 or (nominal is not None and nominal <= 0):
        what = "below zero" if low < 0 else "zero"
        raise Refused(
            f"“{text[:40]}” is no size: it comes to {what}. Check the figures.", code="size-zero"
        )
    if high > LARGEST_MM:
        raise Refused(
            f"“{text[:40]}” is no size of a part: it is more than {LARGEST_MM // 1000} m. "
            "Check the decimal sign and the unit.",
            code="size-too-large",
        )
    return Size(
        low, high, nominal, unit, text, draft.form, draft.label, draft.decimals,
        (*draft.notes, *notes), draft.zone,
    )  # fmt: skip


def resolve(drafts: list[Draft], given: Unit | None, text: str, question: str | None) -> Size:
    """Return the one size the drafts come to; raises `NeedsAnswer` when there are several.

    Readings that cannot be sizes (12,700 in as thousands is 323 m) are left out.
    """
    sizes: list[Size] = []
    possible = 0
    unit_open = False
    refusal: Refused | None = None
    for draft in drafts:
        choice, notes = units(draft, given)
        unit_open = unit_open or len(choice) > 1
        before = len(sizes)
        for unit in choice:
            try:
                sizes.append(settled(draft, unit, text, notes))
            except Refused as refused:
                refusal = refusal or refused
        possible += len(sizes) > before
    if not sizes and refusal is not None:
        raise refusal
    if possible == 1 and len(drafts) > 1:
        question = None
    if len(sizes) == 1 and question is None and not unit_open:
        return sizes[0]
    raise NeedsAnswer(
        ask(text, question or "it has no unit: millimetres or inches", sizes),
        readings=tuple(sizes),
        code="size-ambiguous" if question else "size-unit",
    )


def ask(text: str, question: str, readings: list[Size]) -> str:
    """Word a question with its readings."""
    shown = " or ".join(dict.fromkeys(str(reading) for reading in readings))
    return f"“{text[:40]}”: {question}? It could be {shown}."
