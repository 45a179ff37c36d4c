"""The demo's parts book against its catalogues gives what data_demo/README.md says.

The files are read here without xref's own readers; only the matching is under test. What fits is
computed from the standards' rows (see test_demo_sizes), never stated in the data.
"""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest
from demo_files import catalogue, original

from xref import match
from xref.kinds.designation import decode, named_in


@pytest.fixture(scope="module")
def parts() -> pd.DataFrame:
    """All modern parts."""
    return pd.DataFrame(catalogue())


def best(parts: pd.DataFrame, row: dict[str, Any]) -> dict[str, Any]:
    """Return the first candidate for one original."""
    found = match(pd.DataFrame([row]), parts, top=3)
    first: dict[str, Any] = found.iloc[0].to_dict()
    return first


@pytest.mark.parametrize(
    ("number", "variant", "size"),
    [
        ("DG/1111", "", (35.0, 52.0)),
        ("DG/1141A", "", (60.0, 80.0)),
        ("FD/4113", "before serial 412", (28.0, 47.0)),
        ("FD/4113", "from serial 412", (30.0, 47.0)),
        ("CJ/3111", "", (110.0, 140.0)),
    ],
)
def test_a_metric_seal_finds_the_iso_row_of_its_two_diameters(
    parts: pd.DataFrame, number: str, variant: str, size: tuple[float, float]
) -> None:
    """The narrower modern seal of the same shaft and housing serves as it is."""
    first = best(parts, original(number, variant))
    part = parts[parts["number"] == first["number"]].iloc[0]
    assert (part["shaft_diameter_mm"], part["outside_diameter_mm"]) == size
    assert (first["verdict"], first["certainty"]) == ("as is", "assumed")


@pytest.mark.parametrize("number", ["DG/1143", "DC/5113"])
def test_the_inch_seal_is_found_in_fractions_and_in_millimetres(
    parts: pd.DataFrame, number: str
) -> None:
    """60.33 × 79.38 mm is 2-3/8 × 3-1/8 in; the 60 × 80 mm seal fits neither."""
    found = match(pd.DataFrame([original(number)]), parts, top=20)
    fitting = found[found["verdict"] == "as is"]
    assert set(fitting["maker"]) == {"Umberline"}
    metric = parts[(parts["shaft_diameter_mm"] == 60) & (parts["outside_diameter_mm"] == 80)]
    near = found[found["number"].isin(metric["number"])]
    assert len(near) > 0
    assert set(near["verdict"]) == {"does not fit"}


def test_the_worn_track_asks_for_a_spacer_ring_of_three_millimetres(parts: pd.DataFrame) -> None:
    """Old seal 10 wide, track 2 wide at 5: the lip of an 8 wide seal runs at 4, so 3 mm on.

    Lip at the same share of the width: 5 × 8 / 10 = 4; clear of the track by 1 mm from its edge
    means 5 + 1 + 1 = 7 (common practice); a ring of 7 − 4 = 3 mm. The demo's catalogue has it.
    """
    place = {"shaft_mm": 37.95, "housing_mm": 62.02, "depth_mm": 12.0, "wear_track": "5mm,2mm"}
    spread = {f"{name}_uncertainty_mm": 0.02 for name in ("shaft", "housing", "depth")}
    first = best(parts, {**original("FD/4112"), **place, **spread})
    assert first["verdict"] == "with spacer"
    assert "3.00 mm" in first["work"]
    rings = parts[(parts["kind"] == "spacer_ring") & (parts["outside_diameter_mm"] == 62)]
    assert 3.0 in set(rings["thickness_mm"])


def test_the_worn_drum_shaft_asks_for_a_sleeve(parts: pd.DataFrame) -> None:
    """44.80 lies below h11 of 45 (44.84..45.00, ISO 286-2), so every 45 mm seal needs a sleeve."""
    place = {"shaft_mm": 44.80, "housing_mm": 62.025, "depth_mm": 12.0}
    spread = {"shaft_uncertainty_mm": 0.005, "housing_uncertainty_mm": 0.02}
    first = best(parts, {**original("FD/4111"), **place, **spread})
    assert first["verdict"] == "alter the machine"
    assert "thin sleeve" in first["work"]
    sleeves = parts[parts["kind"] == "shaft_sleeve"]
    covering = sleeves[(sleeves["shaft_low_mm"] <= 44.80) & (sleeves["shaft_high_mm"] >= 44.80)]
    assert "TLS-45T" in set(covering["number"])


