"""Plain bushings and blanks, worked on paper. Sources beside each number.

ISO 286-2 deviations (two independent texts agree) at 25 and 32 mm: H7 32 +25/0,
s6 32 +59/+43, H8 25 +33/0, g7 25 -7/-28, e7 25 -40/-61. ISO 4379 classes from
memory; clearance and press bounds are workshop practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest
from kind_cases import judged, need, outcome, part, permitted, result

from xref.fits.bushings import SOLID, WRAPPED, bore_after_pressing, clearance_bounds, outside_limits
from xref.fits.judgement import Judgement
from xref.fits.zones import zone
from xref.kinds.base import Part
from xref.matching.judging import judge_of

KIND = "plain_bushing"
OLD = {"bore_diameter": "25mm", "outside_diameter": "32mm", "length": "30mm"}
PLACE = {"shaft": "24.95mm", "housing": "32.012mm", "depth": "30mm"}
FINE = "0.005mm"


def bush(d: float = 25, outside: float = 32, length: float = 30, **more: object) -> Part:
    """Return one solid bronze bush on offer: ISO 4379 25 x 32 x 30 unless said."""
    more.setdefault("material", "bronze")
    return part(KIND, bore_diameter=d, outside_diameter=outside, length=length, **more)


def works(judgement: Judgement) -> dict[str, str]:
    """Return the operations with their instructions."""
    return {work.name: work.text(0) for work in judgement.work if work.applies[0]}


def test_by_name_the_clearance_is_never_assumed() -> None:
    """25 x 32 x 30 for the same: pressed as before, but the journal must be measured first."""
    out = judged(need(KIND, part=OLD), bush())
    assert outcome(out) == ("as is", "measure first")
    assert result(out, "press") == "pass"
    assert result(out, "clearance") == "not checked"


def test_measured_place_is_sure() -> None:
    """Journal 24.95: clearance to H8 bore 0.050..0.083, inside 0.007..0.100; OD s6 in 32.012."""
    out = judged(need(KIND, place=PLACE, uncertainty=FINE), bush())
    assert outcome(out) == ("as is", "sure")
    # bore 25.000..25.033; clearance 0.007 (g7) .. 0.100 (4 per mille): journal 24.933..24.993
    assert permitted(out, "clearance") == (24.933, 24.993)
    # OD 32.043..32.059; press at most 2 per mille of OD = 0.064: housing 31.995..32.043
    assert permitted(out, "press") == (31.995, 32.043)


def test_bounds_let_iso_4379_fits_pass_at_every_size() -> None:
    """H8/e7 and H8/g7 journals lie inside the clearance bounds at the sizes of ISO 4379."""
    for d in (6, 10, 14, 18, 25, 30, 40, 50, 65, 80, 100, 120, 140, 160):
        size = np.array([float(d)])
        low, high = bore_after_pressing(size, np.array([SOLID], dtype=np.int8))
        least, most = clearance_bounds(size)
        for name in ("e7", "g7"):
            lower, upper = zone(size, name)
            assert low[0] - (d + upper[0]) >= least[0] - 1e-9, (d, name)
            assert high[0] - (d + lower[0]) <= most[0] + 1e-9, (d, name)


@pytest.mark.parametrize(("d", "least", "most"), [(25.0, 0.040, 0.094), (6.0, 0.020, 0.050)])
def test_h8_e7_clearances_worked(d: float, least: float, most: float) -> None:
    """H8/e7: 0.040..0.094 at 25 mm, 0.020..0.050 at 6 mm (ISO 286-2)."""
    bore = zone(d, "H8")
    shaft = zone(d, "e7")
    assert -float(shaft[1]) == pytest.approx(least)
    assert float(bore[1]) - float(shaft[0]) == pytest.approx(most)


@pytest.mark.parametrize(
    ("journal", "expected"),
    [("24.990mm", "likely"), ("24.996mm", "doubtful"), ("25.05mm", "pass"), ("24.90mm", "fail")],
)
def test_journal_against_the_clearance(journal: str, expected: str) -> None:
    """24.933..24.993 with U 0.005; a larger journal is reamed for, a worn one fails."""
    out = judged(need(KIND, place={**PLACE, "shaft": journal}, uncertainty=FINE), bush())
    assert result(out, "clearance") == expected
    if journal == "25.05mm":
        assert outcome(out)[0] == "alter the part"
        assert "bore or ream after pressing" in works(out)


def test_worn_journal_is_not_cured_by_a_bush() -> None:
    """24.90: clearance up to 0.133 over 0.100: does not fit; the bore cannot be made smaller."""
    out = judged(need(KIND, place={**PLACE, "shaft": "24.90mm"}, uncertainty=FINE), bush())
    assert outcome(out)[0] == "does not fit"


def test_too_large_an_outside_is_turned() -> None:
    """OD 36 for 32.012: turn to s6 of the housing, wall left (32.012 - 25)/2 = 3.5 mm."""
    out = judged(need(KIND, place=PLACE, uncertainty=FINE), bush(outside=36))
    assert outcome(out) == ("alter the part", "sure")
    assert works(out) == {
        "turn the outside diameter": (
            "turn the bush's outside diameter 36.00 to 32.01 +0.059/+0.043 mm"
        )
    }


def test_wall_left_below_one_millimetre_is_no_repair() -> None:
    """Bore 30.5 in 32.012 leaves 0.76 mm: not proposed (workshop practice, 1 mm)."""
    place = {**PLACE, "shaft": "30.45mm"}
    out = judged(need(KIND, place=place, uncertainty=FINE), bush(d=30.5, outside=36))
    assert outcome(out)[0] == "does not fit"


def test_a_sleeved_bush_is_reamed_only_as_far_as_its_own_wall_allows() -> None:
    """20 x 26 for journal 24.95 in 32.012: the sleeve takes it, but (26 - 25.002)/2 is 0.50 mm.

    20 x 27.5 leaves (27.5 - 25.002)/2 = 1.25, its sleeve (32.012 - 27.5)/2 = 2.26: both are done.
    """
    the_need = need(KIND, place=PLACE, uncertainty=FINE)
    assert outcome(judged(the_need, bush(d=20, outside=26)))[0] == "does not fit"
    both = judged(the_need, bush(d=20, outside=27.5))
    assert outcome(both)[0] == "alter the machine"
    assert set(works(both)) == {"sleeve the housing", "bore or ream after pressing"}
    named = need(KIND, part=OLD)
    assert outcome(judged(named, bush(d=20, outside=26)))[0] == "does not fit"


@pytest.mark.parametrize("material", ["porous bronze", "steel-backed"])
def test_porous_and_wrapped_bushes_are_never_cut(material: str) -> None:
    """OD 36 of a porous or wrapped bush is not turned, a tight bore not reamed."""
    the_need = need(KIND, place=PLACE, uncertainty=FINE)
    assert outcome(judged(the_need, bush(outside=36, material=material)))[0] == "does not fit"
    tight = need(KIND, place={**PLACE, "shaft": "25.05mm"}, uncertainty=FINE)
    assert outcome(judged(tight, bush(material=material)))[0] == "does not fit"


def test_smaller_outside_sleeves_the_housing_within_its_wall() -> None:
    """OD 28 in 32.012: wall 2.0: sleeve; OD 30: wall 1.0, below 1.5: does not fit."""
    the_need = need(KIND, place=PLACE, uncertainty=FINE)
    thick = judged(the_need, bush(outside=28))
    assert outcome(thick)[0] == "alter the machine"
    assert list(works(thick)) == ["sleeve the housing"]
    assert outcome(judged(the_need, bush(outside=30)))[0] == "does not fit"


@pytest.mark.parametrize("material", ["porous bronze", "steel-backed"])
def test_an_end_is_faced_whatever_the_make(material: str) -> None:
    """A porous or wrapped bush 40 long where 30 goes is faced: that leaves bore and OD alone."""
    the_need = need(KIND, place=PLACE, uncertainty=FINE, part=OLD)
    longer = judged(the_need, bush(length=40, material=material))
    assert outcome(longer)[0] == "alter the part"
    assert works(longer) == {"face the plain end": "face the plain end: length 40.00 to 30.00 mm"}


def test_longer_is_faced_shorter_is_never_as_is() -> None:
    """40 for 30: face 10 mm; 20 for 30: ring, and not checked until the load is known."""
    the_need = need(KIND, place=PLACE, uncertainty=FINE, part=OLD)
    longer = judged(the_need, bush(length=40))
    assert works(longer) == {"face the plain end": "face the plain end: length 40.00 to 30.00 mm"}
    shorter = judged(the_need, bush(length=20))
    assert outcome(shorter) == ("with spacer", "measure first")
    # 4000 N / (25 x 20) = 8 MPa, under 20 for bronze (Carvill p. 92): carried
    loaded = need(KIND, place=PLACE, uncertainty=FINE, part=OLD, service={"load_n": 4000})
    assert outcome(judged(loaded, bush(length=20)))[0] == "with spacer"
    # 15 kN gives 30 MPa: too much
    heavy = need(KIND, place=PLACE, uncertainty=FINE, part=OLD, service={"load_n": 15_000})
    assert outcome(judged(heavy, bush(length=20)))[0] == "does not fit"


def test_pressure_times_speed() -> None:
    """2 kN on 25 x 30 at 500 rev/min: 2.667 MPa x 0.6545 m/s = 1.745, just under bronze's 1.75."""
    out = judged(
        need(KIND, place=PLACE, uncertainty=FINE, service={"load_n": 2000, "rpm": 500}), bush()
    )
    pv = next(c for c in out.checks if c.name == "pressure x speed")
    assert pv.actual.estimate[0] == pytest.approx(1.745, abs=1e-3)
    assert result(out, "pressure x speed") == "pass"
    porous = judged(
        need(KIND, place=PLACE, uncertainty=FINE, service={"load_n": 2000, "rpm": 500}),
        bush(material="porous bronze"),
    )
    assert result(porous, "pressure x speed") == "fail"  # 0.7 (Carvill p. 92)


