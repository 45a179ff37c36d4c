"""One old bearing or its seats against one bearing, worked on paper first (`situations`)."""

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


def ball(*values: float, **more: Any) -> Row:
    """Return a bearing on offer, deep groove unless said."""
    return sizes("rolling_bearing", *values, **{"bearing_type": "deep groove ball", **more})


B25, OLD_25 = ball(25, 52, 15), sizes("rolling_bearing", 25, 52, 15)
DUTY = {"rotating": "inner", "load": "normal"}
SEATS = measured(0.002, shaft=25.009, housing=52.015)
TAPER = {"bearing_type": "tapered roller", "contact_angle": 14.0}
BEARINGS: list[tuple[str, Row, Row, Told]] = [
    ("the same by name", OLD_25, B25, (AS_IS, ASSUMED, None)),
    ("1 narrower", OLD_25, ball(25, 52, 14), (SPACER, ASSUMED, None)),
    ("0.02 wider is print", OLD_25, ball(25, 52, 15.02), (AS_IS, ASSUMED, None)),
    ("0.05 wider", OLD_25, ball(25, 52, 15.05), (NO, FIRST, "width")),
    ("an inch bore", OLD_25, ball(25.4, 52, 15), (NO, FIRST, "shaft")),
    ("a bore of 28: sleeve 1.5", OLD_25, ball(28, 52, 15), (MACHINE, ASSUMED, None)),
    ("a bore of 27.9", OLD_25, ball(27.9, 52, 15), (NO, FIRST, "shaft")),
    ("a smaller bore", OLD_25, ball(24, 52, 15), (NO, FIRST, "shaft")),
    ("outside 49: sleeve 1.5", OLD_25, ball(25, 49, 15), (MACHINE, ASSUMED, None)),
    # With the duty unknown a seat is never better than likely, one made in a sleeve neither
    (
        "both seats sleeved, duty unknown",
        measured(0.002, shaft=20, housing=60),
        B25,
        (MACHINE, LIKELY, None),
    ),
    (
        "both seats sleeved for their duty",
        measured(0.002, shaft=20, housing=60) | DUTY,
        B25,
        (MACHINE, SURE, None),
    ),
    ("outside 49.2", OLD_25, ball(25, 49.2, 15), (NO, FIRST, "housing")),
    ("a larger outside", OLD_25, ball(25, 52.5, 15), (NO, FIRST, "housing")),
    ("seats of their duty", SEATS | DUTY, B25, (AS_IS, SURE, None)),
    (
        "the journal touches k5",
        SEATS | DUTY | measured(0.002, shaft=25.0),
        B25,
        (AS_IS, FIRST, None),
    ),
    (
        "the journal below k5",
        SEATS | DUTY | measured(0.002, shaft=24.999),
        B25,
        (NO, FIRST, "shaft"),
    ),
    ("read too coarsely", SEATS | DUTY | measured(0.004, shaft=25.008), B25, (AS_IS, FIRST, None)),
    # g6 low 24.980 .. k6 high 25.015; housing P7 low .. G7 high: inside is never more than likely
    ("duty not known", measured(0.005, shaft=25.0, housing=52.01), B25, (AS_IS, LIKELY, None)),
    (
        "duty not known, type neither",
        SEATS,
        ball(25, 52, 15, bearing_type=None),
        (AS_IS, LIKELY, None),
    ),
    (
        "duty known, type not",
        SEATS | DUTY,
        ball(25, 52, 15, bearing_type=None),
        (AS_IS, LIKELY, None),
    ),
    (
        "the outer ring turns",
        measured(0.002, shaft=24.99, housing=51.98) | {"rotating": "outer", "load": "normal"},
        B25,
        (AS_IS, SURE, None),
    ),
    (
        "heavy on a ball bearing",
        SEATS | {"rotating": "inner", "load": "heavy"},
        B25,
        (AS_IS, FIRST, None),
    ),
    # 25 x 47 x 12 has r_s min 0.6 (ISO 15), which old lists print as 1
    (
        "fillet over r_s min, corner an old 1",
        measured(0.002, shaft=25.009, housing=47.012) | DUTY | measured(0.05, fillet=0.8),
        ball(25, 47, 12, corner_mm=1.0),
        (NO, FIRST, "fillet"),
    ),
    # 26 x 47 x 12 is not in ISO 15: a corner printed 1 may mean r_s min 0.6
    (
        "fillet between, corner perhaps an old 1",
        measured(0.002, shaft=26.009, housing=47.012) | DUTY | measured(0.05, fillet=0.8),
        ball(26, 47, 12, corner_mm=1.0),
        (AS_IS, LIKELY, None),
    ),
    (
        "fillet under either",
        measured(0.002, shaft=26.009, housing=47.012) | DUTY | measured(0.05, fillet=0.5),
        ball(26, 47, 12, corner_mm=1.0),
        (AS_IS, SURE, None),
    ),
    (
        "fillet under the corner",
        OLD_25 | measured(0.05, fillet=0.8),
        ball(25, 52, 15, corner_mm=1.0),
        (AS_IS, ASSUMED, None),
    ),
    (
        "fillet over the corner",
        OLD_25 | measured(0.05, fillet=1.2),
        ball(25, 52, 15, corner_mm=1.0),
        (NO, FIRST, "fillet"),
    ),
    (
        "a roller for a ball",
        OLD_25 | {"bearing_type": "deep groove ball"},
        ball(25, 52, 15, bearing_type="cylindrical roller"),
        (NO, FIRST, "bearing type"),
    ),
    (
        "no groove for a groove",
        OLD_25 | {"snap_ring": "yes"},
        ball(25, 52, 15, snap_ring="no"),
        (NO, FIRST, "snap ring"),
    ),
    ("groove not stated", OLD_25 | {"snap_ring": "yes"}, B25, (AS_IS, FIRST, None)),
    (
        "a groove too many",
        OLD_25 | {"snap_ring": "no"},
        ball(25, 52, 15, snap_ring="yes"),
        (AS_IS, ASSUMED, None),
    ),
    (
        "tapered, by assembled width",
        sizes("rolling_bearing", 30, 62, None, assembled_width_mm=17.25, **TAPER),
        sizes("rolling_bearing", 30, 62, 16, assembled_width_mm=17.25, **TAPER),
        (AS_IS, ASSUMED, None),
    ),
    (
        "tapered, wider assembled",
        sizes("rolling_bearing", 30, 62, None, assembled_width_mm=17.25, **TAPER),
        sizes("rolling_bearing", 30, 62, 16, assembled_width_mm=18.0, **TAPER),
        (NO, FIRST, "width"),
    ),
    (
        "tapered, another angle",
        sizes("rolling_bearing", 30, 62, 17, **TAPER),
        sizes("rolling_bearing", 30, 62, 17, **{**TAPER, "contact_angle": 15.0}),
        (NO, FIRST, "contact angle"),
    ),
    (
        "a cone for a whole bearing",
        OLD_25 | {"ring": "complete"},
        ball(25, 52, 15, ring="cone"),
        (NO, FIRST, "ring"),
    ),
    (
        "cone for cone, no angle known",
        OLD_25 | {"ring": "cone"},
        ball(25, 52, 15, ring="cone"),
        (AS_IS, FIRST, None),
    ),
    # 25.4 in k5..k6: 25.402..25.415; an inch bearing has tables of its own
    (
        "an inch bearing in metric zones",
        measured(0.001, shaft=25.408, housing=57.16) | DUTY,
        ball(25.4, 57.15, 15.875, written_unit="in"),
        (AS_IS, LIKELY, None),
    ),
    # (14/1.4)^3 x 1e6 / 60000 = 16 667 h
    (
        "life enough",
        OLD_25 | {"load_n": 1400, "rpm": 1000, "life_hours": 16_000},
        ball(25, 52, 15, dynamic_load_kn=14.0, speed_limit_rpm=9000),
        (AS_IS, ASSUMED, None),
    ),
    (
        "life too short",
        OLD_25 | {"load_n": 1400, "rpm": 1000, "life_hours": 17_000},
        ball(25, 52, 15, dynamic_load_kn=14.0, speed_limit_rpm=9000),
        (NO, FIRST, "life"),
    ),
    (
        "faster than its limit",
        OLD_25 | {"rpm": 9500},
        ball(25, 52, 15, speed_limit_rpm=9000),
        (NO, FIRST, "speed"),
    ),
    (
        "a seat of 15.0 +/- 0.05",
        SEATS | DUTY | measured(0.05, depth=15.0),
        B25,
        (AS_IS, LIKELY, None),
    ),
    (
        "a seat of 14.9 +/- 0.02",
        SEATS | DUTY | measured(0.02, depth=14.9),
        B25,
        (NO, FIRST, "width"),
    ),
    ("a seat 0.6 wider", SEATS | DUTY | measured(0.02, depth=15.6), B25, (SPACER, SURE, None)),
]


@pytest.mark.parametrize(("said", "old", "new", "told"), BEARINGS, ids=[c[0] for c in BEARINGS])
def test_situation(said: str, old: Row, new: Row, told: Told) -> None:
    """Verdict, certainty and failing check as worked on paper."""
    assert answer("rolling_bearing", old, new) == told, said
