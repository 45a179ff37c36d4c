"""Needs and parts of one row, for worked cases."""

from __future__ import annotations

from typing import Any

import numpy as np

from xref.fits.conformance import RESULT_WORDS
from xref.fits.judgement import CERTAINTY_WORDS, VERDICT_WORDS, Judgement
from xref.kinds.base import Need, Part
from xref.kinds.spec import spec
from xref.matching.judging import judge_of
from xref.matching.needs import one_need
from xref.matching.parts import part_from_columns


def need(kind: str, **given: Any) -> Need:
    """Build a need: `part`, `place`, `service`, `traits`, `uncertainty` as in `one_need`."""
    return one_need(
        kind,
        part=given.get("part", {}),
        place=given.get("place", {}),
        uncertainty=given.get("uncertainty"),
        service=given.get("service"),
        traits=given.get("traits"),
    )[0]


def part(kind: str, *, unit: str = "mm", **columns: Any) -> Part:
    """Build one part on offer from dimensions [mm] and traits."""
    made = {
        (f"{name}_mm" if name in spec(kind).dimension_names else name): np.array([value])
        for name, value in columns.items()
    }
    made["written_unit"] = np.array([unit], dtype=object)
    return part_from_columns(kind, made, 1)


def judged(the_need: Need, the_part: Part) -> Judgement:
    """Judge one pair."""
    return judge_of(the_need.kind).judge(the_need, the_part)


def outcome(judgement: Judgement) -> tuple[str, str]:
    """Return verdict and certainty in words."""
    return VERDICT_WORDS[judgement.verdict[0]], CERTAINTY_WORDS[judgement.certainty[0]]


def result(judgement: Judgement, name: str) -> str:
    """Return the result of one check in words."""
    (one,) = [check for check in judgement.checks if check.name == name]
    return RESULT_WORDS[one.result[0]]


def permitted(judgement: Judgement, name: str) -> tuple[float, float]:
    """Return a check's permitted interval, rounded to 0.1 micrometre."""
    (one,) = [check for check in judgement.checks if check.name == name]
    return round(float(one.low[0]), 4), round(float(one.high[0]), 4)


def actual(judgement: Judgement, name: str) -> tuple[float, float]:
    """Return a check's actual interval, rounded to 0.1 micrometre."""
    (one,) = [check for check in judgement.checks if check.name == name]
    return round(float(one.actual.low[0]), 4), round(float(one.actual.high[0]), 4)
