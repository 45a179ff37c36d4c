"""What the lists, or a standard designation, say of a number's sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from xref.acts.own_word import as_found
from xref.acts.support import supporters
from xref.errors import NeedsAnswer
from xref.fits.quantity import PRINT_ROUNDING_MM
from xref.kinds.designation import Designated, decode, named_in
from xref.matching.experience import experience

if TYPE_CHECKING:
    from xref.store import Store


def known_part(store: Store, number: str, kind: str | None = None) -> dict[str, Any] | None:
    """Return what the lists (or a standard designation) say of a number's sizes.

    What was found on a machine comes before what a list says. Follows supersession when the
    number itself has no sizes. Raises `NeedsAnswer` when lists give one number different sizes.
    """
    items = store.items_by_number(number, ("originals",)) or store.items_by_number(number)
    items, found = as_found(experience(store), number, items)
    sized = [i for i in items if i["dimensions_mm"] and (kind is None or i["kind"] == kind)]
    if not sized:
        decoded = decode(number)
        if decoded is not None and kind in (None, decoded.kind):
            note = f"{number} read as a designation: {decoded.source}"
            return _designated(decoded, decoded.traits, note)
        for item in items:
            decoded = named_in(item["kind"] or "", item["description"] or "", _dash(item))
            if decoded is not None and kind in (None, decoded.kind):
                note = f"{item['number']} in {_where(item)} names {decoded.source}"
                return _designated(decoded, {**decoded.traits, **item["traits"]}, note)
        for to in supporters(store, number).values():
            for item in store.items_by_number(to.number):
                if item["dimensions_mm"] and (kind is None or item["kind"] == kind):
                    return _known(item, f"{number}: {to.text}; sizes of {item['number']}")
        return None
    distinct = _distinct(sized)
    if len(distinct) > 1:
        readings = "; ".join(
            f"{' x '.join(f'{v:g}' for v in i['dimensions_mm'].values())} mm "
            f"({i.get('maker') or 'maker not stated'}, "
            f"{i.get('variant') or 'no variant'}, {_where(i)})"
            for i in distinct
        )
        raise NeedsAnswer(
            f"The number {number} stands with different sizes: {readings}. "
            "Say which with --kind and its sizes.",
            code="number-ambiguous",
        )
    fullest = max(sized, key=lambda i: len(i["dimensions_mm"]))
    note = f"{fullest['number']} in {_where(fullest)}"
    return _known(fullest, f"{note}; {found}" if found else note)


def _distinct(items: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return items whose sizes contradict each other; one list may just say less than another."""
    kept: list[dict[str, Any]] = []
    for item in items:
        if any(_contradicts(item, other) for other in kept) or not kept:
            kept.append(item)
    return kept


def _contradicts(a: dict[str, Any], b: dict[str, Any]) -> bool:
    if a["kind"] != b["kind"]:
        return True
    mine, other = a["dimensions_mm"], b["dimensions_mm"]
    return any(
        abs(value - other[name]) > PRINT_ROUNDING_MM
        for name, value in mine.items()
        if name in other
    )


def _designated(decoded: Designated, traits: Mapping[str, Any], note: str) -> dict[str, Any]:
    return {
        "kind": decoded.kind,
        "written": {n: f"{v:.10g}mm" for n, v in decoded.dimensions_mm.items()},
        "traits": traits,
        "unit": decoded.unit,
        "note": note,
    }


def _dash(item: dict[str, Any]) -> str | None:
    dash = item["traits"].get("dash")
    return str(dash) if dash else None


def _known(item: dict[str, Any], note: str) -> dict[str, Any]:
    written = {}
    for name, value in item["dimensions_mm"].items():
        limits = item["limits_mm"].get(name)
        text = (item.get("written") or {}).get(name)
        if limits and limits[0] != limits[1]:
            written[name] = f"{limits[0]:.10g}..{limits[1]:.10g}mm"
        elif item.get("written_unit") == "in" and text:
            written[name] = text
        else:
            written[name] = f"{value:.10g}mm"
    return {
        "kind": item["kind"],
        "written": written,
        "traits": item["traits"],
        "unit": item.get("written_unit"),
        "note": note,
    }


def _where(item: dict[str, Any]) -> str:
    at = item.get("at")
    place = ", ".join(f"{k} {v}" for k, v in at.items()) if isinstance(at, dict) else f"row {at}"
    return f"{item['list']}, {place}"
