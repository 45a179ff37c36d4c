"""Dimensions in words: `60.325 x 79.375 x 12.7`, in the order a kind's sizes are written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from xref.kinds.spec import kinds, spec

MM_PER_INCH = 25.4


def in_mm(dimensions: Mapping[str, Any], kind: str | None) -> str:
    """Return the known dimensions [mm]."""
    known = _ordered(dimensions, kind)
    return " x ".join(f"{value:.4f}".rstrip("0").rstrip(".") for value in known)


def in_inches(dimensions: Mapping[str, Any], kind: str | None) -> str:
    """Return the known dimensions, given in mm, in inches."""
    return " x ".join(f"{value / MM_PER_INCH:.4f}" for value in _ordered(dimensions, kind))


def _ordered(dimensions: Mapping[str, Any], kind: str | None) -> list[float]:
    order = spec(kind).written_order if kind in kinds() else ()
    names = sorted(dimensions, key=lambda name: order.index(name) if name in order else len(order))
    return [float(dimensions[name]) for name in names if dimensions[name] is not None]
