"""Basic bearing designations by ISO/DIN 623: 6205, 6205-2RS C3, 608 ZZ, 60/22.

The sizes come from the ISO 15 table; only suffixes of the open convention are
read (shields, seals, clearance group, snap-ring groove). Other prefixes and
suffixes belong to makers and are not guessed at.
"""

from __future__ import annotations

import re
from functools import cache

from xref.fits.steps import read_rows
from xref.kinds.designation import Designated

_BASIC = re.compile(r"(\d{2,3}/\d{2,3}|\d{3,5})(.*)", re.DOTALL)
_SHIELDS = {
    "Z": "one shield",
    "ZZ": "two shields",
    "2Z": "two shields",
    "RS": "one seal",
    "2RS": "two seals",
}
_CLEARANCES = ("C2", "C3", "C4", "C5")


@cache
def table() -> dict[str, dict[str, str]]:
    """Return the rows of the ISO 15 table by basic designation."""
    return {row["designation"]: row for row in read_rows("bearing_sizes.csv")}


def decode(text: str) -> Designated | None:
    """Return what a basic designation names, or None.

    >>> decode("6205-2RS C3").dimensions_mm
    {'bore_diameter': 25.0, 'outside_diameter': 52.0, 'width': 15.0}
    """
    match = _BASIC.fullmatch(text.strip().upper())
    row = table().get(match[1]) if match else None
    if match is None or row is None:
        return None
    traits: dict[str, str | float] = {"bearing_type": "deep groove ball"}
    for suffix in re.findall(r"[0-9]*[A-Z]+[0-9]*", match[2]):
        if suffix in _SHIELDS:
            traits["shields"] = _SHIELDS[suffix]
        elif suffix in _CLEARANCES:
            traits["clearance_group"] = suffix
        elif suffix in ("N", "NR"):
            traits["snap_ring"] = "yes"
        else:
            return None
    return Designated(
        "rolling_bearing",
        {
            "bore_diameter": float(row["bore_mm"]),
            "outside_diameter": float(row["outside_mm"]),
            "width": float(row["width_mm"]),
        },
        f"{row['designation']}, {row['source']} (ISO/DIN 623)",
        traits,
        more_mm={"corner": float(row["corner_mm"])} if row["corner_mm"] else {},
    )
