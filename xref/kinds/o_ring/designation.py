"""AS568 dash numbers (= ISO 3601-1 class A sizes): -214, AS568-214, dash 214.

Nominal names mislead (-429 is called 5 x 5-1/2 x 1/4 in and is 4.975 x 0.275 in):
the sizes come from the table. A bare number is not taken for a dash number.
"""

from __future__ import annotations

import re
from functools import cache

import numpy as np

from xref.fits.quantity import Bools, Floats
from xref.fits.steps import read_rows
from xref.kinds.designation import Designated

_DASH = re.compile(
    r"(?:(?:AS\s*-?\s*568[A-Z]?|dash)\s*(?:no\.?)?\s*[-\s]?\s*|-)(\d{3})", re.IGNORECASE
)


@cache
def table() -> dict[str, dict[str, str]]:
    """Return the rows of `as568.csv` by dash number."""
    return {row["dash"]: row for row in read_rows("as568.csv")}


@cache
def _thousandths() -> Floats:
    """Return inside and section of all sizes as one number each [0.001 in]: AS568's own figures."""
    rows = table().values()
    pairs = [[float(row["inside_mm"]), float(row["section_mm"])] for row in rows]
    return np.sort(np.round(np.array(pairs) / 0.0254) @ _APART)


_APART = np.array([10_000.0, 1.0])
_ON_GRID = 0.05  # a fourth decimal that is not 0 is no figure of AS568, which has three


def are_dash_sizes(inside_mm: Floats, section_mm: Floats) -> Bools:
    """Where sizes written in inches [mm] are both the figures of one AS568 size: 0.984 x 0.139.

    >>> bool(are_dash_sizes(np.array([24.9936]), np.array([3.5306]))[0])
    True
    """
    figures = np.stack([inside_mm, section_mm], axis=-1) / 0.0254
    whole = np.round(figures)
    on_grid = (np.abs(figures - whole) < _ON_GRID).all(axis=-1)  # NaN is on none
    return np.asarray(on_grid & np.isin(whole @ _APART, _thousandths()))


def decode(text: str) -> Designated | None:
    """Return the ring a dash number names, or None.

    >>> decode("AS568-214").dimensions_mm["cross_section"]
    3.53
    """
    match = _DASH.fullmatch(text.strip())
    row = table().get(match[1]) if match else None
    if row is None:
        return None
    return Designated(
        "o_ring",
        {
            "inside_diameter": float(row["inside_mm"]),
            "cross_section": float(row["section_mm"]),
        },
        f"AS568 dash {row['dash']} ({row['source']})",
    )
