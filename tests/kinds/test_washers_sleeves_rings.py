"""Thrust washers, repair sleeves and spacer rings, worked on paper.

All bounds are workshop practice from memory, no source, as their table says.
"""

from __future__ import annotations

import pytest
from kind_cases import judged, need, outcome, part, result

from xref.kinds.base import Part

WASHER = {"inside_diameter": "20mm", "outside_diameter": "36mm", "thickness": "1.5mm"}


def washer(inside: float = 20, outside: float = 36, thickness: float = 1.5) -> Part:
    """Return one bronze washer on offer."""
    return part(
        "thrust_washer",
        inside_diameter=inside,
        outside_diameter=outside,
        thickness=thickness,
        material="bronze",
    )


@pytest.mark.parametrize(
    ("sizes", "verdict"),
    [
        ((20, 36, 1.5), "as is"),
        ((20.5, 36, 1.5), "as is"),  # 0.5 over the shaft, up to 1
        ((19.5, 36, 1.5), "does not fit"),  # does not go over the shaft
        ((21.5, 36, 1.5), "does not fit"),  # 1.5 of clearance
        ((20, 35.2, 1.5), "as is"),  # 0.8 smaller outside, up to 1
        ((20, 34.5, 1.5), "does not fit"),
        ((20, 37, 1.5), "does not fit"),  # larger than the old one, recess not measured
        ((20, 36, 2.0), "alter the part"),  # 0.5 to grind, up to 1
        ((20, 36, 3.0), "does not fit"),
        ((20, 36, 1.0), "with spacer"),  # shim 0.5, up to 2
    ],
)
def test_washer_for_a_washer(sizes: tuple[float, float, float], verdict: str) -> None:
    """Old washer 20 x 36 x 1.5, nothing measured."""
    assert outcome(judged(need("thrust_washer", part=WASHER), washer(*sizes)))[0] == verdict


def test_washer_in_a_measured_gap() -> None:
    """Gap 1.65 +/- 0.005: float 0.15 +/- 0.05 with 1.5: inside 0.05..0.25; ground if thicker."""
    place = {"shaft": "19.90mm", "housing": "36.5mm", "gap": "1.65mm"}
    the_need = need("thrust_washer", place=place, uncertainty="0.005mm")
    assert outcome(judged(the_need, washer())) == ("as is", "sure")
    out = judged(the_need, washer(thickness=2.0))
    assert outcome(out)[0] == "alter the part"
    (work,) = [w for w in out.work if w.applies[0]]
    # 1.65 less the middle float 0.15
    assert work.text(0) == "grind the washer from 2.00 to 1.50 +0/-0.05 mm, faces parallel"


def sleeve(**more: float) -> Part:
    """Return one thin sleeve for 44.88..45.06 mm shafts, wall 0.28 mm."""
    sizes = {"inside_diameter": 45.0, "outside_diameter": 45.56, "width": 14.0}
    return part("shaft_sleeve", **{**sizes, "shaft_low": 44.88, "shaft_high": 45.06, **more})


@pytest.mark.parametrize(
    ("shaft", "expected"),
    [("44.95mm", "pass"), ("44.88mm", "likely"), ("44.70mm", "fail"), ("45.20mm", "fail")],
)
def test_sleeve_by_its_stated_range(shaft: str, expected: str) -> None:
    """The shaft must lie in the range the sleeve is made for (U 0.005)."""
    out = judged(need("shaft_sleeve", place={"shaft": shaft}), sleeve())
    assert result(out, "shaft") == expected


def test_sleeve_wall_between_thin_and_thick() -> None:
    """A wall of 0.8 mm is neither thin (0.3) nor thick (1.5): does not fit."""
    place = {"shaft": "44.95mm"}
    out = judged(need("shaft_sleeve", place=place), sleeve(outside_diameter=46.6))
    assert outcome(out)[0] == "does not fit"


def test_sleeve_without_a_stated_range_is_not_checked() -> None:
    """Missing data neither passes nor fails."""
    bare = part("shaft_sleeve", inside_diameter=45.0, outside_diameter=45.56, width=14.0)
    out = judged(need("shaft_sleeve", place={"shaft": "44.95mm"}), bare)
    assert outcome(out) == ("as is", "measure first")


def ring(inside: float = 46, outside: float = 61.8, thickness: float = 3) -> Part:
    """Return one steel spacer ring."""
    return part(
        "spacer_ring", inside_diameter=inside, outside_diameter=outside, thickness=thickness
    )


@pytest.mark.parametrize(
    ("sizes", "verdict"),
    [
        ((46, 61.8, 3), "as is"),
        ((44, 61.8, 3), "does not fit"),  # the shaft does not pass
        ((46, 65, 3), "alter the part"),  # turned
        ((46, 61.8, 4), "alter the part"),  # faced
        ((46, 61.8, 2.5), "does not fit"),  # too thin is not helped
    ],
)
def test_spacer_ring(sizes: tuple[float, float, float], verdict: str) -> None:
    """Shaft 45, housing 62, gap 3.00: turned and faced down, never up."""
    place = {"shaft": "45.00mm", "housing": "62.00mm", "gap": "3.00mm"}
    the_need = need("spacer_ring", place=place, uncertainty="0.02mm")
    assert outcome(judged(the_need, ring(*sizes)))[0] == verdict
