"""The lines of the engineering that were worked on paper, end to end through the command line.

Each line's figures: ISO 286-2 h11 of 60 is 0/-190 um and of 35 is 0/-160 um, H8 of 80 is +46/0
um, g6 and k6 of 25 are -7/-20 and +15/+2 um (two independent texts agree); inch shafts
+/-0.003 in to 4 in (RMA/ARPM OS-4, SAE J946, from memory).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import xref as library
from tests.command_line import Xref


@pytest.fixture
def lists(xref: Xref, tmp_path: Path) -> Xref:
    """Load a catalogue of three seals and a bearing; return the command line."""
    seals, bearings = tmp_path / "seals.csv", tmp_path / "bearings.csv"
    seals.write_text(
        "Maker,Number,Shaft diameter mm,Outside diameter mm,Width mm,Case\n"
        "Ada,S60,60,80,8,metal\nAda,S35,35,50,8,metal\n",
        encoding="utf-8",
    )
    bearings.write_text(
        "Maker,Number,Bore diameter mm,Outside diameter mm,Width mm,Bearing type\n"
        "Bea,B25,25,52,15,deep groove ball\n",
        encoding="utf-8",
    )
    for path, kind in ((seals, "shaft_seal"), (bearings, "rolling_bearing")):
        loaded = xref("load", path, "--table", "catalogue", "--kind", kind)
        assert loaded.status == 0, loaded.err
    return xref


def best(answer: Any, number: str) -> dict[str, Any]:
    """Return the candidate or near miss of a number."""
    found = [
        one
        for one in (*answer.document["candidates"], *answer.document["near_misses"])
        if one["parts"][0]["number"] == number
    ]
    assert len(found) == 1, answer.document
    return found[0]


def check(one: dict[str, Any], name: str) -> dict[str, Any]:
    """Return one check of a candidate."""
    (found,) = [c for c in one["checks"] if c["name"] == name]
    return found


@pytest.mark.store
def test_nominal_metric_seal(lists: Xref) -> None:
    """60 x 80 x 8 mm by name: shaft 59.81..60.00 against the same: pass, assumed."""
    answer = lists(
        "match", "--kind", "shaft_seal", "--id", "60mm", "--od", "80mm", "--width", "8mm", "--json"
    )
    one = best(answer, "S60")
    assert (one["verdict"], one["certainty"]) == ("as is", "assumed")
    shaft = check(one, "shaft")
    assert shaft["actual_mm"] == shaft["permitted_mm"] == [59.81, 60.0]
    assert shaft["result"] == "pass"
    assert any("measure before buying" in text for text in answer.document["need"]["assumed"])


@pytest.mark.store
@pytest.mark.parametrize(
    ("inch", "number", "actual", "permitted", "result"),
    [
        ("1-3/8in", "S35", [34.849, 35.001], [34.84, 35.0], "likely"),
        ("2-3/8in", "S60", [60.249, 60.401], [59.81, 60.0], "fail"),
    ],
)
def test_inch_shafts_against_metric_seals(
    lists: Xref, inch: str, number: str, actual: list[float], permitted: list[float], result: str
) -> None:
    """1-3/8 in happens to suit 35 mm; 2-3/8 in does not suit 60 mm: rounding is never a fit."""
    answer = lists("match", "--kind", "shaft_seal", "--id", inch, "--json")
    shaft = check(best(answer, number), "shaft")
    assert [round(x, 3) for x in shaft["actual_mm"]] == actual
    assert shaft["permitted_mm"] == permitted
    assert shaft["result"] == result


@pytest.mark.store
@pytest.mark.parametrize(
    ("shaft", "result"), [("60.00mm", "likely"), ("60.01mm", "doubtful"), ("60.05mm", "fail")]
)
def test_measured_shaft(lists: Xref, shaft: str, result: str) -> None:
    """Shaft 60.00, 60.01, 60.05 within 0.02 mm against 59.81..60.00, also through `xref fit`."""
    measured = ["--shaft", shaft, "--housing", "80.02mm", "--uncertainty", "0.02mm"]
    answer = lists("match", "--kind", "shaft_seal", *measured, "--json")
    assert check(best(answer, "S60"), "shaft")["result"] == result
    part = ["--id", "60mm", "--od", "80mm", "--width", "8mm"]
    told = lists("fit", "shaft_seal", *part, *measured, "--trait", "case=metal", "--json")
    assert check(told.document, "shaft")["result"] == result


@pytest.mark.store
def test_housing_above_h8_with_a_metal_case(lists: Xref) -> None:
    """80.06 within 0.02 against 80.000..80.046: 80.04 is inside, the estimate is not: doubtful."""
    measured = ["--shaft", "59.95mm", "--housing", "80.06mm", "--uncertainty", "0.02mm"]
    housing = check(
        best(lists("match", "--kind", "shaft_seal", *measured, "--json"), "S60"), "housing"
    )
    assert housing["permitted_mm"] == [80.0, 80.046]
    assert housing["result"] == "doubtful"


def test_a_spacer_ranks_before_a_doubtful_as_is() -> None:
    """A narrow seal moved off the track by a ring, in a sound bore, before one not sure to hold.

    Housing 80.06 +/- 0.02: the 80 mm seal, metal case, is doubtful. A seal of 80.03 (H8
    80.030..80.076) holds, likely, but needs a ring to clear the track.
    """
    original = pd.DataFrame(
        {
            "number": ["O"],
            "kind": ["shaft_seal"],
            "width_mm": [8.0],
            "shaft_mm": [59.9],
            "shaft_uncertainty_mm": [0.02],
            "housing_mm": [80.06],
            "housing_uncertainty_mm": [0.02],
            "depth_mm": [12.0],
            "wear_track": ["4mm,2mm"],
        }
    )
    catalogue = pd.DataFrame(
        {
            "maker": ["Ada", "Bea"],
            "number": ["DOUBTFUL", "RING"],
            "kind": "shaft_seal",
            "shaft_diameter_mm": 60.0,
            "outside_diameter_mm": [80.0, 80.03],
            "width_mm": [4.0, 8.0],
            "case": "metal",
        }
    )
    found = library.match(original, catalogue).query("verdict != 'does not fit'")
    assert found["number"].tolist() == ["RING", "DOUBTFUL"]
    assert found["verdict"].tolist() == ["with spacer", "as is"]


@pytest.mark.store
def test_journal_of_a_bearing_whose_duty_is_unknown(lists: Xref) -> None:
    """25.000 +/- 0.005 on a 25 bore: g6 low 24.980 to k6 high 25.015: likely, with the question."""
    answer = lists(
        *("match", "--kind", "rolling_bearing", "--shaft", "25.000mm", "--od", "52mm"),
        *("--width", "15mm", "--uncertainty", "0.005mm", "--json"),
    )
    one = best(answer, "B25")
    shaft = check(one, "shaft")
    assert shaft["permitted_mm"] == [24.98, 25.015]
    assert shaft["result"] == "likely"
    assert one["verdict"] == "as is"
    assert any("--rotating" in text for text in one["warnings"])


@pytest.mark.store
def test_the_designation_is_understood_as_sizes(lists: Xref) -> None:
    """6205 stands in no list: ISO 15 gives 25 x 52 x 15, and the equal bearing is as is."""
    answer = lists("match", "6205", "--json")
    assert answer.document["need"]["part_mm"] == {
        "bore_diameter": 25.0,
        "outside_diameter": 52.0,
        "width": 15.0,
    }
    assert best(answer, "B25")["verdict"] == "as is"


def test_the_same_lines_through_the_library() -> None:
    """The DataFrame API gives the same verdicts and certainties for the same figures."""
    originals = pd.DataFrame(
        [
            ("nominal", "60mm", "80mm", None, None),
            ("inch", "2-3/8in", "3-1/8in", None, None),
            ("60.00", None, None, 60.00, 80.022),
            ("60.01", None, None, 60.01, 80.022),
            ("60.05", None, None, 60.05, 80.022),
        ],
        columns=[
            "number",
            "shaft_diameter_text",
            "outside_diameter_text",
            "shaft_mm",
            "housing_mm",
        ],
    ).assign(kind="shaft_seal", shaft_uncertainty_mm=0.02, housing_uncertainty_mm=0.02)
    catalogue = pd.DataFrame(
        {
            "maker": ["Ada"],
            "number": ["S60"],
            "kind": ["shaft_seal"],
            "shaft_diameter_mm": [60.0],
            "outside_diameter_mm": [80.0],
            "width_mm": [8.0],
            "case": ["metal"],
        }
    )
    found = library.match(originals, catalogue).set_index("original_number")
    assert found["verdict"].to_dict() == {
        "nominal": "as is",
        "inch": "does not fit",
        "60.00": "as is",
        "60.01": "as is",
        "60.05": "does not fit",
    }
    assert found["certainty"].to_dict() == {
        "nominal": "assumed",
        "inch": "measure first",
        "60.00": "likely",
        "60.01": "measure first",
        "60.05": "measure first",
    }
    assert found["failing_check"].to_dict()["60.05"] == "shaft"


def test_designations_stand_for_sizes_in_frames() -> None:
    """6205 (ISO 15: 25 x 52 x 15) and AS568-214 (24.99 x 3.53 mm), asked for and on offer.

    A row whose own sizes contradict its designation keeps its own.
    """
    originals = pd.DataFrame(
        {
            "number": ["6205", "AS568-214", "6206", "X-1"],
            "kind": ["rolling_bearing", "o_ring", "rolling_bearing", "rolling_bearing"],
        }
    )
    catalogue = pd.DataFrame(
        {
            "maker": ["Ada", "Ada", "Bea", "Bea"],
            "number": ["6205-2RS", "-214", "RING", "6206"],
            "kind": ["rolling_bearing", "o_ring", "o_ring", "rolling_bearing"],
            "bore_diameter_mm": [None, None, None, 25.0],
            "outside_diameter_mm": [None, None, None, 52.0],
            "width_mm": [None, None, None, 15.0],
            "inside_diameter_mm": [None, None, 24.99, None],
            "cross_section_mm": [None, None, 3.53, None],
        }
    )
    found = library.match(originals, catalogue)
    fits = found[found["verdict"] == "as is"]
    assert sorted(zip(fits["original_number"], fits["number"], strict=True)) == [
        ("6205", "6205-2RS"),
        ("6205", "6206"),
        ("AS568-214", "-214"),
        ("AS568-214", "RING"),
    ]
    (nothing,) = found.loc[found["original_number"] == "X-1", "failing_check"]
    assert "no size" in nothing


def test_a_listed_designation_says_what_bearing_it_is() -> None:
    """6205 is a deep groove ball bearing (ISO/DIN 623): its own zone may be sure; B25 is not.

    25.008 +/- 0.002 in k5..k6 of 25 (+2..+15 um), 52.010 in H7 (0..+30 um), ISO 286-2.
    """
    original = pd.DataFrame(
        {
            "number": ["O"],
            "kind": ["rolling_bearing"],
            "shaft_mm": [25.008],
            "shaft_uncertainty_mm": [0.002],
            "housing_mm": [52.010],
            "housing_uncertainty_mm": [0.002],
            "rotating": ["inner"],
            "load": ["normal"],
        }
    )
    catalogue = pd.DataFrame(
        {
            "maker": "Ada",
            "number": ["6205", "B25"],
            "kind": "rolling_bearing",
            "bore_diameter_mm": 25.0,
            "outside_diameter_mm": 52.0,
            "width_mm": 15.0,
        }
    )
    found = library.match(original, catalogue).set_index("number")
    assert found["verdict"].to_dict() == {"6205": "as is", "B25": "as is"}
    assert found["certainty"].to_dict() == {"6205": "sure", "B25": "likely"}


def test_a_designation_stands_for_the_part_in_fit(xref: Xref) -> None:
    """`xref fit 6205` takes the sizes of ISO 15; `xref fit AS568-214` those of AS568."""
    bearing = xref("fit", "6205", "--shaft", "25.008mm", "--json").document
    assert bearing["kind"] == "rolling_bearing"
    assert bearing["given"]["part_mm"]["outside_diameter"] == 52.0
    groove = ["--groove-diameter", "25.4mm", "--mating-diameter", "31.14mm"]
    ring = xref("fit", "AS568-214", *groove, "--json").document
    assert ring["given"]["part_mm"] == {"inside_diameter": 24.99, "cross_section": 3.53}
    assert check(ring, "squeeze")["result"] == "pass"


def seals(**columns: Any) -> pd.DataFrame:
    """Return a catalogue of one metal-cased seal, 60 x 80 x 8 mm unless said."""
    sizes = {"shaft_diameter_mm": 60.0, "outside_diameter_mm": 80.0, "width_mm": 8.0}
    row = {"maker": "Ada", "number": "S", "kind": "shaft_seal", "case": "metal", **sizes, **columns}
    return pd.DataFrame([row])


def original(**columns: Any) -> pd.DataFrame:
    """Return one original seal."""
    return pd.DataFrame([{"number": "O", "kind": "shaft_seal", **columns}])


NAMED = {"shaft_diameter_mm": 60.0, "outside_diameter_mm": 80.0, "width_mm": 8.0}


def test_a_width_not_checked_counts_neither_way() -> None:
    """0.5 mm wider, depth unknown (up to 0.9 may find room): not checked; conformance stays 1."""
    (row,) = library.match(original(**NAMED), seals(width_mm=8.5)).to_dict("records")
    assert (row["verdict"], row["certainty"]) == ("as is", "measure first")
    assert row["conformance"] == 1.0


def test_metric_sizes_listed_in_inch_decimals_are_metric() -> None:
    """2.3622 x 3.1496 x 0.315 in is 60 x 80 x 8 mm, on offer and asked for (half a last place)."""
    inches = {
        "shaft_diameter_mm": 2.3622 * 25.4,
        "outside_diameter_mm": 3.1496 * 25.4,
        "width_mm": 0.315 * 25.4,
        "written_unit": "in",
    }
    for asked, offered in (
        (original(**NAMED), seals(**inches)),
        (original(**inches), seals()),
        (original(**inches), seals(**inches)),
    ):
        (row,) = library.match(asked, offered).to_dict("records")
        assert (row["verdict"], row["certainty"]) == ("as is", "assumed")


def test_inch_sizes_printed_in_millimetres_are_inch() -> None:
    """60.33 x 79.38 x 9.5 mm is 2-3/8 x 3-1/8 x 3/8 in, the width's single decimal included."""
    printed = {"shaft_diameter_mm": 60.33, "outside_diameter_mm": 79.38, "width_mm": 9.5}
    exact = {"shaft_diameter_mm": 60.325, "outside_diameter_mm": 79.375, "width_mm": 9.525}
    for asked, offered in ((printed, exact), (exact, printed), (printed, printed)):
        (row,) = library.match(original(**asked), seals(**offered)).to_dict("records")
        assert (row["verdict"], row["certainty"]) == ("as is", "assumed"), (asked, offered)
    (metric,) = library.match(original(**printed), seals()).to_dict("records")
    assert metric["verdict"] == "does not fit"


