"""Judge pairs with the kind's judge, and put a judged pair into words.

Rows whose system is not clear are judged under both readings and the worse is
kept (FITS 1): they are doubled before judging and thinned after. Where neither
side's is clear, both may be read alike or crosswise. Alike decides, since two
lists that print one figure most likely mean one size; where they would do worse
crosswise, nobody has said which is meant, and that stays open: measure first.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import Refused
from xref.fits.conformance import FAIL, NOT_CHECKED, RESULT_WORDS
from xref.fits.judgement import (
    CERTAINTY_WORDS,
    MEASURE_FIRST,
    VERDICT_WORDS,
    Check,
    Judgement,
    check,
)
from xref.fits.quantity import NOMINAL, Bools, Quantity
from xref.fits.rules import COMMON_PRACTICE, NO_SOURCE, Rule
from xref.kinds.base import INCH, METRIC, UNCLEAR, Judge, Need, Part
from xref.kinds.spec import known_kind
from xref.matching import standard_sizes
from xref.matching.rank import badness

Rows = NDArray[np.intp]
_ONE_SIZE = Rule(
    "old part and part on offer of one standard size, where figures may mean either of two",
    NO_SOURCE,
    COMMON_PRACTICE,
)


def judge_of(kind: str) -> Judge:
    """Return the judge of a kind; `Impossible` for no kind, `Refused` for one without a judge."""
    try:
        module: Judge = import_module(f"xref.kinds.{known_kind(kind)}.judge")
    except ModuleNotFoundError as error:
        if error.name != f"xref.kinds.{kind}.judge":
            raise
        raise Refused(
            f"Parts of the kind {kind!r} are not matched by size: look for the number instead.",
            code="kind-without-judge",
        ) from None
    return module


def judge_pairs(
    kind: str, need: Need, part: Part, need_rows: Rows, part_rows: Rows
) -> tuple[Judgement, Rows, Rows, Rows]:
    """Judge pairs; return the judgement, its need and part rows, and the judged rows to use.

    Where a system is not clear the pair stands more than once; the last array
    holds, for each pair, the row of its worst reading.
    """
    n, p = need.take(need_rows), part.take(part_rows)
    pair = np.arange(len(need_rows))
    unclear = (n.system == UNCLEAR) | (p.system == UNCLEAR)
    crosswise = np.zeros(len(pair), dtype=np.bool_)
    if unclear.any():
        twice = np.flatnonzero(unclear)
        across = np.flatnonzero((n.system == UNCLEAR) & (p.system == UNCLEAR))
        pair = np.concatenate([pair, twice, across, across])
        n, p = n.take(pair), p.take(pair)
        lengths = [len(need_rows), len(twice), len(across), len(across)]
        crosswise = np.repeat([False, False, True, True], lengths)
        for side, inch in ((n, [False, True, False, True]), (p, [False, True, True, False])):
            open_ = side.system == UNCLEAR
            second = np.repeat(inch, lengths)
            side.second_reading(second & open_)
            reading = np.where(second, INCH, METRIC)
            side.system = np.where(open_, reading, side.system).astype(np.int8)
    judged = judge_of(kind).judge(n, p)
    judged.warnings += [
        *standard_sizes.remarks(n.other, "old part"),
        *standard_sizes.remarks(p.other, "part on offer"),
    ]
    use = np.arange(len(need_rows))
    if unclear.any():
        alike = np.where(crosswise, -np.inf, badness(judged))
        ordered = np.lexsort((-alike, pair))
        use = ordered[np.searchsorted(pair[ordered], np.arange(len(need_rows)))]
        _leave_open(judged, pair, use, crosswise)
    return judged, need_rows[pair], part_rows[pair], use


def _leave_open(judged: Judgement, pair: Rows, use: Rows, crosswise: Bools) -> None:
    """Say that the standard size is not known, of pairs that would do worse read crosswise."""
    rows = use[pair[crosswise & (judged.verdict > judged.verdict[use][pair])]]
    if not len(rows):
        return
    applies = np.zeros(len(judged), dtype=np.bool_)
    applies[rows] = True
    judged.checks.append(
        check(
            "standard size",
            Quantity.unknown(len(judged)),
            np.nan,
            np.nan,
            _ONE_SIZE,
            missing="which of two standard sizes each list means: measure the old part, ask the "
            "seller",
            unit="",
            applies=applies,
        )
    )
    judged.has_gap = judged.has_gap | applies
    judged.certainty[rows] = MEASURE_FIRST


def describe_check(check: Check, row: int) -> dict[str, Any]:
    """Return one check of one pair as the contract's JSON object."""
    rule = check.rule(row)
    numeric = check.unit == "mm"
    result = RESULT_WORDS[int(check.result[row])]
    actual = [_figure(check.actual.low[row]), _figure(check.actual.high[row])]
    permitted = [_figure(check.low[row]), _figure(check.high[row])]
    estimate, margin = _figure(check.actual.estimate[row]), _figure(check.margin[row])
    unchecked = check.result[row] == NOT_CHECKED
    document: dict[str, Any] = {
        "name": check.name,
        "permitted_mm": permitted if numeric else None,
        "actual_mm": actual if numeric else None,
        "estimate_mm": estimate if numeric else None,
        "margin_mm": margin if numeric else None,
        "result": result,
        "conformance": None if unchecked else _figure(check.conformance[row], 4),
        "rule": rule.text,
        "source": rule.source,
        "basis": rule.basis,
    }
    if not numeric and check.unit:
        document |= {"unit": check.unit, "permitted": permitted, "actual": actual}
    if result == "fail" and check.actual.how[row] == NOMINAL:
        document["advice"] = f"measure {check.missing}: the old part's name alone decided this"
    if unchecked:
        document["missing"] = check.not_covered(row) or f"not known: {check.missing}"
    return document


def describe(judged: Judgement, row: int) -> dict[str, Any]:
    """Return verdict, certainty, conformance, work, checks and warnings of one pair."""
    shown = [one for one in judged.checks if one.applies is None or one.applies[row]]
    return {
        "verdict": VERDICT_WORDS[int(judged.verdict[row])],
        "certainty": CERTAINTY_WORDS[int(judged.certainty[row])],
        "conformance": _figure(judged.conformance[row], 2),
        "work": [item.text(row) for item in judged.work if item.applies[row]],
        "checks": [describe_check(one, row) for one in shown],
        "warnings": [one.text(row) for one in judged.warnings if one.applies[row]],
    }


def failing_check(judged: Judgement, row: int) -> str | None:
    """Return the name of the first failing check of a pair, or None."""
    for one in judged.checks:
        if one.result[row] == FAIL:
            return one.name
    return None


def _figure(value: float, places: int = 4) -> float | None:
    """Round for people and JSON; an open or unknown limit is null."""
    return round(float(value), places) + 0.0 if np.isfinite(value) else None
