"""One old bush or its place against one bush, worked on paper first (`situations`)."""

from __future__ import annotations

from typing import Any

import pytest

from tests.matching.situations import (
    AS_IS,
    FIRST,
    LIKELY,
    MACHINE,
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


def bush(*values: float, **more: Any) -> Row:
    """Return a bush on offer, solid bronze unless said."""
    return sizes("plain_bushing", *values, **{"material": "bronze", **more})


U25, OLD_BUSH = bush(25, 32, 30), sizes("plain_bushing", 25, 32, 30)
# journals 24.933..24.993 (4 per mille, g7); housings 32.043 - 0.064 + 0.016 = 31.995..32.043
SEAT = measured(0.005, shaft=24.95, housing=32.012, depth=30.0)
BUSHES: list[tuple[str, Row, Row, Told]] = [
    ("by name the journal is open", OLD_BUSH, U25, (AS_IS, FIRST, None)),
    ("all measured", SEAT, U25, (AS_IS, SURE, None)),
    ("turning, 0.05 is too loose", SEAT | {"rpm": 600}, U25, (NO, FIRST, "clearance")),
    ("turning in dirt, 0.05 may do", SEAT | {"rpm": 600, "dirt": True}, U25, (AS_IS, LIKELY, None)),
    ("turning under heavy load", SEAT | {"rpm": 600, "load": "heavy"}, U25, (AS_IS, SURE, None)),
    (
        "turning, 0.015",
        SEAT | measured(0.005, shaft=24.985) | {"rpm": 600},
        U25,
        (AS_IS, SURE, None),
    ),
    ("a worn journal", SEAT | measured(0.005, shaft=24.9), U25, (NO, FIRST, "clearance")),
    ("journal on the limit", SEAT | measured(0.005, shaft=24.99), U25, (AS_IS, LIKELY, None)),
    ("journal too large: ream", SEAT | measured(0.005, shaft=25.05), U25, (PART, SURE, None)),
    (
        "porous is not reamed",
        SEAT | measured(0.005, shaft=25.05),
        bush(25, 32, 30, material="porous bronze"),
        (NO, FIRST, "clearance"),
    ),
    ("outside 34: turn", SEAT, bush(25, 34, 30), (PART, SURE, None)),
    ("outside 34, wrapped", SEAT, bush(25, 34, 30, material="steel-backed"), (NO, FIRST, "press")),
    ("outside 28.9: sleeve 1.556", SEAT, bush(25, 28.9, 30), (MACHINE, SURE, None)),
    (
        "sleeved for a bush of no class",
        SEAT,
        bush(25, 28.9, 30, material=None),
        (MACHINE, LIKELY, None),
    ),
    ("outside 29.1: sleeve 1.456", SEAT, bush(25, 29.1, 30), (NO, FIRST, "press")),
    ("material not stated", SEAT, bush(25, 32, 30, material=None), (AS_IS, LIKELY, None)),
    ("longer: face", SEAT, bush(25, 32, 40), (PART, SURE, None)),
    ("shorter, load unknown", SEAT, bush(25, 32, 28), (SPACER, FIRST, None)),
    ("shorter, 2.9 MPa", SEAT | {"load_n": 2000}, bush(25, 32, 28), (SPACER, SURE, None)),
    ("shorter, 28.6 MPa", SEAT | {"load_n": 20_000}, bush(25, 32, 28), (NO, FIRST, "length")),
    ("h13 of 30 is 0.33: 29.8 is as long", SEAT, bush(25, 32, 29.8), (AS_IS, SURE, None)),
    # 2000 / (25 x 30) = 2.667 MPa, 0.785 m/s: 2.09 over 1.75 (Shigley)
    (
        "pressure times speed",
        SEAT | measured(0.005, shaft=24.985) | {"load_n": 2000, "rpm": 600},
        U25,
        (NO, FIRST, "pressure x speed"),
    ),
    (
        "cast iron has no handbook row",
        SEAT | {"load_n": 100},
        bush(25, 32, 30, material="cast iron"),
        (AS_IS, FIRST, None),
    ),
    ("plain for flanged", OLD_BUSH | {"form": "flanged"}, U25, (NO, FIRST, "flange")),
    (
        "flanged for flanged",
        SEAT | OLD_BUSH | {"form": "flanged"},
        bush(25, 32, 30, form="flanged"),
        (AS_IS, SURE, None),
    ),
    ("flanged for plain", OLD_BUSH, bush(25, 32, 30, form="flanged"), (NO, FIRST, "flange")),
    (
        "another flange",
        SEAT | OLD_BUSH | {"form": "flanged", "flange_diameter_mm": 40.0},
        bush(25, 32, 30, form="flanged", flange_diameter_mm=42.0),
        (AS_IS, FIRST, None),
    ),
    # inch: bore 25.4, 25.331..25.393; outside 31.75, housings 31.7455..31.793: no class of its own
    (
        "an inch bush",
        measured(0.005, shaft=25.35, housing=31.76, depth=25.4),
        bush(25.4, 31.75, 25.4, written_unit="in"),
        (AS_IS, LIKELY, None),
    ),
]


@pytest.mark.parametrize(("said", "old", "new", "told"), BUSHES, ids=[c[0] for c in BUSHES])
def test_situation(said: str, old: Row, new: Row, told: Told) -> None:
    """Verdict, certainty and failing check as worked on paper."""
    assert answer("plain_bushing", old, new) == told, said
