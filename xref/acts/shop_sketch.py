"""What an outside shop must know to make a part: each size with its limits, and why those.

The limits are those of `shop_limits`; a part that no turner makes is refused with the reason.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from xref.acts.shop_limits import limits_of
from xref.errors import Impossible, NeedsAnswer, NothingFound
from xref.kinds.spec import spec
from xref.sourcing import enquiries, lookup, teardown, wants
from xref.sourcing.readings import Reading, combined

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]
MADE = ("plain_bushing", "thrust_washer", "spacer_ring", "shaft_sleeve")
_NOT_MADE = {
    "shaft_seal": "its lip is moulded to a form and a load that no sketch of sizes gives",
    "rolling_bearing": "rings and rolling elements are hardened and ground to classes that one "
    "turned piece cannot reach (ISO 492)",
    "o_ring": "it is moulded in one piece: a cord glued to a ring is no O-ring",
    "bushing_blank": "it is stock that is bought by its size; the bush made of it has its sketch",
}
_PROVISIONAL = (
    "No place was measured: the limits follow the old part's nominal sizes. Measure the machine "
    "before anything is cut."
)
_NOT_MEASURED = "Not measured, so taken from the old part's nominal size: "
# The places whose sizes the limits of a part are worked out from.
_RULING = {
    "plain_bushing": ("shaft", "housing"),
    "thrust_washer": ("shaft", "housing", "gap"),
    "spacer_ring": ("shaft", "housing", "gap"),
    "shaft_sleeve": ("shaft",),
}


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
    return {**wants.document(row), **_sketched(store, row, readings)}


def sketch_of_place(store: Store, machine: str, place: str) -> Row:
    """Return the sketch of the part that a place of a machine needs made, with no want for it.

    `place` is its name, id or number. Raises as `sketch`; NothingFound for an unknown machine or
    place.
    """
    name, places = teardown.places(store, machine)
    found = teardown.called(places, place)
    if found is None:
        known = ", ".join(p["name"] for p in places)
        raise NothingFound(f"{name} has no place {place!r}; it has {known or 'none'}.", at="place")
    asked = {"number": found["number"], "kind": found["kind"], "part": None, "variants": None}
    told = {"want": None, "quantity": found["quantity"] or 1, "place": found["name"]}
    return {**asked, **told, **_sketched(store, asked, found["readings"])}


def _sketched(store: Store, row: Row, readings: list[Row]) -> Row:
    """Return sizes with limits, the place, notes and cautions, of a want or what is like one."""
    kind = row["kind"]
    if kind not in MADE:
        what = spec(kind).title if kind else "A part of unknown kind"
        why = _NOT_MADE.get(kind or "", "its form is not given by sizes: draw it by hand")
        raise Impossible(
            f"{what}: not made from a sketch; {why}. Sketched are: "
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
    limits = limits_of(kind, own, place)
    titles = {d.name: d.title for d in spec(kind).dimensions}
    return {
        "dimensions": [{"name": n, "title": titles.get(n, n), **v} for n, v in limits.items()],
        "place_mm": {n: [low, high] for n, (low, high) in place.items()},
        "notes": _notes(kind, own, place),
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


def _notes(kind: str, own: dict[str, float], place: dict[str, tuple[float, float]]) -> list[str]:
    """Return what the shop must know besides the limits."""
    ruling = [p for p in spec(kind).places if p.name in _RULING[kind]]
    missing = [p.title.lower() for p in ruling if p.name not in place]
    notes = []
    if len(missing) == len(ruling):
        notes.append(_PROVISIONAL)
    elif missing:
        notes.append(_NOT_MEASURED + ", ".join(missing) + ".")
    if kind == "plain_bushing" and "flange_diameter" in own:
        notes.append(
            "Flange: relieve the corner under it, so that it lies flat (common practice, no "
            "source)."
        )
    return notes
