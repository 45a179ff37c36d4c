"""Quantities and conformance against scipy and worked cases of JCGM 100 and 106."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from xref.fits.conformance import (
    DOUBTFUL,
    FAIL,
    LIKELY,
    NOT_CHECKED,
    PASS,
    classify,
    joint_interval,
    probability,
)
from xref.fits.normal import phi
from xref.fits.quantity import NOMINAL, Quantity, mean_of_readings


def one(low: float, high: float) -> tuple[np.ndarray, np.ndarray]:
    """Return one permitted interval as columns."""
    return np.array([low]), np.array([high])


def test_phi_agrees_with_scipy() -> None:
    """Phi agrees with scipy.stats.norm.cdf to 1.5e-7 over twelve sigmas."""
    z = np.linspace(-12, 12, 20_001)
    assert np.max(np.abs(phi(z) - stats.norm.cdf(z))) < 1.5e-7


@pytest.mark.parametrize(
    ("value", "expected", "word"),
    [
        # FITS worked lines: a 60 mm seal takes shafts 59.81..60.00 (h11 of 60, ISO 286-2).
        (60.00, LIKELY, "estimate on the limit, interval crosses it"),
        (60.01, DOUBTFUL, "estimate outside, interval overlaps"),
        (60.05, FAIL, "disjoint"),
        (59.95, PASS, "interval inside"),
    ],
)
def test_measured_shaft_against_h11(value: float, expected: int, word: str) -> None:
    """A shaft measured within 0.02 mm gets the result its interval deserves."""
    quantity = Quantity.measured([value], 0.02)
    assert classify(quantity, *one(59.81, 60.0))[0] == expected, word


def test_touching_intervals_are_doubtful_not_failed() -> None:
    """Intervals that only touch overlap: measure again."""
    assert classify(Quantity.measured([60.02], 0.02), *one(59.81, 60.0))[0] == DOUBTFUL


def test_nominal_only_outside_fails_although_it_overlaps() -> None:
    """A size nobody measured fails when its best estimate is outside."""
    quantity = Quantity.limits([59.95], [60.25], how=NOMINAL)
    assert classify(quantity, *one(59.81, 60.0))[0] == FAIL


def test_unknown_and_uncovered_are_not_checked() -> None:
    """Missing data neither passes nor fails."""
    assert classify(Quantity.unknown(1), *one(1, 2))[0] == NOT_CHECKED
    assert classify(Quantity.measured([1.5], 0.1), *one(np.nan, 2))[0] == NOT_CHECKED


@given(
    st.floats(1, 500),
    st.floats(0.001, 0.2),
    st.floats(-0.5, 0.5),
    st.floats(0.0, 0.5),
)
def test_conformance_of_measured_agrees_with_scipy(
    value: float, spread: float, offset: float, width: float
) -> None:
    """JCGM 106, 7.2: Phi((b-y)/u) - Phi((a-y)/u), computed by scipy beside ours."""
    low, high = value + offset, value + offset + width
    ours = probability(Quantity.measured([value], spread), *one(low, high))[0]
    theirs = stats.norm(value, spread / 2).cdf(high) - stats.norm(value, spread / 2).cdf(low)
    assert ours == pytest.approx(theirs, abs=4e-7)


def test_conformance_inside_limits_is_the_share_of_the_rectangle() -> None:
    """JCGM 100, 4.3.7: a size known by limits is uniform between them."""
    ours = probability(Quantity.limits([10.0], [10.4]), *one(10.1, 11.0))[0]
    assert ours == pytest.approx(stats.uniform(10.0, 0.4).sf(10.1))


def test_jcgm_106_worked_one_sided_case() -> None:
    """A quantity 2u below an upper limit conforms with 0.977 (JCGM 106, normal table)."""
    assert probability(Quantity.measured([9.98], 0.02), *one(-np.inf, 10.0))[0] == pytest.approx(
        0.9772, abs=1e-4
    )


def test_two_demands_on_one_bore_are_one_interval() -> None:
    """The joint interval is the intersection."""
    low, high = joint_interval([one(80.0, 80.046), one(79.9, 80.02)])
    assert (low[0], high[0]) == (80.0, 80.02)


def test_several_readings_improve_the_scatter_not_the_instrument() -> None:
    """JCGM 100, 4.2.3: s/sqrt(n) of 5 readings, combined with the instrument's U."""
    readings = [25.002, 25.004, 25.003, 25.001, 25.005]
    mean, spread = mean_of_readings(readings, 0.005)
    by_hand = 2 * np.std(readings, ddof=1) / np.sqrt(5)
    assert mean == pytest.approx(25.003)
    assert spread == pytest.approx(np.hypot(by_hand, 0.005))
    assert mean_of_readings([25.0], 0.005) == (25.0, 0.005)


def test_a_demand_not_made_leaves_the_joint_interval_to_the_others() -> None:
    """A NaN limit demands nothing; where no demand is left, nothing is."""
    low, high = joint_interval([one(np.nan, np.nan), one(59.81, 60.0)])
    assert (low[0], high[0]) == (59.81, 60.0)
    assert np.isnan(joint_interval([one(np.nan, np.nan)])[0][0])
