"""A number that names sizes by an open standard: ISO/DIN 623 bearings, AS568 O-rings."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from importlib import import_module
from typing import Any

_WORDS = re.compile(r"dash \d{3}|[\w-]+", re.IGNORECASE)
_READERS = ("rolling_bearing", "o_ring")


@dataclass(frozen=True, slots=True)
class Designated:
    """What a designation says: kind, dimensions [mm], traits, and the standard."""

    kind: str
    dimensions_mm: Mapping[str, float]
    source: str
    traits: Mapping[str, Any] = field(default_factory=dict)
    unit: str = "mm"
    designation: str = ""
    """As it was written, so that it decodes again."""
    more_mm: Mapping[str, float] = field(default_factory=dict)
    """What else the standard says of the part's sizes [mm]: a bearing's corner r_s min."""


@cache
def _readers() -> tuple[Callable[[str], Designated | None], ...]:
    """Return the readers of the kinds, imported when first asked: they read tables."""
    return tuple(import_module(f"xref.kinds.{kind}.designation").decode for kind in _READERS)


@lru_cache(maxsize=4096)
def decode(text: str) -> Designated | None:
    """Return what a designation names, or None when it is none that xref knows."""
    for read in _readers():
        found = read(text)
        if found is not None:
            return replace(found, designation=text)
    return None


def named_in(kind: str, description: str, dash: str | None = None) -> Designated | None:
    """Return what a part's own description designates: `Ball bearing 6207, input shaft`.

    Only designations of the part's `kind` count, and two different ones name nothing. `dash` is an
    O-ring's dash number where the list has a column for it.
    """
    texts = [f"dash {dash}"] if dash else _WORDS.findall(description)
    found = {text: decode(text) for text in texts}
    named = [one for one in found.values() if one is not None and one.kind == kind]
    distinct = {tuple(sorted(one.dimensions_mm.items())) for one in named}
    return named[0] if len(distinct) == 1 else None
