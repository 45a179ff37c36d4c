"""Readings of a place: size, uncertainty, taper and out-of-round."""

from __future__ import annotations

import pytest

from xref.errors import XrefError
from xref.sourcing.reading_text import written_reading
from xref.sourcing.readings import Reading, combined


def test_two_planes_and_directions() -> None:
    """Worked on paper: planes (60.00, 59.96) and (59.94, 59.92), U = 0.02 each."""
    size = combined(
        [
            Reading(60.00, 0.02, "near", "0"),
            Reading(59.96, 0.02, "near", "90"),
            Reading(59.94, 0.02, "far", "0"),
            Reading(59.92, 0.02, "far", "90"),
        ]
    )
    # taper: means 59.98 and 59.93; out of round: 0.04 at the near end; interval 59.90..60.02
    assert size.taper_mm == pytest.approx(0.05)
    assert size.out_of_round_mm == pytest.approx(0.04)
    assert (size.low_mm, size.high_mm) == pytest.approx((59.90, 60.02))
    assert size.mean_mm == pytest.approx(59.955)


def test_one_reading_is_the_instrument() -> None:
    """One reading has the instrument's uncertainty, and says nothing about form."""
    size = combined([Reading(25.0, 0.005)])
    assert (size.low_mm, size.high_mm) == pytest.approx((24.995, 25.005))
    assert size.taper_mm is None
    assert size.out_of_round_mm is None


def test_repeats_at_one_spot_add_their_scatter() -> None:
    """JCGM 100, 4.2.3: s/sqrt(n) of 25.00, 25.02, 25.01 is 0.00577; U = sqrt(0.01155² + 0.02²)."""
    spot = [Reading(v, 0.02, "1", "x") for v in (25.00, 25.02, 25.01)]
    size = combined(spot)
    assert size.mean_mm == pytest.approx(25.01)
    assert size.uncertainty_mm == pytest.approx((0.0115470**2 + 0.02**2) ** 0.5, abs=1e-6)


def test_a_reading_as_typed() -> None:
    """Plane and direction stand after @, the size carries its unit."""
    read = written_reading("shaft@near, 90 = 2-3/8in", "shaft_seal", uncertainty="0.02mm")
    assert (read["dimension"], read["plane"], read["direction"]) == ("shaft", "near", "90")
    assert read["value_mm"] == pytest.approx(60.325)
    assert read["uncertainty_mm"] == pytest.approx(0.02)


@pytest.mark.parametrize(
    "text", ["59.93mm", "shaft=", "bore_of_nothing=3mm", "shaft=-3mm", "shaft=59..60mm", "shaft=x"]
)
def test_impossible_readings(text: str) -> None:
    """A reading without a place, a size or with a place the kind has not is a sentence."""
    with pytest.raises(XrefError) as refusal:
        written_reading(text, "shaft_seal")
    assert len(str(refusal.value)) > 20


def test_no_readings_is_no_size() -> None:
    """Combining nothing is a programming error, not a size."""
    with pytest.raises(ValueError, match="no readings"):
        combined([])
    with pytest.raises(XrefError):
        written_reading("shaft=59mm", "shaft_seal", uncertainty="0mm")
