"""Serial breaks: a want for one form of a part is never served with the other unasked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from xref.matching.variants import excludes, variant


def of_want(variants: Sequence[str] | None) -> tuple[list[str], list[str]]:
    """Part a want's variants into serial ranges (`from serial 412`) and substitutes accepted."""
    ranges = [v for v in variants or () if variant(v).is_range]
    return ranges, [v for v in variants or () if v not in ranges]


def applies(want: Mapping[str, Any], item: Mapping[str, Any]) -> bool:
    """Whether a list's row may be the form that is wanted."""
    written = item.get("variant")
    if not written:
        return True
    return not any(excludes(variant(v), variant(written)) for v in of_want(want["variants"])[0])
