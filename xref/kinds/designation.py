"""A number that names sizes by an open standard: ISO/DIN 623 bearings, AS568 O-rings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

_READERS = ("rolling_bearing", "o_ring")


@dataclass(frozen=True, slots=True)
class Designated:
    """What a designation says: kind, dimensions [mm], traits, and the standard."""

    kind: str
    dimensions_mm: Mapping[str, float]
    source: str
    traits: Mapping[str, Any] = field(default_factory=dict)
    unit: str = "mm"


def decode(text: str) -> Designated | None:
    """Return what a designation names, or None when it is none that xref knows."""
    for kind in _READERS:
        try:
            reader = import_module(f"xref.kinds.{kind}.designation")
        except ModuleNotFoundError as error:
            if error.name != f"xref.kinds.{kind}.designation":
                raise
            continue
        found: Designated | None = reader.decode(text)
        if found is not None:
            return found
    return None