@pytest.mark.parametrize(
    ("service", "limits"),
    [
        # H8 of 25: 33 um; wide band 4 per mille: 25.033 - 0.100 = 24.933 .. 25 - 0.007 (g7)
        ({}, (24.933, 24.993)),
        # steady: 0.001 in per inch of 25 mm is 0.0250, at least 0.001 in = 0.0254: 25 - 0.0254
        ({"rpm": 600}, (24.9746, 24.993)),
        ({"rpm": 600, "load": "normal"}, (24.9746, 24.993)),
        ({"rpm": 600, "load": "light"}, (24.9746, 24.993)),
        # in dirt 0.001 in more: 25 - 0.0508
        ({"rpm": 600, "dirt": True}, (24.9492, 24.993)),
        # heavy, or standing, keeps the wide band
        ({"rpm": 600, "load": "heavy"}, (24.933, 24.993)),
        ({"rpm": 0}, (24.933, 24.993)),
        ({"load": "normal"}, (24.933, 24.993)),
        ({"dirt": True}, (24.933, 24.993)),
    ],
)
def test_stated_service_narrows_the_clearance(
    service: dict[str, object], limits: tuple[float, float]
) -> None:
    """0.001 in per inch for a bush that turns steadily (common practice, no source)."""
    out = judged(need(KIND, place=PLACE, uncertainty=FINE, service=service), bush())
    assert permitted(out, "clearance") == limits


