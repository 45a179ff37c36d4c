"""`Shaft` beside `Bore`: for a seal the bore is that of the housing, which its outside fits.

Common practice of seal lists, no source. A bore without a shaft beside it is the part's own.
"""

from __future__ import annotations

from collections.abc import Sequence

from xref.tables.sized import OUTSIDE
from xref.tables.text import fold

_INSIDE = "shaft_diameter"
_SHAFT = frozenset(
    ["shaft", "welle", "wellen", "arbre", "albero", "eje", "as", "axel", "aksel", "walek", "hridel"]
)
_BORE = frozenset(
    ["bore", "housing", "bohrung", "gehause", "alesage", "logement", "sede", "alojamiento"]
)


def bore_is_outside(taken: dict[str, list[tuple[int, int]]], headings: Sequence[str]) -> None:
    """Give a seal's bore column to its outside diameter where another names the shaft.

    `taken` are the columns (score, index) of each dimension.
    """
    inside = taken.get(_INSIDE, [])
    if len(inside) < 2 or OUTSIDE in taken:
        return
    shafts = [one for one in inside if _SHAFT & set(fold(headings[one[1]]).split())]
    bores = [one for one in inside if _BORE & set(fold(headings[one[1]]).split())]
    if shafts and bores and not set(shafts) & set(bores):
        taken[_INSIDE] = [one for one in inside if one not in bores]
        taken[OUTSIDE] = bores
