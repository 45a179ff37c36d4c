"""Texts as one array of bytes, against the same texts in a list; and as a column of a DataFrame."""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from xref.store.engine import loading
from xref.store.lines import registered
from xref.store.number_key import keyed, number_key
from xref.store.text_array import TextArray
from xref.texts import BLOCK, Texts

pytestmark = pytest.mark.store
ONE = st.text(alphabet="aB7-/. \n\x00ä零Ж\u200b", max_size=20)
SOME = st.lists(ONE, max_size=12)


@given(SOME)
def test_texts_are_those_they_were_made_of(listed):
    """Listed, one by one, in slices, with line feeds inside and without separators."""
    texts = Texts.of(listed)
    assert [*texts] == texts.listed() == [texts[n] for n in range(len(texts))] == listed
    assert [*texts[1:5]] == listed[1:5]
    assert texts.is_lines() == (not any("\n" in text for text in listed))
    assert texts.unseparated().tobytes().decode() == "".join(listed)
    assert texts.lengths.tolist() == [len(text.encode()) for text in listed]


@given(SOME.filter(bool), st.data())
def test_texts_are_taken_joined_and_replaced(listed, data):
    """In any order, again and again, from several parts."""
    texts = Texts.of(listed)
    places = data.draw(st.lists(st.integers(0, len(listed) - 1), max_size=20))
    assert [*texts.taken(np.array(places, np.int64))] == [listed[n] for n in places]
    assert [*Texts.joined([texts, Texts.of([]), texts[2:], texts])] == [
        *listed,
        *listed[2:],
        *listed,
    ]
    changed = data.draw(st.dictionaries(st.integers(0, len(listed) - 1), ONE, max_size=3))
    assert [*texts.replaced(changed)] == [changed.get(n, text) for n, text in enumerate(listed)]


@given(st.lists(st.text(alphabet="aäЖ", max_size=70), max_size=12), st.integers(1, 40))
def test_texts_are_ordered_by_code_points(listed, times):
    """Long ones that differ only far behind among them; equal ones keep their order."""
    listed = [text * times for text in listed] + listed
    places = Texts.of(listed).order().tolist()
    assert places == sorted(range(len(listed)), key=listed.__getitem__)


@given(st.lists(st.text(alphabet="aä", max_size=19), max_size=12))
def test_a_text_that_repeats_the_one_before_is_told(listed):
    """Texts that differ only behind their eighth or sixteenth byte are not the same."""
    expected = [n > 0 and listed[n] == listed[n - 1] for n in range(len(listed))]
    assert Texts.of(listed).repeats().tolist() == expected


@given(SOME)
def test_keys_of_many_are_those_of_each(listed):
    """The searching form, whatever stands beside a number in its block."""
    assert [*keyed(Texts.of(listed))] == [number_key(text) for text in listed]


def test_blocks_follow_each_other():
    """A long list comes out of its blocks as it went in."""
    listed = [f"N-{n}" for n in range(2 * BLOCK + 7)]
    texts = Texts.of(listed)
    assert [len(block) for block in texts.blocks()] == [BLOCK, BLOCK, 7]
    assert [text for block in texts.blocks() for text in block] == listed == [*texts]
    assert [*keyed(texts)][-1] == f"N{2 * BLOCK + 6}"


@given(st.lists(ONE.map(lambda text: text.replace("\x00", "")), min_size=1, max_size=12))
def test_the_database_takes_them_in_order(listed):
    """Every text at its place, also those that hold line feeds or nothing."""
    con = loading()
    try:
        with registered(con, "entries", Texts.of(listed)) as query:
            found = con.execute(query).fetchall()
    finally:
        con.close()
    assert found == [(text,) for text in listed]


def test_a_column_of_texts_in_a_frame():
    """Cells, rows chosen by a mask, copies, concatenation and places that are not there."""
    listed = ["A-1", "B-2", "A-1", ""]
    frame = pd.DataFrame({"number": TextArray(Texts.of(listed)), "row": range(4)})
    assert frame["number"].tolist() == listed
    assert frame["number"].iloc[1] == "B-2"
    assert frame["number"].notna().all()
    assert (frame["number"] == "A-1").tolist() == [True, False, True, False]
    assert frame[frame["row"] > 1]["number"].tolist() == ["A-1", ""]
    assert frame.copy()["number"].iloc[::-1].tolist() == listed[::-1]
    assert pd.concat([frame, frame], ignore_index=True)["number"].tolist() == listed * 2
    assert frame["number"].reindex([3, 7]).tolist()[0] == ""
    assert frame["number"].array.nbytes > 0
    assert frame["number"].array.take([-1]).texts[0] == ""


@pytest.mark.parametrize("step", [2, 3, -1, -2])
def test_texts_taken_in_steps_follow_each_other(step):
    """Every other row of a column, or all in reverse, is a column like any other."""
    listed = [f"N-{n}é" for n in range(9)]
    some = TextArray(Texts.of(listed))[::step].texts
    assert [*some] == listed[::step]
    assert some.written.decode().split("\n") == listed[::step]
    assert some.unseparated().tobytes().decode() == "".join(listed[::step])