@pytest.mark.parametrize(
    ("d", "outside", "limits"),
    [
        # 6: H8 18 um, g7 -4 um: 0.5 per mille is 0.003; 0.001 in = 0.0254 rules: 6 - 0.0254
        (6.0, 10.0, (5.9746, 5.997)),
        # 3: H8 14, g7 -2: least 0.0015; 0.014 + 0.0254 = 0.0394 > e7 0.038: the wide band stays
        (3.0, 6.0, (2.976, 2.9985)),
        # 100: H8 54, g7 -12: 0.001 x 100 = 0.100
        (100.0, 115.0, (99.9, 99.988)),
        # 160: H8 63, g7 -14: 0.160
        (160.0, 185.0, (159.84, 159.986)),
    ],
)
def test_steady_clearance_at_other_sizes(
    d: float, outside: float, limits: tuple[float, float]
) -> None:
    """The journal may be smaller than the nominal bore by 0.001 in per inch (ISO 286-2 beside)."""
    place = {"shaft": f"{limits[1] - 0.002:.4f}mm"}
    the_need = need(KIND, place=place, uncertainty="0.001mm", service={"rpm": 300})
    out = judged(the_need, bush(d=d, outside=outside))
    assert permitted(out, "clearance") == limits
    assert result(out, "clearance") == "pass"


