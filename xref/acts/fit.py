"""Explain one fit: what was given, the rule, the result, the source. Needs no list and no store."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from xref.errors import Impossible
from xref.fits.press import metals, press_fit
from xref.kinds.spec import spec
from xref.matching.judging import describe, judge_of
from xref.matching.needs import Sizes, dimension_for, one_need
from xref.matching.parts import part_from_columns
from xref.sizes import size

PRESS_SOURCE = "Lame, two rings, plane stress (Shigley, press and shrink fits)"


def fit(
    kind: str,
    *,
    part: Mapping[str, str],
    place: Mapping[str, str],
    traits: Mapping[str, Any] | None = None,
    uncertainty: str | None = None,
    service: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """Judge one part against one place as measured; the contract's document of `xref fit KIND`.

    `part` holds the part's own sizes by option name, `place` the machine's.
    Raises `Impossible`, `NeedsAnswer`, `Refused` with a sentence.
    """
    judge = judge_of(kind)
    dimensions = {dimension_for(kind, option): text for option, text in part.items()}
    if not dimensions:
        raise Impossible(
            f"Give the part's own sizes: {', '.join(spec(kind).dimension_names[:3])}, "
            "for example --id 60mm --od 80mm --width 8mm."
        )
    if not place:
        raise Impossible(
            "Give the place as measured, for example "
            + " ".join(f"--{one.name.replace('_', '-')} SIZE" for one in spec(kind).places[:2])
            + "."
        )
    words = {"gland": place["gland"]} if "gland" in place else {}
    need, origin, assumed = one_need(
        kind,
        part={},
        place={name: text for name, text in place.items() if name != "gland"},
        uncertainty=uncertainty,
        service={**(service or {}), **words},
    )
    columns: dict[str, Any] = {"written_unit": np.array([None], dtype=object)}
    given: dict[str, str] = {}
    for name, text in dimensions.items():
        sizes = Sizes.empty(1)
        read = size(text)
        sizes.set(0, read)
        columns[f"{name}_mm"] = sizes.value
        columns["written_unit"][0] = read.unit
        given[name] = read.text
    for name, value in (traits or {}).items():
        columns[name] = np.array([value], dtype=object)
    judged = judge.judge(need, part_from_columns(kind, columns, 1))
    return {
        "kind": kind,
        "given": given | origin,
        "assumed": assumed,
        **describe(judged, 0),
        "cautions": list(spec(kind).cautions),
    }


def press(
    *,
    interference: str,
    interface: str,
    length: str,
    inner_bore: str | None = None,
    outer_outside: str | None = None,
    inner: str = "bronze",
    outer: str = "cast iron",
    friction: float = 0.15,
) -> dict[str, Any]:
    """Work out a press fit; the contract's document of `xref fit press`.

    Sizes are written with their unit; no `inner_bore` means solid, no
    `outer_outside` means not known (taken as very thick).
    """
    values = {
        "interference": size(interference).low_mm,
        "interface": size(interface).low_mm,
        "length": size(length).low_mm,
        "inner_bore": 0.0 if inner_bore is None else size(inner_bore).low_mm,
        "outer_outside": float("inf") if outer_outside is None else size(outer_outside).low_mm,
    }
    made = press_fit(
        values["interference"],
        values["interface"],
        values["inner_bore"],
        values["outer_outside"],
        values["length"],
        inner=inner,
        outer=outer,
        friction=friction,
    )
    close_in = float(made.close_in_mm)
    share = close_in / values["interference"]
    return {
        "kind": "press",
        "given": {
            name: (None if value == float("inf") else round(value, 4))
            for name, value in values.items()
        }
        | {"inner": inner, "outer": outer, "friction": friction},
        "pressure_mpa": round(float(made.pressure_mpa), 3),
        "force_kn": round(float(made.force_kn), 3),
        "close_in_mm": round(close_in, 5),
        "checks": [
            _line("pressure", f"{float(made.pressure_mpa):.2f} MPa", "pressure at the joint"),
            _line("force", f"{float(made.force_kn):.2f} kN", "pi D L p mu, while pressing"),
            _line(
                "close-in",
                f"{close_in:.4f} mm on the bore ({100 * share:.0f} % of the interference; the "
                "shop's safe bound is 100 %)",
                "2 p D^2 d / (E (D^2 - d^2))",
            ),
        ],
        "assumed": [
            *(
                ["the housing's outside is not known: taken as very thick"]
                * (outer_outside is None)
            ),
            f"moduli of {inner} and {outer} from Shigley, Table A-5, from memory",
            f"friction {friction:g}",
        ],
        "metals": list(metals()),
        "cautions": ["Press squarely with a stepped mandrel; heat the housing rather than hammer."],
    }


def _line(name: str, result: str, rule: str) -> dict[str, str]:
    return {
        "name": name,
        "result": result,
        "rule": rule,
        "source": PRESS_SOURCE,
        "basis": "handbook",
    }
