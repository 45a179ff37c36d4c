"""Washers, sleeves, rings and blanks for bushes, worked on paper first (`situations`)."""

from __future__ import annotations

import pytest

from tests.matching.situations import (
    AS_IS,
    ASSUMED,
    FIRST,
    LIKELY,
    NO,
    PART,
    SPACER,
    SURE,
    Row,
    Told,
    answer,
    measured,
    sizes,
)

SEAT = measured(0.005, shaft=24.95, housing=32.012, depth=30.0)
OLD_BUSH = sizes("plain_bushing", 25, 32, 30)
WASHER = measured(0.005, shaft=19.9, housing=36.5, gap=1.65)
W = sizes("thrust_washer", 20, 36, 1.5)
SLEEVE = sizes("shaft_sleeve", 45.0, 45.56, 14.0, shaft_low_mm=44.88, shaft_high_mm=45.06)
RING = measured(shaft=45.0, housing=62.0, gap=3.0)
BLANK = sizes("bushing_blank", 20, 36, 100, material="bronze")
OTHERS: list[tuple[str, str, str, Row, Row, Told]] = [
    ("float 0.10 to 0.20", "thrust_washer", "", WASHER, W, (AS_IS, SURE, None)),
    (
        "float on the limit",
        "thrust_washer",
        "",
        WASHER | measured(0.005, gap=1.6),
        W,
        (AS_IS, LIKELY, None),
    ),
    ("grind 0.07", "thrust_washer", "", WASHER | measured(0.005, gap=1.58), W, (PART, SURE, None)),
    (
        "grind 1.05",
        "thrust_washer",
        "",
        WASHER | measured(0.005, gap=0.6),
        W,
        (NO, FIRST, "thickness"),
    ),
    ("shim 0.35", "thrust_washer", "", WASHER | measured(0.005, gap=2.0), W, (SPACER, SURE, None)),
    (
        "shim 2.15",
        "thrust_washer",
        "",
        WASHER | measured(0.005, gap=3.8),
        W,
        (NO, FIRST, "thickness"),
    ),
    (
        "over the shaft",
        "thrust_washer",
        "",
        WASHER | measured(0.005, shaft=20.02),
        W,
        (NO, FIRST, "inside"),
    ),
    (
        "into the recess",
        "thrust_washer",
        "",
        WASHER | measured(0.005, housing=35.9),
        W,
        (NO, FIRST, "outside"),
    ),
    ("washer by name", "thrust_washer", "", W, W, (AS_IS, ASSUMED, None)),
    (
        "sleeve in its range",
        "shaft_sleeve",
        "",
        measured(0.005, shaft=44.95),
        SLEEVE,
        (AS_IS, SURE, None),
    ),
    (
        "sleeve at its end",
        "shaft_sleeve",
        "",
        measured(0.005, shaft=45.06),
        SLEEVE,
        (AS_IS, LIKELY, None),
    ),
    (
        "sleeve out of range",
        "shaft_sleeve",
        "",
        measured(0.005, shaft=45.2),
        SLEEVE,
        (NO, FIRST, "shaft"),
    ),
    (
        "sleeve without a range",
        "shaft_sleeve",
        "",
        measured(0.005, shaft=44.95),
        sizes("shaft_sleeve", 45.0, 45.56, 14.0),
        (AS_IS, FIRST, None),
    ),
    (
        "sleeve wall of 0.8",
        "shaft_sleeve",
        "",
        measured(0.005, shaft=44.95),
        SLEEVE | {"outside_diameter_mm": 46.6},
        (NO, FIRST, "wall"),
    ),
    (
        "spacer as it is",
        "spacer_ring",
        "",
        RING,
        sizes("spacer_ring", 46, 61.8, 3),
        (AS_IS, SURE, None),
    ),
    ("spacer turned", "spacer_ring", "", RING, sizes("spacer_ring", 46, 65, 3), (PART, SURE, None)),
    (
        "spacer faced",
        "spacer_ring",
        "",
        RING,
        sizes("spacer_ring", 46, 61.8, 4),
        (PART, SURE, None),
    ),
    (
        "spacer too thin",
        "spacer_ring",
        "",
        RING,
        sizes("spacer_ring", 46, 61.8, 2.5),
        (NO, FIRST, "thickness"),
    ),
    (
        "spacer too narrow inside",
        "spacer_ring",
        "",
        RING,
        sizes("spacer_ring", 44, 61.8, 3),
        (NO, FIRST, "inside"),
    ),
    ("blank made into the bush", "plain_bushing", "bushing_blank", SEAT, BLANK, (PART, SURE, None)),
    (
        "blank without stock",
        "plain_bushing",
        "bushing_blank",
        SEAT,
        BLANK | {"outside_diameter_mm": 32.5},
        (NO, FIRST, "stock outside"),
    ),
    (
        "blank of porous bronze",
        "plain_bushing",
        "bushing_blank",
        SEAT,
        BLANK | {"material": "porous bronze"},
        (NO, FIRST, "material"),
    ),
    (
        "blank, nothing measured",
        "plain_bushing",
        "bushing_blank",
        OLD_BUSH,
        BLANK,
        (PART, FIRST, None),
    ),
    (
        "a blank for a blank",
        "bushing_blank",
        "",
        sizes("bushing_blank", 20, 36, 100),
        BLANK,
        (AS_IS, ASSUMED, None),
    ),
    (
        "a larger blank for a blank",
        "bushing_blank",
        "",
        sizes("bushing_blank", 21, 35, 90),
        BLANK,
        (PART, ASSUMED, None),
    ),
    (
        "a porous blank of the same size",
        "bushing_blank",
        "",
        sizes("bushing_blank", 20, 36, 100),
        BLANK | {"material": "porous bronze"},
        (AS_IS, ASSUMED, None),
    ),
    (
        "a larger porous blank",
        "bushing_blank",
        "",
        sizes("bushing_blank", 20, 35, 100),
        BLANK | {"material": "porous bronze"},
        (NO, FIRST, "cutting"),
    ),
    (
        "a blank too thin",
        "bushing_blank",
        "",
        sizes("bushing_blank", 20, 37, 100),
        BLANK,
        (NO, FIRST, "outside diameter"),
    ),
    (
        "a blank of a kind of its own, in a measured place",
        "bushing_blank",
        "",
        SEAT,
        BLANK,
        (PART, SURE, None),
    ),
]


@pytest.mark.parametrize(
    ("said", "kind", "offered", "old", "new", "told"),
    OTHERS,
    ids=[f"{c[1]}: {c[0]}" for c in OTHERS],
)
def test_situation(said: str, kind: str, offered: str, old: Row, new: Row, told: Told) -> None:
    """Verdict, certainty and failing check as worked on paper."""
    assert answer(kind, old, new, offered or None) == told, said
