"""What an outside shop must know to make a part: each size with its limits, and why those.

Bushes take their limits from the same rules that judge them (ISO 4379 with ISO 286, the journal
and housing as measured); plain turned parts take the general tolerances of ISO 2768-1.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer
from xref.fits.rules import FROM_MEMORY
from xref.kinds.spec import spec
from xref.sourcing import enquiries, lookup, wants
from xref.sourcing.readings import Reading, combined

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]
MADE = ("plain_bushing", "thrust_washer", "spacer_ring", "shaft_sleeve")
# ISO 2768-1:1989, table 1, class m: up to and including the size, permitted deviation [mm]
# (from memory).
_MEDIUM = ((3.0, 0.1), (6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8))
_GENERAL = {"rule": "general tolerance, class m", "source": "ISO 2768-1", "basis": FROM_MEMORY}
_PROVISIONAL = (
    "No place was measured: the limits follow the old part's nominal sizes. Measure journal and "
    "housing before anything is cut."
)


def sketch(store: Store, want: int, on: date) -> Row:
    """Return the sizes of a wanted part with limits [mm], for the sketch that goes to a shop.

    Raises Impossible for a kind that no shop makes (seals, rolling bearings, O-rings), NeedsAnswer
    when no size is known, NothingFound for an unknown want.
    """
    with store.reading() as state:
        lookup.record(state, "wants", want)
        row = wants.rows(state, on, want)[0]
        readings = state.rows(
            "SELECT * FROM readings WHERE place = ? ORDER BY reading", [row["place_id"]]
        )
    kind = row["kind"]
    if kind not in MADE:
        what = spec(kind).title if kind else "A part of unknown kind"
        raise Impossible(
            f"{what} is not made from a sketch of sizes; these are: "
            + ", ".join(spec(k).title.lower() for k in MADE),
            at="kind",
        )
    own = {n: (low + high) / 2 for n, low, high, _ in enquiries.part_sizes(store, row)}
    place = _place(readings)
    if not own and not place:
        raise NeedsAnswer(
            f"No list gives the sizes of {row['number'] or 'this part'}, and its place was not "
            "measured, so there is nothing to draw. Note the place with its readings first.",
            at="sizes",
        )
    limits = _bush(own, place) if kind == "plain_bushing" else _turned(own)
    titles = {d.name: d.title for d in spec(kind).dimensions}
    return {
        **wants.document(row),
        "dimensions": [{"name": n, "title": titles.get(n, n), **v} for n, v in limits.items()],
        "place_mm": {n: [low, high] for n, (low, high) in place.items()},
        "notes": [] if place else [_PROVISIONAL],
        "cautions": list(spec(kind).cautions),
    }


def _place(readings: list[Row]) -> dict[str, tuple[float, float]]:
    """Return each place's interval that holds all its readings [mm]."""
    found = {}
    for name in dict.fromkeys(r["dimension"] for r in readings):
        size = combined(
            [
                Reading(r["value_mm"], r["uncertainty_mm"], r["plane"], r["direction"])
                for r in readings
                if r["dimension"] == name
            ]
        )
        found[name] = (size.low_mm, size.high_mm)
    return found


def _turned(own: dict[str, float]) -> dict[str, Row]:
    return {name: _general(value) for name, value in own.items()}


def _bush(own: dict[str, float], place: dict[str, tuple[float, float]]) -> dict[str, Row]:
    """Return a bush's limits: pressed into its housing, reamed to its journal."""
    from xref.fits import bushings
    from xref.fits.quantity import NOMINAL, Quantity
    from xref.kinds.plain_bushing.judge import reamed_bore, turned_to

    def at(name: str, dimension: str) -> Quantity | None:
        if name in place:
            low, high = place[name]
            return Quantity.measured((low + high) / 2, max((high - low) / 2, 1e-6))
        if dimension in own:
            return Quantity.limits(own[dimension], own[dimension], how=NOMINAL)
        return None

    limits: dict[str, Row] = {}
    housing, journal = at("housing", "outside_diameter"), at("shaft", "bore_diameter")
    press = bushings.PRESS_RULES[0]
    if housing is not None:
        target = turned_to(housing)
        lower, upper = bushings.safe_zone(target, "s6")
        limits["outside_diameter"] = {
            "nominal_mm": float(target[0]),
            "low_mm": float(target[0] + lower[0]),
            "high_mm": float(target[0] + upper[0]),
            "rule": "s6 over the housing, to be pressed in",
            "source": press.source,
            "basis": press.basis,
        }
    if journal is not None and housing is not None:
        low, high, _ = reamed_bore(journal, housing)
        running = bushings.CLEARANCE_RULES[0]
        limits["bore_diameter"] = {
            "nominal_mm": float(journal.estimate[0]),
            "low_mm": float(low[0]),
            "high_mm": float(high[0]),
            "rule": "bored or reamed after pressing, for the clearance of the journal",
            "source": running.source,
            "basis": running.basis,
        }
    rest = {n: v for n, v in own.items() if n not in ("outside_diameter", "bore_diameter")}
    return limits | _turned(rest)


def _general(value: float) -> Row:
    """Return a size with the general tolerance; beyond its table the shop must be told."""
    deviation = next((d for reach, d in _MEDIUM if value <= reach), None)
    if deviation is None:
        raise Impossible(
            f"{value:g} mm is beyond the general tolerances for a sketch (1000 mm): say the "
            "limits to the shop yourself.",
            at="sizes",
        )
    return {
        "nominal_mm": value,
        "low_mm": value - deviation,
        "high_mm": value + deviation,
        **_GENERAL,
    }
