"""One original against one part: how situations worked on paper are put to the library.

ISO 286-2 in um (two independent texts agree): h11 of 40 -160, of 60 -190; H8 of 60 +46, of 80 +46,
of 25 +33; H7 of 52 +30; k5 of 25 +11/+2, k6 +15/+2, g6 -7/-20, h6 0/-13; N7 of 52 -39/-9, M7
-30/0; s6 of 32 +59/+43; g7 of 25 -7, e7 -40/-61. ISO 6194-1 and RMA OS-4 tolerances, seat zones
after ANSI/ABMA Std 7 and ISO 4379 classes from memory; workshop bounds have no source; lip limits
Tribology Handbook B23; ISO 281; ISO 3601-1 class A.
"""

from __future__ import annotations

from typing import Any

import pandas as pd

import xref as library

Row = dict[str, Any]
Told = tuple[str, str, str | None]
SURE, LIKELY, ASSUMED, FIRST = "sure", "likely", "assumed", "measure first"
AS_IS, SPACER, PART, MACHINE, NO = (
    "as is",
    "with spacer",
    "alter the part",
    "alter the machine",
    "does not fit",
)


def measured(u: float = 0.02, /, **places: float) -> Row:
    """Return places as measured, each within `u` [mm]."""
    row: Row = {}
    for name, value in places.items():
        row |= {f"{name}_mm": value, f"{name}_uncertainty_mm": u}
    return row


def sizes(kind: str, *values: float | None, **more: Any) -> Row:
    """Return a part's own sizes, in the order they are written."""
    names = {
        "shaft_seal": ("shaft_diameter", "outside_diameter", "width"),
        "rolling_bearing": ("bore_diameter", "outside_diameter", "width"),
        "plain_bushing": ("bore_diameter", "outside_diameter", "length"),
        "bushing_blank": ("bore_diameter", "outside_diameter", "length"),
        "o_ring": ("inside_diameter", "cross_section"),
        "thrust_washer": ("inside_diameter", "outside_diameter", "thickness"),
        "spacer_ring": ("inside_diameter", "outside_diameter", "thickness"),
        "shaft_sleeve": ("inside_diameter", "outside_diameter", "width"),
    }[kind]
    return {f"{n}_mm": v for n, v in zip(names, values, strict=False) if v is not None} | more


def answer(kind: str, old: Row, new: Row, offered: str | None = None) -> Told:
    """Return verdict, certainty and failing check of the one part on offer."""
    original = pd.DataFrame([{"number": "OLD", "kind": kind, **old}])
    part = pd.DataFrame([{"maker": "Ada", "number": "NEW", "kind": offered or kind, **new}])
    rows = library.match(original, part).to_dict("records")
    assert len(rows) == 1
    (row,) = rows
    return row["verdict"], row["certainty"], row["failing_check"]
