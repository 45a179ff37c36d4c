"""One old O-ring or its groove against one O-ring, worked on paper first (`situations`)."""

from __future__ import annotations

from typing import Any

import pytest

from tests.matching.situations import (
    AS_IS,
    ASSUMED,
    FIRST,
    LIKELY,
    NO,
    SURE,
    Row,
    Told,
    answer,
    measured,
    sizes,
)


def ring(*values: float, **more: Any) -> Row:
    """Return an O-ring on offer."""
    return sizes("o_ring", *values, **more)


R214, OLD_RING = ring(24.99, 3.53), sizes("o_ring", 24.99, 3.53)
GROOVE = measured(groove_diameter=25.4, mating_diameter=31.14, groove_width=4.8) | {
    "gland": "piston"
}
RINGS: list[tuple[str, Row, Row, Told]] = [
    ("the same size", OLD_RING, R214, (AS_IS, ASSUMED, None)),
    ("3.5 for 3.53", OLD_RING, ring(24.99, 3.5), (NO, FIRST, "cross section")),
    ("25 for 24.99", OLD_RING, ring(25.0, 3.53), (NO, FIRST, "inside diameter")),
    ("in its groove", GROOVE, R214, (AS_IS, SURE, None)),
    ("moving", GROOVE | {"motion": "dynamic"}, R214, (AS_IS, LIKELY, None)),
    (
        "width not measured",
        {k: v for k, v in GROOVE.items() if "width" not in k},
        R214,
        (AS_IS, FIRST, None),
    ),
    ("groove 3.8 wide: 90 % full", GROOVE | measured(groove_width=3.8), R214, (AS_IS, FIRST, None)),
    ("groove 3.4 wide: overfull", GROOVE | measured(groove_width=3.4), R214, (NO, FIRST, "fill")),
    # 25.4/23.7 - 1 = 7.2 %, with class B 23.7 + 0.29: 5.9 % at least
    ("stretched 7 %", GROOVE, ring(23.7, 3.53), (NO, FIRST, "stretch")),
    ("too thin", GROOVE, ring(24.99, 2.62), (NO, FIRST, "squeeze")),
    (
        "NBR in brake fluid",
        GROOVE | {"medium": "brake fluid"},
        ring(24.99, 3.53, material="NBR"),
        (NO, FIRST, "medium"),
    ),
    (
        "EPDM in brake fluid",
        GROOVE | {"medium": "brake fluid"},
        ring(24.99, 3.53, material="EPDM"),
        (AS_IS, SURE, None),
    ),
    (
        "NBR at 150 degC",
        GROOVE | {"temperature": 150},
        ring(24.99, 3.53, material="NBR"),
        (NO, FIRST, "temperature"),
    ),
    ("dash 429 is 126.37 x 6.99", {"number": "-429"}, ring(126.37, 6.99), (AS_IS, ASSUMED, None)),
    (
        "and not 127 x 6.35, its name",
        {"number": "-429"},
        ring(127.0, 6.35),
        (NO, FIRST, "inside diameter"),
    ),
]


@pytest.mark.parametrize(("said", "old", "new", "told"), RINGS, ids=[c[0] for c in RINGS])
def test_situation(said: str, old: Row, new: Row, told: Told) -> None:
    """Verdict, certainty and failing check as worked on paper."""
    assert answer("o_ring", old, new) == told, said
