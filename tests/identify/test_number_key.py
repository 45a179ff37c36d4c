"""The searching form of a number: what it may take away and what it may not."""

import unicodedata

from hypothesis import example, given
from hypothesis import strategies as st

from xref.store.number_key import number_key, number_keys

PLAIN = st.text(alphabet="ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", max_size=20)
SEPARATORS = st.text(alphabet=" -/._\t\u00a0\u2013\u2212\u200b\ufeff", max_size=3)


def test_one_number_written_three_ways_has_one_key():
    """Spaces, hyphens, slashes, points, underscores and case do not make another number."""
    assert {number_key(t) for t in ("TW/3/118", "TW 3 118", "tw-3-118", "TW_3.118")} == {"TW3118"}


def test_full_width_and_invisible_characters_are_read_through():
    """Full-width letters, zero-width characters and control characters leave the same key."""
    assert number_key("ＴＷ－３\u200b118\x00\ufeff") == "TW3118"


def test_look_alikes_stay_apart():
    """O and 0, I and 1, Latin and Cyrillic A, dotless i and ß against SS are different numbers."""
    pairs = [("O1", "01"), ("I2", "12"), ("A3", "А3"), ("ı5", "I5"), ("ß7", "SS7"), ("B8", "88")]
    assert [a for a, b in pairs if number_key(a) == number_key(b)] == []


def test_leading_zeros_and_suffixes_are_kept():
    """Zeros in front and letters behind belong to the number."""
    assert number_key("04071") == "04071"
    assert number_key("4071 A") == "4071A"


def test_nothing_in_it_gives_an_empty_key():
    """Empty, blank, separators only and no text at all give an empty key, not an error."""
    assert number_keys(["", "  ", "-/-", None, float("nan"), "\u200b"]) == [""] * 6


def test_ten_thousand_characters_are_read():
    """A cell of ten thousand characters is keyed like any other."""
    assert number_key("A-" * 5000) == "A" * 5000


@given(st.text(max_size=40))
@example("a-\u0301")
@example("\u0345ß")
def test_idempotent(text):
    """The key of a key is the key, for any text."""
    assert number_key(number_key(text)) == number_key(text)


@given(PLAIN, PLAIN)
def test_never_merges_different_letters_or_digits(a, b):
    """Two numbers of plain letters and digits share a key only if they are the same."""
    assert (number_key(a) == number_key(b)) == (a == b)


@given(st.text(alphabet=st.characters(categories=["Lu", "Ll", "Lt", "Lo", "Nd"]), max_size=12))
def test_every_letter_and_digit_of_any_script_survives(text):
    """No letter or digit of any script is lost or replaced by another, case and width apart."""
    wide = unicodedata.normalize("NFKC", text)
    key = number_key(text)
    back = {c.lower() for c in unicodedata.normalize("NFKC", key)} | set(key)
    kept = [c for c in wide if unicodedata.category(c)[0] in "LN"]
    assert [c for c in kept if c not in back and c.lower() not in back] == []


@given(st.lists(st.tuples(PLAIN, SEPARATORS), max_size=6))
def test_separators_anywhere_change_nothing(pieces):
    """Any mixture of separators and invisible characters between the characters is ignored."""
    written = "".join(p + s for p, s in pieces)
    assert number_key(written) == "".join(p for p, _ in pieces)


@given(st.text(alphabet=st.characters(codec="ascii"), max_size=30))
def test_the_short_way_for_plain_text_agrees_with_the_long_way(text):
    """Plain ASCII takes a shorter way through the code and gets the same key."""
    full_width = "".join(chr(ord(c) + 0xFEE0) if "!" <= c <= "~" else c for c in text)
    assert number_key(full_width + "\u200b") == number_key(text)
