"""Kinds that can be made into another: searched beside it, judged by its need."""

from __future__ import annotations

COMPANIONS = {"plain_bushing": ("bushing_blank",)}


def companions(kind: str) -> tuple[str, ...]:
    """Return the kinds whose parts may be worked into a part of `kind`."""
    return COMPANIONS.get(kind, ())
