"""The unit of a list whose sizes carry none: declared, stated, shown by other cells, or asked.

Decisions 15 to 18 of the reading rules. Never millimetres in silence: what decided is noted.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from xref.tables.text import fold

NAMES = {"mm": "millimetres", "in": "inches"}
FEW = 0.2
"""Up to this share of the rows, sizes whose unit nothing shows are set aside row by row; above
it the whole list is asked about."""

_SIZES = re.compile(
    r"\b(?:sizes?|dimensions?|dims?|measurements?|masse|abmessungen|alle masse|dimensioni|misure|"
    r"medidas|cotes|maten|afmetingen|matt|mal)\b"
)
_MM = re.compile(r"\b(?:mm|millimet\w+|metric)\b")
_INCH = re.compile(r"\b(?:in|ins|inch\w*|imperial|zoll|pouces?|pollici|pulgadas|duim|tum)\b")


@dataclass(frozen=True, slots=True)
class Decision:
    """Unit for sizes without one (None: each row for itself), how it was found, or the question."""

    unit: str | None
    note: str | None = None
    question: str | None = None


@dataclass(slots=True)
class Evidence:
    """What the sizes of a list show: numbers of rows."""

    rows: int = 0
    bare: int = 0  # rows that hold a size without any unit
    inch: int = 0  # rows that hold a size written in inches
    mm: int = 0
    looks_metric: int = 0  # bare rows that could hardly be inches
    looks_inch: int = 0
    example: str = ""


def stated_in(texts: Iterable[str]) -> tuple[str | None, str]:
    """Return the unit that a letterhead or footer states for all sizes, and its words."""
    for text in texts:
        words = fold(text.replace('"', " inch "))
        if len(words) > 200 or not _SIZES.search(words):
            continue
        mm, inch = bool(_MM.search(words)), bool(_INCH.search(words.replace(" in mm", " mm")))
        if mm and not re.search(r"\binch|\bzoll|\bpouce", words):
            return "mm", text
        if inch and not mm:
            return "in", text
    return None, ""


def decide(
    evidence: Evidence,
    *,
    declared: str | None,
    stated: tuple[str | None, str],
    before: str | None = None,
) -> Decision:
    """Return the unit for sizes without one.

    `before` is the unit of the supplier's earlier list: it holds where this one shows no other.
    """
    if declared:
        return Decision(declared)
    if stated[0]:
        return Decision(
            stated[0], f"sizes are read in {NAMES[stated[0]]}, as the list says: {stated[1][:80]!r}"
        )
    if evidence.bare == 0:  # sizes that stand together may be without a unit all the same
        return Decision(before)
    if before and not _shows_other(evidence, before):
        return Decision(
            before, f"sizes without a unit are read in {NAMES[before]}, as in the list before"
        )
    if evidence.inch and not evidence.mm:
        if evidence.looks_metric * 2 <= evidence.bare:
            return Decision(
                "in",
                f"{evidence.bare} rows give sizes without a unit; read in inches because the other "
                "sizes of the list are written in inches",
            )
    elif evidence.mm and not evidence.inch:
        if evidence.looks_inch * 2 <= evidence.bare:
            return Decision(
                "mm",
                f"{evidence.bare} rows give sizes without a unit; read in millimetres because the "
                "other sizes of the list are written in millimetres",
            )
    elif evidence.inch and evidence.mm and evidence.bare <= FEW * evidence.rows:
        return Decision(None)
    return Decision(None, question=_question(evidence))


def _shows_other(evidence: Evidence, unit: str) -> bool:
    """Whether at least half the sizes of a list look like those of another unit than `unit`."""
    if unit == "in":
        written, looks = evidence.mm and not evidence.inch, evidence.looks_metric
    else:
        written, looks = evidence.inch and not evidence.mm, evidence.looks_inch
    return bool(written) or looks * 2 >= evidence.bare


def _question(evidence: Evidence) -> str:
    looks = ""
    if evidence.looks_inch > evidence.looks_metric:
        looks = "They look like inches. "
    elif evidence.looks_metric > evidence.looks_inch:
        looks = "They look like millimetres. "
    return (
        f"are sizes without a unit, such as {evidence.example}, in inches or in millimetres? "
        f"{looks}Answer with --unit in or --unit mm"
    )
