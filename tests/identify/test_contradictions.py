"""Contradictions between lists, sizes and designations."""

import csv
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.identify.lists import row
from xref.matching import contradictions as c
from xref.matching.bore_code import bore_mm
from xref.matching.contradictions import contradictions
from xref.store.statements import EQUAL_TO, MAY_SERVE_AS, PROOFS, SUPERSEDED_BY, Statement
from xref.tables.circles import circles

SOURCES = Path(__file__).parents[1] / "sources"


def bearings():
    """ISO 15 boundary dimensions by designation, with the source and confidence of each row."""
    with (SOURCES / "bearing_sizes.csv").open(encoding="utf-8") as file:
        return [r for r in csv.DictReader(file) if not r["designation"].startswith("RULE")]


def seal(number, shaft, outside, width, **more):
    """A row of a shaft seal."""
    sizes = {"shaft_diameter": shaft, "outside_diameter": outside, "width": width}
    return row(number, kind="shaft_seal", dimensions_mm=sizes, **more)


def what(items, statements=(), **more):
    """The names of the findings."""
    return [one["what"] for one in contradictions(items, statements, **more)]


def test_a_statement_whose_parts_cannot_both_fit_is_flagged_with_the_figures():
    """A 60 mm seal said to equal one for a 58 mm shaft: flagged, both rows and both sizes shown."""
    rows = [seal("A1", 60, 80, 8, at=4), seal("B2", 58, 80, 8, at=5, list="dealer")]
    said = Statement("A1", ("B2",), EQUAL_TO, list="table", row=9)
    (one,) = contradictions(rows, [said])
    assert one["what"] == c.UNFIT
    assert "shaft diameter 60 against 58 mm" in one["why"]
    assert [r["source"] for r in one["rows"]] == ["table, row 9", "book, row 4", "dealer, row 5"]


@pytest.mark.parametrize(
    ("old", "new", "flagged"),
    [
        # FITS 3 and 9: metric for inch by rounding is no fit, except 1-3/8 in (35 mm).
        ((60.325, 79.375, 12.7), (60, 80, 10), True),
        # 2-3/8 in printed in millimetres is the same seal, not a contradiction.
        ((60.325, 79.375, 9.525), (60.33, 79.38, 9.53), False),
        # Narrower seats on the shoulder.
        ((60, 80, 12), (60, 80, 8), False),
    ],
)
def test_statements_between_seals(old, new, flagged):
    """Rounding from inch to metric is flagged, printing in millimetres and a narrower seal not."""
    rows = [seal("A1", *old), seal("B2", *new, list="dealer")]
    said = [Statement("A1", ("B2",), MAY_SERVE_AS, list="table")]
    assert (c.UNFIT in what(rows, said)) == flagged


def test_two_washers_of_half_the_thickness_agree():
    """`use 2 of` is compared with two laid together."""
    sizes = {"inside_diameter": 30, "outside_diameter": 50, "thickness": 3}
    half = sizes | {"thickness": 1.5}
    rows = [
        row("A1", kind="thrust_washer", dimensions_mm=sizes),
        row("B2", kind="thrust_washer", dimensions_mm=half, list="dealer"),
    ]
    assert what(rows, [Statement("A1", ("B2",), MAY_SERVE_AS, 2, list="table")]) == []


def test_another_kind_of_part_is_flagged():
    """A seal said to equal a bearing is flagged whatever their sizes."""
    bearing = row("B2", kind="rolling_bearing", dimensions_mm={"bore_diameter": 60})
    said = [Statement("A1", ("B2",), EQUAL_TO)]
    assert what([seal("A1", 60, 80, 8), bearing], said) == [c.UNFIT]


def test_without_sizes_it_is_claimed_not_checked():
    """A statement between parts of unknown size is no contradiction."""
    rows = [row("A1", kind="shaft_seal"), row("B2", kind="shaft_seal")]
    assert what(rows, [Statement("A1", ("B2",), EQUAL_TO)]) == []


def test_lists_that_name_different_successors():
    """Two lists replace one number by parts of different diameter: both lines are shown."""
    rows = [row("A1", kind="shaft_seal"), seal("B2", 60, 80, 8), seal("C3", 55, 80, 8)]
    said = [
        Statement("A1", ("B2",), EQUAL_TO, list="one", row=1),
        Statement("A1", ("C3",), EQUAL_TO, list="two", row=2),
    ]
    (one,) = contradictions(rows, said)
    assert one["what"] == c.DISAGREE
    assert [r["source"] for r in one["rows"][:2]] == ["one, row 1", "two, row 2"]
    early_and_late = [
        Statement("A1", ("B2",), EQUAL_TO, list="one", variant="before serial 412"),
        Statement("A1", ("C3",), EQUAL_TO, list="two", variant="from serial 412"),
    ]
    assert what(rows, early_and_late) == []


