"""Which part a text means, over a few invented lists."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.identify.lists import FakeLists, row
from xref.errors import Impossible
from xref.matching.chains import Evidence
from xref.matching.identify import HOW, identify
from xref.matching.variants import machine, variant
from xref.store.statements import EQUAL_TO, MAY_SERVE_AS, PROOFS, SUPERSEDED_BY, Statement

CONTRACT = {"number", "maker", "kind", "description", "table", "how", "score", "path", "source"}

BOOK = [
    row("TW/3/118", at=4, maker="Ostrel", kind="shaft_seal", description="Oil seal, feed drum"),
    row("TW/3/119", at=5, maker="Ostrel", kind="shaft_seal", description="Oil seal, take-off drum"),
    row("TW/4/118", at=6, maker="Ostrel", kind="plain_bushing", description="Bush, feed drum"),
    row("TW/7/20", at=7, kind="shaft_seal", variant="before serial 412", description="Seal"),
    row("TW/7/20A", at=8, kind="shaft_seal", variant="from serial 412", description="Seal"),
    row("04071", at=9, description="Distance piece"),
    row("TW/9/1", at=10, description="Scheibe", kind="thrust_washer"),
]
DEALER = [
    row("RV 6080", table="catalogue", list="dealer", at=3, maker="Rovald", kind="shaft_seal"),
    row("tw-3-118", table="stock", list="stock list", at=12),
]
SAID = [
    Statement("TW/3/118", ("TW/5/118",), SUPERSEDED_BY, list="book", table="originals", row=4),
    Statement("TW 5 118", ("RV6080",), EQUAL_TO, list="dealer's table", row=2),
    Statement("TW/7/20", ("TW/7/20A",), SUPERSEDED_BY, list="book", table="originals", row=7,
              variant="before serial 412"),
    Statement("TW/7/20A", ("TW/8/20",), SUPERSEDED_BY, list="book", table="originals", row=8),
    Statement("TW/9/1", ("DZ 19",), MAY_SERVE_AS, 2, list="dealer's table", row=9),
]  # fmt: skip
LISTS = FakeLists(BOOK + DEALER, SAID)


def found(matches):
    """Numbers and how they were found, in order."""
    return [(m["number"], m["how"]) for m in matches]


def test_every_match_has_the_fields_of_the_contract():
    """Each match says what, how, how sure and from which list."""
    matches = identify("TW/3/118", LISTS)
    assert all(m.keys() >= CONTRACT and m["how"] in HOW for m in matches)
    assert all(0 <= m["score"] <= 1 and isinstance(m["path"], list) for m in matches)
    assert matches[0]["source"] == "book, row 4"


def test_exact_then_same_characters_then_the_chain_then_what_looks_like_it():
    """The number as written, the same otherwise spaced, its successors, its likenesses."""
    matches = identify("TW/3/118", LISTS)
    assert found(matches)[:5] == [
        ("TW/3/118", "exact"),
        ("tw-3-118", "same characters"),
        ("TW/5/118", "superseded by"),
        ("RV 6080", "interchange"),
        ("TW/3/119", "looks like"),
    ]


def test_the_chain_shows_each_step_and_its_list():
    """A part superseded in the book and equated by a dealer names both lists."""
    last = next(m for m in identify("tw 3 118", LISTS) if m["number"] == "RV 6080")
    assert [(s["from"], s["relation"], s["to"], s["source"]) for s in last["path"]] == [
        ("TW/3/118", SUPERSEDED_BY, "TW/5/118", "book, row 4"),
        ("TW 5 118", EQUAL_TO, "RV6080", "dealer's table, row 2"),
    ]
    assert last["maker"] == "Rovald"


def test_a_smudged_number_finds_the_original_and_its_chain():
    """O for 0, I for 1, B for 8: found as a likeness, and the chain follows beside it."""
    matches = identify("TW/3/IIB", LISTS)
    assert found(matches)[0] == ("TW/3/118", "looks like")
    assert ("RV 6080", "interchange") in found(matches)
    chain = next(m for m in matches if m["number"] == "RV 6080")
    assert chain["path"][0]["relation"] == "looks like"


def test_a_number_that_no_row_bears_is_told_with_who_names_it():
    """A successor known from a statement only is shown as in none of the lists."""
    successor = next(m for m in identify("TW/3/118", LISTS) if m["number"] == "TW/5/118")
    assert "in none of the lists" in successor["note"]
    direct = identify("TW/5/118", LISTS)[0]
    assert (direct["how"], direct["table"]) == ("exact", "originals")


def test_other_forms_are_suggested_never_merged():
    """Leading zeros and a suffix are other forms, each shown as its list writes it."""
    assert ("04071", "other form") in found(identify("4071", LISTS))
    assert ("TW/7/20A", "other form") in found(identify("TW/7/20B", LISTS)) or (
        "TW/7/20", "other form") in found(identify("TW/7/20B", LISTS))  # fmt: skip
    zeros = FakeLists([row("4071"), row("04071", at=2), row("4071A", at=3), row("40711", at=4)])
    assert found(identify("4071", zeros)) == [
        ("4071", "exact"),
        ("04071", "other form"),
        ("4071A", "other form"),
        ("40711", "looks like"),
    ]


def test_the_form_before_a_serial_break_never_gets_the_later_one_unasked():
    """For machine 300 the form from serial 412, and what only it leads to, stay out."""
    numbers = {m["number"] for m in identify("TW/7/20", LISTS, serial=300)
               if m["how"] in ("superseded by", "interchange")}  # fmt: skip
    assert numbers == set()
    late = {m["number"] for m in identify("TW/7/20", LISTS, serial=500)}
    assert {"TW/7/20A", "TW/8/20"} <= late


def test_without_a_machine_the_later_form_is_shown_as_such():
    """Asked without a serial number the later form is shown, marked and with the reason."""
    later = [m for m in identify("TW/7/20", LISTS) if m["how"] == "superseded by"]
    assert [m["number"] for m in later] == ["TW/7/20A", "TW/8/20"]
    assert all("only if asked for" in m["note"] for m in later)
    assert later[0]["variant"] == "from serial 412"


def test_the_later_form_when_accepted_or_found_on_the_machine():
    """Accepting the later variant gives it; evidence from the machine gives it and says so."""
    accepted = identify("TW/7/20", LISTS, serial=300, accept=["from serial 412"])
    assert "TW/7/20A" in {m["number"] for m in accepted if m["how"] == "superseded by"}
    seen = Evidence("TW 7 20 A", machine(300), "fitted by an earlier owner")
    noted = identify("TW/7/20", LISTS, serial=300, evidence=[seen])
    (match,) = [m for m in noted if m["number"] == "TW/7/20A" and m["how"] == "superseded by"]
    assert "found on the machine, against the book" in match["note"]
    assert "fitted by an earlier owner" in match["note"]
    other = Evidence("TW/7/20A", variant("serial 700"), "another machine")
    assert "superseded by" not in {
        m["how"] for m in identify("TW/7/20", LISTS, serial=300, evidence=[other])
    }


def test_the_users_own_proof_comes_first():
    """What was proved on the user's machine comes before what the lists say."""
    proof = Statement("TW/3/118", ("KX 77",), table=PROOFS, list="2026-05-01")
    lists = FakeLists(BOOK + DEALER, SAID, [proof])
    matches = identify("TW/3/118", lists)
    first = next(m for m in matches if m["how"] in ("superseded by", "interchange"))
    assert first["number"] == "KX 77"
    assert "own proof, 2026-05-01" in first["path"][0]["source"]


