"""`xref.match`: the contract of the DataFrame API."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

import xref
from xref.matching.match import COLUMNS


def catalogue() -> pd.DataFrame:
    """Return a small catalogue of seals, one bearing and one bar."""
    rows = [
        ("Ada", "S60", "shaft_seal", 60.0, 80.0, 8.0, "metal"),
        ("Ada", "S60R", "shaft_seal", 60.0, 80.0, 8.0, "rubber"),
        ("Bea", "S65", "shaft_seal", 65.0, 80.0, 8.0, "metal"),
        ("Bea", "S62", "shaft_seal", 62.0, 80.0, 8.0, "metal"),
        ("Cyd", "S60W", "shaft_seal", 60.0, 80.0, 10.0, "metal"),
        ("Cyd", "I238", "shaft_seal", 60.325, 79.375, 9.525, "metal"),
    ]
    frame = pd.DataFrame(
        rows,
        columns=[
            "maker",
            "number",
            "kind",
            "shaft_diameter_mm",
            "outside_diameter_mm",
            "width_mm",
            "case",
        ],
    )
    others = pd.DataFrame(
        {
            "maker": ["Dov", "Eve"],
            "number": ["6205", "BAR"],
            "kind": ["rolling_bearing", "bushing_blank"],
            "bore_diameter_mm": [25.0, 20.0],
            "outside_diameter_mm": [52.0, 36.0],
            "width_mm": [15.0, None],
            "length_mm": [None, 100.0],
        }
    )
    return pd.concat([frame, others], ignore_index=True)


def originals(**columns: list[object]) -> pd.DataFrame:
    """Return originals of seals with the given columns."""
    length = len(next(iter(columns.values())))
    given = {"number": [f"O{i}" for i in range(length)], "kind": ["shaft_seal"] * length}
    return pd.DataFrame({**given, **columns})


OWN = {
    "shaft_diameter_mm": [60.0],
    "outside_diameter_mm": [80.0],
    "width_mm": [8.0],
}


def test_columns_and_types_are_the_contract() -> None:
    """The columns stand in the contract's order; rows count from 0, ranks from 1."""
    out = xref.match(originals(**OWN), catalogue())
    assert tuple(out.columns) == COLUMNS
    assert out.original_row.unique().tolist() == [0]
    assert out["rank"].tolist() == list(range(1, len(out) + 1))
    assert out.original_number.unique().tolist() == ["O0"]


def test_best_first_then_near_misses_with_their_failing_check() -> None:
    """Two as is (maker, number order), then work, then misses naming the check."""
    out = xref.match(originals(**OWN), catalogue())
    assert out.number.tolist()[:2] == ["S60", "S60R"]
    assert out.verdict.tolist()[:2] == ["as is", "as is"]
    fits = (out.verdict != "does not fit").tolist()
    assert fits == sorted(fits, reverse=True)
    misses = out[out.verdict == "does not fit"]
    assert set(misses.failing_check) <= {"shaft", "housing", "width"}
    assert out[out.verdict != "does not fit"].failing_check.isna().all()


def test_every_original_appears_and_bad_rows_stop_nothing() -> None:
    """A negative size, nothing at all and a size far from everything: one row each."""
    out = xref.match(
        originals(
            shaft_diameter_mm=[60.0, -1.0, None, 300.0],
            outside_diameter_mm=[80.0, 80.0, None, 400.0],
            width_mm=[8.0, 8.0, None, 8.0],
        ),
        catalogue(),
    )
    assert out.original_row.unique().tolist() == [0, 1, 2, 3]
    for row in (1, 2, 3):
        (line,) = out[out.original_row == row].itertuples()
        assert (line.verdict, line.number) == ("does not fit", None)
    assert "above zero" in out[out.original_row == 1].failing_check.iloc[0]


def test_text_sizes_keep_their_unit_and_precision() -> None:
    """2-3/8 in means the inch seal; 2.3622 x 3.1496 in means 60 x 80 mm as printed (ISO size)."""
    out = xref.match(
        originals(
            shaft_diameter_text=["2-3/8in", "2.3622in"],
            outside_diameter_text=["3-1/8in", "3.1496in"],
            width_text=["3/8in", "0.3150in"],
        ),
        catalogue(),
    )
    best = out[out["rank"] == 1]
    assert best.number.tolist() == ["I238", "S60"]
    assert best.verdict.tolist() == ["as is", "as is"]


