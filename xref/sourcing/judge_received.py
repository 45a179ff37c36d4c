"""Judge a measured part: is it what was ordered, and does it fit its place?

What a sound part may measure against its nominal size is common practice (no source): a seal's
free lip is smaller than its shaft and its outside larger than its bore, a bush is made to be
pressed. A measured size within that band stands for the nominal size, to which the kind's judge
then applies the standard's tolerances; outside it the part is judged as it measures.
"""

from __future__ import annotations

from typing import Any

Row = dict[str, Any]
BASIS = "common practice"

# Least and most a sound part may measure above its nominal size [mm], by kind and dimension.
BANDS: dict[str, dict[str, tuple[float, float]]] = {
    "shaft_seal": {
        "shaft_diameter": (-3.0, 0.1),
        "outside_diameter": (0.0, 0.6),
        "width": (-0.5, 0.5),
    },
    "rolling_bearing": {
        "bore_diameter": (-0.03, 0.005),
        "outside_diameter": (-0.03, 0.005),
        "width": (-0.15, 0.02),
        "assembled_width": (-0.3, 0.3),
    },
    "plain_bushing": {
        "bore_diameter": (-0.05, 0.15),
        "outside_diameter": (0.0, 0.12),
        "length": (-0.3, 0.3),
    },
    "o_ring": {"inside_diameter": (-0.6, 0.6), "cross_section": (-0.15, 0.15)},
    "thrust_washer": {
        "inside_diameter": (-0.3, 0.3),
        "outside_diameter": (-0.3, 0.3),
        "thickness": (-0.1, 0.1),
    },
}
DEFAULT_BAND = (-0.1, 0.1)
DEFAULT_UNCERTAINTY_MM = 0.02  # outside caliper, k = 2 (common practice)
_EPSILON = 1e-6


def _band(kind: str, dimension: str) -> tuple[float, float]:
    return BANDS.get(kind, {}).get(dimension, DEFAULT_BAND)


def _spread(part: Row) -> float:
    return float(part["uncertainty_mm"] or DEFAULT_UNCERTAINTY_MM)


def as_ordered_checks(part: Row) -> list[Row]:
    """Return a check per measured dimension whose ordered size a list gives.

    The check uses the same words as the kinds' judges; bands allow 1e-6 mm.
    """
    checks = []
    spread = _spread(part)
    for name, value in part["measured_mm"].items():
        nominal = part["ordered_mm"].get(name)
        if nominal is None:
            continue
        below, above = _band(part["kind"], name)
        low, high = nominal + below, nominal + above
        checks.append(
            {
                "name": f"{name.replace('_', ' ')} as ordered",
                "permitted_mm": [round(low, 4), round(high, 4)],
                "actual_mm": [round(value - spread, 4), round(value + spread, 4)],
                "estimate_mm": round(value, 4),
                "margin_mm": round(min(value - low, high - value), 4),
                "result": _result(value, spread, low, high),
                "conformance": None,
                "rule": f"what a sound part may measure for {nominal:g} mm",
                "source": "no source",
                "basis": BASIS,
            }
        )
    return checks


def _result(value: float, spread: float, low: float, high: float) -> str:
    if low - _EPSILON <= value - spread and value + spread <= high + _EPSILON:
        return "pass"
    if low - _EPSILON <= value <= high + _EPSILON:
        return "likely"
    if value + spread < low - _EPSILON or value - spread > high + _EPSILON:
        return "fail"
    return "doubtful"


def nominal_sizes(part: Row) -> dict[str, float]:
    """Return the sizes to judge [mm]: the ordered ones where the part measures as such."""
    sizes = dict(part["ordered_mm"])
    spread = _spread(part)
    for name, value in part["measured_mm"].items():
        nominal = part["ordered_mm"].get(name)
        if nominal is not None:
            below, above = _band(part["kind"], name)
            if _result(value, spread, nominal + below, nominal + above) != "fail":
                continue
        sizes[name] = value
    return sizes


def judge_received(need: Row, part: Row) -> Row:
    """Return verdict, certainty, checks, work and warnings of the part in its place.

    `need`: `original` (a row of `xref.match`'s originals) and `place_mm` intervals; `part`:
    `measured_mm`, `ordered_mm`, `traits`.
    """
    import numpy as np
    import pandas as pd

    from xref.matching.judging import describe, judge_pairs
    from xref.matching.need_frame import needs_from_frame
    from xref.matching.parts import part_from_columns

    kind = part["kind"]
    row = dict(need["original"])
    for name, (low, high) in need["place_mm"].items():
        row[f"{name}_mm"] = (low + high) / 2
        row[f"{name}_uncertainty_mm"] = (high - low) / 2
    bad: dict[int, str] = {}
    one = np.array([0], dtype=np.intp)
    asked = needs_from_frame(kind, pd.DataFrame([row]), {}, bad, one)
    sizes = nominal_sizes(part)
    columns: dict[str, Any] = {f"{name}_mm": np.array([v]) for name, v in sizes.items()}
    columns |= {name: np.array([v], dtype=object) for name, v in part["traits"].items()}
    offered = part_from_columns(kind, columns, 1)
    judged, _, _, use = judge_pairs(kind, asked, offered, one, one)
    answer = describe(judged, int(use[0]))
    if bad:
        answer["warnings"] = [*answer["warnings"], *bad.values()]
    if any(name not in part["ordered_mm"] for name in part["measured_mm"]):
        answer["warnings"] = [
            *answer["warnings"],
            "no list gives this part's sizes: they are judged as measured",
        ]
    return answer
