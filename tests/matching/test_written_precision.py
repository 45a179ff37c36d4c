"""Written precision: which standard size an inch decimal means, and what limits leave as named.

Exact by 1 in = 25.4 mm: 63/64 in is 25.003125 mm and 0.984375 in, 25 mm is 0.98425 in; both lie
within half a unit of the last place of 0.984 in (0.9835..0.9845), neither of 0.9840 in. 1-31/32 in
is 1.96875, 50 mm 1.96850; both round to 1.969 in, and to four places they are 1.9688 and 1.9685.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import xref as library
from tests.command_line import Xref
from xref.kinds.base import INCH, METRIC, UNCLEAR
from xref.kinds.systems import IN, as_written, made_standard, system_of

TYPED = [
    "match --kind rolling_bearing --id 0.984in --od 2.0472in",
    "match --kind shaft_seal --id 40mm --od 1.969in",
    "fit rolling_bearing --id 0.984in --od 52mm --shaft 25mm",
]


@pytest.mark.parametrize("line", TYPED)
def test_a_typed_size_with_two_standard_sizes_in_reach_is_asked_about(
    xref: Xref, line: str
) -> None:
    """Exit 3, and the sentence holds both readings as they may be written."""
    answer = xref(*line.split(), "--json")
    assert answer.status == 3
    error = answer.document["error"]
    assert error["code"] == "size-two-standards"
    assert ("63/64in" in error["message"]) == ("0.984" in line)
    assert ("25mm" in error["message"] and "0.984" in line) or "50mm" in error["message"]


@pytest.mark.store
@pytest.mark.parametrize(
    "sizes", [["0.984x2.0472x0.5906in"], ["--id", "0.984in", "--od", "2.0472in"]]
)
def test_a_want_typed_so_is_asked_about_too(xref: Xref, sizes: list[str]) -> None:
    """Sizes of a want are typed as well: nothing is noted until it is clear which is wanted."""
    answer = xref("want", "add", *sizes, "--kind", "rolling_bearing", "--quantity", 1, "--json")
    assert answer.status == 3
    assert answer.document["error"]["code"] == "size-two-standards"
    assert xref("want", "list", "--json").document["wants"] == []


@pytest.mark.parametrize(
    "size",
    [
        "0.9840in",
        "0.9843in",
        "0.9844in",
        "63/64in",
        "25mm",
        "0.98in",
        "0.985in",
        "5.000in",
        "0.984in +.001 -0",
    ],
)
def test_a_size_with_one_standard_size_in_reach_or_none_is_not_asked_about(
    xref: Xref, size: str
) -> None:
    """0.9843 is 25 mm, 0.9844 is 63/64 in; 0.985 is neither; 5 in is 127 mm; limits are limits."""
    answer = xref("match", "--kind", "rolling_bearing", "--id", size, "--json")
    assert answer.status in (0, 1), answer.err


@pytest.mark.parametrize("size", ["0.9840in", "0.98400in", "0.983..0.985in", "0.984+-0.001in"])
def test_a_part_to_be_explained_has_the_decimals_it_was_written_with(xref: Xref, size: str) -> None:
    """0.9840 has four: 25 mm is 0.0064 mm off, beyond half a unit; limits name no standard size."""
    answer = xref(
        "fit", "rolling_bearing", "--id", size, "--od", "52mm", "--shaft", "25mm", "--json"
    )
    assert answer.document["given"]["part_mm"]["bore_diameter"] == pytest.approx(24.9936)
    assert not [said for said in answer.document["warnings"] if "as it is written" in said]


def test_a_place_as_measured_is_no_standard_size(xref: Xref) -> None:
    """A journal of 0.984 in is a measurement: nothing is recognised in it."""
    answer = xref("match", "--kind", "rolling_bearing", "--shaft", "0.984in", "--json")
    assert answer.status in (0, 1)
    low, high = answer.document["need"]["place_mm"]["shaft"]
    assert (low + high) / 2 == pytest.approx(0.984 * 25.4, abs=1e-4)


def listed(**sizes: float) -> dict[str, np.ndarray]:
    """Return columns of a list in inches."""
    return {name: np.array([value * 25.4]) for name, value in sizes.items()}


@pytest.mark.parametrize(
    ("inside", "outside", "system", "value", "other"),
    [
        (0.984, 2.0472, UNCLEAR, 25.0, 25.003125),
        (0.9843, 2.0472, METRIC, 25.0, None),
        (0.9844, 2.0625, INCH, 0.9844 * 25.4, None),
        (0.984, 2.0625, UNCLEAR, 25.0, 25.003125),
        (5.0, 6.0, INCH, 127.0, None),
    ],
)
def test_lists_keep_both_readings(
    inside: float, outside: float, system: int, value: float, other: float | None
) -> None:
    """A list's 0.984 in is 25 mm and, as second reading, 63/64 in; its row's system is open."""
    unit = np.array([IN], dtype=np.int8)
    sizes = listed(bore_diameter=inside, outside_diameter=outside)
    columns = made_standard(
        "rolling_bearing", {name: as_written(size, unit) for name, size in sizes.items()}
    )
    found = columns["bore_diameter"]
    assert system_of("rolling_bearing", columns)[0][0] == system
    assert found.value_mm[0] == pytest.approx(value)
    if other is None:
        assert found.other_mm is None
    else:
        assert found.other_mm is not None
        assert found.other_mm[0] == pytest.approx(other)


def seals(**columns: Any) -> pd.DataFrame:
    """Return a catalogue of one metal-cased seal."""
    return pd.DataFrame([{"maker": "Ada", "number": "S", "kind": "shaft_seal", **columns}])


def test_the_worse_of_two_readings_is_kept_in_frames() -> None:
    """An old seal listed as 1.969 x 3.150 in, against 50 x 80 mm.

    As 50 mm its shaft is 49.84..50.00 (h11 of 50, 0/-160 um, ISO 286-2): passes. As 1-31/32 in,
    50.00625 +/- 0.076 (RMA OS-4, from memory) is 49.930..50.082, its middle above 50.00: fails.
    """
    sizes = {"shaft_diameter_mm": 1.969 * 25.4, "outside_diameter_mm": 3.1496 * 25.4}
    old = pd.DataFrame([{"number": "O", "kind": "shaft_seal", "written_unit": "in", **sizes}])
    offered = seals(shaft_diameter_mm=50.0, outside_diameter_mm=80.0, width_mm=8.0, case="metal")
    found = library.match(old, offered)
    (row,) = found.to_dict("records")
    assert row["verdict"] == "does not fit"
    (note,) = found.attrs["notes"]
    assert note.startswith("originals row 0: the shaft diameter of the old part may be 1-31/32 in")
    assert row["failing_check"] == "shaft"
    metric = old.assign(shaft_diameter_mm=1.9685 * 25.4)
    (row,) = library.match(metric, offered).to_dict("records")
    assert row["verdict"] == "as is"


def test_a_row_with_limits_leaves_the_second_reading_of_the_row_beside_it() -> None:
    """The seal listed as 1.969 in fails as above, whatever other rows are written with.

    The other row, 50 mm with its own limits, has one reading and fits as before.
    """
    old = pd.DataFrame(
        {
            "number": ["two", "limits"],
            "kind": "shaft_seal",
            "written_unit": ["in", "mm"],
            "shaft_diameter_mm": [1.969 * 25.4, 50.0],
            "shaft_diameter_low_mm": [np.nan, 49.9],
            "shaft_diameter_high_mm": [np.nan, 50.0],
            "outside_diameter_mm": [3.1496 * 25.4, 80.0],
        }
    )
    offered = seals(shaft_diameter_mm=50.0, outside_diameter_mm=80.0, width_mm=8.0, case="metal")
    two, limits = library.match(old, offered).to_dict("records")
    assert (two["verdict"], two["failing_check"]) == ("does not fit", "shaft")
    assert limits["verdict"] == "as is"


def test_a_text_with_two_readings_is_set_aside_and_says_so() -> None:
    """The row does not fit and holds the question; the row beside it is served."""
    old = pd.DataFrame(
        {
            "number": ["ask", "good"],
            "kind": "shaft_seal",
            "shaft_diameter_text": ["1.969in", "50mm"],
            "outside_diameter_text": "80mm",
        }
    )
    offered = seals(shaft_diameter_mm=50.0, outside_diameter_mm=80.0, width_mm=8.0, case="metal")
    ask, good = library.match(old, offered).to_dict("records")
    assert ask["number"] is None
    assert "1-31/32in" in ask["failing_check"]
    assert "50mm" in ask["failing_check"]
    assert good["verdict"] == "as is"


@pytest.mark.store
def test_a_number_listed_with_two_readings_is_judged_as_both(xref: Xref, tmp_path: Path) -> None:
    """A parts book in inches: the need says what was judged, and so does the candidate."""
    book, catalogue = tmp_path / "book.csv", tmp_path / "catalogue.csv"
    book.write_text(
        "Number,Kind,Bore diameter in,Outside diameter in,Width in\n"
        "Q-1,rolling bearing,0.984,2.0472,0.5906\n",
        encoding="utf-8",
    )
    catalogue.write_text(
        "Maker,Number,Bore diameter mm,Outside diameter mm,Width mm\nBea,B25,25,52,15\n",
        encoding="utf-8",
    )
    for path, table in ((book, "originals"), (catalogue, "catalogue")):
        loaded = xref("load", path, "--table", table, "--kind", "rolling_bearing")
        assert loaded.status == 0, loaded.err
    answer = xref("match", "Q-1", "--json")
    assert answer.status == 0, answer.err
    assert any("63/64 in or 25 mm" in text for text in answer.document["need"]["assumed"])
    (one,) = answer.document["candidates"]
    assert any("judged as both" in text for text in one["warnings"])


def test_the_nominal_size_is_shown_and_the_limits_beside_it(xref: Xref) -> None:
    """60 h11 (0/-190 um, ISO 286-2) is 60 with limits 59.81..60; limits alone have no name."""
    line = ["match", "--kind", "shaft_seal", "--od", "80mm", "--json", "--id"]
    need = xref(*line, "60 h11").document["need"]
    assert need["part_mm"]["shaft_diameter"] == 60.0
    assert need["part_limits_mm"] == {"shaft_diameter": [59.81, 60.0]}
    need = xref(*line, "59.81..60.00mm").document["need"]
    assert need["part_mm"]["shaft_diameter"] == 59.905
    assert need["part_limits_mm"] == {"shaft_diameter": [59.81, 60.0]}
    assert xref(*line, "60mm").document["need"]["part_limits_mm"] == {}


def test_a_part_given_with_its_own_limits_is_compared_by_its_name() -> None:
    """A bush 25 E6 x 32 s6 and a bearing 15 0/-0.12 wide are 25 x 32 and 15, not their middles.

    ISO 286-2: E6 of 25 is +53/+40 um, s6 of 32 +59/+43 um; ISO 492 width 0/-120 um.
    """
    old = pd.DataFrame(
        {
            "number": ["bush", "bearing"],
            "kind": ["plain_bushing", "rolling_bearing"],
            "bore_diameter_text": ["25 E6", "25mm"],
            "outside_diameter_text": ["32 s6", "52mm"],
            "length_text": ["30mm", None],
            "width_text": [None, "15mm +0 -0.12"],
        }
    )
    offered = pd.DataFrame(
        {
            "maker": "Ada",
            "number": ["BU", "BE"],
            "kind": ["plain_bushing", "rolling_bearing"],
            "bore_diameter_mm": 25.0,
            "outside_diameter_mm": [32.0, 52.0],
            "length_mm": [30.0, np.nan],
            "width_mm": [np.nan, 15.0],
            "material": ["bronze", None],
        }
    )
    found = library.match(old, offered).set_index("original_number")
    assert found["verdict"].to_dict() == {"bush": "as is", "bearing": "as is"}
    assert found["certainty"].to_dict() == {"bush": "measure first", "bearing": "assumed"}


def test_a_bush_known_by_limits_alone_leaves_its_housing_open() -> None:
    """Its own 32.043..32.059 (s6) is no housing: the press is not checked, nothing fails."""
    old = pd.DataFrame(
        [{"number": "O", "kind": "plain_bushing", "outside_diameter_text": "32.043..32.059mm"}]
    )
    offered = pd.DataFrame(
        [
            {
                "maker": "Ada",
                "number": "B",
                "kind": "plain_bushing",
                "bore_diameter_mm": 25.0,
                "outside_diameter_mm": 32.0,
                "length_mm": 30.0,
                "material": "bronze",
            }
        ]
    )
    (row,) = library.match(old, offered).to_dict("records")
    assert (row["verdict"], row["certainty"]) == ("as is", "measure first")


INCH_47 = {"shaft_diameter_in": 1.181, "outside_diameter_in": 1.85, "width_in": 0.276}
METRIC_47 = {"shaft_diameter_mm": 30.0, "outside_diameter_mm": 47.0, "width_mm": 7.0}


@pytest.mark.parametrize(
    ("old", "new"), [(INCH_47, METRIC_47), (METRIC_47, INCH_47), (INCH_47, INCH_47)]
)
def test_a_number_beside_three_places_has_three(
    old: dict[str, float], new: dict[str, float]
) -> None:
    """1.181 x 1.850 x 0.276 in is 30 x 47 x 7 mm; as a number 1.850 has lost its zero."""
    original = pd.DataFrame([{"number": "O", "kind": "shaft_seal", **old}])
    (row,) = library.match(original, seals(**new)).to_dict("records")
    assert (row["verdict"], row["certainty"]) == ("as is", "assumed")


def test_two_places_in_all_the_row_stay_two() -> None:
    """1.18 x 1.85 in says nothing of thousandths: an inch size, which 47 mm is not."""
    two = {"shaft_diameter_in": 1.18, "outside_diameter_in": 1.85, "width_in": 0.28}
    original = pd.DataFrame([{"number": "O", "kind": "shaft_seal", **METRIC_47}])
    (row,) = library.match(original, seals(**two)).to_dict("records")
    assert row["verdict"] == "does not fit"


def test_a_text_has_the_places_it_shows() -> None:
    """Typed 1.85in beside 1.181in is no 1.850: a housing of 46.99 is bored for a seal of 47."""
    typed = {name.replace("_in", "_text"): f"{value}in" for name, value in INCH_47.items()}
    original = pd.DataFrame([{"number": "O", "kind": "shaft_seal", **typed}])
    (row,) = library.match(original, seals(**METRIC_47)).to_dict("records")
    assert row["verdict"] == "alter the machine"