def test_written_unit_decides_bare_text() -> None:
    """Bare decimals with written_unit in are inches; without it the row says it asks."""
    bare = {
        "shaft_diameter_text": ["2.375", "2.375"],
        "outside_diameter_text": ["3.125", "3.125"],
        "width_text": [".375", ".375"],
        "written_unit": ["in", None],
    }
    out = xref.match(originals(**bare), catalogue())
    assert out[out.original_row == 0].number.iloc[0] == "I238"
    assert out[out.original_row == 1].verdict.tolist() == ["does not fit"]


def test_inch_sizes_printed_in_millimetres_are_inch() -> None:
    """60.33 x 79.38 is the print of 2-3/8 x 3-1/8 in: the inch seal fits, the metric does not."""
    out = xref.match(
        originals(shaft_diameter_mm=[60.33], outside_diameter_mm=[79.38], width_mm=[9.53]),
        catalogue(),
    )
    assert out.number.iloc[0] == "I238"
    metric = out[out.number == "S60"]
    assert metric.verdict.tolist() == ["does not fit"]


def test_measured_place_rules_and_its_uncertainty_counts() -> None:
    """59.93/80.02: sure with 0.02; a shaft of 60.01 is doubtful."""
    out = xref.match(
        originals(
            shaft_mm=[59.93, 60.01],
            shaft_uncertainty_mm=[0.02, 0.02],
            housing_mm=[80.022, 80.022],
            housing_uncertainty_mm=[0.02, 0.02],
            depth_mm=[9.0, 9.0],
        ),
        catalogue(),
    )
    own = out[out.number == "S60"]
    assert own.certainty.tolist() == ["sure", "measure first"]
    # FITS 2: a doubtful check comes after all without one, even after a sure sleeve.
    assert out[out.original_row == 1].number.iloc[0] == "S65"


def test_service_columns_override_the_service_given_for_all() -> None:
    """8000 rev/min fails NBR; the second original's own 100 passes."""
    parts = catalogue()
    parts["lip_material"] = "NBR"
    out = xref.match(
        originals(
            shaft_diameter_mm=[60.0, 60.0],
            outside_diameter_mm=[80.0, 80.0],
            width_mm=[8.0, 8.0],
            rpm=[None, 100.0],
        ),
        parts,
        service={"rpm": 8000},
    )
    best = out[out["rank"] == 1]
    assert best.verdict.tolist() == ["does not fit", "as is"]
    assert best.failing_check.iloc[0] == "speed"


def test_top_limits_candidates_not_near_misses() -> None:
    """With top=1 one candidate is followed by near misses."""
    out = xref.match(originals(**OWN), catalogue(), top=1)
    assert (out.verdict != "does not fit").sum() == 1
    assert (out.verdict == "does not fit").sum() >= 1


def test_same_input_same_answer_whatever_the_order_of_the_catalogue() -> None:
    """Shuffling the catalogue does not change the answer; the inputs are left alone."""
    parts = catalogue()
    before = parts.copy()
    first = xref.match(originals(**OWN), parts)
    shuffled = parts.sample(frac=1, random_state=3).reset_index(drop=True)
    pd.testing.assert_frame_equal(first, xref.match(originals(**OWN), shuffled))
    pd.testing.assert_frame_equal(parts, before)


def test_a_blank_is_offered_for_a_bushing() -> None:
    """Nothing but a cored bar: alter the part, with the steps."""
    want = pd.DataFrame(
        {
            "number": ["B1"],
            "kind": ["plain_bushing"],
            "bore_diameter_mm": [25.0],
            "outside_diameter_mm": [32.0],
            "length_mm": [30.0],
        }
    )
    out = xref.match(want, catalogue())
    assert out.number.iloc[0] == "BAR"
    assert out.verdict.iloc[0] == "alter the part"
    assert "turn the outside diameter" in out.work.iloc[0]


def test_unknown_kind_is_a_row_with_the_reason() -> None:
    """A kind nobody declared stops no other row."""
    given = originals(**{k: v * 2 for k, v in OWN.items()})
    given["kind"] = ["shaft_seal", "flux_capacitor"]
    out = xref.match(given, catalogue())
    assert out[out.original_row == 0].verdict.iloc[0] == "as is"
    assert "flux_capacitor" in out[out.original_row == 1].failing_check.iloc[0]


