"""O-ring glands against the collected worked example and the tables of an open data set."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from xref.errors import Impossible
from xref.fits import oring_gland
from xref.fits.glands import inside_limits

SOURCES = Path(__file__).parents[1] / "sources"


def test_static_radial_squeeze_worked() -> None:
    """Section 3.53 +/- 0.10, depth 2.79..2.95: 14..23 % (bd_warehouse 0.4.0 static gland data)."""
    shallow = oring_gland(3.53, 24.99, 25.0, 25.0 + 2 * 2.79, 4.57, "piston")
    deep = oring_gland(3.53, 24.99, 25.0, 25.0 + 2 * 2.95, 4.57, "piston")
    assert round(float(deep.squeeze[0])) == 14
    assert round(float(shallow.squeeze[1])) == 23


@pytest.mark.parametrize("section", [1.78, 2.62, 3.53, 5.33, 6.99])
def test_squeeze_of_the_open_glands(section: float) -> None:
    """Radial gland depths of bd_warehouse 0.4.0 give its own squeeze per cent, to one per cent."""
    with (SOURCES / "o_ring_glands.csv").open(encoding="utf-8") as handle:
        (row,) = [
            r
            for r in csv.DictReader(handle)
            if r["kind"] == "gland"
            and r["item"] == "static radial squeeze"
            and float(r["cs_mm"] or 0) == section
        ]
    words = row["note"].removeprefix("radial gland depth ").removesuffix(" mm").split(" to ")
    least, most = (float(word) for word in words)
    inside = 30.0
    deep = oring_gland(section, inside, 30.0, 30.0 + 2 * most, 5.0, "piston")
    shallow = oring_gland(section, inside, 30.0, 30.0 + 2 * least, 5.0, "piston")
    assert float(deep.squeeze[0]) == pytest.approx(float(row["min"]), abs=1.0)
    assert float(shallow.squeeze[1]) == pytest.approx(float(row["max"]), abs=1.0)


def test_class_a_tolerance_of_every_dash_size() -> None:
    """Inside limits of each AS568 size are the table's (two independent texts agree)."""
    with (SOURCES / "o_ring_sizes.csv").open(encoding="utf-8") as handle:
        rows = list(csv.DictReader(handle))
    inside = np.array([float(r["id_mm"]) for r in rows])
    section = np.array([float(r["cs_mm"]) for r in rows])
    low, high = inside_limits(inside, section)
    expected = np.array([float(r["id_tol_mm"]) for r in rows])
    assert high - inside == pytest.approx(expected)
    assert inside - low == pytest.approx(expected)


def test_other_sizes_follow_the_class_b_formula() -> None:
    """ISO 3601-1 Annex A: 0.009 d^0.95 + 0.11; 50 x 3: 0.009 x 41.12 + 0.11 = 0.480."""
    low, high = inside_limits(np.array([50.0]), np.array([3.0]))
    assert high[0] - 50 == pytest.approx(0.480, abs=5e-4)
    assert 50 - low[0] == pytest.approx(0.480, abs=5e-4)


def test_rod_gland_compares_the_outside() -> None:
    """Rod 20, groove 25.7: depth 2.85; ring 18.64 x 3.53 has outside 25.70: 0 % at nominal."""
    made = oring_gland(3.53, 18.64, 25.70, 20.0, 4.8, "rod")
    assert float(made.squeeze[0]) < 100 * (3.53 - 2.85) / 3.53 < float(made.squeeze[1])
    assert float(made.stretch[0]) < 0 < float(made.stretch[1])


def test_fill_worked() -> None:
    """pi/4 x 3.53^2 = 9.787 mm2 in 2.87 x 4.57 = 13.116 mm2: 74.6 %, inside the interval."""
    made = oring_gland(3.53, 24.99, 25.4, 31.14, 4.57, "piston")
    assert float(made.fill[0]) < 74.6 < float(made.fill[1])


@pytest.mark.parametrize(
    ("gland", "motion"), [("bolt", "static"), ("piston", "spinning"), ("rod", "static")]
)
def test_impossible_glands(gland: str, motion: str) -> None:
    """An unknown gland, motion, or diameters the wrong way round: one sentence."""
    with pytest.raises(Impossible):
        oring_gland(3.53, 24.99, 25.4, 31.14, 4.57, gland, motion)
