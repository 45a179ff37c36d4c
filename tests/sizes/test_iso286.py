"""ISO 286 zones against a published collection, a second package, and the rules of the standard."""

from __future__ import annotations

import csv
import doctest
from fractions import Fraction
from pathlib import Path

import numpy as np
import pressfit
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pressfit.tables import GRADES, SHAFT_LETTERS

import xref.fits.zones
from xref.errors import Refused
from xref.fits.zones import zone
from xref.sizes import iso286, zone_deviations
from xref.sizes.iso286 import LETTERS, STEPS_MM

SOURCE = Path(__file__).parents[1] / "sources" / "iso286_zones.csv"
ROWS = list(csv.DictReader(SOURCE.read_text("utf-8").splitlines()))
ZONES = sorted({row["zone"] for row in ROWS})


def _micrometres(nominal: float, name: str) -> tuple[float, float]:
    lower, upper = zone_deviations(nominal, name)
    return round(lower * 1000, 6), round(upper * 1000, 6)


@pytest.mark.parametrize("name", ZONES)
def test_zones_agree_with_the_collected_tables(name: str) -> None:
    """Every row of iso286_zones.csv agrees (each row names its texts; five have one dissenter)."""
    for row in (row for row in ROWS if row["zone"] == name):
        expected = float(row["lower_um"]), float(row["upper_um"])
        assert _micrometres(float(row["nominal_mm"]), name) == expected, row


def test_the_collection_holds_66_zones() -> None:
    """No zone of the collection drops out of the comparison unseen."""
    assert (len(ZONES), len(ROWS)) == (66, 1069)


@pytest.mark.parametrize("letter", SHAFT_LETTERS)
def test_shafts_agree_with_a_second_package_at_both_ends_of_each_step(letter: str) -> None:
    """Shafts in grades 5 to 11 agree with pressfit 0.1.0 just above and at the end of each step."""
    ends = [end for end in STEPS_MM if end > 1]
    for grade in GRADES:
        for start, end in zip([0, *ends], ends, strict=False):
            for nominal in (start + 0.001, float(end)):
                read = pressfit.fit(f"H{grade}/{letter}{grade}", nominal)
                expected = read.shaft_ei_um, read.shaft_es_um
                assert _micrometres(nominal, f"{letter}{grade}") == expected, (nominal, grade)
                assert _micrometres(nominal, f"H{grade}") == (read.hole_ei_um, read.hole_es_um)


# Printed tables that packages get wrong, or that no rule gives.
SLIPS = [
    # (nominal mm, zone, lower µm, upper µm, why): ISO 286-2 as agreed by two independent texts
    (280, "M6", -41, -9, "the exception to the delta rule, which gives -11"),
    (315, "M6", -41, -9, "the same at the end of the step"),
    (250.001, "M6", -41, -9, "the same just above its start"),
    (150, "f6", -68, -43, "isofits 1.0 prints -48"),
    (8, "K6", -7, 2, "isofits 1.0 prints -6"),
    (355, "E7", 125, 182, "isofits 1.0 prints 185"),
    (8, "H7", 0, 15, "the formula of ISO 286-1 gives 14.4"),
]


@pytest.mark.parametrize(
    ("nominal", "name", "lower", "upper", "why"), SLIPS, ids=[f"{r[1]}-{r[0]}" for r in SLIPS]
)
def test_known_slips(nominal: float, name: str, lower: float, upper: float, why: str) -> None:
    """Where packages or formulas go wrong, the printed table rules."""
    assert _micrometres(nominal, name) == (lower, upper), why


# ISO 286-1:2010 tables 2 to 5, read in one open program that cites PN-EN ISO 286-1.
RARE = [
    (2, "a11", -330, -270), (490, "A11", 1650, 2050), (40, "b11", -330, -170), (8, "cd8", -78, -56),
    (28, "ef7", -49, -28), (8, "fg6", -17, -8), (50, "t6", 54, 70), (18, "v5", 39, 47),
    (100, "x7", 178, 213), (60, "y7", 144, 174), (10, "z8", 42, 64), (3, "za7", 32, 42),
    (30, "zb8", 160, 193), (500, "zc11", 2600, 3000), (2, "j7", -4, 6), (3, "K9", -25, 0),
    (20, "N9", -52, 0), (60, "X7", -141, -111),
    # IT01 and IT16 at the ends of the table
    (3, "h01", -0.3, 0), (500, "h16", -4000, 0),
]  # fmt: skip