@pytest.mark.parametrize("missing", ["number", "kind"])
def test_missing_columns_are_refused_in_a_sentence(missing: str) -> None:
    """Without number or kind: Refused, naming the column."""
    with pytest.raises(xref.Refused, match=missing):
        xref.match(originals(**OWN).drop(columns=missing), catalogue())


def test_empty_frames_are_no_error() -> None:
    """No originals give no rows; no catalogue gives one row each."""
    none = xref.match(originals(**OWN).iloc[:0], catalogue())
    assert len(none) == 0
    assert tuple(none.columns) == COLUMNS
    out = xref.match(originals(**OWN), catalogue().iloc[:0])
    assert out.verdict.tolist() == ["does not fit"]


def test_a_row_without_a_diameter_stops_no_other_row() -> None:
    """An original of which only the width is known has nothing to look by, and says so."""
    given = originals(**{k: v * 2 for k, v in OWN.items()})
    for name in ("shaft_diameter_mm", "outside_diameter_mm"):
        given.loc[1, name] = None
    out = xref.match(given, catalogue())
    assert out[out.original_row == 0].verdict.iloc[0] == "as is"
    (row,) = out[out.original_row == 1].to_dict("records")
    assert (row["verdict"], row["number"]) == ("does not fit", None)
    assert "a diameter" in row["failing_check"]


@pytest.mark.parametrize("backend", ["numpy_nullable", "pyarrow"])
def test_nullable_frames_say_what_plain_ones_say(backend: Any) -> None:
    """Empty cells of pandas' nullable columns are unknown, as NaN and None are."""
    if backend == "pyarrow":
        pytest.importorskip("pyarrow")
    old = originals(
        shaft_diameter_mm=[60.0, 60.0, None],
        outside_diameter_mm=[80.0, 80.0, None],
        width_mm=[8.0, None, 8.0],
        written_unit=[None, "mm", None],
        case=["metal", None, None],
        rpm=[None, 600.0, None],
        medium=[None, "oil", None],
        wear_track=[None, "6mm,2mm", None],
    )
    old.loc[2, "kind"] = None
    new = catalogue()
    expected = xref.match(old, new)
    assert "kind" in expected[expected.original_row == 2].failing_check.iloc[0]
    nullable = [one.convert_dtypes(dtype_backend=backend) for one in (old, new)]
    pd.testing.assert_frame_equal(xref.match(*nullable), expected)


@pytest.mark.parametrize("cell", [10**400, 1 + 2j, [], {}, "sixty"])
def test_a_cell_that_is_no_number_stops_no_other_row(cell: object) -> None:
    """It is as if the size were not given; the row beside it is served."""
    given = originals(**{k: v * 2 for k, v in OWN.items()}).astype(object)
    given.at[1, "shaft_diameter_mm"] = cell
    given["case"] = ["metal", cell]
    out = xref.match(given, catalogue())
    assert out[out.original_row == 0].verdict.iloc[0] == "as is"
    assert out[out.original_row == 1].certainty.iloc[0] == "measure first"


@pytest.mark.parametrize("cell", [10**400, [], {}, "x"])
def test_a_designation_stands_for_a_cell_that_is_no_number(cell: object) -> None:
    """6205 is 25 x 52 x 15 mm by ISO/DIN 623, whatever its bore's cell; no other row is stopped."""
    bore = pd.Series([cell, None], dtype=object)
    named = pd.DataFrame({"number": ["6205"] * 2, "kind": ["rolling_bearing"] * 2})
    offered = named.assign(maker=["Ada", "Dov"], bore_diameter_mm=bore)
    out = xref.match(named.assign(bore_diameter_mm=bore), offered)
    assert out[out.original_row == 1].maker.tolist() == ["Ada", "Dov"]


@pytest.mark.parametrize("top", [0, -1, None, "3", 2.5])
def test_top_is_a_whole_number(top: Any) -> None:
    """Anything else is impossible, in a sentence."""
    with pytest.raises(xref.XrefError, match="a whole number, at least 1"):
        xref.match(originals(**OWN), catalogue(), top=top)


def test_the_old_seals_own_limits_are_no_measurement() -> None:
    """60 h11 x 80 H8 (ISO 286-2) as the old seal's sizes: within the limits, but only assumed."""
    old = originals(shaft_diameter_text=["60 h11"], outside_diameter_text=["80 H8"])
    best = xref.match(old, catalogue()).iloc[0]
    assert (best.number, best.verdict, best.certainty) == ("S60", "as is", "assumed")