@pytest.mark.store
def test_stock_known_by_designation_only_is_found_by_size(xref: Xref, tmp_path: Path) -> None:
    """A stock list of numbers alone: 6205-2RS, a description naming 6206, and AS568-214."""
    stock = tmp_path / "stock.csv"
    stock.write_text(
        "Number,Description,Qty,Price\n"
        "6205-2RS,Ball bearing,4,9.50\nBB-17,Ball bearing 6206,2,3\nOR-1,O-ring AS568-214,10,0.5\n",
        encoding="utf-8",
    )
    loaded = xref("load", stock, "--table", "stock", "--supplier", "Zed", "--json")
    assert loaded.status == 0, loaded.err
    assert any("6205-2RS" in note for note in loaded.document["notes"])
    sizes = ["--id", "25mm", "--od", "52mm", "--width", "15mm"]
    one = best(xref("match", "--kind", "rolling_bearing", *sizes, "--json"), "6205-2RS")
    assert one["verdict"] == "as is"
    assert one["offers"][0]["quantity"] == 4
    assert best(xref("match", "6206", "--json"), "BB-17")["verdict"] == "as is"
    assert best(xref("match", "AS568-214", "--json"), "OR-1")["verdict"] == "as is"


@pytest.mark.parametrize(
    ("line", "name", "result"),
    [
        # Gap 1.65, washer 1.50 +/- 0.05: float 0.10..0.20 within 0.05..0.25 (workshop practice)
        (
            "fit thrust_washer --id 20mm --od 36mm --thickness 1.5mm --shaft 19.9mm "
            "--housing 36.5mm --gap 1.65mm --uncertainty 0.005mm",
            "thickness",
            "pass",
        ),
        # 2000 N / (25 x 30 mm2) = 2.67 MPa at 0.654 m/s: PV 1.745, under 1.75 (Carvill p. 92)
        (
            "fit plain_bushing --id 25mm --od 32mm --length 30mm --shaft 24.95mm "
            "--load-n 2000 --rpm 500 --trait material=bronze",
            "pressure x speed",
            "pass",
        ),
        # (14/1.4)^3 x 1e6 / (60 x 1000) = 16 667 h (ISO 281)
        (
            "fit 6205 --shaft 25mm --load-n 1400 --rpm 1000 --life-hours 20000 "
            "--trait dynamic_load_kn=14",
            "life",
            "fail",
        ),
        # r_s min of 6205 is 1.0 mm (ISO 15, read in a published text): 0.9 +/- 0.05 is below it
        ("fit 6205 --shaft 25mm --fillet 1.3mm", "fillet", "fail"),
        ("fit 6205 --shaft 25mm --fillet 0.9mm", "fillet", "pass"),
        # sizes alone say nothing of the corner
        (
            "fit rolling_bearing --id 25mm --od 52mm --width 15mm --shaft 25mm --fillet 0.9mm",
            "fillet",
            "not checked",
        ),
        # 15.5..21.7 % squeeze: static passes 10..30, dynamic 8..20 is likely only
        (
            "fit AS568-214 --groove-diameter 25.4mm --mating-diameter 31.14mm "
            "--uncertainty 0.02mm --motion dynamic",
            "squeeze",
            "likely",
        ),
    ],
)
def test_service_and_places_reach_the_judges(xref: Xref, line: str, name: str, result: str) -> None:
    """Gap, load, life, fillet and motion may be stated on the command line."""
    assert check(xref(*line.split(), "--json").document, name)["result"] == result
