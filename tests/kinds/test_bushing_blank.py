"""Blanks for bushes, worked on paper. Sources beside each number.

The place is the same in most cases: journal 24.95, housing 32.012, each within 0.005 mm, seat 30.
ISO 286-2 (two independent texts agree): s6 over 30 to 40 mm +59/+43 um, H8 over 18 to 30 +33/0,
g7 -7/-28. What that makes, with workshop figures that have no source (stock 0.5 mm, wall 1 mm, at
most 40 mm turned off, clearance from 0.5 per mille or g7):

- outside at least 32.017 + 0.059 + 0.5 = 32.576, at most 32.017 + 0.059 + 40 = 72.076;
- bore 24.955 + 2 x 0.007 = 24.969 to 24.969 + 0.033 = 25.002, so a core to 24.469;
- wall left (32.012 - 25.002) / 2 = 3.505;
- the journal may then be 25.002 - 4 per mille of 24.95 = 24.9022 to 24.969 - 0.007 = 24.962.
"""

from __future__ import annotations

import pytest
from kind_cases import actual, need, outcome, part, permitted, result

from xref.fits.judgement import Judgement
from xref.kinds.base import Need, Part
from xref.matching.judging import judge_of

PLACE = {"shaft": "24.95mm", "housing": "32.012mm", "depth": "30mm"}
OLD = {"bore_diameter": "25mm", "outside_diameter": "32mm", "length": "30mm"}
FINE = "0.005mm"


def blank(core: float = 20, outside: float = 36, length: float = 100, **more: object) -> Part:
    """Return one bronze blank on offer, 20 x 36 x 100 unless said."""
    more.setdefault("material", "bronze")
    return part(
        "bushing_blank", bore_diameter=core, outside_diameter=outside, length=length, **more
    )


def judged(the_need: Need, the_part: Part) -> Judgement:
    """Judge a blank for a bush's place."""
    return judge_of("bushing_blank").judge(the_need, the_part)


def measured(**more: object) -> Need:
    """Return the place of the cases, with what more is stated of it."""
    return need("plain_bushing", place=PLACE, uncertainty=FINE, **more)


def test_limits_on_paper() -> None:
    """The limits of the module's comment, each check of the finished bush passing."""
    out = judged(measured(), blank())
    assert permitted(out, "stock outside") == (32.576, 72.076)
    assert permitted(out, "stock inside")[1] == 24.469
    assert actual(out, "wall left")[0] == 3.505
    assert permitted(out, "clearance") == (24.9022, 24.962)
    assert outcome(out) == ("alter the part", "sure")


@pytest.mark.parametrize(
    ("sizes", "check", "fits"),
    [
        ((20, 32.58, 100), "stock outside", True),
        ((20, 32.57, 100), "stock outside", False),  # 0.494 mm of stock
        ((20, 72.07, 100), "stock outside", True),
        ((20, 72.10, 100), "stock outside", False),  # more than 40 mm to turn off
        ((24.46, 36, 100), "stock inside", True),
        ((24.48, 36, 100), "stock inside", False),  # 0.489 mm of stock in the core
        ((20, 36, 30), "length", True),
        ((20, 36, 29.9), "length", False),  # shorter than the seat
    ],
)
def test_stock_at_each_end(sizes: tuple[float, float, float], check: str, fits: bool) -> None:
    """A blank cleans up everywhere with 0.5 mm, or it does not serve."""
    out = judged(measured(), blank(*sizes))
    assert result(out, check) == ("pass" if fits else "fail")
    assert outcome(out)[0] == ("alter the part" if fits else "does not fit")


@pytest.mark.parametrize(("housing", "fits"), [("27.01mm", True), ("26.99mm", False)])
def test_the_wall_that_is_left(housing: str, fits: bool) -> None:
    """(27.01 - 25.002)/2 = 1.004 is enough, (26.99 - 25.002)/2 = 0.994 is not."""
    place = {**PLACE, "housing": housing}
    out = judged(need("plain_bushing", place=place, uncertainty=FINE), blank(outside=30))
    assert result(out, "wall left") == ("pass" if fits else "fail")
    assert (outcome(out)[0] == "does not fit") is not fits


@pytest.mark.parametrize(
    ("material", "verdict"),
    [
        ("bronze", "alter the part"),
        ("cast iron", "alter the part"),
        ("porous bronze", "does not fit"),
        ("steel-backed", "does not fit"),
    ],
)
def test_only_solid_metal_is_cut(material: str, verdict: str) -> None:
    """The bore of a porous blank is never cut, a wrapped shell not at all."""
    assert outcome(judged(measured(), blank(material=material)))[0] == verdict


def test_steady_turning_narrows_what_the_bore_is_made_for() -> None:
    """600 rev/min: at most 0.0254 (0.001 in) beside H8: journal 25.002 - 0.0584 = 24.9436.

    The bore stays 24.969..25.002, so the measured 24.945..24.955 still passes.
    """
    out = judged(measured(service={"rpm": 600}), blank())
    assert permitted(out, "clearance") == (24.9436, 24.962)
    assert outcome(out) == ("alter the part", "sure")


def test_a_coarse_reading_of_the_journal_is_not_sure() -> None:
    """24.95 +/- 0.05: bore from 25.014 to 25.047, journal 24.9472..25.007: 24.90 is outside."""
    place = {**PLACE, "shaft": "24.95mm"}
    coarse = need("plain_bushing", place=place, uncertainty="0.05mm")
    out = judged(coarse, blank())
    assert permitted(out, "clearance") == (24.9472, 25.007)
    assert result(out, "clearance") == "likely"
    assert outcome(out) == ("alter the part", "likely")


def test_by_name_the_bush_is_made_but_the_journal_is_open() -> None:
    """25 x 32: housing H7 32..32.025; outside 32.025 + 0.059 + 0.5 = 32.584; core 25.014 - 0.5."""
    out = judged(need("plain_bushing", part=OLD), blank())
    assert permitted(out, "stock outside") == (32.584, 72.084)
    assert permitted(out, "stock inside")[1] == 24.514
    assert result(out, "clearance") == "not checked"
    assert outcome(out) == ("alter the part", "measure first")


def test_the_instructions_carry_the_limits() -> None:
    """Turn to the measured 32.01 s6, bore to 24.969..25.002, part off to 30 mm."""
    out = judged(measured(), blank())
    told = {work.name: work.text(0) for work in out.work if work.applies[0]}
    assert told["turn the outside diameter"].startswith(
        "turn the outside diameter 36.00 to 32.01 +0.059/+0.043 mm"
    )
    assert "from 20.00 to 24.969..25.002 mm" in told["bore or ream after pressing"]
    assert told["part off and face"] == "part off and face to 30.00 mm long"


@pytest.mark.parametrize(
    ("length", "expected"),
    [(29.0, "does not fit"), (30.0, "as is"), (100.0, "alter the part")],
)
def test_a_blank_by_its_own_sizes_fills_the_seat_measured(length: float, expected: str) -> None:
    """Its outside as the old one's, and the seat measured 30 deep (U 0.05): no shorter will do."""
    wanted = need("bushing_blank", part={"outside_diameter": "40mm"}, place={"depth": "30mm"})
    assert outcome(judged(wanted, blank(20, 40, length)))[0] == expected
