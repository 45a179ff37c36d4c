"""Every row of the engineering tables at both ends of its range, beside the collected figures.

The collected figures stand in tests/sources with source and confidence; a table
row that differs from its collected row fails here.
"""

from __future__ import annotations

import csv
import itertools
from pathlib import Path

import numpy as np
import pytest

from xref.fits.rules import BASES
from xref.fits.seals import bore_limits, outside_limits, shaft_limits
from xref.fits.steps import TABLES, read_rows, step_table_for
from xref.fits.zones import zone

SOURCES = Path(__file__).parents[1] / "sources"
JUST = 1e-4  # [mm], above an exclusive end


def rows(file: str) -> list[dict[str, str]]:
    """Return the rows of a collected file."""
    with (SOURCES / file).open(encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


def flag(value: bool) -> np.ndarray:
    """Return one flag as a column."""
    return np.array([value])


@pytest.mark.parametrize(
    "row",
    [r for r in rows("seal_shaft_and_bore.csv") if r["upper_dev"]],
    ids=lambda r: f"{r['standard'][:8]} {r['item'][:5]} to {r['size_to_incl']} {r['unit']}",
)
def test_seal_shaft_and_bore_rows(row: dict[str, str]) -> None:
    """ISO 286-2 h11/H8 (two texts agree) and RMA OS-4 rows (from memory), both ends."""
    inch = row["unit"] == "in"
    scale = 25.4 if inch else 1.0
    limits = shaft_limits if row["item"].startswith("shaft") else bore_limits
    for size in (float(row["size_from_excl"]) * scale + JUST, float(row["size_to_incl"]) * scale):
        low, high = limits(np.array([size]), flag(inch))
        assert low[0] - size == pytest.approx(float(row["lower_dev"]) * scale, abs=1e-6)
        assert high[0] - size == pytest.approx(float(row["upper_dev"]) * scale, abs=1e-6)


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in rows("seal_tolerances.csv")
        if r["feature"] == "outside diameter" and not r["standard"].startswith("DIN")
    ],
    ids=lambda r: f"{r['standard'][:8]} {r['seal_type'][:6]} to {r['size_to_incl']}",
)
def test_seal_outside_rows(row: dict[str, str]) -> None:
    """ISO 6194-1 and RMA OS-4 tolerances of the outside diameter (from memory), both ends."""
    inch = row["standard"].startswith("RMA")
    scale = 25.4 if inch else 1.0
    rubber = row["seal_type"].startswith("rubber")
    for size in (float(row["size_from_excl"]) * scale + JUST, float(row["size_to_incl"]) * scale):
        low, high = outside_limits(np.array([size]), flag(rubber), flag(inch))
        assert low[0] - size == pytest.approx(float(row["lower_dev"]) * scale, abs=1e-5)
        assert high[0] - size == pytest.approx(float(row["upper_dev"]) * scale, abs=1e-5)


STEPPED = [
    path.name
    for path in sorted(TABLES.glob("*.csv"))
    if path.read_text(encoding="utf-8").startswith("item,over_mm,to_mm")
]


@pytest.mark.parametrize("file", STEPPED)
def test_stepped_tables_join_without_gap_or_overlap(file: str) -> None:
    """Ranges of one item follow each other; both ends of each give its row's value."""
    by_item: dict[str, list[dict[str, str]]] = {}
    for row in read_rows(file):
        by_item.setdefault(row["item"], []).append(row)
    columns = [c for c in read_rows(file)[0] if c.endswith(("_mm", "_percent"))]
    values = [c for c in columns if c not in ("over_mm", "to_mm")]
    for item, items in by_item.items():
        items.sort(key=lambda r: float(r["to_mm"]))
        for before, after in itertools.pairwise(items):
            assert before["to_mm"] == after["over_mm"], (item, before, after)
        for row in items:
            for column in values:
                table = step_table_for(file, column, item)
                ends = table([float(row["over_mm"]) + JUST, float(row["to_mm"])])
                assert ends == pytest.approx([float(row[column])] * 2), (item, row)


@pytest.mark.parametrize("file", STEPPED)
def test_beyond_a_table_is_not_extrapolated(file: str) -> None:
    """At zero and above the last step a table says NaN."""
    item = read_rows(file)[0]["item"]
    column = next(c for c in read_rows(file)[0] if c.endswith(("lower_mm", "_percent", "ance_mm")))
    table = step_table_for(file, column, item)
    assert np.isnan(table([0.0, table.reach_mm + 0.01])).all()


def test_every_table_row_has_a_source_and_a_basis() -> None:
    """No figure without saying where it comes from."""
    for path in sorted(TABLES.glob("*.csv")):
        for number, row in enumerate(read_rows(path.name), start=2):
            names = [c for c in row if c == "source" or c.endswith("_source")]
            assert names, path.name
            for name in names:
                assert row[name], f"{path.name} row {number}"
            for name in [c for c in row if c == "basis" or c.endswith("_basis")]:
                assert row[name] in BASES, f"{path.name} row {number}: {row[name]}"


def test_lip_limits_equal_the_collected_rows() -> None:
    """Heat and speed of each lip material; PTFE's heat is that of filled lips, the row's note.

    Tribology Handbook (Neale), B23 and GOST 8752-79 (published), the speeds and HNBR from memory.
    """
    collected = {(r["material"], r["item"]): r for r in rows("seal_lip_limits.csv")}
    compared = 0
    for row in read_rows("seal_lip_limits.csv"):
        heat = collected.get((row["lip_material"], "continuous temperature"))
        if heat is not None:
            assert (float(row["min_degc"]), float(row["max_degc"])) == (
                float(heat["min"]),
                float(heat["max"]),
            )
            compared += 1
        speed = collected.get((row["lip_material"], "maximum surface speed"))
        if speed is not None:
            assert float(row["max_speed_m_s"]) == float(speed["max"])
            compared += 1
    assert compared == 13


def test_bearing_deviations_equal_the_collected_rows() -> None:
    """ISO 492 Normal, from memory; bore rows cross-checked to 120 mm in the collected file."""
    for row in rows("bearing_tolerances.csv"):
        if row["characteristic"] not in ("delta_dmp", "delta_Dmp", "delta_Bs"):
            continue
        table = step_table_for("bearing_deviation.csv", "lower_mm", row["characteristic"])
        for size in (float(row["over_mm"]) + JUST, float(row["incl_mm"])):
            assert table([size])[0] == pytest.approx(int(row["lower_um"]) / 1000)


def test_published_fit_table_of_a_normal_class_bore() -> None:
    """Seats 30..50 mm: g6 25/3, k5.. as printed (max clearance/max interference, um).

    A published fit table following a national adoption of ISO 286 (check only):
    g6 25/3, h6 16/12, j6 5/23 with delta_dmp 0/-12.
    """
    bore_low = step_table_for("bearing_deviation.csv", "lower_mm", "delta_dmp")([40.0])[0]
    for name, clearance, interference in (("g6", 25, 3), ("h6", 16, 12), ("j6", 5, 23)):
        lower, upper = zone(40.0, name)
        assert round(-1000 * float(lower)) == clearance
        assert round(1000 * (float(upper) - bore_low)) == interference
