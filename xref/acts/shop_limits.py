"""The limits of a part that is made: each size with its limits [mm], and why those.

Limits come from the rules that judge the part when it comes back, so that what is made to them
fits: bushes by ISO 4379 with ISO 286-2, sleeves under a seal by ISO 6194-1, washers and rings by
the workshop's figures. What no rule of fit concerns takes a general tolerance of ISO 2768-1.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from xref.errors import Impossible
from xref.fits.rules import COMMON_PRACTICE, FROM_MEMORY, NO_SOURCE, Rule

Row = dict[str, Any]
Sizes = Mapping[str, float]
Places = Mapping[str, tuple[float, float]]
# ISO 2768-1:1989, table 1, class m: up to and including the size, permitted deviation [mm]
# (from memory).
_MEDIUM = ((3.0, 0.1), (6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8))
_GENERAL = Rule("general tolerance, class m", "ISO 2768-1", FROM_MEMORY)


def limits_of(kind: str, own: Sizes, place: Places) -> dict[str, Row]:
    """Return the limits of a part's sizes, by dimension.

    `own`: its old sizes [mm]; `place`: the interval in which each place was measured [mm].
    Raises Impossible for a part that is not turned, or a size beyond every table.
    """
    return {
        "plain_bushing": _bush,
        "thrust_washer": _washer,
        "spacer_ring": _ring,
        "shaft_sleeve": _sleeve,
    }[kind](own, place)


def _bush(own: Sizes, place: Places) -> dict[str, Row]:
    """A bush is pressed into its housing and reamed to its journal."""
    from xref.fits import bushings
    from xref.fits.quantity import NOMINAL, Quantity
    from xref.fits.zones import zone
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
    if housing is not None:
        target = turned_to(housing)
        lower, upper = zone(target, "s6")
        limits["outside_diameter"] = _row(
            float(target[0]),
            float(target[0] + lower[0]),
            float(target[0] + upper[0]),
            bushings.PRESS_RULES[0],
            "s6 over the housing, to be pressed in",
        )
    if journal is not None and housing is not None:
        low, high, _ = reamed_bore(journal, housing.estimate)
        limits["bore_diameter"] = _row(
            float(journal.estimate[0]),
            float(low[0]),
            float(high[0]),
            bushings.CLEARANCE_RULES[0],
            "bored or reamed after pressing, for the clearance of the journal",
        )
    rest = {n: v for n, v in own.items() if n not in ("outside_diameter", "bore_diameter")}
    return limits | _general(rest)


def _washer(own: Sizes, place: Places) -> dict[str, Row]:
    """A thrust washer passes its shaft, lies in its recess and leaves the end float."""
    from xref.fits.practice import figure, practice_rule

    made_to, clearance = figure("washer_thickness"), figure("washer_bore_clearance_max")
    least, most = figure("washer_float_min"), figure("washer_float_max")
    limits = _general(own)
    if "gap" in place:
        low, high = place["gap"]
        wanted = (low + high) / 2 - (least + most) / 2
        rule = practice_rule("washer_float_max", f"end float {least:g} to {most:g} mm in the gap")
        limits["thickness"] = _row(wanted, wanted - made_to, wanted, rule)
    elif "thickness" in own:
        rule = practice_rule("washer_thickness", "the old washer's thickness, faces parallel")
        limits["thickness"] = _row(
            own["thickness"], own["thickness"] - made_to, own["thickness"], rule
        )
    if "shaft" in place:
        low, high = place["shaft"]
        rule = practice_rule("washer_bore_clearance_max", "over the shaft, by at most 1 mm")
        limits["inside_diameter"] = _row(high, high, low + clearance, rule)
    if "housing" in place:
        low, high = place["housing"]
        short = figure("washer_outside_short_max")
        rule = practice_rule("washer_outside_short_max", "into the recess, by at most 1 mm a side")
        limits["outside_diameter"] = _row(low, high - 2 * short, low, rule)
    return _possible(limits)


def _ring(own: Sizes, place: Places) -> dict[str, Row]:
    """A spacer ring passes its shaft, enters its housing and fills the gap."""
    from xref.fits.practice import figure, practice_rule

    slack = figure("washer_thickness")
    limits = _general(own)
    gap = place.get("gap") or ((own["thickness"],) * 2 if "thickness" in own else None)
    if gap:
        rule = practice_rule("washer_thickness", "thickness equal to the gap, faces parallel")
        limits["thickness"] = _row((gap[0] + gap[1]) / 2, gap[1] - slack, gap[0] + slack, rule)
    if "shaft" in place:
        low, high = place["shaft"]
        rule = practice_rule("ring_bore_clearance_max", "the shaft passes, by at most 4 mm")
        limits["inside_diameter"] = _row(high, high, low + figure("ring_bore_clearance_max"), rule)
    if "housing" in place:
        low, high = place["housing"]
        rule = practice_rule("ring_outside_short_max", "enters the housing, by at most 4 mm")
        limits["outside_diameter"] = _row(low, high - figure("ring_outside_short_max"), low, rule)
    return _possible(limits)


def _sleeve(own: Sizes, place: Places) -> dict[str, Row]:
    """A repair sleeve is pressed on its shaft and runs under the seal.

    The interference is that of H7/s6 on the shaft as it is; ISO 286-2 gives the zones, the choice
    of the fit is common practice, no source.
    """
    import numpy as np

    from xref.fits import seals
    from xref.fits.practice import figure
    from xref.fits.zones import zone

    limits = _general({n: v for n, v in own.items() if n == "width"})
    shaft = place.get("shaft") or (
        (own["inside_diameter"],) * 2 if "inside_diameter" in own else None
    )
    if shaft and "outside_diameter" in own:
        wall = (own["outside_diameter"] - (shaft[0] + shaft[1]) / 2) / 2
        least = figure("sleeve_thick_min")
        if wall < least - 1e-6:
            raise Impossible(
                f"a sleeve with a wall of {wall:.2f} mm is drawn, not turned (turned ones have "
                f"{least:g} mm or more: {NO_SOURCE}): it is bought, or the shaft is turned down "
                "to make room.",
                at="outside_diameter",
            )
    if shaft:
        middle = np.array([(shaft[0] + shaft[1]) / 2])
        (tight, tightest), bore = zone(middle, "s6"), zone(middle, "H7")[1]
        low, high = shaft[1] - float(tightest[0]), shaft[0] - float((tight - bore)[0])
        rule = Rule(
            "pressed or shrunk on: the interference of H7/s6 with the shaft",
            f"ISO 286-2 zones; the choice of the fit: {NO_SOURCE}",
            COMMON_PRACTICE,
        )
        limits["inside_diameter"] = _row(float(middle[0]), low, high, rule)
    if "outside_diameter" in own:
        outside = np.array([own["outside_diameter"]])
        lower, upper = seals.shaft_limits(outside, np.array([False]))
        limits["outside_diameter"] = _row(
            float(outside[0]),
            float(lower[0]),
            float(upper[0]),
            seals.SHAFT_RULES[0],
            "h11 of the seal's d1, ground without spiral marks",
        )
    return _possible(limits)


def _general(sizes: Sizes) -> dict[str, Row]:
    """Return sizes with the general tolerance; beyond its table the shop must be told."""
    found = {}
    for name, value in sizes.items():
        deviation = next((d for reach, d in _MEDIUM if value <= reach), None)
        if deviation is None:
            raise Impossible(
                f"{value:g} mm is beyond the general tolerances for a sketch (1000 mm): say the "
                "limits to the shop yourself.",
                at="sizes",
            )
        found[name] = _row(value, value - deviation, value + deviation, _GENERAL)
    return found


def _row(nominal: float, low: float, high: float, rule: Rule, text: str | None = None) -> Row:
    return {
        "nominal_mm": nominal,
        "low_mm": low,
        "high_mm": high,
        "rule": text or rule.text,
        "source": rule.source,
        "basis": rule.basis,
    }


def _possible(limits: dict[str, Row]) -> dict[str, Row]:
    """Refuse limits that the readings leave no room for."""
    for name, row in limits.items():
        if not row["low_mm"] < row["high_mm"] or row["low_mm"] <= 0:
            raise Impossible(
                f"the {name.replace('_', ' ')} has no room between its limits "
                f"({row['low_mm']:.3f} to {row['high_mm']:.3f} mm): the place was not measured "
                "well enough. Measure it again with a better instrument.",
                at=name,
                code="measured-too-widely",
            )
    return limits
