"""Enquiry letters, as text and HTML. Nothing here sends anything.

Sizes stand in both units, because neither side should have to convert: millimetres as found,
inches with the workshop fraction where it is exact.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from html import escape

_WIDTH = 72
_INCH = Fraction(127, 5)  # mm, exact (international inch, 1959)
_EXACT_MM = 0.005  # lists print inch sizes to the hundredth of a millimetre

QUESTIONS = (
    "how many you have, and in what condition (new, new old stock, used, reconditioned)",
    "the price for one, with or without tax, and the postage",
    "until when you can hold the offer",
    "for used or old parts: the sizes as you measure them, and the age of any rubber",
)
CAUTIONS = (
    "Old friction linings, gaskets and packings may hold asbestos: please do not clean, cut or "
    "sand them, and say so before posting. Rules for this differ by country.",
    "Please leave preservative and wrapping on new old stock.",
)


@dataclass(frozen=True)
class Line:
    """One part asked for; `sizes` are (title, low mm, high mm, as written or None)."""

    quantity: int
    name: str
    kind: str | None = None
    sizes: Sequence[tuple[str, float, float, str | None]] = ()
    alternatives: Sequence[str] = ()
    listed_as: Sequence[str] = ()
    may_serve: Sequence[str] = ()  # of the supplier's list, found to fit by size


@dataclass(frozen=True)
class Letter:
    """An enquiry to one supplier; the date it is wanted back is `answer_by`."""

    supplier: str
    written: date
    reference: str
    lines: Sequence[Line]
    answer_by: date | None = None
    cautions: Sequence[str] = field(default=CAUTIONS)


def both_units(low: float, high: float, written: str | None = None) -> str:
    """Return a size in millimetres and inches.

    >>> both_units(60.325, 60.325)
    '60.325 mm (2-3/8 in)'
    >>> both_units(44.795, 44.805)
    '44.795 to 44.805 mm (1.7636 to 1.7640 in)'
    """
    if low == high:
        text = f"{_mm(low)} mm ({_inch(low)} in)"
    else:
        text = f"{_mm(low)} to {_mm(high)} mm ({low / 25.4:.4f} to {high / 25.4:.4f} in)"
    plain = {f"{_mm(low)} mm", f"{_mm(low)}mm", _mm(low), f"{_inch(low)} in", f"{_inch(low)}in"}
    return text if written is None or written in plain else f"{text}, written {written}"


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _inch(mm: float) -> str:
    """Return inches: as a fraction of 64ths where the size is one, else four decimals."""
    parts = round(mm / float(_INCH) * 64)
    away = abs(mm - float(parts * _INCH / 64))
    if parts and away <= (1e-6 if mm == round(mm) else _EXACT_MM):  # whole mm are seldom inches
        whole, rest = divmod(Fraction(parts, 64), 1)
        if not rest:
            return str(whole)
        return f"{whole}-{rest}" if whole else str(rest)
    return f"{mm / 25.4:.4f}"


def as_text(letter: Letter) -> str:
    """Return the letter as plain text, 72 columns."""
    out = [
        letter.written.isoformat(),
        "",
        letter.supplier,
        "",
        f"Enquiry {letter.reference}",
        "",
        _opening(letter),
        "",
    ]
    for number, line in enumerate(letter.lines, 1):
        out += _paragraph(f"{line.quantity} x {line.name}", f"{number:>2}. ")
        if line.kind:
            out += _paragraph(line.kind, "    ")
        for title, low, high, written in line.sizes:
            out += _paragraph(f"{title}: {both_units(low, high, written)}", "    ")
        if line.listed_as:
            out += _paragraph(f"in your list as: {', '.join(line.listed_as)}", "    ")
        if line.may_serve:
            out += _paragraph(f"of your list these may serve: {', '.join(line.may_serve)}", "    ")
        if line.alternatives:
            out += _paragraph(f"also accepted: {', '.join(line.alternatives)}", "    ")
        out.append("")
    out.append("Please tell us:")
    for question in QUESTIONS:
        out += _paragraph(question, "  - ")
    out.append("")
    for caution in letter.cautions:
        out += [*_paragraph(caution, ""), ""]
    return "\n".join(out).rstrip() + "\n"


def _opening(letter: Letter) -> str:
    opening = "We are looking for the parts below. Do you have any of them?"
    if letter.answer_by:
        opening += f" An answer by {letter.answer_by.isoformat()} would reach us in time."
    return "\n".join(_paragraph(opening, ""))


def _paragraph(text: str, lead: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead), break_on_hyphens=False
    )


def as_html(letter: Letter) -> str:
    """Return the letter as one HTML page that prints on a sheet; all text is escaped."""
    items = []
    for line in letter.lines:
        rows = [f"<strong>{line.quantity} × {escape(line.name)}</strong>"]
        if line.kind:
            rows.append(escape(line.kind))
        rows += [
            f"{escape(title)}: {escape(both_units(low, high, written))}"
            for title, low, high, written in line.sizes
        ]
        if line.listed_as:
            rows.append(f"in your list as: {escape(', '.join(line.listed_as))}")
        if line.may_serve:
            rows.append(f"of your list these may serve: {escape(', '.join(line.may_serve))}")
        if line.alternatives:
            rows.append(f"also accepted: {escape(', '.join(line.alternatives))}")
        items.append("<li>" + "<br>".join(rows) + "</li>")
    questions = "".join(f"<li>{escape(q)}</li>" for q in QUESTIONS)
    cautions = "".join(f"<p>{escape(c)}</p>" for c in letter.cautions)
    title = f"Enquiry {escape(letter.reference)}"
    opening = escape(" ".join(_opening(letter).split()))
    return (
        f'<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
        "<style>body{font:11pt/1.4 serif;max-width:17cm;margin:2cm auto;padding:0 1em}"
        "li{margin:.5em 0;break-inside:avoid}@page{margin:2cm}"
        "@media print{body{margin:0;max-width:none}}</style></head><body>"
        f"<p>{letter.written.isoformat()}</p><p>{escape(letter.supplier)}</p><h1>{title}</h1>"
        f"<p>{opening}</p><ol>{''.join(items)}</ol>"
        f"<p>Please tell us:</p><ul>{questions}</ul>{cautions}</body></html>\n"
    )
