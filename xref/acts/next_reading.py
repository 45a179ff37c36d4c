"""Which reading of a place comes next, so that they can be taken one after another."""

from __future__ import annotations

from itertools import product
from typing import Any

from xref.kinds.spec import spec

Row = dict[str, Any]
# What is round is read in two planes and two directions, which shows taper and out-of-round
# (common practice, no source).
PLANES, DIRECTIONS = ("near", "far"), ("0", "90")
_ROUND = ("shaft", "housing", "groove_diameter", "mating_diameter")


def next_reading(place: Row) -> Row | None:
    """Return `dimension`, `plane` and `direction` of the first reading not yet taken.

    `place` is one of `xref.acts.teardown.show`. None when all are taken, or the kind is not known.

    >>> next_reading({"kind": "shaft_seal", "readings": []})
    {'dimension': 'shaft', 'plane': 'near', 'direction': '0'}
    """
    if not place["kind"]:
        return None
    taken = {(r["dimension"], r["plane"], r["direction"]) for r in place["readings"]}
    for one in spec(place["kind"]).places:
        spots = product(PLANES, DIRECTIONS) if one.name in _ROUND else [("", "")]
        for plane, direction in spots:
            if (one.name, plane, direction) not in taken:
                return {"dimension": one.name, "plane": plane, "direction": direction}
    return None
