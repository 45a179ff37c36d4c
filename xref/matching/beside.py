"""The further part that an operation takes, found among parts on offer: a sleeve, a ring.

It is judged by its own kind's judge, as if it were asked for alone, and by the limits that the
operation sets on its sizes (FITS 7).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.fits.conformance import NOT_CHECKED, RESULT_WORDS
from xref.fits.judgement import Beside, Judgement, check
from xref.fits.quantity import EPSILON_MM, Quantity
from xref.kinds.base import METRIC, Need, Part
from xref.matching.engine import search
from xref.matching.judging import describe, describe_check

Rows = NDArray[np.intp]
_OPEN = RESULT_WORDS[NOT_CHECKED]
_LOOKED_AT = 100  # parts that suit the place, of which the first to suit the operation is named


def asked_for(judged: Judgement, row: int) -> list[Beside]:
    """Return the further parts that the work on a pair takes."""
    return [work.beside(row) for work in judged.work if work.beside and work.applies[row]]


def best(
    kind: str, asked: Sequence[Beside], part: Part, names: Rows
) -> list[tuple[int, dict[str, Any]] | None]:
    """Return, for each of the parts asked for, the row of the best one and how it was judged.

    All are of one `kind`. `names`: position of each part's maker and number in alphabetical
    order. None where no part suits without a doubt.
    """
    if not asked:
        return []
    places = {name: Quantity.stack([one.place[name] for one in asked]) for name in asked[0].place}
    need = Need(kind, np.full(len(asked), METRIC, dtype=np.int8), place=places)
    found: list[tuple[int, dict[str, Any]] | None] = [None] * len(asked)
    for one in search(
        kind,
        need,
        part,
        names=names,
        top=_LOOKED_AT,
        misses=0,
        tell=lambda judged, row: (judged, row),
        always_misses=False,
    ):
        wanted = asked[one.need_row]
        if found[one.need_row] is None and one.clean and _suits(wanted, part, one.part_row):
            told = describe(*one.told)
            told["checks"] = _checks(told["checks"], wanted, part, one.part_row)
            if all(c["result"] != _OPEN or c["name"] in wanted.open for c in told["checks"]):
                found[one.need_row] = (one.part_row, told)
    return found


def _suits(asked: Beside, part: Part, row: int) -> bool:
    return all(
        low - EPSILON_MM <= _size(part, dimension, row) <= high + EPSILON_MM
        for dimension, (low, high, _) in asked.own.items()
    )


def _checks(
    told: list[dict[str, Any]], asked: Beside, part: Part, row: int
) -> list[dict[str, Any]]:
    """Return a part's checks, those of sizes that the operation sets put by its own."""
    own = []
    for dimension, (low, high, rule) in asked.own.items():
        size = np.array([_size(part, dimension, row)])
        name = dimension.removesuffix("_diameter")
        made = check(name, Quantity.limits(size, size), low, high, rule, missing=dimension)
        own.append(describe_check(made, 0))
    set_by_work = {one["name"] for one in own}
    return [one for one in told if one["name"] not in set_by_work] + own


def _size(part: Part, dimension: str, row: int) -> float:
    if dimension == "wall":
        between = part.dimension("outside_diameter")[row] - part.dimension("inside_diameter")[row]
        return float(between / 2)
    return float(part.dimension(dimension)[row])
