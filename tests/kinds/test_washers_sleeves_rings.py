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


FREE = {"shaft": "19.90mm", "housing": "36.5mm"}


@pytest.mark.parametrize(
    ("gap", "u", "expected", "verdict"),
    [
        # 1.50 +0.05/-0.05 leaves 0.05..0.25 in gaps of 1.60..1.70
        ("1.65mm", "0.005mm", "pass", "as is"),
        ("1.60mm", "0.005mm", "likely", "as is"),  # 1.595..1.605 crosses 1.60
        ("1.595mm", "0.01mm", "doubtful", "as is"),  # its middle below, 1.605 inside
        ("1.58mm", "0.005mm", "pass", "alter the part"),  # ground to 1.58 - 0.15 = 1.43
        ("0.65mm", "0.005mm", "pass", "alter the part"),  # to 0.50: 1.00 off, up to 1
        ("0.60mm", "0.005mm", "fail", "does not fit"),  # 1.05 to grind
        ("2.00mm", "0.005mm", "pass", "with spacer"),  # 1.85 wanted: a shim of 0.35
        ("3.65mm", "0.005mm", "pass", "with spacer"),  # 3.50 wanted: a shim of 2.00, up to 2
        ("3.80mm", "0.005mm", "fail", "does not fit"),  # 2.15 to make up
        ("1.65mm", "0.08mm", "likely", "as is"),  # 1.57..1.73 around 1.60..1.70
    ],
)
def test_washer_in_other_gaps(gap: str, u: str, expected: str, verdict: str) -> None:
    """End float 0.05 to 0.25 after fitting a washer of 1.5; shaft and recess with room to spare."""
    the_need = need("thrust_washer", place={**FREE, "gap": gap}, uncertainty=u)
    out = judged(the_need, washer())
    assert result(out, "thickness") == expected
    assert outcome(out)[0] == verdict


@pytest.mark.parametrize(
    ("place", "check", "expected"),
    [
        ({"shaft": "20.02mm"}, "inside", "fail"),  # 20.015 does not go into 20
        ({"shaft": "19.00mm"}, "inside", "likely"),  # 1.0 of clearance, on the limit
        ({"shaft": "18.98mm"}, "inside", "fail"),
        ({"housing": "36.00mm"}, "outside", "likely"),  # on the limit, within 0.005
        ({"housing": "35.90mm"}, "outside", "fail"),  # does not enter the recess
        ({"housing": "38.10mm"}, "outside", "fail"),  # more than 1 mm of play all round
    ],
)
def test_washer_on_its_shaft_and_in_its_recess(
    place: dict[str, str], check: str, expected: str
) -> None:
    """20 x 36: over shafts of 19 to 20, into recesses of 36 to 38; neither is helped by work."""
    the_need = need(
        "thrust_washer", place={**FREE, "gap": "1.65mm", **place}, uncertainty="0.005mm"
    )
    out = judged(the_need, washer())
    assert result(out, check) == expected
    assert (outcome(out)[0] == "does not fit") is (expected == "fail")


def test_washer_without_a_gap_is_measured_first() -> None:
    """Neither gap nor old thickness: the end float is not checked, and nothing is assumed."""
    out = judged(need("thrust_washer", place=FREE, uncertainty="0.005mm"), washer())
    assert result(out, "thickness") == "not checked"
    assert outcome(out) == ("as is", "measure first")


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


@pytest.mark.parametrize(
    ("shaft", "expected"),
    [
        ("40.00mm", ("as is", "measure first")),  # its range is still not known
        ("40.09mm", ("as is", "measure first")),
        ("40.25mm", ("does not fit", "measure first")),  # 0.25 off the named bore, up to 0.1
        ("38.00mm", ("does not fit", "measure first")),  # 2 mm loose
    ],
)
def test_sleeve_without_a_range_is_named_by_its_shaft(
    shaft: str, expected: tuple[str, str]
) -> None:
    """A thick sleeve 40 x 50 of which no range is stated (U 0.005); common practice, no source."""
    thick = part("shaft_sleeve", inside_diameter=40.0, outside_diameter=50.0, width=20.0)
    assert outcome(judged(need("shaft_sleeve", place={"shaft": shaft}), thick)) == expected


@pytest.mark.parametrize(
    ("outside", "expected"),
    [
        (50.0, "pass"),
        (49.85, "pass"),  # h11 of 49.85 is 0/-0.160 (ISO 286-2)
        (49.8, "fail"),
        (40.56, "fail"),  # a thin one: the seal on the old 50 would hang in the air
    ],
)
def test_the_seal_of_the_old_thick_sleeve_runs_on_the_new_one(
    outside: float, expected: str
) -> None:
    """Old sleeve 40 x 50: a seal of d1 50 runs on it, so the new outside is the same."""
    new = part(
        "shaft_sleeve",
        inside_diameter=40.0,
        outside_diameter=outside,
        shaft_low=39.9,
        shaft_high=40.1,
    )
    old = {"inside_diameter": "40mm", "outside_diameter": "50mm"}
    out = judged(need("shaft_sleeve", part=old), new)
    assert result(out, "outside") == expected
    assert (outcome(out)[0] == "does not fit") is (expected == "fail")


def test_thin_sleeves_may_differ_in_outside() -> None:
    """45.50 for 45.56 outside: both are thin, the seal for the shaft stays."""
    old = {"inside_diameter": "45mm", "outside_diameter": "45.5mm"}
    out = judged(need("shaft_sleeve", part=old), sleeve(outside_diameter=45.56))
    assert outcome(out) == ("as is", "assumed")