@pytest.mark.parametrize(("nominal", "name", "lower", "upper"), RARE, ids=[r[1] for r in RARE])
def test_rare_zones(nominal: float, name: str, lower: float, upper: float) -> None:
    """Letters and grades outside the common tables follow the standard's basic tables."""
    assert _micrometres(nominal, name) == (lower, upper)


def test_grades_are_near_their_formula() -> None:
    """Above 6 mm, IT6 to IT11 lie within 5 % of i = 0.45 D^(1/3) + 0.001 D (ISO 286-1 annex B).

    Up to 6 mm the printed grades are up to 15 % coarser than the formula.
    """
    ends = [10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500]
    for start, end in zip([6, *ends], ends, strict=False):
        mean = (start * end) ** 0.5
        unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
        for grade, factor in {6: 10, 7: 16, 8: 25, 9: 40, 10: 64, 11: 100}.items():
            _, width = _micrometres(end, f"H{grade}")
            assert width == pytest.approx(factor * unit, rel=0.05), (end, grade)


@pytest.mark.parametrize(
    ("nominal", "name", "why"),
    [
        (0, "h6", "not covered"), (-5, "h6", "not covered"), (500.001, "k6", "not covered"),
        (630, "H7", "reach from above 0 to 500 mm"), (60, "i6", "no zone"), (60, "Kk6", "no zone"),
        (60, "h19", "no ISO 286 zone"), (60, "h", "no ISO 286 zone"), (10, "t6", "gives no t6"),
        (10, "v6", "gives no v6"), (60, "cd6", "gives no cd6"), (60, "K9", "gives no K9"),
        (60, "J9", "gives no J9"), (60, "P2", "gives no P2"), (0.8, "a11", "gives no a11"),
        (0.8, "h14", "gives no h14"), (float("nan"), "h6", "no nominal size"),
        (float("inf"), "h6", "no nominal size"),
    ],
)  # fmt: skip
def test_outside_the_tables_is_refused(nominal: float, name: str, why: str) -> None:
    """Nothing is extrapolated: a zone or size the standard lacks is refused in a sentence."""
    with pytest.raises(Refused, match=why):
        zone_deviations(nominal, name)


@given(
    nominal=st.floats(0.001, 500),
    letter=st.sampled_from(sorted(LETTERS)),
    grade=st.sampled_from(["01", "0", *map(str, range(1, 19))]),
    capital=st.booleans(),
)
def test_one_and_many_agree(nominal: float, letter: str, grade: str, capital: bool) -> None:
    """The array look-up gives what the exact one gives, or refuses alike."""
    name = (letter.upper() if capital else letter) + grade
    try:
        expected = zone_deviations(nominal, name)
    except Refused as refused:
        with pytest.raises(Refused) as caught:
            zone(nominal, name)
        assert caught.value.message == refused.message
        return
    lower, upper = zone(np.array([nominal, np.nan]), name)
    assert (lower[0], upper[0]) == expected
    assert np.isnan([lower[1], upper[1]]).all()
    width = Fraction(expected[1]) - Fraction(expected[0])
    assert width > 0


def test_arrays_keep_their_shape() -> None:
    """A table of sizes gives tables of deviations."""
    lower, upper = zone([[25.0, 60.0], [500.0, np.nan]], "h11")
    assert lower.shape == upper.shape == (2, 2)
    assert np.nanmax(np.abs(lower - [[-0.13, -0.19], [-0.4, np.nan]])) < 1e-12


@pytest.mark.parametrize("size", [500.5, 0.0, -1.0, np.inf])
def test_arrays_never_extrapolate(size: float) -> None:
    """One size outside the table refuses the whole look-up, in a sentence."""
    with pytest.raises(Refused, match=r"h6"):
        zone([25.0, size], "h6")


def test_every_figure_has_a_source() -> None:
    """Each row of the table in the package names its source and how sure it is."""
    path = Path(iso286.__file__).with_name("iso286.csv")
    rows = list(csv.DictReader(path.read_text("utf-8").splitlines()))
    assert len(rows) > 800
    assert {row["confidence"] for row in rows} <= {
        "two independent texts agree", "read in a published text",
    }  # fmt: skip
    assert all(row["source"].startswith("ISO 286-1:2010 table") for row in rows)


def test_examples_in_the_docstrings() -> None:
    """The examples of the array look-up print what they say."""
    result = doctest.testmod(xref.fits.zones)
    assert result.attempted > 0
    assert result.failed == 0
