"""One old seal or its place against one seal, worked on paper first (`situations`)."""

from __future__ import annotations

from typing import Any

import pytest

from tests.matching.situations import (
    AS_IS,
    ASSUMED,
    FIRST,
    LIKELY,
    MACHINE,
    NO,
    SPACER,
    SURE,
    Row,
    Told,
    answer,
    measured,
    sizes,
)


def seal(*values: float, **more: Any) -> Row:
    """Return a seal on offer, metal-cased unless said."""
    return sizes("shaft_seal", *values, **{"case": "metal", **more})


# A place for 40 x 60 x 10: h11 39.84..40.00, H8 60.000..60.046, depth from 10.3 (b + 0.3).
PLACE_40 = measured(shaft=39.9, housing=60.022, depth=11.0)
S40 = seal(40, 60, 10)
OLD_60 = sizes("shaft_seal", 60, 80, 10)
SEALS: list[tuple[str, Row, Row, Told]] = [
    ("the same by name", sizes("shaft_seal", 40, 60, 10), S40, (AS_IS, ASSUMED, None)),
    ("narrower by name", sizes("shaft_seal", 40, 60, 10), seal(40, 60, 7), (AS_IS, ASSUMED, None)),
    ("0.5 wider", sizes("shaft_seal", 40, 60, 9.5), S40, (AS_IS, FIRST, None)),
    ("3 wider: deepen", sizes("shaft_seal", 40, 60, 7), S40, (MACHINE, ASSUMED, None)),
    ("5.5 wider", sizes("shaft_seal", 40, 60, 4.5), S40, (NO, FIRST, "width")),
    ("all measured inside", PLACE_40, S40, (AS_IS, SURE, None)),
    ("shaft on the limit", PLACE_40 | measured(shaft=40.0), S40, (AS_IS, LIKELY, None)),
    ("shaft 0.01 above", PLACE_40 | measured(shaft=40.01), S40, (AS_IS, FIRST, None)),
    (
        "shaft 0.01 above, better",
        PLACE_40 | measured(0.005, shaft=40.01),
        S40,
        (NO, FIRST, "shaft"),
    ),
    ("shaft 0.03 above", PLACE_40 | measured(shaft=40.03), S40, (NO, FIRST, "shaft")),
    ("shaft 0.01 below", PLACE_40 | measured(shaft=39.83), S40, (AS_IS, FIRST, None)),
    ("thin sleeve, wall 0.1", PLACE_40 | measured(shaft=39.8), S40, (MACHINE, SURE, None)),
    ("thin sleeve, wall 0.3", PLACE_40 | measured(shaft=39.4), S40, (MACHINE, SURE, None)),
    ("wall 0.35 is no sleeve", PLACE_40 | measured(shaft=39.3), S40, (NO, FIRST, "shaft")),
    ("wall 1.45 is no sleeve", PLACE_40 | measured(shaft=37.1), S40, (NO, FIRST, "shaft")),
    ("wall 1.5 is one", PLACE_40 | measured(shaft=37.0), S40, (MACHINE, SURE, None)),
    ("wall 6.05 is too much", PLACE_40 | measured(shaft=27.9), S40, (NO, FIRST, "shaft")),
    ("depth on the limit", PLACE_40 | measured(0.05, depth=10.3), S40, (AS_IS, LIKELY, None)),
    ("depth 0.04 short", PLACE_40 | measured(0.05, depth=10.26), S40, (AS_IS, FIRST, None)),
    ("depth 0.3 short: deepen", PLACE_40 | measured(0.05, depth=10.0), S40, (MACHINE, SURE, None)),
    ("depth 5.2 short", PLACE_40 | measured(0.05, depth=5.1), S40, (NO, FIRST, "width")),
    ("bore above H8, metal", PLACE_40 | measured(housing=60.06), S40, (AS_IS, FIRST, None)),
    ("bore far above, metal", PLACE_40 | measured(housing=60.1), S40, (NO, FIRST, "housing")),
    # rubber over 50 to 80: +0.35/+0.20: 60.20 - 60.12 = 0.08 of press left
    (
        "bore far above, rubber",
        PLACE_40 | measured(housing=60.1),
        seal(40, 60, 10, case="rubber"),
        (AS_IS, FIRST, None),
    ),
    (
        "bore above all press, rubber",
        PLACE_40 | measured(housing=60.25),
        seal(40, 60, 10, case="rubber"),
        (NO, FIRST, "housing"),
    ),
    ("bore below: bore out 0.1", PLACE_40 | measured(housing=59.95), S40, (MACHINE, SURE, None)),
    ("bore out 2.046", PLACE_40 | measured(housing=58.0), S40, (NO, FIRST, "housing")),
    ("bore and sleeve, 62 to 63", PLACE_40 | measured(housing=62.0), S40, (MACHINE, SURE, None)),
    ("bore and sleeve, 2.1 to cut", PLACE_40 | measured(housing=60.9), S40, (NO, FIRST, "housing")),
    ("housing sleeve of 1.5", PLACE_40 | measured(housing=63.0), S40, (MACHINE, SURE, None)),
    # 2-3/8 in: 60.249..60.401 (+/-0.003 in), over h11 of 60
    (
        "inch by name, metric seal",
        {"shaft_diameter_text": "2-3/8in", "outside_diameter_text": "3-1/8in"},
        seal(60, 80, 8),
        (NO, FIRST, "shaft"),
    ),
    (
        "inch by name, inch seal",
        {
            "shaft_diameter_text": "2-3/8in",
            "outside_diameter_text": "3-1/8in",
            "width_text": "3/8in",
        },
        seal(60.325, 79.375, 9.525, written_unit="in"),
        (AS_IS, ASSUMED, None),
    ),
    (
        "inch printed in mm, inch seal",
        sizes("shaft_seal", 60.33, 79.38, 9.5),
        seal(60.325, 79.375, 9.525),
        (AS_IS, ASSUMED, None),
    ),
    (
        "2-1/2 x 3-1/2 in printed as 63.5 x 88.9",
        sizes("shaft_seal", 63.5, 88.9, 12.7),
        seal(63.5, 88.9, 12.7, written_unit="in"),
        (AS_IS, ASSUMED, None),
    ),
    # 1-3/8 in: 34.849..35.001 against 34.84..35.00: the housing is not known at all
    ("1-3/8 in on 35", {"shaft_diameter_text": "1-3/8in"}, seal(35, 52, 7), (AS_IS, FIRST, None)),
    # the new lip at 5 of 10 in a track 2 wide at 5: 2 mm away is clear; 12.95 - 10.3 = 2.65 of room
    (
        "track: ring of 2 mm",
        OLD_60 | measured(0.05, depth=13.0) | {"wear_track": "5mm,2mm"},
        seal(60, 80, 10),
        (SPACER, ASSUMED, None),
    ),
    (
        "track: no room for the ring",
        OLD_60 | measured(0.05, depth=12.0) | {"wear_track": "5mm,2mm"},
        seal(60, 80, 10),
        (MACHINE, ASSUMED, None),
    ),
    (
        "track: a 6 wide lip sits at 3",
        OLD_60 | {"wear_track": "5mm,2mm"},
        seal(60, 80, 6),
        (AS_IS, ASSUMED, None),
    ),
    (
        "track: a 7 wide lip at 3.5 does not clear it",
        OLD_60 | {"wear_track": "5mm,2mm"},
        seal(60, 80, 7),
        (MACHINE, ASSUMED, None),
    ),
    (
        "track, but neither width nor depth",
        measured(shaft=59.9, housing=80.022) | {"wear_track": "5mm,2mm"},
        seal(60, 80, 10),
        (AS_IS, FIRST, None),
    ),
    # pi x 60 x 3000 / 60000 = 9.42 m/s, x 4000: 12.57; NBR 12, FKM 35
    (
        "NBR at 9.4 m/s",
        OLD_60 | {"rpm": 3000},
        seal(60, 80, 10, lip_material="NBR"),
        (AS_IS, ASSUMED, None),
    ),
    (
        "NBR at 12.6 m/s",
        OLD_60 | {"rpm": 4000},
        seal(60, 80, 10, lip_material="NBR"),
        (NO, FIRST, "speed"),
    ),
    (
        "FKM at 12.6 m/s",
        OLD_60 | {"rpm": 4000},
        seal(60, 80, 10, lip_material="FKM"),
        (AS_IS, ASSUMED, None),
    ),
    ("lip not stated", OLD_60 | {"rpm": 100}, seal(60, 80, 10), (AS_IS, FIRST, None)),
    (
        "NBR at 100 degC",
        OLD_60 | {"temperature": 100},
        seal(60, 80, 10, lip_material="NBR"),
        (AS_IS, ASSUMED, None),
    ),
    (
        "NBR at 101 degC",
        OLD_60 | {"temperature": 101},
        seal(60, 80, 10, lip_material="NBR"),
        (NO, FIRST, "temperature"),
    ),
    ("0.3 bar", OLD_60 | {"pressure_bar": 0.3}, seal(60, 80, 10), (AS_IS, ASSUMED, None)),
    ("0.5 bar at 60 mm", OLD_60 | {"pressure_bar": 0.5}, seal(60, 80, 10), (AS_IS, FIRST, None)),
    (
        "0.5 bar at 80 mm",
        sizes("shaft_seal", 80, 100, 10) | {"pressure_bar": 0.5},
        seal(80, 100, 10),
        (NO, FIRST, "pressure"),
    ),
    ("0.7 bar at 60 mm", OLD_60 | {"pressure_bar": 0.7}, seal(60, 80, 10), (NO, FIRST, "pressure")),
    (
        "NBR in brake fluid",
        OLD_60 | {"medium": "brake fluid"},
        seal(60, 80, 10, lip_material="NBR"),
        (NO, FIRST, "medium"),
    ),
    (
        "NBR in petrol",
        OLD_60 | {"medium": "petrol"},
        seal(60, 80, 10, lip_material="NBR"),
        (AS_IS, FIRST, None),
    ),
    (
        "NBR in milk",
        OLD_60 | {"medium": "milk"},
        seal(60, 80, 10, lip_material="NBR"),
        (AS_IS, FIRST, None),
    ),
    (
        "other rotation",
        OLD_60 | {"rotation": "anticlockwise"},
        seal(60, 80, 10, rotation="clockwise"),
        (NO, FIRST, "rotation"),
    ),
    ("rotation not known", OLD_60, seal(60, 80, 10, rotation="clockwise"), (AS_IS, FIRST, None)),
    (
        "leather lip before",
        OLD_60 | {"lip_material": "leather"},
        seal(60, 80, 10),
        (AS_IS, ASSUMED, None),
    ),
    ("dirt and a single lip", OLD_60 | {"dirt": True}, seal(60, 80, 10), (AS_IS, ASSUMED, None)),
    (
        "72 x 8 for 50: ladder to 55",
        measured(shaft=49.95, housing=72.02, depth=9.0),
        seal(55, 72, 8),
        (MACHINE, SURE, None),
    ),
    (
        "limits inside h11",
        {"shaft_diameter_text": "60 h11", "outside_diameter_mm": 80.0},
        seal(60, 80, 10),
        (AS_IS, ASSUMED, None),
    ),
    # 60 k6 is 60.002..60.021, above 60.00: a drawing's shaft that no seal is made for
    (
        "limits above h11",
        {"shaft_diameter_text": "60 k6", "outside_diameter_mm": 80.0},
        seal(60, 80, 10),
        (NO, FIRST, "shaft"),
    ),
]


@pytest.mark.parametrize(("said", "old", "new", "told"), SEALS, ids=[c[0] for c in SEALS])
def test_situation(said: str, old: Row, new: Row, told: Told) -> None:
    """Verdict, certainty and failing check as worked on paper."""
    assert answer("shaft_seal", old, new) == told, said
