"""O-rings, worked on paper. ISO 3601-1 class A tolerances (two independent texts agree).

Squeeze, stretch and fill limits are the handbook's and workshop practice, from
memory, as their tables say.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from kind_cases import judged, need, outcome, part, result

from xref.fits.judgement import Judgement
from xref.kinds.base import Part
from xref.kinds.designation import decode

KIND = "o_ring"
SOURCES = Path(__file__).parents[1] / "sources"
GROOVE = {"groove_diameter": "25.40mm", "mating_diameter": "31.14mm", "groove_width": "4.80mm"}
PISTON = {"gland": "piston"}


def ring(inside: float = 24.99, section: float = 3.53, **more: object) -> Part:
    """Return one O-ring on offer: AS568-214 unless said."""
    return part(KIND, inside_diameter=inside, cross_section=section, **more)


def interval(judgement: Judgement, name: str) -> tuple[float, float]:
    """Return a check's actual interval [%], to 0.1."""
    (one,) = [check for check in judgement.checks if check.name == name]
    return round(float(one.actual.low[0]), 1), round(float(one.actual.high[0]), 1)


def test_ring_in_its_own_groove_is_sure() -> None:
    """-214 in 25.40/31.14: depth 2.87 +/- 0.027: squeeze 15.5..21.7 %, stretch 0.6..2.7 %."""
    out = judged(need(KIND, place=GROOVE, service=PISTON), ring())
    # (3.43 - 2.897)/3.43 = 15.5; (3.63 - 2.843)/3.63 = 21.7
    assert interval(out, "squeeze") == (15.5, 21.7)
    # (25.38 - 25.24)/25.24 = 0.55; (25.42 - 24.74)/24.74 = 2.75
    assert interval(out, "stretch") == (0.6, 2.7)
    assert outcome(out) == ("as is", "sure")


@pytest.mark.parametrize(
    ("section", "expected"), [(2.62, "fail"), (3.0, "fail"), (3.53, "pass"), (5.33, "fail")]
)
def test_another_section_does_not_seal(section: float, expected: str) -> None:
    """Depth 2.87: 2.62 and 3.00 are squeezed below 10 %, 5.33 far above 30 %."""
    out = judged(need(KIND, place=GROOVE, service=PISTON), ring(section=section))
    assert result(out, "squeeze") == expected


@pytest.mark.parametrize(("inside", "expected"), [(23.0, "fail"), (24.99, "pass"), (26.5, "fail")])
def test_stretch_on_a_piston(inside: float, expected: str) -> None:
    """23.0: 10 % stretch; 26.5: loose on the groove: both fail; a ring is never altered."""
    out = judged(need(KIND, place=GROOVE, service=PISTON), ring(inside=inside))
    assert result(out, "stretch") == expected
    assert outcome(out)[0] == ("as is" if expected == "pass" else "does not fit")


def test_narrow_groove_is_overfilled() -> None:
    """Width 3.8: 9.79 / (2.87 x 3.8) = 90 % (84..97 with the tolerances): doubtful; 3.4: 100 %."""
    narrow = need(KIND, place={**GROOVE, "groove_width": "3.8mm"}, service=PISTON)
    assert result(judged(narrow, ring()), "fill") == "doubtful"
    tight = need(KIND, place={**GROOVE, "groove_width": "3.4mm"}, service=PISTON)
    assert result(judged(tight, ring()), "fill") == "fail"


def test_groove_width_not_known_leaves_fill_open() -> None:
    """Fill is not checked and the fit is measure first."""
    place = {k: v for k, v in GROOVE.items() if k != "groove_width"}
    out = judged(need(KIND, place=place, service=PISTON), ring())
    assert result(out, "fill") == "not checked"
    assert outcome(out) == ("as is", "measure first")


def test_dynamic_asks_for_less_squeeze() -> None:
    """15.5..21.7 %: static passes 10..30; dynamic 8..20 is likely only."""
    out = judged(need(KIND, place=GROOVE, service={**PISTON, "motion": "dynamic"}), ring())
    assert result(out, "squeeze") == "likely"


