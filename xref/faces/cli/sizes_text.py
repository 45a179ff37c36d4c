"""Dimensions in words: `60.325 x 79.375 x 12.7`, in the order a kind's sizes are written."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from xref.kinds.spec import kinds, spec

MM_PER_INCH = 25.4


def in_mm(dimensions: Mapping[str, Any], kind: str | None) -> str:
    """Return the known dimensions [mm]: `40 x 45 x 20, shaft low 39.9`."""
    return _joined(dimensions, kind, lambda mm: f"{mm:.4f}".rstrip("0").rstrip("."))


def in_inches(dimensions: Mapping[str, Any], kind: str | None) -> str:
    """Return the known dimensions, given in mm, in inches."""
    return _joined(dimensions, kind, lambda mm: f"{mm / MM_PER_INCH:.4f}")


def _joined(
    dimensions: Mapping[str, Any], kind: str | None, written: Callable[[float], str]
) -> str:
    """Join the sizes that name a part by x; what it has besides follows by name."""
    known = {name: written(float(mm)) for name, mm in dimensions.items() if mm is not None}
    order = spec(kind).written_order if kind in kinds() else tuple(known)
    main = " x ".join(known[name] for name in order if name in known)
    besides = [f"{name.replace('_', ' ')} {mm}" for name, mm in known.items() if name not in order]
    return ", ".join(filter(None, [main, *besides]))