@pytest.mark.parametrize("number", ["DG/1161", "IP/2162", "CJ/3161"])
def test_a_bush_of_a_standard_size_is_found_as_it_is(parts: pd.DataFrame, number: str) -> None:
    """ISO 4379 rows serve as they are; the journal is to be measured before buying."""
    first = best(parts, original(number))
    assert (first["verdict"], first["certainty"]) == ("as is", "measure first")


@pytest.mark.parametrize("number", ["DG/1162", "CJ/3162", "FD/4161"])
def test_an_inch_bush_is_machined_from_a_blank(parts: pd.DataFrame, number: str) -> None:
    """No catalogue has the inch bush, so a cored bar with machining steps comes first."""
    first = best(parts, original(number))
    assert first["verdict"] == "alter the part"
    kind = parts.loc[parts["number"] == first["number"], "kind"].iloc[0]
    assert kind == "bushing_blank"
    assert "turn the outside diameter" in first["work"]


@pytest.mark.parametrize(
    ("number", "found"), [("DG/1152", "6308"), ("DG/1153", "30206"), ("FD/4153", "VN-12")]
)
def test_a_bearing_is_found_by_its_boundary_dimensions(
    parts: pd.DataFrame, number: str, found: str
) -> None:
    """A ball bearing, a tapered pair and an inch bearing, each of equal dimensions."""
    first = best(parts, original(number))
    assert (first["number"], first["verdict"]) == (found, "as is")


def test_designations_in_the_book_decode_to_parts_of_the_catalogues(parts: pd.DataFrame) -> None:
    """6207 is 35 × 72 × 17 (ISO 15); dash 214 is 24.99 × 3.53 (AS568 = ISO 3601-1)."""
    bearing, ring = decode("6207"), decode("-214")
    assert bearing is not None
    assert ring is not None
    assert {**bearing.dimensions_mm} | {"corner": 1.1} == {
        "bore_diameter": 35.0,
        "outside_diameter": 72.0,
        "width": 17.0,
        "corner": 1.1,
    }
    assert ring.dimensions_mm["inside_diameter"] == pytest.approx(24.99, abs=0.01)
    assert ring.dimensions_mm["cross_section"] == pytest.approx(3.53, abs=0.01)
    assert {"6207", "RC-214N"} <= set(parts["number"])


@pytest.mark.parametrize("number", ["DG/1181", "CJ/3181", "AP/6181"])
def test_a_thrust_washer_is_found_as_it_is(parts: pd.DataFrame, number: str) -> None:
    """Equal inside, outside and thickness."""
    first = best(parts, original(number))
    assert (first["verdict"], first["certainty"]) == ("as is", "assumed")


@pytest.mark.parametrize("number", ["DG/1171", "IP/2172", "IP/2173"])
def test_an_o_ring_of_equal_size_is_found(parts: pd.DataFrame, number: str) -> None:
    """Metric by its millimetres, an inch ring by its decimals (0.612 × 0.103 in is dash 114)."""
    first = best(parts, original(number))
    assert first["verdict"] == "as is"
    if number == "IP/2173":
        assert first["number"] == "RC-114N"


@pytest.mark.parametrize(
    ("kind", "description", "dash", "size"),
    [
        ("rolling_bearing", "Ball bearing 6207, input shaft", None, (35.0, 72.0, 17.0)),
        ("rolling_bearing", "Ball bearing 6204-2RS, pump shaft", None, (20.0, 47.0, 14.0)),
        ("rolling_bearing", "6207 or 6208", None, None),
        ("shaft_seal", "Seal beside bearing 6207", None, None),
        ("rolling_bearing", "Ball bearing, page 6299", None, None),
        ("o_ring", "O-ring, pump cover", "214", (24.99, 3.53)),
        ("o_ring", "O-ring, end cover, dash 155", None, (101.27, 2.62)),
        ("o_ring", "O-ring 214", None, None),
    ],
)
def test_a_description_names_sizes_only_by_one_designation_of_its_kind(
    kind: str, description: str, dash: str | None, size: tuple[float, ...] | None
) -> None:
    """ISO 15 and AS568 rows; two designations, another kind or a bare number name nothing."""
    found = named_in(kind, description, dash)
    assert (found and tuple(found.dimensions_mm.values())) == size
