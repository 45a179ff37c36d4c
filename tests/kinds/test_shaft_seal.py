"""Shaft seals, worked on paper. Sources beside each number.

Tables used: ISO 286-2 h11 and H8 (two independent texts agree); ISO 6194-1
tolerances of D and b (from memory); RMA/ARPM OS-4 shaft and bore (from memory).
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from kind_cases import actual, judged, need, outcome, part, permitted, result

from xref.fits.seals import bore_limits, outside_limits, seal_interference, shaft_limits

KIND = "shaft_seal"


def seal(d: float, bore: float, width: float, **more: str) -> object:
    """Return one seal on offer, metal-cased unless said."""
    more.setdefault("case", "metal")
    return part(KIND, shaft_diameter=d, outside_diameter=bore, width=width, **more)


OLD_60 = {"shaft_diameter": "60mm", "outside_diameter": "80mm", "width": "8mm"}
PLACE_60 = {"shaft": "59.93mm", "housing": "80.01mm"}


def test_nominal_metric_seal_is_assumed() -> None:
    """60 x 80 x 8: h11 of 60 is 0/-190 um (ISO 286-2), shaft 59.81..60.00: pass, assumed."""
    out = judged(need(KIND, part=OLD_60), seal(60, 80, 8))
    assert outcome(out) == ("as is", "assumed")
    assert actual(out, "shaft") == (59.81, 60.0) == permitted(out, "shaft")
    assert result(out, "shaft") == "pass"


def test_inch_shaft_that_happens_to_fit_metric() -> None:
    """1-3/8 in = 34.925, +/-0.003 in: 34.849..35.001 against h11 of 35 (0/-160): likely."""
    old = {"shaft_diameter": "1-3/8in", "outside_diameter": "50mm", "width": "8mm"}
    out = judged(need(KIND, part={**old, "outside_diameter": "1.9685in"}), seal(35, 50, 8))
    inch = need(KIND, part={"shaft_diameter": "1-3/8in"})
    alone = judged(inch, seal(35, 50, 8))
    assert actual(alone, "shaft") == (34.8488, 35.0012)
    assert permitted(alone, "shaft") == (34.84, 35.0)
    assert result(alone, "shaft") == "likely"
    assert result(out, "shaft") in ("likely", "pass")


def test_inch_shaft_that_does_not_fit_metric() -> None:
    """2-3/8 in = 60.325: 60.249..60.401 against 59.81..60.00: fail, and no shaft is turned."""
    out = judged(
        need(KIND, part={"shaft_diameter": "2-3/8in", "outside_diameter": "3-5/32in"}),
        seal(60, 80, 8),
    )
    assert actual(out, "shaft") == (60.2488, 60.4012)
    assert result(out, "shaft") == "fail"
    assert outcome(out)[0] == "does not fit"


@pytest.mark.parametrize(
    ("shaft", "expected"), [("60.00mm", "likely"), ("60.01mm", "doubtful"), ("60.05mm", "fail")]
)
def test_measured_shaft(shaft: str, expected: str) -> None:
    """Measured within 0.02 mm against 59.81..60.00: by where the interval lies."""
    place = {**PLACE_60, "shaft": shaft}
    out = judged(need(KIND, place=place, uncertainty="0.02mm"), seal(60, 80, 8))
    assert result(out, "shaft") == expected


def test_housing_above_h8_with_metal_case_is_doubtful() -> None:
    """80.06 +/- 0.02 against H8 of 80 (+46/0 um): 80.04 is inside, the estimate is not."""
    out = judged(
        need(KIND, place={**PLACE_60, "housing": "80.06mm"}, uncertainty="0.02mm"), seal(60, 80, 8)
    )
    assert permitted(out, "housing") == (80.0, 80.046)
    assert result(out, "housing") == "doubtful"
    assert outcome(out) == ("as is", "measure first")


def test_housing_far_above_h8_fails_metal_but_not_rubber() -> None:
    """80.12 +/- 0.02: metal fails; rubber OD 80.20..80.35 (ISO 6194-1) still presses: doubtful."""
    the_need = need(KIND, place={**PLACE_60, "housing": "80.12mm"}, uncertainty="0.02mm")
    metal = judged(the_need, seal(60, 80, 8, case="metal"))
    rubber = judged(the_need, seal(60, 80, 8, case="rubber"))
    assert outcome(metal)[0] == "does not fit"
    assert result(rubber, "housing") == "doubtful"
    loose = judged(
        need(KIND, place={**PLACE_60, "housing": "80.25mm"}, uncertainty="0.02mm"),
        seal(60, 80, 8, case="rubber"),
    )
    assert result(loose, "housing") == "fail"


def test_measured_place_inside_is_sure() -> None:
    """59.93 +/- 0.02 and 80.02 +/- 0.02 lie wholly inside; depth 9: 8 + 0.3 is within."""
    out = judged(
        need(
            KIND,
            place={"shaft": "59.93mm", "housing": "80.022mm", "depth": "9mm"},
            uncertainty="0.02mm",
        ),
        seal(60, 80, 8),
    )
    assert outcome(out) == ("as is", "sure")
    assert out.conformance[0] == pytest.approx(1.0, abs=0.03)


def test_width_with_its_tolerance_must_fit_the_depth() -> None:
    """b = 8 +/- 0.3 (ISO 6194-1) in 8.2 +/- 0.02 deep: 8.3 > 8.22: deepen by 0.10."""
    out = judged(
        need(KIND, place={**PLACE_60, "depth": "8.2mm"}, uncertainty="0.02mm"), seal(60, 80, 8)
    )
    assert outcome(out)[0] == "alter the machine"
    (work,) = [w for w in out.work if w.applies[0]]
    assert work.text(0) == "deepen the housing pocket by 0.10 mm to at least 8.30 mm"


@pytest.mark.parametrize(
    ("width", "verdict", "check"),
    [
        (7, "as is", "pass"),  # narrower seats on the shoulder
        (8, "as is", "pass"),
        (8.9, "as is", "not checked"),  # ISO 6194-1:1982 gives the pocket b + 0.9
        (10, "alter the machine", "pass"),  # 2 mm wider: deepen, and then it passes
    ],
)
def test_width_against_the_old_seal(width: float, verdict: str, check: str) -> None:
    """Depth unknown: the old seal's width decides up to 0.9 mm over, beyond that deepen."""
    out = judged(need(KIND, part=OLD_60), seal(60, 80, width))
    assert outcome(out)[0] == verdict
    assert result(out, "width") == check


