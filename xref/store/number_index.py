"""Search among millions of part numbers: exact, by beginning, and by likeness.

Built once, when a list is loaded, from its distinct number keys in sorted order, and mapped from
then on. Likeness is the optimal string alignment distance (insertion, deletion, substitution,
transposition of neighbours) of the *folded* keys (`number_fold`), so that a reading slip costs
nothing in the search and a little in the ranking.

How it is fast and misses nothing within its two slips: every number carries two 64-bit words, one
for its characters and one for its pairs of neighbouring characters. One slip changes only so many
bits of each (see `_most_pair_flips`), hence a number whose words differ in more bits lies farther
away; an exclusive-or and a bit count over the numbers of nearly the same length leave some
thousands of ten million to be compared in full (`string_distance`), and those within reach are
ranked with RapidFuzz.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.store.array_file import open_arrays, write_arrays
from xref.store.number_fold import fold_text
from xref.store.string_distance import alignment_distances
from xref.texts import Texts

Words = NDArray[np.uint64]
Codes = NDArray[np.uint8]

_ABOUT = "part numbers, version 2"
_BUILD_STEP = 1 << 16  # keys of one length at a time: the arrays of a step stay in the cache
_SCAN_STEP = 1 << 16  # numbers compared at a time: the buffers stay in the processor's cache
_MOST_RESCORED = 3000
_READING_SLIP_COST = 0.3  # of another slip: ranks the misread before the mistyped


@cache
def _character_fields() -> tuple[Words, Words]:
    """Return per byte the mask of its field and the lowest bit of it.

    The ten digits count to four (40 bits), the letters left by the fold are present or not
    (20 bits), everything else shares four bits.
    """
    masks = np.zeros(256, np.uint64)
    lows = np.zeros(256, np.uint64)
    letters = "ACDEFGHJKMNPQRTUVWXY"
    for code in range(256):
        character = chr(code)
        if character in "0123456789":
            masks[code], lows[code] = 0xF << 4 * (code - 48), 1 << 4 * (code - 48)
        elif character in letters:
            masks[code] = lows[code] = 1 << 40 + letters.index(character)
        else:
            masks[code] = lows[code] = 1 << 60 + code % 4
    return masks, lows


_FOLDING = fold_text("".join(map(chr, range(128)))) + bytes(range(128, 256))
_FOLDED = np.frombuffer(_FOLDING, np.uint8)


@cache
def _pair_bits() -> Words:
    """Return a bit for each pair of neighbours: a multiplicative hash, its six upper bits."""
    pairs = np.arange(65536, dtype=np.uint64)
    made: Words = np.uint64(1) << ((pairs * np.uint64(0x9E3779B97F4A7C15)) >> np.uint64(58))
    return made


def _words(codes: Codes) -> tuple[Words, Words]:
    """Return the character word and the pair word of each row of `codes` (numbers × length)."""
    one = np.uint64(1)
    (fields, lows), bits = _character_fields(), _pair_bits()
    count, length = codes.shape
    characters = np.zeros(count, np.uint64)
    pairs = np.zeros(count, np.uint64)
    before = np.zeros(count, np.uint16)  # 0 stands for the two ends
    for column in range(length):
        here = codes[:, column]
        field = fields[here]
        characters |= (((characters & field) << one) | lows[here]) & field
        pairs |= bits[(before << 8) | here]
        before = here.astype(np.uint16)
    pairs |= bits[before << 8]
    return characters, pairs


def _most_pair_flips(length_difference: int, slips: int, flips: NDArray[Any]) -> NDArray[Any]:
    """Return how many bits of the pair word may differ, given those of the character word.

    An insertion or deletion changes one bit of the character word and three pairs, a substitution
    two and four, a transposition none and six. What differs in characters is not due to
    transpositions, which tightens the bound.
    """
    free = slips - length_difference
    substitutions = np.maximum(flips.astype(np.int64) - length_difference + 1, 0) // 2
    most: NDArray[Any] = 3 * length_difference + 6 * free - 2 * np.minimum(substitutions, free)
    return most


@dataclass(frozen=True, slots=True)
class Likeness:
    """A number that looks like the one asked for.

    `position` counts in the keys the index was built from; `slips` is the distance of the folded
    keys (0: only reading slips), `cost` adds the reading slips, `score` is 1 for the same key.
    """

    key: str
    position: int
    slips: int
    cost: float
    score: float


class NumberIndex:
    """The distinct number keys of one list, searchable without reading them all."""

    def __init__(self, arrays: dict[str, NDArray[Any]]) -> None:
        self._text: Codes = arrays["text"]
        self._starts: NDArray[Any] = arrays["starts"]
        self._positions: NDArray[np.uint32] = arrays["positions"]
        self._characters: Words = arrays["characters"]
        self._pairs: Words = arrays["pairs"]
        # length -> groups of it: first number, one past the last, whether beyond ASCII
        self._groups: dict[int, list[tuple[int, int, bool]]] = {}
        for length, first, last, beyond in arrays["groups"].tolist():
            self._groups.setdefault(length, []).append((first, last, bool(beyond)))

    @classmethod
    def from_keys(cls, keys: Sequence[str]) -> NumberIndex:
        """Return an index in memory of `keys`, which must be sorted and distinct."""
        return cls(_built(Texts.of(keys)))

    @classmethod
    def open(cls, path: Path) -> NumberIndex:
        """Return the index written to `path`, mapped."""
        return cls(open_arrays(path, _ABOUT))

    def __len__(self) -> int:
        return len(self._starts) - 1

    def key(self, position: int) -> str:
        """Return the key at `position` of the keys the index was built from."""
        return self._bytes(position).decode()

    def _bytes(self, position: int) -> bytes:
        return self._text[self._starts[position] : self._starts[position + 1]].tobytes()

    def _first_not_below(self, wanted: bytes) -> int:
        low, high = 0, len(self)
        while low < high:
            middle = (low + high) // 2
            if self._bytes(middle) < wanted:
                low = middle + 1
            else:
                high = middle
        return low

    def position(self, key: str) -> int | None:
        """Return the position of exactly this key, or None."""
        wanted = key.encode()
        at = self._first_not_below(wanted)
        return at if at < len(self) and self._bytes(at) == wanted else None

    def beginning_with(self, key: str, limit: int = 100) -> list[str]:
        """Return the first `limit` keys that begin with `key`, in order."""
        wanted = key.encode()
        found: list[str] = []
        for at in range(self._first_not_below(wanted), len(self)):
            here = self._bytes(at)
            if len(found) == limit or not here.startswith(wanted):
                break
            found.append(here.decode())
        return found

    def like(self, key: str, limit: int = 20, slips: int = 2) -> list[Likeness]:
        """Return up to `limit` numbers within `slips` of `key`, the likeliest first.

        Complete: no number within that distance is passed over for one farther away. Numbers with
        nothing in common with a short `key` are left out.
        """
        folded = fold_text(key)
        slips = min(slips, len(folded) - 1)
        found: list[Likeness] = []
        # Where numbers lie close together, those within one slip often fill the answer.
        for within in range(min(1, slips), slips + 1):
            found = self._within(key, folded, within)[:limit]
            if len(found) == limit and found[-1].cost < within + 1:
                break
        return found

    def _within(self, key: str, folded: bytes, slips: int) -> list[Likeness]:
        positions: list[NDArray[Any]] = []
        distances: list[NDArray[Any]] = []
        for group, distance in self._near(folded, slips):
            positions.append(group)
            distances.append(distance)
        if not positions:
            return []
        position, distance = np.concatenate(positions), np.concatenate(distances)
        nearest = np.argsort(distance, kind="stable")[:_MOST_RESCORED]
        near = zip(position[nearest].tolist(), distance[nearest].tolist(), strict=True)
        return _ranked(key, [(self.key(at), at, away) for at, away in near])

    def _near(
        self, folded: bytes, slips: int
    ) -> Iterator[tuple[NDArray[np.uint32], NDArray[np.uint8]]]:
        """Yield, per length, positions and distances of the numbers within `slips`."""
        own_characters, own_pairs = _words(np.frombuffer(folded, np.uint8)[None, :])
        for length in range(len(folded) - slips, len(folded) + slips + 1):
            difference = abs(length - len(folded))
            most = difference + 2 * (slips - difference)
            for first, last, beyond in self._groups.get(length, ()):
                rows, flips = _few_flips(self._characters[first:last], own_characters[0], most)
                pair_flips = np.bitwise_count(self._pairs[first:last][rows] ^ own_pairs[0])
                rows = rows[pair_flips <= _most_pair_flips(difference, slips, flips)]
                at = self._positions[first:last][rows]
                distance = alignment_distances(folded, self._folded(at, length, beyond))
                close = distance <= slips
                yield at[close], distance[close]

    def _folded(self, positions: NDArray[np.uint32], length: int, beyond: bool) -> Codes:
        """Return the folded keys at `positions`, one row each, folded anew: half the memory."""
        if beyond:
            texts = b"".join(fold_text(self.key(at)) for at in positions.tolist())
            return np.frombuffer(texts, np.uint8).reshape(-1, length)
        starts = self._starts[positions].astype(np.int64)
        codes: Codes = _FOLDED[self._text[starts[:, None] + np.arange(length)]]
        return codes


def _few_flips(words: Words, own: np.uint64, most: int) -> tuple[NDArray[Any], NDArray[Any]]:
    """Return the indices of the words at most `most` bits from `own`, and how many bits."""
    differing = np.empty(min(_SCAN_STEP, len(words)), np.uint64)
    counted = np.empty(len(differing), np.uint8)
    rows, flips = [], []
    for start in range(0, len(words), _SCAN_STEP):
        piece = words[start : start + _SCAN_STEP]
        size = len(piece)
        np.bitwise_xor(piece, own, out=differing[:size])
        np.bitwise_count(differing[:size], out=counted[:size])
        found = np.flatnonzero(counted[:size] <= most)
        rows.append(found + start)
        flips.append(counted[found])
    return np.concatenate(rows), np.concatenate(flips)


def _ranked(key: str, found: list[tuple[str, int, int]]) -> list[Likeness]:
    """Return likenesses to `key`, the likeliest reading first.

    Reading slips before other slips; among equally many slips those that fewer other numbers
    could have led to (`_unlikeliness`), then a like beginning.
    """
    if not found:
        return []
    # Not at the top: finding a number exactly needs no RapidFuzz, and its import takes longer.
    from rapidfuzz import process
    from rapidfuzz.distance import OSA, JaroWinkler

    keys = [other for other, _, _ in found]
    raw = process.cdist([key], keys, scorer=OSA.distance, dtype=np.int32)[0]
    alike = process.cdist([key], keys, scorer=JaroWinkler.similarity, dtype=np.float32)[0]
    slips = np.array([away for _, _, away in found])
    cost = slips + _READING_SLIP_COST * np.maximum(raw - slips, 0)
    order = np.lexsort((-alike, _unlikeliness(key, keys, slips), cost))
    likenesses = []
    for at in order.tolist():
        other, position, away = found[at]
        score = max(0.0, 1 - float(cost[at]) / max(len(key), len(other)))
        likenesses.append(Likeness(other, position, away, float(cost[at]), score))
    return likenesses


def _unlikeliness(key: str, others: Sequence[str], slips: NDArray[Any]) -> NDArray[Any]:
    """Return how many of each number's slips are changed or added characters.

    One of ten or more characters was put there, so each single one is that much less likely than
    two neighbours swapped or a character lost (slips of all four sorts taken as equally common:
    common practice, no source). With s changed, t swapped, a added and l lost, the distances are
    OSA = s + t + a + l, Levenshtein = OSA + t, Indel = 2 (s + t) + a + l.
    """
    from rapidfuzz import process
    from rapidfuzz.distance import Indel, Levenshtein

    own = fold_text(key).decode("latin-1")
    folded = fold_text("\n".join(others)).decode("latin-1").split("\n")
    edits = process.cdist([own], folded, scorer=Levenshtein.distance, dtype=np.int32)[0]
    indels = process.cdist([own], folded, scorer=Indel.distance, dtype=np.int32)[0]
    longer = np.array([len(other) - len(own) for other in folded])
    changed = indels - edits
    added = (2 * slips - indels - longer) / 2
    unlikely: NDArray[Any] = np.maximum(changed, 0) + np.maximum(added, 0)
    return unlikely


def write_number_index(path: Path, keys: Sequence[str]) -> None:
    """Write the index of `keys` (sorted, distinct, none empty) to `path`."""
    write_arrays(path, _built(Texts.of(keys)), _ABOUT)


def _built(keys: Texts) -> dict[str, NDArray[Any]]:
    parts = [_folded(block) for block in keys.blocks()]
    codes = np.concatenate([np.zeros(0, np.uint8), *(part for part, _ in parts)])
    lengths = np.concatenate([np.zeros(0, np.int64), *(part for _, part in parts)])
    bytes_of = keys.lengths
    starts = np.append(0, np.cumsum(bytes_of))
    return {
        "text": keys.unseparated(),
        "starts": starts.astype(np.uint32) if starts[-1] < 1 << 32 else starts,
        **_by_length(codes, lengths, bytes_of != lengths),
    }


def _folded(keys: Texts) -> tuple[Codes, NDArray[np.int64]]:
    """Return the folded keys as one, and the length of each."""
    written = keys.written
    if written.isascii():
        folded, lengths = written.translate(_FOLDING, b"\n"), keys.lengths
    else:
        lines = Texts.lines(fold_text(written.decode()))
        folded, lengths = lines.written.translate(None, b"\n"), lines.lengths
    return np.frombuffer(folded, np.uint8), lengths


def _by_length(
    codes: Codes, lengths: NDArray[np.int64], beyond_ascii: NDArray[np.bool_]
) -> dict[str, NDArray[Any]]:
    """Return the numbers' words, grouped by length and by whether a byte is a character."""
    starts = np.cumsum(lengths) - lengths
    group_of = 2 * lengths + beyond_ascii
    group_of = group_of.astype(np.min_scalar_type(group_of.max(initial=0)))  # sorts by radix
    positions = np.argsort(group_of, kind="stable").astype(np.uint32)
    characters = np.empty(len(lengths), np.uint64)
    pairs = np.empty(len(lengths), np.uint64)
    groups = []
    first = 0
    for group, count in zip(*np.unique(group_of, return_counts=True), strict=True):
        length, last = int(group) // 2, first + count
        groups.append((length, first, last, int(group) % 2))
        for step in range(first, last, _BUILD_STEP):
            rows = slice(step, min(step + _BUILD_STEP, last))
            matrix = codes[starts[positions[rows]] + np.arange(length)[:, None]]
            characters[rows], pairs[rows] = _words(matrix.T)
        first = last
    return {
        "positions": positions,
        "characters": characters,
        "pairs": pairs,
        "groups": np.array(groups, np.int64).reshape(-1, 4),
    }
