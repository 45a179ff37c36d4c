"""What is passed over when a description is searched for the name of a kind never holds one."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from xref.tables import false_friends, kindwords
from xref.tables.kindwords import kind_in, ring_named

WORDS = sorted({word for name in kindwords._phrases() for word in name.split()})
OTHERS = ["for", "grease", "housing", "big", "end", "wheel", "Rillen", "Gummi", "6205", "x12", "s"]
ENDINGS = ["", "", "", "s", "es", "en", "n", "e"]
DESCRIPTIONS = st.lists(
    st.builds("{}{}{}".format, st.sampled_from(["", "", "gummi", "90"]),
              st.sampled_from(WORDS + OTHERS), st.sampled_from(ENDINGS)),
    min_size=1, max_size=5,
).flatmap(lambda words: st.sampled_from([" ", ", "]).map(lambda gap: gap.join(words)))  # fmt: skip


def test_no_name_of_a_kind_holds_a_figure() -> None:
    """Hence descriptions that differ in their figures only are looked through once."""
    names = [*kindwords._phrases(), *false_friends._PHRASES, *false_friends._UNDECIDED]
    assert [name for name in names if re.search(r"\d", name)] == []


@given(DESCRIPTIONS, st.sampled_from("123456789"))
def test_figures_name_no_kind(text: str, digit: str) -> None:
    """The same kind and the same ring, whatever the figures in a description are."""
    other = re.sub(r"\d", digit, text)
    assert kind_in(other) == kind_in(text)
    assert ring_named(other) == ring_named(text)


@given(DESCRIPTIONS)
def test_a_word_passed_over_begins_no_name(text: str) -> None:
    """Looking at every word finds what looking at the likely ones does."""
    found = kindwords._named.__wrapped__(text)
    likely, kindwords._may_begin = kindwords._may_begin, lambda _: True
    try:
        assert kindwords._named.__wrapped__(text) == found
    finally:
        kindwords._may_begin = likely
