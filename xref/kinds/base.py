"""What a judge receives: needs and parts as columns, one row per pair.

`Need` is what the machine asks for (the old part's own dimensions, the place as
measured, service); `Part` is what is on offer. Both are structs of arrays, so
that a million pairs are judged in a few numpy passes. Words of traits are coded
by their position in the kind's `kind.json`; -1 means not stated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from xref.fits.judgement import Judgement
from xref.fits.quantity import NOMINAL, OWN_LIMITS, Bools, Codes, Floats, Quantity
from xref.kinds.spec import spec

METRIC, INCH, UNCLEAR = range(3)
"""The system a size belongs to (FITS 1). UNCLEAR rows are judged under both, the worse kept."""

NOT_STATED = -1
Rows = NDArray[np.intp] | Bools


@dataclass(slots=True)
class Need:
    """Rows of needs of one kind.

    `part`: the old part's own dimensions by name; `place`: the machine's as
    measured; `system`: codes above; `service`: numbers (NaN unknown) or words by
    option name. `nominal`: the old part's sizes as named where limits were written
    too (`60 h11`), `other`: the second standard size in reach of what was written,
    to be judged as well [mm], both NaN where there is none.
    """

    kind: str
    system: Codes
    part: dict[str, Quantity] = field(default_factory=dict)
    place: dict[str, Quantity] = field(default_factory=dict)
    service: dict[str, NDArray[Any]] = field(default_factory=dict)
    traits: dict[str, NDArray[Any]] = field(default_factory=dict)
    nominal: dict[str, Floats] = field(default_factory=dict)
    other: dict[str, Floats] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.system)

    def own(self, dimension: str) -> Quantity:
        """Return the old part's dimension, unknown where not given."""
        found = self.part.get(dimension)
        return Quantity.unknown(len(self)) if found is None else found

    def named(self, dimension: str) -> Quantity:
        """Return the old part's size by its name: the nominal one, else the middle of limits."""
        own = self.own(dimension)
        found = self.nominal.get(dimension)
        size = own.estimate if found is None else np.where(np.isnan(found), own.estimate, found)
        return Quantity.limits(size, size, how=NOMINAL)

    def only_limits(self, dimension: str) -> Bools:
        """Return where limits were written and no nominal size."""
        own, found = self.own(dimension), self.nominal.get(dimension)
        limited = own.how == OWN_LIMITS
        return np.asarray(limited if found is None else limited & np.isnan(found))

    def at(self, place: str) -> Quantity:
        """Return the measured place, unknown where not given."""
        found = self.place.get(place)
        return Quantity.unknown(len(self)) if found is None else found

    def number(self, name: str) -> Floats:
        """Return a service figure, NaN where not stated."""
        found = self.service.get(name)
        return np.full(len(self), np.nan) if found is None else found

    def states(self, name: str) -> bool:
        """Whether a service condition was stated for any row."""
        return name in self.service

    def word(self, name: str) -> NDArray[Any]:
        """Return a service word as text, empty where not stated."""
        found = self.service.get(name)
        return np.full(len(self), "", dtype="<U24") if found is None else found

    def says(self, name: str, word: str) -> Bools:
        """Return where a service word was stated."""
        found = self.service.get(name)
        if found is None:
            return np.zeros(len(self), dtype=np.bool_)
        return np.asarray(found == word)

    def trait(self, name: str) -> NDArray[Any]:
        """Return the old part's trait: codes, or numbers with NaN."""
        found = self.traits.get(name)
        if found is not None:
            return found
        if spec(self.kind).trait(name).is_number:
            return np.full(len(self), np.nan)
        return np.full(len(self), NOT_STATED, dtype=np.int8)

    def take(self, rows: Rows) -> Need:
        """Return the needs at `rows`."""
        return Need(
            self.kind,
            self.system[rows],
            {name: q.take(rows) for name, q in self.part.items()},
            {name: q.take(rows) for name, q in self.place.items()},
            {name: values[rows] for name, values in self.service.items()},
            {name: values[rows] for name, values in self.traits.items()},
            {name: values[rows] for name, values in self.nominal.items()},
            {name: values[rows] for name, values in self.other.items()},
        )

    def second_reading(self, rows: Bools) -> None:
        """Put the second standard size in reach in place of the first, at `rows`."""
        for name, other in self.other.items():
            here = rows & ~np.isnan(other)
            self.part[name] = self.part[name].where(here, Quantity.limits(other, other, NOMINAL))


@dataclass(slots=True)
class Part:
    """Rows of parts on offer, of one kind: nominal dimensions [mm] and traits.

    `other`: the second standard size in reach of what the list wrote [mm], NaN where there is none.
    """

    kind: str
    system: Codes
    size: dict[str, Floats]
    traits: dict[str, NDArray[Any]] = field(default_factory=dict)
    other: dict[str, Floats] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.system)

    def dimension(self, name: str) -> Floats:
        """Return a dimension [mm], NaN where the list does not give it."""
        found = self.size.get(name)
        return np.full(len(self), np.nan) if found is None else found

    def trait(self, name: str) -> NDArray[Any]:
        """Return a trait: word codes (-1 not stated) or numbers (NaN not stated)."""
        found = self.traits.get(name)
        if found is not None:
            return found
        if spec(self.kind).trait(name).is_number:
            return np.full(len(self), np.nan)
        return np.full(len(self), NOT_STATED, dtype=np.int8)

    def take(self, rows: Rows) -> Part:
        """Return the parts at `rows`."""
        return Part(
            self.kind,
            self.system[rows],
            {name: values[rows] for name, values in self.size.items()},
            {name: values[rows] for name, values in self.traits.items()},
            {name: values[rows] for name, values in self.other.items()},
        )

    def second_reading(self, rows: Bools) -> None:
        """Put the second standard size in reach in place of the first, at `rows`."""
        for name, other in self.other.items():
            self.size[name] = np.where(rows & ~np.isnan(other), other, self.size[name])


@dataclass(frozen=True, slots=True)
class Window:
    """Which parts are worth judging: a part dimension within low..high [mm] of a need.

    `low`/`high` are per need; NaN leaves that side open.
    """

    dimension: str
    low: Floats
    high: Floats


class Judge(Protocol):
    """The module `xref.kinds.<kind>.judge`."""

    def judge(self, need: Need, part: Part) -> Judgement:
        """Judge aligned rows: row i of `need` with row i of `part`."""

    def windows(self, need: Need, stage: int) -> list[Window]:
        """Return the windows for candidates: stage 0 narrow, 1 with work, 2 near misses."""


def code(kind: str, trait: str, word: str) -> int:
    """Return the code of a trait's word; KeyError for a word the kind does not know."""
    words = spec(kind).trait(trait).words
    for position, known in enumerate(words):
        if known == word:
            return position
    raise KeyError(f"{kind}.{trait} knows no {word!r}")


def encode(kind: str, trait: str, values: Sequence[object]) -> NDArray[np.int8]:
    """Return word codes for texts, their other spellings understood; unknown texts are -1."""
    words = spec(kind).trait(trait).words
    codes: Mapping[str, int] = {
        spelling.casefold(): position
        for position, (word, others) in enumerate(words.items())
        for spelling in (*others, word)
    }
    # A list of many rows holds few words: each is understood once.
    texts = [v if isinstance(v, str) else "" for v in values]
    known = {v: codes.get(v.strip().casefold(), NOT_STATED) for v in set(texts)}
    return np.fromiter(map(known.__getitem__, texts), dtype=np.int8, count=len(values))
