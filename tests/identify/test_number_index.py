"""The search among numbers, against a plain comparison of every number as oracle."""

import random
import string

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from xref.errors import StoreUnavailable
from xref.store.number_fold import fold_text
from xref.store.number_index import NumberIndex, write_number_index
from xref.store.number_key import number_key

# Few characters and many repeats: the numbers lie close together, as in a real list.
CROWDED = st.text(alphabet="0123OIZB8AА", min_size=1, max_size=7)
LONG = st.text(alphabet=string.ascii_uppercase + string.digits, min_size=1, max_size=14)


def every_near_number(asked, keys, slips=2):
    """Compare with each key in turn: slow and obvious."""
    asked = fold_text(asked)
    slips = min(slips, len(asked) - 1)
    return {k for k in keys if OSA.distance(asked, fold_text(k)) <= slips}


@settings(max_examples=300)
@given(st.sets(CROWDED, min_size=1, max_size=60), CROWDED)
def test_misses_no_number_within_two_slips_crowded(keys, asked):
    """Among numbers that lie close together none within two slips is missed or added."""
    index = NumberIndex.from_keys(sorted(keys))
    found = {near.key for near in index.like(asked, limit=1000)}
    assert found == every_near_number(asked, keys)


@settings(max_examples=200)
@given(st.sets(LONG, min_size=1, max_size=20), st.data())
def test_misses_no_number_within_two_slips_of_a_written_one(keys, data):
    """A number written with up to two slips of any kind finds every number that near."""
    written = list(data.draw(st.sampled_from(sorted(keys))))
    for _ in range(data.draw(st.integers(0, 2))):
        at = data.draw(st.integers(0, len(written)))
        what = data.draw(st.sampled_from(["insert", "delete", "change", "swap"]))
        if what == "insert":
            written.insert(at, data.draw(st.sampled_from("A7XO")))
        elif what == "delete":
            del written[at : at + 1]
        elif what == "change":
            written[at : at + 1] = data.draw(st.sampled_from("A7XO"))
        else:
            written[at : at + 2] = written[at : at + 2][::-1]
    asked = "".join(written)
    index = NumberIndex.from_keys(sorted(keys))
    found = {near.key for near in index.like(asked, limit=1000)}
    assert found == every_near_number(asked, keys)


@given(st.sets(CROWDED | LONG, max_size=40), CROWDED | LONG)
def test_exact_position_and_beginnings(keys, asked):
    """Exact search and search by beginning agree with the sorted list itself."""
    ordered = sorted(keys)
    index = NumberIndex.from_keys(ordered)
    assert [index.position(k) for k in ordered] == list(range(len(ordered)))
    assert [index.key(i) for i in range(len(index))] == ordered
    assert index.position(asked) == (ordered.index(asked) if asked in keys else None)
    assert index.beginning_with(asked) == [k for k in ordered if k.startswith(asked)]


def test_reading_slips_rank_before_other_slips():
    """Of numbers one character away the one that could be a misreading comes first."""
    index = NumberIndex.from_keys(sorted(["TW3180", "TW3187", "TW318", "TW31O8", "TW31808"]))
    near = index.like("TW318O")
    assert near[0].key == "TW3180"
    assert [n.slips for n in near][:1] == [0]
    assert near[0].score > near[1].score


def test_swapped_and_lost_characters_rank_before_changed_and_added_ones():
    """Of numbers one slip away those come first that fewer readings could have led to."""
    swapped, lost = "473612", "4731962"
    changed, added = "403162", "43162"
    index = NumberIndex.from_keys(sorted([swapped, lost, changed, added]))
    near = index.like("473162")
    assert {n.key for n in near[:2]} == {swapped, lost}
    assert {n.key for n in near[2:]} == {changed, added}
    assert {n.slips for n in near} == {1}


def test_letters_of_other_alphabets_are_found_and_kept_apart():
    """A Cyrillic or Greek look-alike finds the Latin number, at the cost of a reading slip."""
    index = NumberIndex.from_keys(["ATX55"])
    for asked in ("АТХ55", "ΑΤΧ55"):
        assert index.position(asked) is None
        (near,) = index.like(asked)
        assert (near.key, near.slips, near.score < 1) == ("ATX55", 0, True)


def test_mapped_file_answers_like_memory(tmp_path):
    """An index written and mapped gives the same answers as one in memory."""
    rng = random.Random(5)  # noqa: S311 - invents numbers
    keys = sorted({"".join(rng.choices("ABO0127", k=rng.randint(3, 9))) for _ in range(3000)})
    write_number_index(tmp_path / "numbers.index", keys)
    mapped, memory = NumberIndex.open(tmp_path / "numbers.index"), NumberIndex.from_keys(keys)
    for asked in keys[::300]:
        assert mapped.like(asked, 50) == memory.like(asked, 50)
        assert mapped.position(asked) == memory.position(asked)


def test_empty_short_long_and_strange_input():
    """No characters, one character, ten thousand and letters of any script give plain answers."""
    keys = sorted(["7", "A1", "ЖЖЖ1", "漢字12", "X" * 10_000])
    index = NumberIndex.from_keys(keys)
    assert index.like("") == []
    assert [n.key for n in index.like("7")] == ["7"]
    assert index.like("9" * 10_000) == []
    assert index.like("X" * 9_999)[0].key == "X" * 10_000
    assert index.like("漢字13")[0].key == "漢字12"
    assert index.like(number_key("\x00\u200b")) == []
    assert NumberIndex.from_keys([]).like("A1") == []
    assert NumberIndex.from_keys([]).position("A1") is None


@pytest.mark.parametrize("damage", [b"", b"xrefarr1", b"PK\x03\x04" + bytes(60), None])
def test_a_damaged_file_is_refused_in_words(tmp_path, damage):
    """A missing, short or foreign file is a sentence naming the file, not a wrong answer."""
    path = tmp_path / "numbers.index"
    if damage is not None:
        path.write_bytes(damage)
    with pytest.raises(StoreUnavailable, match=r"numbers\.index"):
        NumberIndex.open(path)


def test_a_file_cut_short_is_refused(tmp_path):
    """A file that ends early is recognised before it is searched."""
    path = tmp_path / "numbers.index"
    write_number_index(path, ["A1", "B2"])
    path.write_bytes(path.read_bytes()[:-64])
    with pytest.raises(StoreUnavailable):
        NumberIndex.open(path)


def test_one_slip_in_a_list_of_fifty_thousand():
    """One slip or confusion: the number meant is among the first five in at least 99 of 100."""
    rng = random.Random(11)  # noqa: S311 - invents numbers
    characters = string.ascii_uppercase + string.digits
    keys = sorted({"".join(rng.choices(string.digits, k=8)) for _ in range(50_000)})
    index = NumberIndex.from_keys(keys)
    found = 0
    meant = rng.sample(keys, 300)
    for key in meant:
        at = rng.randrange(len(key))
        asked = key[:at] + rng.choice(characters) + key[at + 1 :]
        found += key in [near.key for near in index.like(asked, 5)]
    assert found >= 0.99 * len(meant)


def test_keys_of_many_lengths_share_no_memory_between_groups():
    """Positions returned for every length point at the key they name."""
    keys = sorted({str(10**n + k) for n in range(1, 12) for k in range(9)})
    index = NumberIndex.from_keys(keys)
    hits = [near for key in keys for near in index.like(key, 5)]
    assert all(keys[near.position] == near.key for near in hits)
    assert len({near.position for near in hits}) == len(keys)
    assert isinstance(np.asarray(hits[0].score).item(), float)
