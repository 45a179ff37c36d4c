"""Distances column by column against RapidFuzz one by one."""

import numpy as np
from hypothesis import example, given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from xref.store.string_distance import alignment_distances

TEXT = st.text(alphabet="AB1", max_size=20).map(str.encode)


@given(
    TEXT,
    st.integers(0, 20).flatmap(
        lambda n: st.lists(
            st.text(alphabet="AB1", min_size=n, max_size=n).map(str.encode), min_size=1, max_size=8
        )
    ),
)
@example(b"A" * 16, [b"A" * 17])
@example(b"AB" * 32, [b"BA" * 32])
@example(b"AB" * 33, [b"BA" * 33])
@example(b"AB1" * 100, [b"B"])
def test_distances_are_those_of_rapidfuzz(text, others):
    """For any texts, around every word length, the distance is RapidFuzz's (255 at most)."""
    rows = np.frombuffer(b"".join(others), np.uint8).reshape(len(others), -1)
    expected = [min(OSA.distance(text, other), 255) for other in others]
    assert alignment_distances(text, rows).tolist() == expected


def test_more_texts_than_one_step():
    """Texts beyond the first step of the loop get their own distances."""
    rows = np.full((40_000, 3), ord("A"), np.uint8)
    rows[20_000:, 0] = ord("B")
    distances = alignment_distances(b"AAA", rows)
    assert (distances[:20_000].max(), distances[20_000:].min()) == (0, 1)
