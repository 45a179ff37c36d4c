"""The one box: what a text is taken for, and the questions it leaves."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from xref.acts.ask_box import answer, in_unit, understand
from xref.errors import Impossible, XrefError
from xref.store import Store

pytestmark = pytest.mark.store
PLACE = {"shaft": "60.31mm", "housing": "80.01mm"}


@pytest.fixture
def store(built_demo: Path) -> Store:
    """Return the demo store, to be read only."""
    return Store.open(built_demo)


@pytest.mark.parametrize(
    ("text", "reading", "more"),
    [
        ("", "nothing", {}),
        ("  \t ", "nothing", {}),
        ("DG/1143", "number", {"number": "DG/1143"}),
        ("dg 1143", "number", {"number": "dg 1143"}),
        ("6205", "number", {"number": "6205"}),
        ("oil seal countershaft", "search", {}),
        ("DG 1I43", "search", {}),
        ("60.31", "search", {}),
        (
            "60x80x8 seal",
            "sizes",
            {
                "kind": "shaft_seal",
                "part": {"shaft_diameter": "60mm", "outside_diameter": "80mm", "width": "8mm"},
            },
        ),
        (
            "oil seals 2-3/8 x 3-1/8 x 1/2",
            "sizes",
            {
                "kind": "shaft_seal",
                "part": {
                    "shaft_diameter": "2-3/8in",
                    "outside_diameter": "3-1/8in",
                    "width": "1/2in",
                },
            },
        ),
        (
            "O-ring 25 x 3.5 mm",
            "sizes",
            {"kind": "o_ring", "part": {"inside_diameter": "25mm", "cross_section": "3.5 mm"}},
        ),
        ("seal shaft 60.31mm housing 80.01mm", "sizes", {"kind": "shaft_seal", "place": PLACE}),
        ("seal, Shaft: 60.31mm, housing=80.01mm", "sizes", {"place": PLACE}),
        ("bush 1 x 1-5/16 x 1-1/2 in", "sizes", {"kind": "plain_bushing"}),
    ],
)
def test_what_a_text_is(store: Store, text: str, reading: str, more: dict[str, Any]) -> None:
    """A known number, sizes with a kind's name, a place as measured, or words to look for."""
    found = understand(store, text)
    assert found["reading"] == reading
    assert {name: found.get(name) for name in more} == more


def test_a_number_comes_before_a_size(store: Store) -> None:
    """What a list knows as a number is that number, though it could be read as a size."""
    assert understand(store, "6207")["reading"] == "number"


def test_sizes_without_a_kind_ask_for_it(store: Store) -> None:
    """Three sizes may be of any kind that has three; two are offered to O-rings besides."""
    three = understand(store, "60x80x8")
    assert three["reading"] == "question"
    offered = {choice["value"] for choice in three["choices"]}
    assert {"shaft_seal", "rolling_bearing", "plain_bushing"} <= offered
    assert "o_ring" not in offered
    assert "o_ring" in {c["value"] for c in understand(store, "25 x 3.5 mm")["choices"]}


def test_a_place_asks_only_for_kinds_that_have_it(store: Store) -> None:
    """A groove belongs to O-rings alone."""
    found = understand(store, "groove diameter 20mm groove width 4.8mm")
    assert [choice["value"] for choice in found["choices"]] == ["o_ring"]


def test_the_answers_given_settle_the_question(store: Store) -> None:
    """With the kind answered the sizes are matched; with the unit answered, too."""
    found = answer(store, "60x80x8", kind="shaft_seal")
    assert found["match"]["candidates"]
    asked = answer(store, "seal shaft 60.31 housing 80.01")
    assert {c["value"] for c in asked["asked"]["choices"]} == {"mm", "in"}
    assert answer(store, "seal shaft 60.31 housing 80.01", unit="mm")["match"] is not None


def test_the_fields_beside_the_box_add_the_place(store: Store) -> None:
    """A number with the shaft as measured is matched to that shaft."""
    found = answer(store, "FD/4111", place={"shaft": "44.80mm"}, uncertainty="0.01mm")
    assert found["match"]["need"]["place_mm"]["shaft"] == [44.79, 44.81]


def test_fields_alone_are_enough(store: Store) -> None:
    """An empty box with a kind and a measured place finds what fits there."""
    found = answer(store, "", kind="shaft_seal", place={"shaft": "35.0mm", "housing": "52.0mm"})
    assert found["match"]["candidates"]


def test_two_forms_of_a_number_are_told_apart(store: Store) -> None:
    """A number with two sizes asks which, each answer being a text the box understands."""
    found = answer(store, "FD/4113")
    texts = [choice["value"] for choice in found["asked"]["choices"]]
    assert len(texts) == 2
    assert all(understand(store, text)["reading"] == "sizes" for text in texts)


def test_a_smudged_number_shows_what_it_may_be(store: Store) -> None:
    """A number no list has leads to those like it, and nothing is matched unasked."""
    found = answer(store, "DG 1I43")
    assert found["match"] is None
    assert "DG/1143" in {m["number"] for m in found["matches"]}


@pytest.mark.parametrize("text", ["x" * 201, "10 x 20 x 30 x 40 mm seal"])
def test_what_cannot_be_is_said(store: Store, text: str) -> None:
    """A text too long, or more sizes than the kind has, is refused in a sentence."""
    with pytest.raises(Impossible):
        understand(store, text)


@pytest.mark.parametrize(("kind", "unit"), [("gearbox", None), (None, "furlong")])
def test_wrong_answers_are_refused(store: Store, kind: str | None, unit: str | None) -> None:
    """A kind or a unit there is not is named in the refusal."""
    with pytest.raises(Impossible, match=kind or unit):
        understand(store, "60x80x8", kind=kind, unit=unit)


@pytest.mark.parametrize(
    "text", ["'; DROP TABLE wants; --", "<script>", "\x00\x1b[2J", "½ × ¾", "(((((", "%s%n", "seal"]
)
def test_hostile_and_odd_texts_are_looked_for(store: Store, text: str) -> None:
    """Whatever is typed gives an answer or a sentence, never a fault."""
    try:
        found = answer(store, text)
    except XrefError as error:
        assert str(error)
    else:
        assert found["asked"]["reading"] in ("search", "question", "number", "sizes", "nothing")


def test_a_bare_figure_takes_the_unit_answered() -> None:
    """A unit already written stays; a bare figure takes the one given; nothing stays nothing."""
    assert in_unit("60.31", "mm") == "60.31mm"
    assert in_unit("2-3/8in", "mm") == "2-3/8in"
    assert in_unit("60.31", None) == "60.31"
    assert in_unit("", "mm") == ""
