"""O-rings written in the inch figures of AS568: 0.984 x 0.139 in is -214, not 25 mm or 63/64 in.

Sizes: tests/sources/o_ring_sizes.csv (ISO 3601-1 class A = AS568; two independent texts agree).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pandas as pd
import pytest

import xref as library
from tests.command_line import Xref

SOURCES = Path(__file__).parents[1] / "sources"
with (SOURCES / "o_ring_sizes.csv").open(encoding="utf-8") as file:
    ROWS = list(csv.DictReader(file))
SIZES = ("inside_diameter", "cross_section")
MM = pd.DataFrame(
    [(float(r["id_mm"]), float(r["cs_mm"])) for r in ROWS], columns=[f"{n}_mm" for n in SIZES]
)
# The figures of the standard itself: thousandths of an inch.
THOUSANDTHS = [(float(r["id_mm"]) / 25.4, float(r["cs_mm"]) / 25.4) for r in ROWS]
INCHES = pd.DataFrame(
    [(round(a, 3), round(b, 3)) for a, b in THOUSANDTHS], columns=[f"{n}_in" for n in SIZES]
)
TYPED = pd.DataFrame(
    [(f"{a:.3f}in", f"{b:.3f}in") for a, b in THOUSANDTHS], columns=[f"{n}_text" for n in SIZES]
)


def rings(sizes: pd.DataFrame, **more: object) -> pd.DataFrame:
    """Return one ring of every dash number, its sizes as given."""
    return sizes.assign(number=[r["dash"] for r in ROWS], kind="o_ring", **more)


@pytest.mark.parametrize("old", [MM, INCHES, TYPED], ids=["mm", "inches", "typed"])
@pytest.mark.parametrize("new", [MM, INCHES], ids=["mm", "inches"])
def test_every_dash_size_is_itself_in_inches(old: pd.DataFrame, new: pd.DataFrame) -> None:
    """All sizes find their own ring first, in whichever unit either list has them."""
    found = library.match(rings(old), rings(new, maker="Ada"), top=1)
    best = found[found["rank"] == 1]
    assert len(best) == len(ROWS)
    assert best["number"].tolist() == best["original_number"].tolist()
    assert set(best["verdict"]) == {"as is"}
    assert set(best["certainty"]) == {"assumed"}
    assert found.attrs["notes"] == []


@pytest.mark.parametrize(
    ("inside", "section", "size"),
    [
        ("0.9843in", "0.1181in", (25.0, 3.0)),  # four places: 25 x 3 mm, no AS568 figure
        ("0.787in", "0.079in", (20.0, 2.0)),  # 0.787 is an inside of none with that section
    ],
)
def test_metric_rings_in_inches_stay_metric(
    inside: str, section: str, size: tuple[float, float]
) -> None:
    """A whole millimetre printed in inches is that millimetre where AS568 has no such ring."""
    old = pd.DataFrame([{"inside_diameter_text": inside, "cross_section_text": section}])
    new = pd.DataFrame([size], columns=MM.columns)
    both = [one.assign(number="R", kind="o_ring", maker="Ada") for one in (old, new)]
    (row,) = library.match(*both).to_dict("records")
    assert row["verdict"] == "as is"


def test_a_typed_dash_size_is_not_asked_about(xref: Xref) -> None:
    """Its inside alone is 25 mm or 63/64 in, and asked about; with the section it is -214."""
    line = ["match", "--kind", "o_ring", "--json", "--id", "0.984in"]
    assert xref(*line).document["error"]["code"] == "size-two-standards"
    answer = xref(*line, "--section", "0.139in")
    assert answer.document["need"]["part_mm"]["inside_diameter"] == pytest.approx(24.9936)


def test_a_want_by_the_figures_of_a_dash_size_is_taken(xref: Xref) -> None:
    """The same figures typed as a want, and as a part to be explained."""
    add = ["want", "add", "0.984in x 0.139in", "--kind", "o_ring", "--quantity", "1"]
    assert xref(*add).status == 0
    line = ["fit", "o_ring", "--id", "0.984in", "--section", "0.139in", "--json"]
    place = ["--groove-diameter", "25.4mm", "--mating-diameter", "31.14mm"]
    assert xref(*line, *place, "--groove-width", "4.57mm").status == 0