def test_rod_groove_by_outside_contact() -> None:
    """Rod 20, groove 25.74: depth 2.87; 18.64 x 3.53 has outside 25.70: its tolerance straddles."""
    place = {"groove_diameter": "25.74mm", "mating_diameter": "20.00mm", "groove_width": "4.8mm"}
    rod = need(KIND, place=place, service={"gland": "rod"})
    assert result(judged(rod, ring(18.64, 3.53)), "stretch") == "doubtful"
    assert result(judged(rod, ring(18.95, 3.53)), "stretch") in ("pass", "likely")
    assert result(judged(rod, ring(20.22, 3.53)), "stretch") == "fail"  # 6 % too large


def test_face_groove_takes_its_depth() -> None:
    """Depth 2.70: (3.53 - 2.70)/3.53 = 23.5 %: static face 15..30."""
    place = {"groove_diameter": "32.00mm", "depth": "2.70mm", "groove_width": "4.8mm"}
    out = judged(need(KIND, place=place, service={"gland": "face"}), ring())
    assert result(out, "squeeze") == "pass"


def test_without_a_groove_only_the_equal_size_fits() -> None:
    """24.99 x 3.53 for 24.99 x 3.53; not 25 x 3.5 (never swap 3.5 for 3.53), not 26.57."""
    the_need = need(KIND, part={"inside_diameter": "24.99mm", "cross_section": "3.53mm"})
    assert outcome(judged(the_need, ring())) == ("as is", "assumed")
    metric = need(KIND, part={"inside_diameter": "25mm", "cross_section": "3.5mm"})
    assert outcome(judged(metric, ring(25.0, 3.55)))[0] == "does not fit"
    assert outcome(judged(the_need, ring(26.57)))[0] == "does not fit"


def test_nominal_names_mislead() -> None:
    """-429 is called 5 x 5-1/2 x 1/4 in and is 4.975 x 0.275 in (NAVEDTRA 14105, chapter 7)."""
    found = decode("-429")
    assert found is not None
    assert found.dimensions_mm["inside_diameter"] == pytest.approx(4.975 * 25.4, abs=0.01)
    assert found.dimensions_mm["cross_section"] == pytest.approx(0.275 * 25.4, abs=0.01)


@pytest.mark.parametrize("text", ["-214", "AS568-214", "AS 568-214", "AS568A-214", "dash 214"])
def test_ways_to_write_a_dash_number(text: str) -> None:
    """All name 24.99 x 3.53."""
    found = decode(text)
    assert found is not None
    assert list(found.dimensions_mm.values()) == [24.99, 3.53]


def test_every_dash_size_is_the_collected_one() -> None:
    """Each AS568 row decodes to the collected sizes (two independent texts agree)."""
    with (SOURCES / "o_ring_sizes.csv").open(encoding="utf-8") as handle:
        rows = list(csv.DictReader(handle))
    assert len(rows) > 340
    for row in rows:
        found = decode(f"AS568-{row['dash']}")
        assert found is not None
        expected = [float(row["id_mm"]), float(row["cs_mm"])]
        assert list(found.dimensions_mm.values()) == expected


def test_material_against_medium_and_heat() -> None:
    """NBR not in brake fluid; NBR to 100 degC (Tribology Handbook B23), FKM to 200."""
    service = {**PISTON, "medium": "brake fluid", "temperature": 150}
    the_need = need(KIND, place=GROOVE, service=service)
    nbr, fkm = judged(the_need, ring(material="NBR")), judged(the_need, ring(material="FKM"))
    assert (result(nbr, "medium"), result(nbr, "temperature")) == ("fail", "fail")
    assert (result(fkm, "medium"), result(fkm, "temperature")) == ("fail", "pass")
    assert result(judged(the_need, ring()), "medium") == "not checked"
