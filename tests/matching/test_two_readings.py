"""A need and a part that may each mean either of two standard sizes (FITS 1).

Worked on paper: 0.984 x 1.850 x 0.276 in is 25 x 47 x 7 mm, but 0.984 in is 25 mm (24.9936, within
0.0127) and 63/64 in (25.0031). A metric seal of 25 runs on h11, 24.870..25.000 (ISO 286-2); an inch
one on 63/64 in +/-0.003 in, 24.927..25.079 (RMA OS-4, from memory). A shaft for the inch seal has
its middle at 25.003, above 25.000.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

import xref
from xref.kinds.base import UNCLEAR, Need, Part
from xref.matching.judging import describe, judge_pairs
from xref.matching.need_frame import needs_from_frame
from xref.matching.parts import part_from_columns

AS_PRINTED = {"shaft_diameter_in": 0.984, "outside_diameter_in": 1.85, "width_in": 0.276}
METRIC = {"shaft_diameter_mm": 25.0, "outside_diameter_mm": 47.0, "width_mm": 7.0}


def match(old: dict[str, float], new: dict[str, float], kind: str = "shaft_seal") -> dict[str, Any]:
    """Return the one row of one original against one part."""
    originals = pd.DataFrame([{"number": "O", "kind": kind, **old}])
    catalogue = pd.DataFrame([{"maker": "Ada", "number": "N", "kind": kind, **new}])
    (row,) = xref.match(originals, catalogue).to_dict("records")
    return {str(name): value for name, value in row.items()}


def test_two_lists_that_print_one_figure_agree_but_measure_first() -> None:
    """Read alike they fit; crosswise the shaft fails: which size is meant stays open."""
    row = match(AS_PRINTED, AS_PRINTED)
    assert (row["verdict"], row["certainty"]) == ("as is", "measure first")


def test_one_open_side_is_judged_under_both() -> None:
    """Where one side says what it is, the worse reading of the other is shown.

    A shaft of 24.870..25.000 has its middle 24.935 in the inch seal's 24.927..25.079, and the
    housing of H8, 47.000..47.039, its middle in 47 +/-0.0254: likely, assumed.
    """
    assert match(AS_PRINTED, METRIC)["verdict"] == "does not fit"
    row = match(METRIC, AS_PRINTED)
    assert (row["verdict"], row["certainty"]) == ("as is", "assumed")
    assert row["conformance"] < 1


def test_readings_that_agree_crosswise_too_leave_nothing_open() -> None:
    """1.969 in is 50 mm or 1-31/32 in (50.00625): within print rounding of a boundary dimension."""
    sizes = {"bore_diameter_in": 1.969, "outside_diameter_in": 3.543, "width_in": 0.787}
    row = match(sizes, sizes, "rolling_bearing")
    assert (row["verdict"], row["certainty"]) == ("as is", "assumed")


def pair(*old: dict[str, float]) -> tuple[Need, Part]:
    """Return the needs of these seals, and the seal as printed."""
    frame = pd.DataFrame([{"number": "O", "written_unit": "in", **one} for one in old])
    sizes = {f"{name[:-3]}_mm": np.array([25.4 * v]) for name, v in AS_PRINTED.items()}
    for name in [n for n in frame.columns if n.endswith("_in")]:
        frame[f"{name[:-3]}_mm"] = 25.4 * frame[name]
    need = needs_from_frame("shaft_seal", frame, {}, {}, np.arange(len(old)))
    unit = {"written_unit": np.array(["in"], dtype=object)}
    return need, part_from_columns("shaft_seal", {**sizes, **unit}, 1)


def test_the_open_size_is_a_check_of_its_own_pair_only() -> None:
    """The check names what to find out, and stands in no other pair judged beside it."""
    # 25 x 47 x 7 mm and nothing else
    other = {"shaft_diameter_in": 0.9843, "outside_diameter_in": 1.8504, "width_in": 0.2756}
    need, part = pair(AS_PRINTED, other)
    assert need.system[0] == part.system[0] == UNCLEAR
    rows = np.arange(2)
    judged, _, _, use = judge_pairs("shaft_seal", need, part, rows, np.zeros(2, dtype=np.intp))
    told = [describe(judged, int(row)) for row in use]
    (size,) = [c for c in told[0]["checks"] if c["name"] == "standard size"]
    assert size["result"] == "not checked"
    assert "measure the old part" in size["missing"]
    assert "standard size" not in [c["name"] for c in told[1]["checks"]]
    assert judged.has_gap[use[0]]
