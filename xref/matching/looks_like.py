"""Numbers a text may mean: the like ones of all lists, and other forms of the same number."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from xref.store.number_index import Likeness, NumberIndex

# A revision or suffix behind a number: A, AB, A1, REV2, ISS3 (common practice, no source).
_SUFFIX = r"(?:REV|ISS(?:UE)?|MK)?(?:[A-Z]{1,2}\d?|\d{1,2})"
_AFTER_DIGIT = re.compile(r"(?:REV|ISS(?:UE)?|MK)(?:[A-Z]{1,2}|\d{1,2})|[A-Z]{1,2}\d?")
_AFTER_LETTER = re.compile(r"\d{1,2}")
_OWN_SUFFIX = re.compile(rf"^(?P<stem>.*\d)(?P<suffix>(?!\d){_SUFFIX})$")
_OWN_REVISION = re.compile(r"^(?P<stem>.*\d[A-Z]{1,2})(?P<suffix>\d)$")
_MOST_ZEROS = 5
_SHORTEST_STEM = 3


def like(
    key: str, indexes: Iterable[NumberIndex], *, limit: int = 20, slips: int = 2
) -> list[Likeness]:
    """Return the numbers of all lists that look like `key`, each once, the likeliest first."""
    best: dict[str, tuple[int, Likeness]] = {}
    for index in indexes:
        for rank, likeness in enumerate(index.like(key, limit, slips)):
            if likeness.key not in best or rank < best[likeness.key][0]:
                best[likeness.key] = (rank, likeness)
    found = sorted(best.values(), key=lambda entry: (entry[1].cost, entry[0], entry[1].key))
    return [likeness for _, likeness in found[:limit]]


def other_forms(key: str, indexes: Sequence[NumberIndex], limit: int = 20) -> dict[str, str]:
    """Return numbers that are another form of `key`, with what differs.

    Leading zeros more or fewer; a suffix or revision more or fewer. They are suggestions: a
    suffix may well be another part.
    """
    found: dict[str, str] = {}
    for other, differs in _candidates(key):
        if any(index.position(other) is not None for index in indexes):
            found.setdefault(other, differs)
    if len(key) >= _SHORTEST_STEM:
        pattern = _AFTER_DIGIT if key[-1].isdigit() else _AFTER_LETTER
        for index in indexes:
            for longer in index.beginning_with(key, 200):
                suffix = longer[len(key) :]
                if pattern.fullmatch(suffix):
                    found.setdefault(longer, f"with suffix {suffix}")
    found.pop(key, None)
    return dict(list(found.items())[:limit])


def _candidates(key: str) -> Iterable[tuple[str, str]]:
    bare = key.lstrip("0")
    if bare:
        for zeros in range(_MOST_ZEROS + 1):
            yield "0" * zeros + bare, "leading zeros"
    for pattern in (_OWN_SUFFIX, _OWN_REVISION):
        match = pattern.match(key)
        if match and len(match["stem"]) >= _SHORTEST_STEM:
            yield match["stem"], f"without suffix {match['suffix']}"