def test_sleeve_without_a_stated_range_is_not_checked() -> None:
    """Missing data neither passes nor fails."""
    bare = part("shaft_sleeve", inside_diameter=45.0, outside_diameter=45.56, width=14.0)
    out = judged(need("shaft_sleeve", place={"shaft": "44.95mm"}), bare)
    assert outcome(out) == ("as is", "measure first")


@pytest.mark.parametrize(
    ("shaft", "u", "expected", "certainty"),
    [
        ("45.00mm", "0.005mm", "pass", "sure"),
        ("45.06mm", "0.005mm", "likely", "likely"),  # on the upper end
        ("45.065mm", "0.010mm", "doubtful", "measure first"),  # its middle above, 45.055 inside
        ("45.07mm", "0.005mm", "fail", "measure first"),  # 45.065 is above 45.06
        ("44.885mm", "0.005mm", "pass", "sure"),  # touches the lower end
    ],
)
def test_sleeve_at_the_ends_of_its_range(shaft: str, u: str, expected: str, certainty: str) -> None:
    """Range 44.88 to 45.06, wall 0.28: by where the measured interval lies."""
    out = judged(need("shaft_sleeve", place={"shaft": shaft}, uncertainty=u), sleeve())
    assert result(out, "shaft") == expected
    assert outcome(out)[1] == certainty


@pytest.mark.parametrize(
    ("outside", "verdict"),
    [
        (45.60, "as is"),  # (45.60 - 45)/2 = 0.30, thin
        (45.64, "does not fit"),  # 0.32: neither thin nor thick
        (47.96, "does not fit"),  # 1.48
        (48.00, "as is"),  # 1.50, thick: the seal becomes one for 48
    ],
)
def test_sleeve_walls_at_their_limits(outside: float, verdict: str) -> None:
    """Thin to 0.3 mm, thick from 1.5 mm (workshop practice)."""
    place = {"shaft": "44.95mm"}
    out = judged(need("shaft_sleeve", place=place), sleeve(outside_diameter=outside))
    assert outcome(out)[0] == verdict
    told = [w.text(0) for w in out.warnings if w.applies[0]]
    if outside == 48.0:
        assert any("48.00 mm" in text for text in told)


@pytest.mark.parametrize(
    ("name", "expected"),
    [("45mm", ("as is", "assumed")), ("45.10mm", ("does not fit", "measure first"))],
)
def test_sleeve_by_the_name_of_the_old_one(name: str, expected: tuple[str, str]) -> None:
    """45 lies in 44.88..45.06, 45.10 does not: by name, so assumed or failed."""
    out = judged(need("shaft_sleeve", part={"inside_diameter": name}), sleeve())
    assert outcome(out) == expected


def test_sleeve_of_unknown_outside_says_nothing_of_its_wall() -> None:
    """The wall is not checked and not required: its stated range decides."""
    bare = part("shaft_sleeve", inside_diameter=45.0, width=14.0, shaft_low=44.88, shaft_high=45.06)
    out = judged(need("shaft_sleeve", place={"shaft": "44.95mm"}), bare)
    assert result(out, "wall") == "not checked"
    assert outcome(out) == ("as is", "sure")


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


@pytest.mark.parametrize(
    ("sizes", "check", "expected", "verdict"),
    [
        ((48.9, 61.8, 3), "inside", "pass", "as is"),  # 3.9 of clearance, up to 4
        ((49.0, 61.8, 3), "inside", "likely", "as is"),  # shaft on the limit of 45.0
        ((49.1, 61.8, 3), "inside", "fail", "does not fit"),
        ((44.99, 61.8, 3), "inside", "doubtful", "as is"),  # 45.00 above it, 44.98 below
        ((46, 58.1, 3), "outside", "pass", "as is"),  # 3.9 smaller, up to 4
        ((46, 57.9, 3), "outside", "fail", "does not fit"),  # nothing makes it larger
        ((46, 62.01, 3), "outside", "doubtful", "as is"),  # 62.00 below it, 62.02 above
        ((46, 77.0, 3), "outside", "pass", "alter the part"),  # turned 15, to the lowest 61.98
        ((46, 77.1, 3), "outside", "fail", "does not fit"),  # more than 15 to turn
        ((46, 61.8, 3.03), "thickness", "pass", "as is"),  # 2.98..3.08 holds 2.98..3.02
        ((46, 61.8, 3.05), "thickness", "likely", "as is"),  # 3.00..3.10
        ((46, 61.8, 2.94), "thickness", "doubtful", "as is"),  # 2.89..2.99
        ((46, 61.8, 17.9), "thickness", "pass", "alter the part"),  # faced 14.9
        ((46, 61.8, 18.1), "thickness", "fail", "does not fit"),  # 15.1
    ],
)
def test_spacer_ring_at_its_limits(
    sizes: tuple[float, float, float], check: str, expected: str, verdict: str
) -> None:
    """Shaft 45.00, housing 62.00, gap 3.00, each within 0.02; bounds are workshop practice."""
    place = {"shaft": "45.00mm", "housing": "62.00mm", "gap": "3.00mm"}
    out = judged(need("spacer_ring", place=place, uncertainty="0.02mm"), ring(*sizes))
    assert result(out, check) == expected
    assert outcome(out)[0] == verdict


def test_spacer_ring_by_name_is_assumed() -> None:
    """An old ring 45 x 62 x 3 says what its place was, and nobody measured it."""
    old = {"inside_diameter": "45mm", "outside_diameter": "62mm", "thickness": "3mm"}
    out = judged(need("spacer_ring", part=old), ring())
    assert outcome(out) == ("as is", "assumed")
