"""What a torn-down machine shows: each place as measured, and whether it is within limits.

A place is judged by the part the book names for it: if that very part would fit as it is, the
place is within limits. The user decides what to do; nothing here does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.matching.experience import experience
from xref.sourcing import teardown
from xref.sourcing.readings import Reading, combined
from xref.store.number_key import number_key

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]


def show(store: Store, machine: str) -> Row:
    """Return the machine's places with sizes, form, checks and what was decided.

    `limits` is `within`, `outside`, `measure again` (a check is doubtful), or `not judged` with
    the reason in `why`; `evidence` what was noted of its number on this machine against the book.
    """
    from xref.acts.bulk import originals_by_number

    name, places = teardown.places(store, machine)
    numbered = [p for p in places if p["number"] and p["readings"]]
    rows, reasons = originals_by_number(store, [(p["number"], None) for p in numbered])
    known = {p["place"]: (row, why) for p, row, why in zip(numbered, rows, reasons, strict=True)}
    shown = [e for e in experience(store).evidence if e.is_on(name)]
    return {
        "machine": name,
        "places": [
            {
                **_document(p, *known.get(p["place"], (None, None))),
                "evidence": [
                    e.sentence() for e in shown if number_key(p["number"] or "") in e.keys
                ],
            }
            for p in places
        ],
    }


def _document(place: Row, original: Row | None, why: str | None) -> Row:
    sizes = measured(place["readings"])
    return {
        "place": place["place"],
        "name": place["name"],
        "assembly": place["assembly_number"],
        "kind": place["kind"],
        "number": place["number"],
        "quantity": place["quantity"],
        "measured": sizes,
        "readings": [
            {
                "dimension": r["dimension"],
                "plane": r["plane"],
                "direction": r["direction"],
                "value_mm": r["value_mm"],
                "text": r["text"],
                "instrument": r["instrument"],
                "uncertainty_mm": r["uncertainty_mm"],
            }
            for r in place["readings"]
        ],
        **_limits(place, sizes, original, why),
        "score": place["score"],
        "note": place["note"],
        "photograph": place["photograph"],
        "instructions": teardown.instructions_of(place),
        "decision": place["decision"],
        "reason": place["reason"],
        "want": place["want"],
    }


def measured(readings: list[Row]) -> dict[str, Row]:
    """Return per dimension the interval that holds all readings, and the form as found [mm]."""
    found: dict[str, Row] = {}
    for name in dict.fromkeys(r["dimension"] for r in readings):
        size = combined(
            [
                Reading(r["value_mm"], r["uncertainty_mm"], r["plane"], r["direction"])
                for r in readings
                if r["dimension"] == name
            ]
        )
        found[name] = {
            "low_mm": round(size.low_mm, 4),
            "high_mm": round(size.high_mm, 4),
            "mean_mm": round(size.mean_mm, 4),
            "uncertainty_mm": round(size.uncertainty_mm, 4),
            "taper_mm": None if size.taper_mm is None else round(size.taper_mm, 4),
            "out_of_round_mm": None
            if size.out_of_round_mm is None
            else round(size.out_of_round_mm, 4),
            "readings": size.readings,
        }
    return found


def _limits(place: Row, sizes: Row, original: Row | None, why: str | None) -> Row:
    if not sizes:
        return {"limits": "not judged", "why": "nothing was measured", "checks": []}
    if original is None:
        reason = why or "no number says which part belongs here"
        return {"limits": "not judged", "why": reason, "checks": []}
    if original["kind"] != place["kind"]:
        reason = f"{place['number']} is a {original['kind']}, the place is for {place['kind']}"
        return {"limits": "not judged", "why": reason, "checks": []}
    from xref.errors import XrefError
    from xref.sourcing.judge_received import judge_received

    need = {
        "original": original,
        "place_mm": {n: [s["low_mm"], s["high_mm"]] for n, s in sizes.items()},
    }
    part = {
        "kind": original["kind"],
        "measured_mm": {},
        "uncertainty_mm": None,
        "ordered_mm": _own_sizes(original),
        "traits": {},
    }
    try:
        judged = judge_received(need, part)
    except XrefError as error:
        return {"limits": "not judged", "why": str(error), "checks": []}
    doubtful = [c["name"] for c in judged["checks"] if c["result"] == "doubtful"]
    failing = [c["name"] for c in judged["checks"] if c["result"] == "fail"]
    if judged["verdict"] != "as is":  # its checks then stand for the place as altered
        limits, reasons = "outside", judged["work"] or failing
    elif doubtful:
        limits, reasons = "measure again", doubtful
    else:
        limits, reasons = "within", []
    return {"limits": limits, "why": "; ".join(reasons) or None, "checks": judged["checks"]}


def _own_sizes(original: Row) -> dict[str, float]:
    from xref.kinds.spec import spec
    from xref.sizes import size

    sizes: dict[str, float] = {}
    for name in spec(original["kind"]).dimension_names:
        if original.get(f"{name}_mm") is not None:
            sizes[name] = float(original[f"{name}_mm"])
        elif original.get(f"{name}_text"):
            nominal = size(original[f"{name}_text"], original.get("written_unit")).nominal_mm
            if nominal is not None:
                sizes[name] = nominal
    return sizes
