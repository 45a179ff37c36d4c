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


@pytest.mark.parametrize(
    "text",
    ["0.984 x 2.0472 x 0.5906 in bearing", '0.984" x 2.0472" x 0.5906" bearing'],
)
def test_two_standard_sizes_in_reach_are_a_question(store: Store, text: str) -> None:
    """0.984 in is 63/64 in or 25 mm; each choice is a text that the box understands without asking.

    25 / 25.4 is 0.9843, which no 64th of an inch rounds to (63/64 is 0.9844).
    """
    found = answer(store, text)
    assert found["asked"]["reading"] == "question"
    choices = found["asked"]["choices"]
    assert [choice["label"] for choice in choices] == ["63/64 in", "25 mm"]
    for choice, meant in zip(choices, (25.0031, 25.0), strict=True):
        assert choice["name"] == "q"
        chosen = answer(store, choice["value"])
        assert chosen["asked"]["reading"] == "sizes"
        bore = chosen["match"]["need"]["part_mm"]["bore_diameter"]
        assert bore == pytest.approx(meant, abs=1e-4)


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


SEAL = {"shaft_diameter": "60mm", "outside_diameter": "80mm", "width": "8mm"}
INCH = {"shaft_diameter": "2-3/8in", "outside_diameter": "3-1/8in", "width": "3/8in"}
BUSH = {"bore_diameter": "1in", "outside_diameter": "1-5/16in", "length": "1-1/2in"}
WASHER = {"inside_diameter": "26mm", "outside_diameter": "44mm", "thickness": "1.5mm"}
GROOVE = {"groove_diameter": "20mm", "groove_width": "4.8mm", "mating_diameter": "25mm"}
# What a restorer types, and what it is; the expectation was written before the reading.
TYPED: list[tuple[str, str, dict[str, Any]]] = [
    # nothing
    ("\u200b\u200b", "nothing", {}),
    ("\n\t \x00", "nothing", {}),
    # numbers, however they are called or spaced, alone or with words
    ("6205-2RS", "number", {}),
    ("6205 2rs", "number", {}),
    ("30206", "number", {}),
    ("D G 1143", "number", {}),
    ("dg1143", "number", {}),
    ("DG/1143.", "number", {}),
    ("Dg\u20141143", "number", {}),
    ("\u202eDG/1143", "number", {"number": "DG/1143"}),
    ("no. DG/1143", "number", {"number": "DG/1143"}),
    ("Part No: DG/1143", "number", {"number": "DG/1143"}),
    ("DG 1143 oil seal", "number", {"number": "DG 1143"}),
    ("6205 bearing", "number", {"number": "6205"}),
    ("bearing 6205", "number", {"number": "6205"}),
    ("ball bearing 6205-2RS C3", "number", {"number": "6205-2RS"}),
    ("AS568-214", "number", {"number": "AS568-214"}),
    ("-214", "number", {"number": "-214"}),
    ("dash 214", "number", {"number": "dash 214"}),
    ("o-ring 214", "number", {"number": "dash 214"}),
    # what may be a number or sizes is asked
    ("25-52-7", "question", {"values": ["25 x 52 x 7"]}),
    ("25/52/7", "question", {"values": ["25 x 52 x 7"]}),
    ("25 52 7", "question", {"values": ["25 x 52 x 7"]}),
    ("25-52", "question", {"values": ["25 x 52"]}),
    ("\u00d860 \u00d880 8", "question", {}),
    ("2-3/8", "question", {"values": ["2-3/8 in"]}),
    ("2 3/8", "question", {"values": ["2 3/8 in"]}),
    ("\u00bd", "question", {"values": ["\u00bd in"]}),
    ("25,4", "question", {"values": ["25,4 mm", "25,4 in"]}),
    ("60.31", "question", {"values": ["60.31 mm", "60.31 in"]}),
    ("2.375 seal", "question", {"values": ["mm", "in"]}),
    ("214", "question", {"values": ["dash 214"]}),
    ("DG/1143, DG/1141A", "question", {"values": ["DG/1143", "DG/1141A"]}),
    # sizes without a kind ask for it
    ("25x52x7", "question", {"part": {}}),
    ("25X52X7", "question", {"part": {}}),
    ("25\u00d752\u00d77", "question", {"part": {}}),
    ("25*52*7", "question", {"part": {}}),
    ("25 by 52 by 7", "question", {"part": {}}),
    ("60 \u0445 80 \u0445 8", "question", {"part": {}}),  # a Cyrillic letter for the x
    ("\uff16\uff10x\uff18\uff10x\uff18", "question", {"part": {}}),  # full-width figures
    ("1 3/8 in", "question", {"part": {}}),
    ('1-3/8"', "question", {"part": {}}),
    ("1\u00bd x 2 x \u00bc in", "question", {"part": {}}),
    ("60x80", "question", {"part": {}}),
    ("60 mm", "question", {"part": {}}),
    ("\U0001f527 60x80x8", "question", {"part": {}}),
    ("shaft 60mm housing 80mm", "question", {"place": {"shaft": "60mm", "housing": "80mm"}}),
    ("shaft 60 housing 80", "question", {"place": {"shaft": "60", "housing": "80"}}),
    ("60mm shaft", "question", {"place": {"shaft": "60mm"}}),
    # sizes with their kind
    ("60x80x8 oil seal", "sizes", {"kind": "shaft_seal", "part": SEAL}),
    ("oil seal 60x80x8", "sizes", {"kind": "shaft_seal", "part": SEAL}),
    ("60-80-8 oil seal", "sizes", {"kind": "shaft_seal", "part": SEAL}),
    ("seal 60 80 8", "sizes", {"kind": "shaft_seal", "part": SEAL}),
    ("seal 60/80/8", "sizes", {"kind": "shaft_seal", "part": SEAL}),
    ("washer 26 44 1.5", "sizes", {"kind": "thrust_washer", "part": WASHER}),
    ("bushing 1 x 1-5/16 x 1-1/2", "sizes", {"kind": "plain_bushing", "part": BUSH}),
    ("seal 2-3/8 x 3-1/8 x 3/8", "sizes", {"kind": "shaft_seal", "part": INCH}),
    (
        "oil seal 60 x 80 x 8 mm NBR",
        "sizes",
        {"why": "sizes of a rotary shaft seal; not looked at: NBR"},
    ),
    ("oring 25 x 3.5 mm", "sizes", {"kind": "o_ring"}),
    ("o ring 25x3.5", "sizes", {"kind": "o_ring", "why": "sizes of an O-ring"}),
    # the place as measured
    ("seal shaft 60 mm, housing 80 mm", "sizes", {"place": {"shaft": "60 mm", "housing": "80 mm"}}),
    ("seal for shaft 60.31mm in housing 80.01mm", "sizes", {"place": PLACE}),
    ("seal for a 60.31mm shaft, 80.01mm housing", "sizes", {"place": PLACE}),
    ("60.31mm shaft 80.01mm bore seal", "sizes", {"place": PLACE}),
    ("shaft dia 60.31mm bore 80.01mm seal", "sizes", {"place": PLACE}),
    (
        "shaft 2-3/8 in housing 3-1/8 in seal",
        "sizes",
        {"place": {"shaft": "2-3/8 in", "housing": "3-1/8 in"}},
    ),
    (
        "O-ring groove diameter 20mm groove width 4.8mm bore 25mm",
        "sizes",
        {"kind": "o_ring", "place": GROOVE},
    ),
    # words, smudges, and what is no size
    ("oil seal, winch drum", "search", {}),
    ("bearing", "search", {}),
    ("DG 1I43", "search", {}),
    ("\U0001f527", "search", {}),
    ("<script>alert(1)</script>", "search", {}),
    ("%00%0a", "search", {}),
    ("1e5", "search", {}),
    ("60x80x", "search", {"why_not": "a number is missing beside an x"}),
    ("0x0x0 seal", "search", {"why_not": "it comes to zero"}),
    ("-5 x 3 x 2 seal", "search", {"why_not": "a size is not negative"}),
]


