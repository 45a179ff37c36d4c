"""Service conditions against materials: temperature, speed, medium.

The material is the lip's (seals) or the ring's (O-rings), by its word code in
the kind's declaration. A material not stated is not checked; a condition not
stated is not asked about.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from xref.fits.conformance import DOUBTFUL, FAIL, NOT_CHECKED, PASS
from xref.fits.judgement import Check, check
from xref.fits.quantity import Floats, Quantity
from xref.fits.rules import NO_SOURCE, Rule
from xref.fits.steps import read_rows

MEDIUM_OTHER_NAMES = {
    "oil": "mineral oil",
    "engine oil": "mineral oil",
    "gear oil": "mineral oil",
    "hydraulic oil": "mineral oil",
    "fuel": "petrol",  # the harsher of the usual fuels
    "gasoline": "petrol",
    "diesel fuel": "diesel",
}
"""Other words for the media of `rubber_media.csv`; one that is in neither is not checked."""
_TABLE = "the table of lip and ring materials here"
_SUITS = {"yes": PASS, "doubtful": DOUBTFUL, "no": FAIL}


def temperature_check(materials: Sequence[str], material: NDArray[np.int8], degc: Floats) -> Check:
    """Check the temperature [degC] against the material's continuous range."""
    rows = _limits(materials)
    low = _pick(_column(rows, "min_degc"), material)
    high = _pick(_column(rows, "max_degc"), material)
    rules = tuple(
        Rule(
            f"continuous temperature of {name}",
            row["temperature_source"] if row else NO_SOURCE,
            row["temperature_basis"] if row else "common practice",
            table="" if row else _TABLE,
        )
        for name, row in zip((*materials, "the material"), (*rows, None), strict=True)
    )
    return check(
        "temperature",
        Quantity.limits(degc, degc),
        low,
        high,
        rules,
        missing="the lip or ring material",
        rule_of=_rule_of(material, len(materials)),
        no_row=_no_row(materials, material, rows),
        unit="degC",
        applies=~np.isnan(degc),
    )


def speed_check(
    materials: Sequence[str], material: NDArray[np.int8], speed: Quantity, asked: NDArray[np.bool_]
) -> Check:
    """Check the surface speed [m/s] against the lip material's limit."""
    rows = _limits(materials)
    rules = tuple(
        Rule(
            f"surface speed of a {name} lip",
            row["speed_source"] if row else NO_SOURCE,
            row["speed_basis"] if row else "common practice",
            table="" if row else _TABLE,
        )
        for name, row in zip((*materials, "not stated"), (*rows, None), strict=True)
    )
    return check(
        "speed",
        speed,
        np.where(material < 0, np.nan, 0.0),
        _pick(_column(rows, "max_speed_m_s"), material),
        rules,
        missing="the lip material",
        rule_of=_rule_of(material, len(materials)),
        no_row=_no_row(materials, material, rows),
        unit="m/s",
        applies=asked,
    )


def medium_check(
    materials: Sequence[str], material: NDArray[np.int8], medium: NDArray[np.str_]
) -> Check:
    """Check the material against the medium it meets; pairs no table knows are not checked."""
    known = {
        (row["material"], row["medium"]): _SUITS[row["suits"]]
        for row in read_rows("rubber_media.csv")
    }
    asked = medium != ""
    result = np.full(len(material), NOT_CHECKED, dtype=np.int8)
    for word in np.unique(medium[asked]):
        by_code = np.array(
            [known.get((name, str(word)), NOT_CHECKED) for name in materials] + [NOT_CHECKED],
            dtype=np.int8,
        )
        here = medium == word
        result[here] = by_code[material[here]]  # -1 picks the last: not stated
    result[~asked] = PASS
    nothing = Quantity.unknown(len(material))
    made = check(
        "medium",
        nothing,
        np.nan,
        np.nan,
        Rule(
            "the material against the medium",
            NO_SOURCE,
            "from memory",
            table="the table of rubbers and media here",
        ),
        missing="the material, or its behaviour in this medium",
        unit="",
        applies=asked,
        no_row=lambda i: (
            f": no row for {materials[material[i]]} in {medium[i]}" if material[i] >= 0 else ""
        ),
    )
    made.result = result
    return made


def _no_row(
    materials: Sequence[str],
    material: NDArray[np.int8],
    rows: Sequence[dict[str, str] | None],
) -> Callable[[int], str]:
    """Return what to say of a stated material without a row, by row."""

    def text(i: int) -> str:
        code = int(material[i])
        return f": no row for {materials[code]}" if code >= 0 and rows[code] is None else ""

    return text


def _limits(materials: Sequence[str]) -> list[dict[str, str] | None]:
    rows = {row["lip_material"]: row for row in read_rows("seal_lip_limits.csv")}
    return [rows.get(name) for name in materials]


def _column(rows: Sequence[dict[str, str] | None], name: str) -> list[float]:
    return [np.nan if row is None else float(row[name]) for row in rows]


def _pick(values: Sequence[float], material: NDArray[np.int8]) -> Floats:
    table = np.array([*values, np.nan])
    return np.asarray(table[material])  # -1 picks the last: NaN, not stated


def _rule_of(material: NDArray[np.int8], count: int) -> NDArray[np.int8]:
    return np.where(material < 0, count, material).astype(np.int8)