def test_same_bore_ladder_with_a_thick_sleeve() -> None:
    """72 bore takes shafts 50 and 55: a 50 shaft sleeved to 55 h11, wall 2.5 mm (>= 1.5)."""
    out = judged(
        need(KIND, place={"shaft": "49.95mm", "housing": "72.02mm"}, uncertainty="0.02mm"),
        seal(55, 72, 8),
    )
    assert outcome(out)[0] == "alter the machine"
    (work,) = [w for w in out.work if w.applies[0]]
    # h11 of 55: 0/-190 um; wall (55 - 49.95) / 2
    assert work.text(0) == "sleeve the shaft from 49.95 to 54.81..55.00 mm (wall 2.52 mm)"


def test_sleeve_wall_between_thin_and_thick_is_no_repair() -> None:
    """Wall (52 - 49.95)/2 = 1.03: above 0.3, below 1.5: not proposed."""
    out = judged(
        need(KIND, place={"shaft": "49.95mm", "housing": "72.02mm"}, uncertainty="0.02mm"),
        seal(52, 72, 8),
    )
    assert outcome(out)[0] == "does not fit"


def test_shaft_above_the_seal_is_never_turned_down() -> None:
    """A 61 mm shaft and a 60 mm seal: does not fit, whatever a lathe could do."""
    out = judged(
        need(KIND, place={**PLACE_60, "shaft": "61mm"}, uncertainty="0.02mm"), seal(60, 80, 8)
    )
    assert outcome(out)[0] == "does not fit"
    assert not any(work.applies[0] for work in out.work)


def test_bore_out_for_a_larger_seal() -> None:
    """Housing 80.01 for D = 82 H8 (+54/0): cut 2.044 > 2: refused; D = 81.9: allowed."""
    the_need = need(KIND, place=PLACE_60, uncertainty="0.02mm")
    assert outcome(judged(the_need, seal(60, 82, 8)))[0] == "does not fit"
    out = judged(the_need, seal(60, 81.9, 8))
    assert [w.name for w in out.work if w.applies[0]] == ["bore the housing"]


def test_housing_sleeve_wall_and_boring_first() -> None:
    """D = 76: wall 2.0: sleeve; D = 78: wall 1.0: bore to 81 (78 + 2 x 1.5) first, then sleeve."""
    the_need = need(KIND, place=PLACE_60, uncertainty="0.02mm")
    thick = judged(the_need, seal(60, 76, 8))
    assert [w.name for w in thick.work if w.applies[0]] == ["sleeve the housing"]
    two = judged(the_need, seal(60, 78, 8))
    assert [w.name for w in two.work if w.applies[0]] == ["bore the housing", "sleeve the housing"]
    assert "81.00 mm" in two.work[1].text(0)
    assert two.operations[0] == 2


def test_wear_track_moved_by_a_spacer() -> None:
    """Track at 4, 2 wide, old and new 8: the lip runs in it; 2 mm ring if 8.3 + 2 <= 10.5 deep."""
    track = {"wear_track": "4mm,2mm"}
    deep = judged(
        need(KIND, part=OLD_60, place={"depth": "10.5mm"}, service=track), seal(60, 80, 8)
    )
    assert outcome(deep)[0] == "with spacer"
    assert "ring 2.00 mm thick" in next(w for w in deep.work if w.applies[0]).text(0)
    shallow = judged(
        need(KIND, part=OLD_60, place={"depth": "9mm"}, service=track), seal(60, 80, 8)
    )
    assert outcome(shallow)[0] == "alter the machine"
    assert [w.name for w in shallow.work if w.applies[0]] == ["thin sleeve over the track"]


