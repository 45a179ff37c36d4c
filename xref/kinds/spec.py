"""What a part kind is: its names, dimensions, traits and places, read from `<kind>/kind.json`.

Everything that differs from kind to kind in reading a table, asking for sizes
or drawing a part is data in that file. What differs in judging is `judge.py`
beside it. A new kind is a new folder.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from xref.errors import Impossible

_FOLDER = Path(__file__).resolve().parent


@dataclass(frozen=True, slots=True)
class Dimension:
    """One of the part's own dimensions, always in millimetres inside xref."""

    name: str
    title: str
    symbol: str
    other_names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Trait:
    """A property that is no dimension.

    `words` maps each word to its other spellings; it is empty when the trait is
    a number (`unit` then says of what) or free text (`unit` None).
    """

    name: str
    title: str
    words: dict[str, tuple[str, ...]]
    unit: str | None
    other_names: tuple[str, ...]

    @property
    def is_number(self) -> bool:
        """Whether values are numbers in `unit`."""
        return self.unit is not None


@dataclass(frozen=True, slots=True)
class Place:
    """A dimension of the machine that the part meets, and what it is measured with."""

    name: str
    title: str
    from_part: str | None
    instrument: str


@dataclass(frozen=True, slots=True)
class KindSpec:
    """A part kind as declared by its `kind.json`."""

    kind: str
    title: str
    other_names: tuple[str, ...]
    dimensions: tuple[Dimension, ...]
    written_order: tuple[str, ...]
    traits: tuple[Trait, ...]
    places: tuple[Place, ...]
    cautions: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """What the trade calls a part of this kind: its name in words, its title, the others."""
        return (self.kind.replace("_", " "), self.title, *self.other_names)

    @property
    def dimension_names(self) -> tuple[str, ...]:
        """Names of the dimensions, in the order of the file."""
        return tuple(dimension.name for dimension in self.dimensions)

    def trait(self, name: str) -> Trait:
        """Return the trait called `name`; KeyError if the kind has none."""
        for trait in self.traits:
            if trait.name == name:
                return trait
        raise KeyError(name)


@cache
def kinds() -> tuple[str, ...]:
    """Names of all kinds: every folder that holds a `kind.json`."""
    return tuple(sorted(path.parent.name for path in _FOLDER.glob("*/kind.json")))


def known_kind(kind: str, *, at: str = "kind", code: str = "unknown-kind") -> str:
    """Return `kind` if there is one of this name; Impossible, naming them all, if not."""
    if kind in kinds():
        return kind
    raise Impossible(
        f"There is no kind of part called {kind[:40]!r}; the kinds are {', '.join(kinds())}.",
        at=at,
        code=code,
    )


@cache
def spec(kind: str) -> KindSpec:
    """Read the declaration of `kind`; KeyError when there is no such folder."""
    path = _FOLDER / kind / "kind.json"
    if not path.is_file():
        raise KeyError(kind)
    return _parse(json.loads(path.read_text(encoding="utf-8")))


@cache
def dimension_names() -> tuple[str, ...]:
    """Every dimension name of any kind, each once, in a stable order."""
    return tuple(dict.fromkeys(name for kind in kinds() for name in spec(kind).dimension_names))


@cache
def trait_names() -> tuple[str, ...]:
    """Every trait name of any kind, each once, in a stable order."""
    return tuple(dict.fromkeys(trait.name for kind in kinds() for trait in spec(kind).traits))


def _parse(raw: dict) -> KindSpec:  # type: ignore[type-arg]  # JSON as it stands in the file
    return KindSpec(
        kind=raw["kind"],
        title=raw["title"],
        other_names=tuple(raw.get("other_names", ())),
        dimensions=tuple(
            Dimension(d["name"], d["title"], d.get("symbol", ""), tuple(d.get("other_names", ())))
            for d in raw.get("dimensions", ())
        ),
        written_order=tuple(raw.get("written_order", ())),
        traits=tuple(
            Trait(
                t["name"],
                t["title"],
                {word: tuple(others) for word, others in t.get("words", {}).items()},
                t.get("unit"),
                tuple(t.get("other_names", ())),
            )
            for t in raw.get("traits", ())
        ),
        places=tuple(
            Place(p["name"], p["title"], p.get("from_part"), p.get("instrument", "outside caliper"))
            for p in raw.get("places", ())
        ),
        cautions=tuple(raw.get("cautions", ())),
    )
