"""Rolling bearings, worked on paper. Sources beside each number.

ISO 286-2 zones (two independent texts agree); seat zones after ANSI/ABMA Std 7
and DIN 5425-1, ISO 492 and most of ISO 5753-1 from memory, as their tables say.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from kind_cases import judged, need, outcome, part, permitted, result

from xref.fits.bearings import mean_clearance, rating_life_hours, seat_limits
from xref.fits.judgement import Judgement
from xref.kinds.base import Part
from xref.kinds.designation import decode

KIND = "rolling_bearing"
SOURCES = Path(__file__).parents[1] / "sources"
OLD = {"bore_diameter": "25mm", "outside_diameter": "52mm", "width": "15mm"}
DUTY = {"rotating": "inner", "load": "normal"}


def ball(d: float = 25, outside: float = 52, width: float = 15, **more: object) -> Part:
    """Return one deep groove ball bearing on offer: 6205 unless said."""
    more.setdefault("bearing_type", "deep groove ball")
    return part(KIND, bore_diameter=d, outside_diameter=outside, width=width, **more)


def works(judgement: Judgement) -> list[str]:
    """Return the names of the operations."""
    return [work.name for work in judgement.work if work.applies[0]]


def test_equal_boundary_dimensions_are_as_is_assumed() -> None:
    """25 x 52 x 15 for 25 x 52 x 15 (ISO 15, series 02): as is, nobody measured."""
    assert outcome(judged(need(KIND, part=OLD), ball())) == ("as is", "assumed")


def test_journal_with_unknown_duty_is_never_better_than_likely() -> None:
    """25.000 +/- 0.005 in the span g6 low 24.980 .. k6 high 25.015 (ISO 286-2): likely."""
    out = judged(need(KIND, place={"shaft": "25.000mm"}, uncertainty="0.005mm"), ball())
    assert permitted(out, "shaft") == (24.98, 25.015)
    assert result(out, "shaft") == "likely"


def test_journal_outside_every_zone_fails() -> None:
    """24.960 +/- 0.005 is below g6 (24.980): fails, and no sleeve is thin enough."""
    out = judged(
        need(KIND, place={"shaft": "24.960mm", "housing": "52.010mm"}, uncertainty="0.005mm"),
        ball(),
    )
    assert result(out, "shaft") == "fail"
    assert outcome(out)[0] == "does not fit"


def test_journal_with_its_duty_known() -> None:
    """Normal load, inner turns, 25 mm ball: k5..k6 = +2..+15 um: 25.008 +/- 0.002 passes."""
    out = judged(
        need(
            KIND,
            place={"shaft": "25.008mm", "housing": "52.010mm"},
            uncertainty="0.002mm",
            service=DUTY,
        ),
        ball(),
    )
    assert permitted(out, "shaft") == (25.002, 25.015)
    assert permitted(out, "housing") == (52.0, 52.03)  # H7 of 52, +30/0
    assert outcome(out) == ("as is", "sure")


def test_a_coarse_reading_cannot_tell() -> None:
    """U = 0.005 is more than a quarter of 13 um: not checked, use a micrometer; measure first."""
    out = judged(
        need(KIND, place={"shaft": "25.008mm"}, uncertainty="0.005mm", service=DUTY), ball()
    )
    assert result(out, "shaft") == "not checked"
    assert "micrometer" in next(c for c in out.checks if c.name == "shaft").missing
    assert outcome(out)[1] == "measure first"


def test_caliper_on_an_unknown_duty_cannot_tell_either() -> None:
    """U = 0.02 against a span of 35 um: more than a quarter."""
    out = judged(need(KIND, place={"shaft": "25.000mm"}, uncertainty="0.02mm"), ball())
    assert result(out, "shaft") == "not checked"


def test_turning_outer_ring_wants_a_tight_housing() -> None:
    """Outer turns, normal: N7..M7 of 52: N7 -39/-9, M7 -30/0 (ISO 286-2): 51.961..52.000."""
    out = judged(
        need(
            KIND,
            place={"shaft": "24.990mm", "housing": "51.980mm"},
            uncertainty="0.002mm",
            service={"rotating": "outer", "load": "normal"},
        ),
        ball(),
    )
    assert permitted(out, "housing") == (51.961, 52.0)
    assert result(out, "housing") == "pass"
    assert permitted(out, "shaft") == (24.98, 25.0)  # g6 low -20 .. h6 high 0


def test_narrower_bearing_gets_a_spacer() -> None:
    """25 x 52 x 12 in the place of 15 wide: 3 mm beside the ring."""
    out = judged(need(KIND, part=OLD), ball(width=12))
    assert outcome(out)[0] == "with spacer"
    assert "fill 3.00 mm" in next(w for w in out.work if w.applies[0]).text(0)


def test_wider_bearing_does_not_fit() -> None:
    """25 x 52 x 18 for 15 wide: the abutments are where they are."""
    assert outcome(judged(need(KIND, part=OLD), ball(width=18)))[0] == "does not fit"


def test_smaller_outside_sleeves_the_housing() -> None:
    """25 x 47 for a 52 housing: wall 2.5 mm: sleeve the housing."""
    out = judged(need(KIND, part=OLD), ball(outside=47, width=15))
    assert outcome(out)[0] == "alter the machine"
    assert works(out) == ["sleeve the housing"]


def test_larger_outside_does_not_fit() -> None:
    """25 x 62 for a 52 housing: hardened rings are never ground, housings not bored for them."""
    assert outcome(judged(need(KIND, part=OLD), ball(outside=62)))[0] == "does not fit"


def test_larger_bore_sleeves_the_journal() -> None:
    """30 bore on a 25 journal: wall 2.5; 26 bore: wall 0.5, too thin to be a sleeve."""
    assert works(judged(need(KIND, part=OLD), ball(d=30))) == ["sleeve the journal"]
    assert outcome(judged(need(KIND, part=OLD), ball(d=26)))[0] == "does not fit"


def test_smaller_bore_does_not_fit() -> None:
    """20 bore on a 25 journal: never bore a hardened ring."""
    assert outcome(judged(need(KIND, part=OLD), ball(d=20)))[0] == "does not fit"


@pytest.mark.parametrize(
    ("fillet", "expected"), [("0.8mm", "pass"), ("1.0mm", "likely"), ("1.3mm", "fail")]
)
def test_shoulder_fillet_below_the_corner(fillet: str, expected: str) -> None:
    """r_s min of 6205 is 1.0 mm (ISO 15): the fillet must be smaller (gauge U 0.05)."""
    out = judged(need(KIND, part=OLD, place={"fillet": fillet}), ball(corner=1.0))
    assert result(out, "fillet") == expected


def test_type_ring_and_groove_must_be_the_old_ones() -> None:
    """A roller for a ball, a cone for a whole bearing, no groove for a groove: refused."""
    traits = {"bearing_type": "deep groove ball", "ring": "complete", "snap_ring": "yes"}
    the_need = need(KIND, part=OLD, traits=traits)
    roller = judged(the_need, ball(bearing_type="cylindrical roller", snap_ring="yes"))
    cone = judged(the_need, ball(ring="cone", snap_ring="yes"))
    plain = judged(the_need, ball(snap_ring="no"))
    same = judged(the_need, ball(snap_ring="yes"))
    assert result(roller, "bearing type") == "fail"
    assert result(cone, "ring") == "fail"
    assert result(plain, "snap ring") == "fail"
    assert outcome(same) == ("as is", "assumed")


def test_warning_when_the_press_takes_the_clearance() -> None:
    """25.015 on a mean bore of 24.995: 20 um x 0.8 = 16 um > CN mean (5 + 20)/2 = 12.5 um."""
    the_need = need(KIND, place={"shaft": "25.015mm"}, uncertainty="0.001mm", service=DUTY)
    tight = judged(the_need, ball(clearance_group="CN"))
    open_ = judged(the_need, ball(clearance_group="C3"))  # (13 + 28)/2 = 20.5 um
    assert mean_clearance("CN", np.array([25.0]))[0] == pytest.approx(0.0125)

    def warns(out: Judgement) -> bool:
        return any("clearance" in w.text(0) for w in out.warnings if w.applies[0])

    assert warns(tight)
    assert not warns(open_)


def test_rating_life() -> None:
    """ISO 281: (14/1.4)^3 x 1e6 / (60 x 1000) = 16 667 h; roller (14/1.4)^(10/3): 35 907 h."""
    assert rating_life_hours(14.0, 1400.0, 1000.0) == pytest.approx(16666.7, rel=1e-5)
    assert rating_life_hours(14.0, 1400.0, 1000.0, True) == pytest.approx(35907.2, rel=1e-5)


def test_life_is_checked_when_it_is_asked_for() -> None:
    """16 667 h: passes for 10 000, fails for 20 000, not checked without a rating."""
    for hours, expected in ((10_000, "pass"), (20_000, "fail")):
        service = {"load_n": 1400, "rpm": 1000, "life_hours": hours}
        the_need = need(KIND, part=OLD, service=service)
        assert result(judged(the_need, ball(dynamic_load_kn=14.0)), "life") == expected
        assert result(judged(the_need, ball()), "life") == "not checked"


def test_every_iso_15_row_decodes_to_itself() -> None:
    """ISO/DIN 623: every basic designation of the collected rows gives its own sizes."""
    with (SOURCES / "bearing_sizes.csv").open(encoding="utf-8") as handle:
        rows = [r for r in csv.DictReader(handle) if r["d_mm"]]
    assert len(rows) > 100
    for row in rows:
        found = decode(row["designation"])
        assert found is not None, row
        expected = [float(row[c]) for c in ("d_mm", "D_mm", "B_mm")]
        assert list(found.dimensions_mm.values()) == expected


@pytest.mark.parametrize(
    ("text", "traits"),
    [
        ("6205-2RS C3", {"shields": "two seals", "clearance_group": "C3"}),
        ("608 ZZ", {"shields": "two shields"}),
        ("6205 N", {"snap_ring": "yes"}),
    ],
)
def test_open_suffixes(text: str, traits: dict[str, str]) -> None:
    """Shields, seals, clearance and groove are read; makers' suffixes are not guessed at."""
    found = decode(text)
    assert found is not None
    assert found.traits == {"bearing_type": "deep groove ball", **traits}
    assert decode("6205 XQP") is None
    assert decode("99999") is None


def test_seats_of_every_step_at_both_ends() -> None:
    """Each size step of the ball, normal-load row: zone names beside ISO 286-2 from its table."""
    from xref.fits.zones import zone

    steps = [(18, "j5", "j5"), (100, "k5", "k6"), (140, "m5", "m6"), (280, "n6", "n6")]
    no = np.array([False])
    for size, low_name, high_name in steps:
        low, high = seat_limits(
            "shaft", np.array([float(size)]), no, np.array(["inner"]), np.array(["normal"])
        )
        assert low[0] == pytest.approx(size + float(zone(size, low_name)[0]))
        assert high[0] == pytest.approx(size + float(zone(size, high_name)[1]))
    beyond = seat_limits("shaft", np.array([281.0]), no, np.array(["inner"]), np.array(["normal"]))
    assert np.isnan(beyond[0][0])
