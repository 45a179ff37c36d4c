"""From drafts in a written unit to sizes in millimetres; where that is open, to a question."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from xref.errors import NeedsAnswer, Refused
from xref.sizes.value import MM_PER_INCH, Label, Size, Unit

LARGEST_MM = 100_000  # no single part of a machine; a slip of the decimal sign otherwise


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
    if low <= 0:
        what = "zero" if low == 0 else "below zero"
        raise Refused(
            f"“{text[:40]}” is no size: it comes to {what}. Check the figures.", code="size-zero"
        )
    if high > LARGEST_MM:
        raise Refused(
            f"“{text[:40]}” is no size of a part: it comes to more than 100 m. Check the "
            "decimal sign and the unit.",
            code="size-too-large",
        )
    return Size(
        low, high, nominal, unit, text, draft.form, draft.label, draft.decimals,
        (*draft.notes, *notes), draft.zone,
    )  # fmt: skip


def resolve(drafts: list[Draft], given: Unit | None, text: str, question: str | None) -> Size:
    """Return the one size the drafts come to; raises `NeedsAnswer` when there are several."""
    sizes = []
    for draft in drafts:
        choice, notes = units(draft, given)
        sizes += [settled(draft, unit, text, notes) for unit in choice]
    if len(sizes) == 1 and question is None:
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