def test_one_makers_number_with_two_sizes():
    """Two catalogues, one maker's number, two sizes: flagged; two makers: nothing."""
    a = seal("A1", 60, 80, 8, maker="Ostrel", list="one")
    b = seal("a-1", 60, 80, 10, maker="OSTREL", list="two")
    (one,) = contradictions([a, b], [])
    assert (one["what"], "width 8 against 10 mm" in one["why"]) == (c.TWO_SIZES, True)
    assert what([a, {**b, "maker": "Rovald"}]) == []
    assert what([a, {**b, "maker": None}]) == []
    assert what([{**a, "variant": "before serial 412"}, {**b, "variant": "from serial 412"}]) == []


def test_one_list_with_two_prices_for_one_number():
    """The same number twice in one list at two prices is shown; as two conditions it is not."""
    a = row("A1", list="stock", table="stock", price=9, condition="new")
    assert what([a, {**a, "price": 11, "at": 2}]) == [c.TWO_PRICES]
    assert what([a, {**a, "price": 11, "at": 2, "condition": "used"}]) == []
    assert what([a, {**a, "price": 11, "at": 2, "list": "another"}]) == []


def test_circles_and_self_references_and_numbers_that_lead_nowhere():
    """A printed both ways round, a number replaced by itself, a successor in no list."""
    rows = [row("A1"), row("B2"), row("C3")]
    said = [
        Statement("A1", ("B2",), SUPERSEDED_BY, row=1),
        Statement("B2", ("A1",), SUPERSEDED_BY, row=2),
        Statement("C3", ("C3",), SUPERSEDED_BY, row=3),
        Statement("C3", ("D4",), SUPERSEDED_BY, row=4),
        Statement("A1", ("B2",), EQUAL_TO, row=5),
    ]
    found = contradictions(rows, said)
    assert sorted(one["what"] for one in found) == sorted([c.ITSELF, c.LOOP, c.DANGLING])
    (circle,) = [one for one in found if one["what"] == c.LOOP]
    assert [r["source"] for r in circle["rows"]] == ["interchange list, row 1",
                                                     "interchange list, row 2"]  # fmt: skip


def test_a_standard_designation_dangles_nowhere():
    """6207 needs no list to be known."""
    assert what([row("A1")], [Statement("A1", ("6207",), EQUAL_TO)]) == []


def test_the_users_proof_against_a_list():
    """A list's statement that the user has proved wrong is shown with the proof."""
    said = Statement("A1", ("B2",), EQUAL_TO, list="table", row=3)
    proof = Statement("A1", ("B2",), table=PROOFS, list="2026-05-01", holds=False)
    (one,) = contradictions([row("A1"), row("B2")], [said, proof])
    assert (one["what"], len(one["rows"])) == (c.DISPROVED, 2)


def test_only_what_concerns_one_number():
    """Asked for one number, findings about others stay out."""
    said = [Statement("A1", ("A1",), SUPERSEDED_BY), Statement("B2", ("B2",), SUPERSEDED_BY)]
    assert len(contradictions([], said)) == 2
    assert [f["rows"][0]["number"] for f in contradictions([], said, number="b-2")] == ["B2"]


@pytest.mark.parametrize("bearing", bearings(), ids=lambda r: r["designation"])
def test_bore_by_designation(bearing):
    """The bore of every ISO 15 row (its confidence is in the file) follows from its designation."""
    assert bore_mm(bearing["designation"]) == float(bearing["d_mm"])


@pytest.mark.parametrize("bearing", bearings()[::8], ids=lambda r: r["designation"])
def test_a_designation_against_its_sizes(bearing):
    """The row of ISO 15 is no contradiction; the same designation with the next bore is."""
    sizes = {
        "bore_diameter": float(bearing["d_mm"]),
        "outside_diameter": float(bearing["D_mm"]),
        "width": float(bearing["B_mm"]),
    }
    good = row(bearing["designation"] + "-2RS", kind="rolling_bearing", dimensions_mm=sizes)
    assert what([good]) == []
    bad = {**good, "dimensions_mm": sizes | {"bore_diameter": sizes["bore_diameter"] + 2}}
    assert what([bad]) == [c.DESIGNATION]


@pytest.mark.parametrize("number", ["12345", "DG/1151", "6", "99999", "1938", "TW/3/118", "6098"])
def test_numbers_that_are_no_designation(number):
    """A maker's own figures are not read as a bore."""
    assert bore_mm(number) is None


EDGES = st.lists(st.tuples(st.sampled_from("abcdefgh"), st.sampled_from("abcdefgh")), max_size=30)


@given(EDGES)
def test_circles_are_the_strongly_connected_components_of_networkx(edges):
    """Circles agree with networkx's strongly connected components."""
    oracle = nx.strongly_connected_components(nx.DiGraph(edges))
    onward: dict[str, list[str]] = {}
    for one, other in edges:
        onward.setdefault(one, []).append(other)
    assert sorted(circles(onward)) == sorted(sorted(group) for group in oracle if len(group) > 1)


def test_a_chain_of_a_hundred_thousand_numbers():
    """A very long chain closed to a circle is found without running out of stack."""
    count = 100_000
    edges = {str(n): [str((n + 1) % count)] for n in range(count)}
    assert [len(group) for group in circles(edges)] == [count]
