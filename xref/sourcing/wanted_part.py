"""What a want asks for: a number some list may know, or a kind with its sizes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer
from xref.kinds.spec import kinds, known_kind, spec

if TYPE_CHECKING:
    from xref.sizes import Size
    from xref.store import Store

_LONGEST = 200
# Figures joined by x, or a figure with a unit: written sizes, not a number of a parts book.
_SIZES = re.compile(
    r"(?i)^[øØ∅]?\s*\d[\d\s.,/+\-]*\s*(mm|in|\"|″|inch)?\s*"
    r"([x×*]\s*[øØ∅]?\s*\d[\d\s.,/+\-]*\s*(mm|in|\"|″|inch)?\s*)*$"
)
_JOINED = re.compile(r"(?i)\d\s*(mm|in|\"|″|inch)?\s*[x×*]\s*\d|\d\s*(mm|in|\"|″|inch)\s*$")
_UNIT = re.compile(r"(?i)[a-z\"″”']")


@dataclass(frozen=True)
class WantedPart:
    """A part by number and/or sizes; `sizes` maps a dimension to low, high [mm] and its text."""

    number: str | None
    kind: str | None
    description: str | None = None
    sizes: dict[str, dict[str, Any]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def wanted_part(
    store: Store, text: str | None, kind: str | None = None, named: Mapping[str, str] | None = None
) -> WantedPart:
    """Understand what is wanted: a number or sizes as `text`, sizes by their option, or both.

    `named` maps `id`, `od`, `width`, `length`, `thickness`, `section` to a written size. Raises
    NeedsAnswer for sizes without a kind or with two readings, Impossible for what is no part.
    """
    if kind is not None:
        known_kind(kind)
    if text is None and not named:
        raise Impossible(
            "a want is a number or sizes: 60x80x8mm, or --id, --od, --width", at="want"
        )
    part = WantedPart(None, kind) if text is None else _part_of_text(store, text, kind)
    return _with_sizes(part, named) if named else part


def _part_of_text(store: Store, text: str, kind: str | None) -> WantedPart:
    """Understand a want's text: a number known to a list, else sizes, else a number as typed."""
    plain = " ".join(unicodedata.normalize("NFC", text).split())
    if not plain or len(plain) > _LONGEST or not plain.isprintable():
        raise Impossible(
            f"a want is a number or sizes of 1 to {_LONGEST} printable characters", at="number"
        )
    known = store.items_by_number(plain)
    if known:
        return _from_lists(plain, kind, known)
    if _SIZES.match(plain) and _JOINED.search(plain):
        return _from_sizes(plain, kind)
    return WantedPart(
        plain, kind, notes=(f"no list loaded knows the number {plain}; it is kept as typed",)
    )


def _from_lists(text: str, kind: str | None, items: list[dict[str, Any]]) -> WantedPart:
    originals = [i for i in items if i.get("table") == "originals"] or items
    found = {i["kind"] for i in originals if i.get("kind")}
    notes: list[str] = []
    if kind is None and len(found) == 1:
        kind = found.pop()
    elif kind is None and found:
        notes.append(f"the lists give {text} as {' and as '.join(sorted(found))}: say --kind")
    elif found and kind not in found:
        notes.append(f"the lists give {text} as {', '.join(sorted(found))}, not {kind}")
    spellings = list(dict.fromkeys(i["number"] for i in originals if i.get("number")))
    number = spellings[0] if len(spellings) == 1 else text
    words = next((i["description"] for i in originals if i.get("description")), None)
    return WantedPart(number, kind, words, notes=tuple(notes))


def _from_sizes(text: str, kind: str | None) -> WantedPart:
    from xref.matching.standard_sizes import demand_one
    from xref.sizes import sizes

    read = sizes(text)
    if kind is None:
        raise _kind_missing(text)
    order = spec(kind).written_order or spec(kind).dimension_names
    demand_one(kind, dict(zip(order, read, strict=False)))
    if len(read) > len(order):
        raise Impossible(
            f"{text} has {len(read)} sizes; {spec(kind).title.lower()} has {len(order)}: "
            + " × ".join(order),
            at="sizes",
        )
    return WantedPart(
        None, kind, None, {name: stored(s) for name, s in zip(order, read, strict=False)}
    )


def _with_sizes(part: WantedPart, named: Mapping[str, str]) -> WantedPart:
    """Add sizes given one by one to a part; they take the place of what its text says."""
    from xref.matching.needs import dimension_for
    from xref.matching.standard_sizes import demand_one
    from xref.sizes import size

    if part.kind is None:
        raise _kind_missing(" and ".join(f"--{name} {text}" for name, text in named.items()))
    given = {dimension_for(part.kind, name): size(text) for name, text in named.items()}
    demand_one(part.kind, given)
    return replace(part, sizes=part.sizes | {name: stored(read) for name, read in given.items()})


def _kind_missing(text: str) -> NeedsAnswer:
    return NeedsAnswer(
        f"{text} is sizes; say of what kind with --kind: {', '.join(kinds())}",
        at="kind",
        code="kind-missing",
    )


def stored(size: Size) -> dict[str, Any]:
    """Return a size as the state keeps it: interval and nominal in mm, and as written."""
    return {
        "low": size.low_mm,
        "high": size.high_mm,
        "nominal": size.nominal_mm,
        "text": size.text if _UNIT.search(size.text) else f"{size.text}{size.unit}",
        "unit": size.unit,
    }
