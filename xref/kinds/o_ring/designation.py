"""AS568 dash numbers (= ISO 3601-1 class A sizes): -214, AS568-214, dash 214.

Nominal names mislead (-429 is called 5 x 5-1/2 x 1/4 in and is 4.975 x 0.275 in):
the sizes come from the table. A bare number is not taken for a dash number.
"""

from __future__ import annotations

import re
from functools import cache

from xref.fits.steps import read_rows
from xref.kinds.designation import Designated

_DASH = re.compile(
    r"(?:(?:AS\s*-?\s*568[A-Z]?|dash)\s*(?:no\.?)?\s*[-\s]?\s*|-)(\d{3})", re.IGNORECASE
)


@cache
def table() -> dict[str, dict[str, str]]:
    """Return the rows of `as568.csv` by dash number."""
    return {row["dash"]: row for row in read_rows("as568.csv")}


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
