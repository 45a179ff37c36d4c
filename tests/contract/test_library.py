"""Contract 1 of the library: names, signatures, columns, errors, and what importing costs."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pandas as pd
import pytest

import xref

COLUMNS = [
    *("original_row", "original_number", "rank", "maker", "number"),
    *("verdict", "certainty", "conformance", "work", "failing_check"),
]
CATALOGUE = pd.DataFrame(
    [
        ("Maker", "S60", "shaft_seal", 60.0, 80.0, 8.0, "metal"),
        ("Maker", "S35", "shaft_seal", 35.0, 52.0, 7.0, "metal"),
    ],
    columns=[
        *("maker", "number", "kind"),
        *("shaft_diameter_mm", "outside_diameter_mm", "width_mm", "case"),
    ],
)


def matched(*originals: dict[str, object], catalogue: pd.DataFrame = CATALOGUE) -> pd.DataFrame:
    """Match originals given as rows."""
    return xref.match(pd.DataFrame([{"kind": "shaft_seal", **row} for row in originals]), catalogue)


def test_importing_costs_nothing() -> None:
    """`import xref` loads no array or database library, nor does reading a size."""
    program = (
        "import sys, xref\n"
        "xref.size('2-3/8in')\n"
        "sys.exit(bool({'numpy', 'pandas', 'duckdb'} & set(sys.modules)))\n"
    )
    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0


@pytest.mark.parametrize("before", ["", "xref.size('1/2in')\n", "import xref.sizes\n"])
def test_sizes_is_a_function_whatever_was_imported_before(before: str) -> None:
    """Contract: `xref.sizes(text, unit=None)` gives a list, though a package bears its name."""
    program = (
        f"import xref\n{before}"
        "assert [s.nominal_mm for s in xref.sizes('25x52x15')] == [25, 52, 15]\n"
        "assert len(xref.sizes('5/8 DIA x 1-1/4 LG', unit=None)) == 2\n"
        "from xref import sizes\n"
        "assert sizes('60mm')[0].unit == 'mm'\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()


def test_size_fields_and_errors() -> None:
    """Contract: `nominal_mm, low_mm, high_mm` equal if nominal only; NeedsAnswer and Refused."""
    size = xref.size("2-3/8in")
    assert (size.nominal_mm, size.low_mm, size.high_mm) == (60.325, 60.325, 60.325)
    assert (size.unit, size.text) == ("in", "2-3/8in")
    with pytest.raises(xref.NeedsAnswer) as asked:
        xref.size("2.375")
    assert len(asked.value.readings) == 2
    assert asked.value.question
    with pytest.raises(xref.Refused):
        xref.size("no size")
    assert issubclass(xref.NeedsAnswer, xref.XrefError)
    assert issubclass(xref.Refused, xref.XrefError)


def test_match_columns_and_rows() -> None:
    """Contract: the columns; every original appears; nothing found is `does not fit`, no number."""
    found = matched(
        {"number": "A", "shaft_diameter_mm": 60.0, "outside_diameter_mm": 80.0, "width_mm": 8.0},
        {"number": "B", "shaft_diameter_mm": -1.0},
        {"number": "C", "kind": "no such kind"},
        {"number": "D"},
    )
    assert list(found.columns) == COLUMNS
    assert set(found["original_row"]) == {0, 1, 2, 3}
    first = found.iloc[0]
    assert (first["number"], first["verdict"], first["certainty"]) == ("S60", "as is", "assumed")
    for row in (1, 2, 3):
        [one] = found[found["original_row"] == row].to_dict("records")
        assert one["verdict"] == "does not fit"
        assert one["number"] is None
        assert one["failing_check"]


@pytest.mark.parametrize(
    ("shaft", "verdict", "certainty"),
    [
        (60.00, "as is", "likely"),
        (60.01, "as is", "measure first"),
        (60.05, "does not fit", "measure first"),
    ],
)
def test_worked_shafts(shaft: float, verdict: str, certainty: str) -> None:
    """FITS section 9: measured 60.00, 60.01, 60.05, each within 0.02, against h11 of 60."""
    place = {
        "shaft_uncertainty_mm": 0.02,
        "housing_mm": 80.02,
        "housing_uncertainty_mm": 0.005,
        "depth_mm": 10.0,
        "depth_uncertainty_mm": 0.02,
    }
    first = matched({"number": "A", "shaft_mm": shaft, **place}).iloc[0]
    assert (first["number"], first["verdict"], first["certainty"]) == ("S60", verdict, certainty)
    assert (first["failing_check"] == "shaft") == (verdict == "does not fit")


def test_the_suffix_states_the_unit() -> None:
    """Contract: in DataFrames the suffix `_mm` or `_in` states the unit, of either frame."""
    inch = pd.DataFrame(
        [("Maker", "I238", "shaft_seal", 2.375, 3.125, 0.375)],
        columns=[
            *("maker", "number", "kind"),
            *("shaft_diameter_in", "outside_diameter_in", "width_in"),
        ],
    )
    sizes = {"shaft_diameter_in": 2.375, "outside_diameter_in": 3.125, "width_in": 0.375}
    first = matched({"number": "A", **sizes}, catalogue=inch).iloc[0]
    assert (first["number"], first["verdict"]) == ("I238", "as is")
    same = {"shaft_diameter_mm": 60.325, "outside_diameter_mm": 79.375, "width_mm": 9.525}
    first = matched({"number": "A", "written_unit": "in", **same}, catalogue=inch).iloc[0]
    assert (first["number"], first["verdict"]) == ("I238", "as is")
    place = {"shaft_in": 2.3602, "shaft_uncertainty_in": 0.0004, "housing_mm": 80.02}
    first = matched({"number": "A", **place}).iloc[0]
    assert (first["number"], first["verdict"]) == ("S60", "as is")


def test_same_input_same_order_and_inputs_untouched() -> None:
    """Contract: pure; the frames given stay as they are."""
    originals = pd.DataFrame([{"number": "A", "kind": "shaft_seal", "shaft_diameter_in": 2.375}])
    before, catalogue = originals.copy(), CATALOGUE.copy()
    once, again = xref.match(originals, CATALOGUE), xref.match(originals, CATALOGUE)
    pd.testing.assert_frame_equal(once, again)
    pd.testing.assert_frame_equal(originals, before)
    pd.testing.assert_frame_equal(catalogue, CATALOGUE)


def test_impossible_calls_are_sentences() -> None:
    """No best part at all, or a frame without its columns: an XrefError, never a table."""
    with pytest.raises(xref.XrefError, match="at least 1"):
        xref.match(CATALOGUE, CATALOGUE, top=0)
    with pytest.raises(xref.XrefError, match="kind"):
        xref.match(pd.DataFrame({"number": ["A"]}), CATALOGUE)


def test_zones() -> None:
    """ISO 286-2: 25 k6 is +2/+15 µm, 60 h11 is 0/-190 µm; scalars and arrays."""
    assert xref.fits.zone(25, "k6") == pytest.approx((0.002, 0.015))
    low, high = xref.fits.zone(np.array([25.0, 60.0]), "h11")
    np.testing.assert_allclose(low, [-0.130, -0.190])
    np.testing.assert_allclose(high, [0, 0])
    for nominal, zone in ((25, "zz9"), (-1, "k6"), (50_000, "k6")):
        with pytest.raises(xref.XrefError):
            xref.fits.zone(nominal, zone)


def test_speed_and_interference() -> None:
    """Contract: `surface_speed` in m/s; `seal_interference` as (min, max), scalars and arrays."""
    assert xref.fits.surface_speed(60, 600) == pytest.approx(np.pi * 60 * 600 / 60_000)
    np.testing.assert_allclose(xref.fits.surface_speed([60, 30], [600, 600]), [1.885, 0.942], 1e-3)
    least, most = xref.fits.seal_interference(80.0, 80.046, 80.0, "metal")
    assert least < most
    tight, loose = xref.fits.seal_interference(
        np.array([80.0, 80.0]), np.array([80.046, 80.046]), np.array([80.0, 80.0]), "rubber"
    )
    assert tight.shape == loose.shape == (2,)


def test_press_fit() -> None:
    """Contract: pressure_mpa, force_kn, close_in_mm by keyword; solid and endless parts; arrays."""
    sizes = {"interface_mm": 32, "inner_bore_mm": 25, "outer_outside_mm": 60, "length_mm": 30}
    one = xref.fits.press_fit(interference_mm=0.05, **sizes)
    two = xref.fits.press_fit(interference_mm=np.array([0.05, 0.025]), **sizes)
    assert one.pressure_mpa == pytest.approx(two.pressure_mpa[0])
    assert two.force_kn[0] == pytest.approx(2 * two.force_kn[1])  # Lamé: linear in interference
    assert 0 < one.close_in_mm < 0.05
    endless = xref.fits.press_fit(0.05, 32, 0, np.inf, 30, inner="steel", outer="cast iron")
    assert np.isfinite(endless.pressure_mpa)


def test_gland() -> None:
    """Contract: squeeze, stretch and fill as intervals; scalars and arrays."""
    squeeze, stretch, fill = xref.fits.oring_gland(3.53, 50, 50.5, 56, 4.8, "piston", "static")
    for low, high in (squeeze, stretch, fill):
        assert low <= high
    # (3.53 - 2.75) / 3.53 at mid-size: 22.1 %
    assert squeeze[0] < 100 * (3.53 - 2.75) / 3.53 < squeeze[1]
    many = xref.fits.oring_gland([3.53, 3.53], 50, 50.5, 56, 4.8, "piston", "static")
    assert many.squeeze[0].shape == (2,)
