"""Explain one fit: a given part in a given place, or a press fit; no store is needed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from xref.errors import Impossible, NeedsAnswer
from xref.sizes import size

PRESS_SOURCE = "Lamé, thick-walled rings under plane stress"


def fit(
    kind: str,
    *,
    part: Mapping[str, str],
    place: Mapping[str, str],
    traits: Mapping[str, str],
    uncertainty: str | None = None,
    service: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Judge one part against one place and return every check with limits, rule and source.

    `kind` may also be a designation, 6205 or AS568-214: its sizes are then the standard's.
    `part` maps the options id, od, width ... (or the kind's dimension names) to written sizes,
    `place` the kind's places likewise. Raises NeedsAnswer when part or place is not given,
    Impossible, Refused as the sizes do.
    """
    import numpy as np

    from xref.kinds.designation import decode
    from xref.kinds.spec import spec
    from xref.matching.impossible import impossible_rows
    from xref.matching.judging import describe, judge_of, judge_pairs
    from xref.matching.needs import dimension_for, one_need
    from xref.matching.parts import part_from_sizes, understood
    from xref.matching.standard_sizes import demand_one

    designated = decode(kind)
    if designated is not None:
        kind = designated.kind
        standard = {**designated.dimensions_mm, **designated.more_mm}
        part = {n: f"{v:.10g}mm" for n, v in standard.items()} | dict(part)
        traits = {n: str(v) for n, v in designated.traits.items()} | dict(traits)
    judge_of(kind)  # an unknown kind is refused before anything is read
    declared = spec(kind)
    if not part:
        raise NeedsAnswer(f"Which sizes has the part? {_options(kind)}.", at="part")
    if not place:
        named = ", ".join(f"--{one.name.replace('_', '-')}" for one in declared.places)
        raise NeedsAnswer(f"Where is it to fit? Give what was measured: {named}.", at="place")
    need, origin, assumed = one_need(
        kind, part={}, place=place, uncertainty=uncertainty, service=service
    )
    sizes = {dimension_for(kind, name): size(text) for name, text in part.items()}
    demand_one(kind, sizes)
    wrong = impossible_rows(kind, {n: np.array([_middle(s)]) for n, s in sizes.items()}, {}, {})
    if wrong:
        raise Impossible(f"Impossible: {wrong[0]}.", at="part")
    unknown = [name for name in traits if name not in {t.name for t in declared.traits}]
    if unknown:
        known = ", ".join(t.name for t in declared.traits)
        raise Impossible(f"A {declared.title.lower()} has no trait {unknown[0]!r}: it has {known}.")
    for name, value in traits.items():
        understood(kind, name, value)
    offered = part_from_sizes(kind, sizes, traits)
    one = np.zeros(1, dtype=np.intp)
    judged, _, _, use = judge_pairs(kind, need, offered, one, one)
    return {
        "kind": kind,
        "given": {
            "part_mm": {name: _middle(value) for name, value in sizes.items()},
            "part_limits_mm": {
                n: [one.low_mm, one.high_mm] for n, one in sizes.items() if one.low != one.high
            },
            "place_mm": {
                name: [float(q.low[0]), float(q.high[0])] for name, q in need.place.items()
            },
            "from": origin,
            "traits": dict(traits),
            "service": dict(service or {}),
            "assumed": assumed,
        },
        **describe(judged, int(use[0])),
        "cautions": list(declared.cautions),
    }


def press(
    *,
    interference: str,
    interface: str,
    inner_bore: str | None,
    outer_outside: str | None,
    length: str,
    inner: str,
    outer: str,
    friction: float,
) -> dict[str, Any]:
    """Return pressure, force and closing-in of a press fit, with what was given and the rule.

    Sizes are written sizes; a missing bore means a solid inner part, a missing outside an outer
    part without end.
    """
    from xref.fits import press_fit

    given = {
        "interference_mm": _middle(size(interference)),
        "interface_mm": _middle(size(interface)),
        "inner_bore_mm": 0.0 if inner_bore is None else _middle(size(inner_bore)),
        "outer_outside_mm": math.inf if outer_outside is None else _middle(size(outer_outside)),
        "length_mm": _middle(size(length)),
    }
    pressure, force, close_in = press_fit(**given, inner=inner, outer=outer, friction=friction)
    rule = f"{inner} in {outer}, friction {friction:g}"
    checks = [
        {"name": name, "value": float(value), "unit": unit, "result": result, "rule": rule,
         "source": PRESS_SOURCE}
        for name, value, unit, result in (
            ("pressure", pressure, "MPa", "computed"),
            ("press force", force, "kN", "computed"),
            ("bore closes in", close_in, "mm", "computed; on diameter, the shop's safe bound"),
        )
    ]  # fmt: skip
    return {
        "kind": "press",
        "given": {**given, "inner": inner, "outer": outer, "friction": friction},
        "checks": checks,
        "cautions": [
            "Press with a guided mandrel and stand clear: a bush under load can burst or fly.",
            "Measure the bore after pressing, before reaming; the computed closing-in is a bound.",
        ],
    }


def _middle(read: Any) -> float:
    return float(
        read.nominal_mm if read.nominal_mm is not None else (read.low_mm + read.high_mm) / 2
    )


def _options(kind: str) -> str:
    from xref.kinds.spec import spec

    names = ", ".join(one.title.lower() for one in spec(kind).dimensions)
    return f"Give them with their unit, --id 60mm --od 80mm ({names})"
