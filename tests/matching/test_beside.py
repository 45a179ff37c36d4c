"""The sleeve or ring that a repair takes is named from the lists, with its own checks.

Worked on paper. h11 of 45 is 0/-160 um (ISO 286-2): a sleeve whose outside is 44.84..45.00 makes a
40 mm shaft one for a 45 mm seal. A worn track 2 mm wide, 4 mm from the seat: the lip of an equal
seal would run at 4 mm and must move by half the track and 1 mm of clearance (common practice, no
source), so the ring behind it is at least 2.00 mm thick, and at most what the pocket leaves.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.command_line import Xref

pytestmark = pytest.mark.store
SEALS = "Maker,Number,Shaft diameter mm,Outside diameter mm,Width mm,Case\n"
SLEEVES = "Maker,Number,Inside diameter mm,Outside diameter mm,Width mm,Shaft min mm,Shaft max mm\n"
RINGS = "Maker,Number,Inside diameter mm,Outside diameter mm,Thickness mm\n"
SHAFT_45 = ["--shaft", "45.00mm", "--housing", "62.02mm", "--uncertainty", "0.01mm"]


@pytest.fixture
def load(xref: Xref, tmp_path: Path) -> Any:
    """Return a function that loads a catalogue of one kind."""

    def load(kind: str, text: str) -> None:
        path = tmp_path / f"{kind}.csv"
        path.write_text(text, encoding="utf-8")
        loaded = xref("load", path, "--table", "catalogue", "--kind", kind)
        assert loaded.status == 0, loaded.err

    return load


def _first(xref: Xref, *words: str) -> dict[str, Any]:
    answer = xref("match", "--kind", "shaft_seal", *words, "--json")
    assert answer.status == 0, answer.out + answer.err
    return dict(answer.document["candidates"][0])


def test_the_thick_sleeve_for_the_next_size_is_named(xref: Xref, load: Any) -> None:
    """A 45 mm seal on a 40 mm shaft takes the sleeve 40 x 45, not the one 5 mm larger outside."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    load("shaft_sleeve", SLEEVES + "Cid,T4044,40,44,20,39.9,40.1\nCid,T4045,40,45,20,39.9,40.1\n")
    place = ["--shaft", "40.00mm", "--housing", "62.02mm", "--uncertainty", "0.01mm"]
    found = _first(xref, *place, "--depth", "9mm")
    assert (found["verdict"], [p["number"] for p in found["parts"]]) == (
        "alter the machine",
        ["S45", "T4045"],
    )
    sleeve = found["parts"][1]
    outside = next(c for c in sleeve["checks"] if c["name"] == "outside")
    assert (outside["permitted_mm"], outside["result"]) == ([44.84, 45.0], "pass")
    shaft = next(c for c in sleeve["checks"] if c["name"] == "shaft")
    assert (shaft["permitted_mm"], shaft["result"]) == ([39.9, 40.1], "pass")


def test_a_sleeve_made_for_other_shafts_is_not_named(xref: Xref, load: Any) -> None:
    """The sleeve's stated range 40.2..40.4 leaves out a 40 mm shaft: the work stands alone."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    load("shaft_sleeve", SLEEVES + "Cid,T4045,40,45,20,40.2,40.4\n")
    place = ["--shaft", "40.00mm", "--housing", "62.02mm", "--uncertainty", "0.01mm"]
    found = _first(xref, *place)
    assert [p["number"] for p in found["parts"]] == ["S45"]
    assert "sleeve the shaft from 40.00" in found["work"][0]


def test_a_thin_sleeve_is_thin_and_made_for_the_shaft(xref: Xref, load: Any) -> None:
    """A shaft of 44.80 mm is below h11 of 45 (44.84): of four sleeves one is thin and takes it."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    rows = ["A,42,45,20,,", "B,45,45.5,14,44.78,45.05", "C,45,45.5,14,44.9,45.05", "D,45,45.5,14,,"]
    load("shaft_sleeve", SLEEVES + "".join(f"Cid,{row}\n" for row in rows))
    place = ["--shaft", "44.80mm", "--housing", "62.02mm", "--uncertainty", "0.01mm"]
    assert [p["number"] for p in _first(xref, *place)["parts"]] == ["S45", "B"]


@pytest.mark.parametrize(
    ("thickness", "named"), [("1.9", []), ("2", ["R"]), ("3", ["R"]), ("3.8", []), ("4", [])]
)
def test_the_ring_that_moves_the_lip_is_named(
    xref: Xref, load: Any, thickness: str, named: list[str]
) -> None:
    """At least 2.00 mm to clear the track; at most 11.99 - 8.3 = 3.69 mm that the pocket leaves."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    load("spacer_ring", RINGS + f"Cid,R,47,62,{thickness}\n")
    worn = ["--depth", "12mm", "--width", "8mm", "--wear-track", "4mm,2mm"]
    found = _first(xref, *SHAFT_45, *worn)
    assert found["verdict"] == "with spacer"
    assert [p["number"] for p in found["parts"][1:]] == named
    if named:
        (check,) = [c for c in found["parts"][1]["checks"] if c["name"] == "thickness"]
        assert check["permitted_mm"] == [2.0, 3.69]


@pytest.mark.parametrize(
    ("thickness", "named"), [("1.4", ["Z"]), ("1.5", ["Z"]), ("1.56", []), ("1.3", [])]
)
def test_two_washers_make_up_the_end_float(
    xref: Xref, load: Any, thickness: str, named: list[str]
) -> None:
    """A gap of 4.60 mm less 0.05..0.25 of float and 3 mm asks for 1.45 mm, each to 0.05 mm."""
    text = "Maker,Number,Inside diameter mm,Outside diameter mm,Thickness mm\n"
    load("thrust_washer", text + f"Cid,A,26,44,3\nCid,Z,26,44,{thickness}\nCid,B,26,50,1.45\n")
    place = ["--shaft", "25.90mm", "--housing", "44.40mm", "--gap", "4.60mm"]
    answer = xref("match", "--kind", "thrust_washer", *place, "--uncertainty", "0.01mm", "--json")
    found = answer.document["candidates"][0]
    assert (found["verdict"], found["parts"][0]["number"]) == ("with spacer", "A")
    assert [p["number"] for p in found["parts"][1:]] == named


def test_a_repair_names_its_parts_on_the_terminal(xref: Xref, load: Any) -> None:
    """The sleeve stands below the seal, and its checks below the seal's."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    load("shaft_sleeve", SLEEVES + "Cid,T4045,40,45,20,39.9,40.1\n")
    place = ["--shaft", "40.00mm", "--housing", "62.02mm", "--uncertainty", "0.01mm"]
    said = " ".join(xref("match", "--kind", "shaft_seal", *place).out.split())
    assert (
        "shaft repair sleeve: Cid T4045, 40 x 45 x 20, shaft low 39.9, shaft high 40.1 mm" in said
    )
    assert "shaft repair sleeve, outside: pass; 45, permitted 44.84..45" in said


def test_two_narrow_seals_fill_a_wide_pocket(xref: Xref, load: Any) -> None:
    """Two seals 8 mm wide, each to 8.3 mm (ISO 6194-1), go into a pocket of 17 mm, not of 16."""
    load("shaft_seal", SEALS + "Ada,S45,45,62,8,metal\n")
    for depth, fits in (("17mm", True), ("16mm", False)):
        found = _first(xref, *SHAFT_45, "--depth", depth)
        assert any("two of them" in text for text in found["warnings"]) == fits