def test_wear_track_cleared_by_a_narrower_seal() -> None:
    """A 4 mm seal's lip sits at 2: 2 mm from the track's middle, clear by 1: as is."""
    out = judged(
        need(KIND, part=OLD_60, place={"depth": "9mm"}, service={"wear_track": "4mm,2mm"}),
        seal(60, 80, 4),
    )
    assert outcome(out)[0] == "as is"


def test_speed_temperature_pressure_medium() -> None:
    """35 mm at 8000 rev/min is 14.66 m/s (Tribology Handbook B23): NBR stands 12, FKM 35."""
    service = {"rpm": 8000, "temperature": 120, "pressure_bar": 0.2, "medium": "mineral oil"}
    the_need = need(KIND, place={"shaft": "34.95mm"}, service=service, uncertainty="0.02mm")
    nbr = judged(the_need, seal(35, 50, 8, lip_material="NBR"))
    fkm = judged(the_need, seal(35, 50, 8, lip_material="FKM"))
    assert (result(nbr, "speed"), result(nbr, "temperature")) == ("fail", "fail")
    assert (result(fkm, "speed"), result(fkm, "temperature")) == ("pass", "pass")
    assert (result(fkm, "pressure"), result(fkm, "medium")) == ("pass", "pass")
    unknown = judged(the_need, seal(35, 50, 8))
    assert result(unknown, "speed") == "not checked"
    assert outcome(unknown)[1] == "measure first"


def test_pressure_between_the_standards_and_the_handbook_is_doubtful() -> None:
    """Over 0.3 bar (ISO 6194-1:2007) to 0.6 (Tribology Handbook B23, shafts to 75 mm): doubtful."""
    for bar, expected in ((0.3, "pass"), (0.5, "doubtful"), (0.7, "fail")):
        out = judged(
            need(KIND, place=PLACE_60, service={"pressure_bar": bar}),
            seal(60, 80, 8, lip_material="NBR"),
        )
        assert result(out, "pressure") == expected


def test_one_way_lip() -> None:
    """A lip for clockwise rotation fails on the other way and is not checked when nobody knows."""
    clockwise = seal(60, 80, 8, rotation="clockwise")
    other = judged(need(KIND, part=OLD_60, traits={"rotation": "anticlockwise"}), clockwise)
    same = judged(need(KIND, part=OLD_60, traits={"rotation": "clockwise"}), clockwise)
    unsaid = judged(need(KIND, part=OLD_60), clockwise)
    assert result(other, "rotation") == "fail"
    assert result(same, "rotation") == "pass"
    assert result(unsaid, "rotation") == "not checked"


def test_only_two_sixteenth_inch_shafts_are_inside_h11_of_an_iso_size() -> None:
    """Of 91 sixteenth-inch shafts from 3/8 to 6 in only 1-3/8 and 2-3/4 lie inside h11.

    d1 of ISO 6194-1, from tests/sources/seal_sizes.csv (two independent texts agree).
    """
    import csv
    from pathlib import Path

    with (Path(__file__).parents[1] / "sources" / "seal_sizes.csv").open(encoding="utf-8") as f:
        iso = np.array(sorted({float(row["d1_mm"]) for row in csv.DictReader(f)}))
    low, high = shaft_limits(iso, np.zeros(len(iso), dtype=bool))
    inside = [
        Fraction(n, 16) for n in range(6, 97) if np.any((low <= n * 1.5875) & (n * 1.5875 <= high))
    ]
    assert inside == [Fraction(11, 8), Fraction(11, 4)]


@pytest.mark.parametrize(
    ("bore_low", "bore_high", "nominal", "case", "system", "unit", "expected"),
    [
        # worked examples 7 to 10: arithmetic on ISO 6194-1 and RMA OS-4 values (from memory)
        (52.0, 52.046, 52.0, "rubber", "ISO 6194-1", 1.0, (0.154, 0.350)),
        (52.0, 52.046, 52.0, "metal", "ISO 6194-1", 1.0, (0.044, 0.230)),
        (2.249, 2.251, 2.25, "metal", "RMA OS-4", 25.4, (0.001, 0.007)),
        (2.249, 2.251, 2.25, "rubber", "RMA OS-4", 25.4, (0.004, 0.012)),
    ],
)
def test_interference(
    bore_low: float,
    bore_high: float,
    nominal: float,
    case: str,
    system: str,
    unit: float,
    expected: tuple[float, float],
) -> None:
    """Interference = seal OD at its limits minus bore at its limits."""
    low, high = seal_interference(bore_low * unit, bore_high * unit, nominal * unit, case, system)
    assert float(low) == pytest.approx(expected[0] * unit, abs=1e-6)
    assert float(high) == pytest.approx(expected[1] * unit, abs=1e-6)


def test_beyond_the_tables_nothing_is_extrapolated() -> None:
    """ISO 286-2 ends at 500 mm here; the OD table of ISO 6194-1 at 530 mm."""
    no = np.zeros(1, dtype=bool)
    assert np.isnan(shaft_limits([501.0], no)[0][0])
    assert np.isnan(bore_limits([600.0], no)[0][0])
    assert np.isnan(outside_limits([531.0], no, no)[0][0])
