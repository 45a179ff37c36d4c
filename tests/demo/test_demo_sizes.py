"""Modern parts of the demo have sizes of the published standards (sources beside each row).

The published rows stand in tests/sources, each with its source and how sure it is.
"""

from __future__ import annotations

import re
from collections import defaultdict

from demo_files import SOURCES, millimetres, modern, table


def test_metric_seals_are_rows_of_iso_6194_1() -> None:
    """Each metric seal is a d1 × D × b row of ISO 6194-1 (seal_sizes.csv, GB/T and JIS texts)."""
    published = {
        (float(row["d1_mm"]), float(row["D_mm"]), float(row["b_mm"]))
        for row in table(SOURCES / "seal_sizes.csv")
        if row["standard"].startswith("ISO 6194-1")
    }
    seals = [row for row in modern() if row["Kind"] == "shaft_seal" and row.get("Width mm")]
    assert len(seals) >= 100
    for row in seals:
        size = millimetres(row, "Shaft diameter", "Outside diameter", "Width")
        assert size in published, row["Number"]


def test_inch_seals_are_whole_sixteenths_and_no_metric_row() -> None:
    """Each inch seal has diameters in eighths or sixteenths of an inch, to three decimals."""
    seals = [row for row in modern() if row["Kind"] == "shaft_seal" and row.get("Width in")]
    assert len(seals) >= 30
    for row in seals:
        for name in ("Shaft diameter in", "Outside diameter in", "Width in"):
            sixteenths = float(row[name]) * 16
            assert abs(sixteenths - round(sixteenths)) < 0.01, row["Number"]


def test_ball_bearings_agree_with_iso_15_by_their_designation() -> None:
    """The basic designation (ISO/DIN 623) fixes d, D, B and corner (ISO 15, bearing_sizes.csv)."""
    published = {
        row["designation"]: (
            float(row["d_mm"]),
            float(row["D_mm"]),
            float(row["B_mm"]),
            float(row["r_s_min_mm"]),
        )
        for row in table(SOURCES / "bearing_sizes.csv")
        if row["d_mm"]
    }
    balls = [
        row
        for row in modern()
        if row.get("Bearing type") == "deep groove ball" and row.get("Width mm")
    ]
    assert len(balls) >= 50
    for row in balls:
        designation = row["Number"].removesuffix("-2RS")
        size = millimetres(row, "Bore diameter", "Outside diameter", "Width", "Corner")
        assert size == published[designation], row["Number"]


def test_tapered_bearings_agree_with_iso_355_by_their_designation() -> None:
    """Series 302: d, D, assembled width T (ISO 355, from memory)."""
    from_memory = {
        "30205": (25, 52, 16.25),
        "30206": (30, 62, 17.25),
        "30207": (35, 72, 18.25),
        "30208": (40, 80, 19.75),
        "30209": (45, 85, 20.75),
        "30210": (50, 90, 21.75),
    }
    sets = {
        row["Number"]: millimetres(row, "Bore diameter", "Outside diameter", "Assembled width")
        for row in modern()
        if row.get("Ring") == "complete"
    }
    assert sets == from_memory
    numbers = {row["Number"] for row in modern()}
    for designation in from_memory:
        assert {f"{designation} CONE", f"{designation} CUP"} <= numbers


def test_bushes_are_rows_of_the_standard_they_name() -> None:
    """Bore, outside, length and flange stand in ISO 4379, 3547 or 2795 (bushing_sizes.csv)."""
    published = defaultdict(set)
    for row in table(SOURCES / "bushing_sizes.csv"):
        standard = re.match(r"ISO \d+", row["kind"])
        if standard and row["lengths_mm"]:
            for length in row["lengths_mm"].split("/"):
                flange = (row["flange_d_mm"], row["flange_t_mm"])
                published[standard[0]].add((row["d1_mm"], row["D_mm"], length, *flange))
    bushes = [row for row in modern() if row["Kind"] == "plain_bushing"]
    assert {row["Standard"] for row in bushes} == {"ISO 4379", "ISO 3547", "ISO 2795"}
    for row in bushes:
        size = (
            row["Bore diameter mm"],
            row["Outside diameter mm"],
            row["Length mm"],
            row["Flange diameter mm"],
            row["Flange thickness mm"],
        )
        assert size in published[row["Standard"]], row["Number"]


def test_o_rings_agree_with_as568_by_their_dash_number() -> None:
    """The dash number fixes inside diameter and section (AS568 = ISO 3601-1, o_ring_sizes.csv)."""
    published = {
        row["dash"]: (float(row["id_mm"]), float(row["cs_mm"]))
        for row in table(SOURCES / "o_ring_sizes.csv")
        if row["id_mm"]
    }
    rings = [row for row in modern() if row["Kind"] == "o_ring" and row["Dash number"]]
    assert len(rings) >= 60
    for row in rings:
        size = millimetres(row, "Inside diameter", "Cross-section")
        assert size == published[row["Dash number"]], row["Number"]


def test_inside_is_smaller_than_outside_everywhere() -> None:
    """No part of the catalogues has a wall of nothing."""
    for row in modern():
        inner = [key for key in row if re.match(r"(Shaft|Bore|Inside) diameter", key)]
        outer = [key for key in row if key.startswith("Outside diameter")]
        if inner and outer and row[inner[0]] and row[outer[0]]:
            unit = outer[0][-3:]
            low, high = millimetres(row, inner[0].removesuffix(unit), outer[0].removesuffix(unit))
            assert low < high, row["Number"]