def test_a_journal_for_e7_is_too_loose_to_turn_steadily() -> None:
    """24.95 suits heavy slow duty (24.933..24.993) but not 600 rev/min (24.9746..24.993)."""
    loose = {"place": PLACE, "uncertainty": FINE}
    assert outcome(judged(need(KIND, **loose), bush())) == ("as is", "sure")
    steady = judged(need(KIND, **loose, service={"rpm": 600}), bush())
    assert outcome(steady)[0] == "does not fit"
    assert result(steady, "clearance") == "fail"
    told = [w.text(0) for w in steady.warnings if w.applies[0]]
    assert any("0.001 in per inch" in text for text in told)


def test_a_bore_reamed_for_steady_turning_is_inside_the_narrow_band() -> None:
    """Journal 25.045..25.055: ream from 25.055 + 2 x 0.007 (g7) = 25.069, H8: to 25.102.

    Clearance 0.014..0.057 of at most 0.033 + 0.0254 = 0.0584: journal 25.0436..25.062 passes.
    """
    place = {**PLACE, "shaft": "25.05mm"}
    out = judged(need(KIND, place=place, uncertainty=FINE, service={"rpm": 600}), bush())
    assert permitted(out, "clearance") == (25.0436, 25.062)
    assert outcome(out) == ("alter the part", "sure")
    assert "25.069..25.102 mm" in works(out)["bore or ream after pressing"]


def test_flanged_for_flanged_only() -> None:
    """A plain bush does not replace a flanged one, nor the other way round."""
    flanged = need(KIND, part={**OLD, "flange_diameter": "38mm", "flange_thickness": "3mm"})
    assert outcome(judged(flanged, bush()))[0] == "does not fit"
    like = bush(flange_diameter=38.0, flange_thickness=3.0, form="flanged")
    assert result(judged(flanged, like), "flange") == "pass"
    assert outcome(judged(need(KIND, part=OLD), like))[0] == "does not fit"


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ({"oil_groove": "yes"}, {}, "oil groove"),
        ({"oil_hole": "yes"}, {}, "oil hole"),
        ({"oil_hole": "yes"}, {"oil_hole": "yes"}, None),
        ({}, {}, None),
    ],
)
def test_oil_hole_and_groove_are_told(
    old: dict[str, str], new: dict[str, str], word: str | None
) -> None:
    """What the old bush had and the new one has not is to be made; it fails nothing."""
    out = judged(need(KIND, part=OLD, traits=old), bush(**new))
    told = [w.text(0) for w in out.warnings if w.applies[0] and "old bush had" in w.text(0)]
    assert len(told) == (word is not None)
    assert word is None or word in told[0]
    assert outcome(out)[0] == "as is"


def test_wrapped_outside_follows_its_own_table() -> None:
    """ISO 3547-1, 18..30 mm: +75/+35 um (from memory)."""
    low, high = outside_limits(np.array([28.0]), np.array([WRAPPED], dtype=np.int8))
    assert (round(low[0], 3), round(high[0], 3)) == (28.035, 28.075)


def test_blank_becomes_a_bush_with_limits_on_every_step() -> None:
    """20 x 36 x 100 bar for journal 24.95 in 32.012: turn, bore after pressing, part off."""
    the_need = need(KIND, place=PLACE, uncertainty=FINE)
    blank = part(
        "bushing_blank", bore_diameter=20, outside_diameter=36, length=100, material="bronze"
    )
    out = judge_of("bushing_blank").judge(the_need, blank)
    assert outcome(out) == ("alter the part", "sure")
    assert set(works(out)) == {
        "turn the outside diameter",
        "bore or ream after pressing",
        "part off and face",
    }


@pytest.mark.parametrize("sizes", [(20, 32.2, 100), (24.9, 36, 100), (20, 36, 25)])
def test_blank_without_stock_does_not_serve(sizes: tuple[float, float, float]) -> None:
    """0.5 mm must be left on the outside and in the core, and the length must reach."""
    blank = part(
        "bushing_blank", bore_diameter=sizes[0], outside_diameter=sizes[1], length=sizes[2]
    )
    out = judge_of("bushing_blank").judge(need(KIND, place=PLACE, uncertainty=FINE), blank)
    assert outcome(out)[0] == "does not fit"
