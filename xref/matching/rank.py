"""The ranking key (FITS 2), in one place and in order.

Does it fit at all · any doubtful check · verdict, fewer operations first · any
check not made · the user's own proof, then an interchange source · conformance
to 0.01 · width difference · amount of work · stock and price (ordered by the
act that knows them) · maker and number, so that the same data give the same
order.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from xref.fits.judgement import DOES_NOT_FIT, Judgement

PROVED, FOUND, CLAIMED, UNSUPPORTED = range(4)
"""Who says this replaces that: the user's own proof, the part found on the machine, an
interchange list, nobody.
"""

Rows = NDArray[np.intp]


def columns(
    judged: Judgement, support: NDArray[np.int8], supply: Rows, name: Rows
) -> NDArray[np.float64]:
    """Return the ranking key as numbers (key × rows), the first to decide first.

    `support`: codes above; `supply`: smaller is better had (stock, price);
    `name`: the position of maker and number in their alphabetical order.
    Parts that do not fit are ordered by how far they miss.
    """
    fails = judged.verdict == DOES_NOT_FIT
    conformance = -np.round(judged.conformance, 2)
    return np.array(
        [
            fails,
            judged.has_doubt & ~fails,
            judged.verdict,
            np.where(fails, 0, judged.operations),
            np.where(fails, np.round(judged.misfit_mm, 4), 0.0),
            judged.has_gap & ~fails,
            support,
            np.where(fails, 0.0, conformance),
            np.round(judged.width_difference_mm, 3),
            np.round(judged.work_amount_mm, 3),
            supply,
            name,
        ],
        dtype=np.float64,
    )


def order(keys: NDArray[np.float64], group: Rows) -> Rows:
    """Return the rows ordered by need (`group`), then by the ranking key (see `columns`)."""
    return np.lexsort((*keys[::-1], group))


def badness(judged: Judgement) -> NDArray[np.float64]:
    """Return one number per row that is larger for the worse of two readings of one pair."""
    return np.asarray(
        judged.verdict * 1000.0
        + judged.has_doubt * 500.0
        + judged.certainty * 100.0
        + judged.operations * 10.0
        + (1.0 - judged.conformance)
    )


def key(judged: Judgement, row: int) -> tuple[float, ...]:
    """Return the ranking key of one pair as a tuple, to order parts that share it."""
    fails = bool(judged.verdict[row] == DOES_NOT_FIT)
    return (
        float(fails),
        float(judged.has_doubt[row] and not fails),
        float(judged.verdict[row]),
        0.0 if fails else float(judged.operations[row]),
        round(float(judged.misfit_mm[row]), 4) if fails else 0.0,
        float(judged.has_gap[row] and not fails),
        0.0 if fails else -round(float(judged.conformance[row]), 2),
        round(float(judged.width_difference_mm[row]), 3),
        round(float(judged.work_amount_mm[row]), 3),
    )


def with_support(ranking: tuple[float, ...], support: int) -> tuple[float, ...]:
    """Return the key with the part's support in its place, before the conformance."""
    return (*ranking[:6], float(support), *ranking[6:])