@pytest.mark.parametrize(("text", "reading", "more"), TYPED)
def test_what_is_typed_is_understood_or_asked(
    store: Store, text: str, reading: str, more: dict[str, Any]
) -> None:
    """A number, sizes, a place or words are told apart; what may be two things is a question."""
    found = understand(store, text)
    assert found["reading"] == reading, found
    values = [choice["value"] for choice in found.get("choices", ())]
    expected = {k: v for k, v in more.items() if k not in ("values", "why_not")}
    assert {name: found.get(name) for name in expected} == expected
    if "values" in more:
        assert values == more["values"]
    assert more.get("why_not", "") in found.get("why", "")


def test_every_choice_is_understood(store: Store) -> None:
    """Each answer that a question offers leads on: to sizes, a number, or the next question."""
    for text, reading, _ in TYPED:
        if reading != "question":
            continue
        for choice in understand(store, text)["choices"]:
            given = {"unit": choice["value"]} if choice["name"] == "unit" else {}
            given |= {"kind": choice["value"]} if choice["name"] == "kind" else {}
            said = choice["value"] if choice["name"] == "q" else text
            then = understand(store, said, **given)
            assert then["reading"] in ("sizes", "number", "question")
            assert then.get("question") != understand(store, text)["question"]


def test_what_is_looked_for_besides_is_shown(store: Store) -> None:
    """Figures that may be a number are looked for while the question stands."""
    found = answer(store, "52-7")
    assert found["asked"]["reading"] == "question"
    assert found["asked"]["look"]
    assert isinstance(found["matches"], list)