def test_use_two_of():
    """A replacement of which two are needed says so."""
    match = next(m for m in identify("TW/9/1", LISTS) if m["number"] == "DZ 19")
    assert "use 2 of it" in match["note"]


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("oil seal, feed drum", "TW/3/118"),
        ("lip seals feed drum", "TW/3/118"),
        ("Wellendichtring feed drum", "TW/3/118"),
        ("bush feed drum", "TW/4/118"),
        ("feed drum bushing", "TW/4/118"),
        ("oil seal takeoff drum", "TW/3/119"),
        ("thrust washer", "TW/9/1"),
        ("distance piece", "04071"),
    ],
)
def test_by_description_with_the_trades_names(text, first):
    """Trade names of a kind in several languages find its rows; the other words choose."""
    matches = identify(text, LISTS)
    assert (matches[0]["number"], matches[0]["how"]) == (first, "description")


def test_two_makers_with_one_number_are_two_matches_and_two_lists_of_one_are_one():
    """The same number of two makers is shown twice, of one maker in two lists once with both."""
    rows = [
        row("A10", maker="One"),
        row("A10", maker="Two", at=2),
        row("A10", maker="ONE", list="other", at=3),
    ]
    matches = identify("A10", FakeLists(rows))
    assert [(m["maker"], m["also_in"]) for m in matches] == [("One", ["other, row 3"]), ("Two", [])]


@pytest.mark.parametrize(
    "text",
    ["", " ", "-", "\x00", "\u200b\ufeff", "\x1b[31m", "7", "O", "X" * 10_000, "Seal " * 2000],
)
def test_odd_input_is_an_honest_answer(text):
    """Empty, one character, invisible, escapes, ten thousand characters: a list, never an error."""
    matches = identify(text, LISTS)
    assert all(m["how"] in HOW for m in matches)
    if not text.strip(" -\x00\u200b\ufeff"):
        assert matches == []


def test_an_empty_serial_number_is_refused_in_words():
    """An empty serial number is a sentence that says where to find one."""
    with pytest.raises(Impossible, match="plate"):
        identify("TW/7/20", LISTS, serial="")


@settings(max_examples=150)
@given(st.text(max_size=60))
def test_any_text_is_answered(text):
    """No text makes it fail, and the order of ways is kept."""
    matches = identify(text, LISTS)
    assert all(m.keys() >= CONTRACT for m in matches)
