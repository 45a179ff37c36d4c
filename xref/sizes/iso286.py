"""ISO 286 tolerance zones from the standard's tables.

The printed tables rule: the formulas of ISO 286-1 annex B, rounded, miss about
a fifth of the printed cells (IT7 over 6 to 10 mm: 14.4 by formula, 15 printed).
`iso286.csv` holds IT grades, shaft deviations and the holes J, one row per size
step with its source; every other hole follows from the shaft of the same letter
by the rules of ISO 286-1:2010, 4.3.2.5, written out in `_hole`.

A size step reaches from *over* its lower end *up to and including* its upper end.

Examples
--------
>>> zone_deviations(25, "k6")
(0.002, 0.015)
>>> zone_deviations(60, "H7")
(0.0, 0.03)
"""

from __future__ import annotations

import csv
import re
from bisect import bisect_left
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Literal, NamedTuple

from xref.errors import Refused

# i, l, o, q and w are not used: ISO 286-1:2010, 4.1.3.
LETTERS = frozenset((*"abcdefghjkmnprstuvxyz", "cd", "ef", "fg", "js", "za", "zb", "zc"))
# Upper ends of all steps [mm]; 1 mm is no step of the tables, but some zones end there.
STEPS_MM = (
    1, 3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100,
    120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500,
)  # fmt: skip
LARGEST_MM = STEPS_MM[-1]

_ZONE = re.compile(r"\s*([A-Za-z]{1,2})\s?(01|0|1[0-8]|[1-9])\s*")


class Zone(NamedTuple):
    """A tolerance zone: its letters (capitals for holes) and grade, `("k", "6")`."""

    letters: str
    grade: str

    @property
    def feature(self) -> Literal["hole", "shaft"]:
        """What the zone is for: capitals mean a hole, small letters a shaft."""
        return "hole" if self.letters.isupper() else "shaft"


class _Deviations(NamedTuple):
    """Both deviations from the nominal size [µm]."""

    lower: Fraction
    upper: Fraction


@lru_cache(maxsize=1)
def _tables() -> dict[str, tuple[list[int], list[Fraction | None]]]:
    """Per quantity the upper ends of its steps [mm] and its values [µm].

    A step below the first tabulated one is held as `None`.
    """
    tables: dict[str, tuple[list[int], list[Fraction | None]]] = {}
    text = Path(__file__).with_name("iso286.csv").read_text("utf-8")
    for row in csv.DictReader(text.splitlines()):
        ends, values = tables.setdefault(row["quantity"], ([], []))
        if not ends and row["over_mm"] != "0":
            ends.append(int(row["over_mm"]))
            values.append(None)
        ends.append(int(row["to_mm"]))
        values.append(Fraction(row["um"]))
    return tables


def _value(quantity: str, nominal: Fraction) -> Fraction | None:
    """Tabulated value [µm], or None where the table has none."""
    table = _tables().get(quantity)
    if table is None:
        return None
    ends, values = table
    at = bisect_left(ends, nominal)
    return values[at] if at < len(ends) else None


def read_zone(text: str) -> Zone:
    """Zone from its designation, `"k6"`, `"H 11"`.

    Raises `Refused` when the letters or the grade are not in ISO 286.
    """
    match = _ZONE.fullmatch(text)
    if match is None:
        raise Refused(
            f"“{text[:20]}” is no ISO 286 zone: letters and a grade are needed, "
            "as in k6 or H7. Write the grade, or the two deviations.",
            code="zone-unknown",
        )
    letters, grade = match.groups()
    if letters.lower() not in LETTERS or not (letters.islower() or letters.isupper()):
        raise Refused(
            f"ISO 286 has no zone “{letters}{grade}”: its letters run from a to zc without "
            "i, l, o, q and w, all small for a shaft or all capitals for a hole.",
            code="zone-unknown",
        )
    return Zone(letters, grade)


def _shaft(letters: str, grade: str, nominal: Fraction, it: Fraction) -> _Deviations | None:
    if letters == "js":
        return _Deviations(-it / 2, it / 2)
    if letters == "j":
        lower = _value(f"j{grade}", nominal)
        return None if lower is None else _Deviations(lower, lower + it)
    if letters == "k" and grade not in ("4", "5", "6", "7"):
        return _Deviations(Fraction(0), it)
    if letters in ("a", "b") and nominal <= 1:
        return None
    deviation = _value(letters, nominal)
    if deviation is None:
        return None
    if letters < "j":
        return _Deviations(deviation - it, deviation)
    return _Deviations(deviation, deviation + it)


def _hole(letters: str, grade: str, nominal: Fraction, it: Fraction) -> _Deviations | None:
    shaft = letters.lower()
    if shaft == "js":
        return _Deviations(-it / 2, it / 2)
    if shaft == "j":
        upper = _value(f"J{grade}", nominal)
        return None if upper is None else _Deviations(upper - it, upper)
    if shaft in ("a", "b") and nominal <= 1:
        return None
    deviation = _value(shaft, nominal)
    if deviation is None:
        return None
    if shaft < "j":
        return _Deviations(-deviation, -deviation + it)
    if grade in ("01", "0", "1", "2"):
        return None  # K to ZC are tabulated from IT3
    number = int(grade)
    fine = number <= (8 if shaft in ("k", "m", "n") else 7)
    upper = -deviation
    if fine and nominal > 3:
        # ISO 286-1:2010, 4.3.2.5: delta = ITn - IT(n-1), so that a hole gives the
        # same fit with the shaft one grade finer.
        finer = _value(f"IT{number - 1}", nominal)
        assert finer is not None  # noqa: S101  (IT2 to IT7 exist wherever IT3 to IT8 do)
        upper += it - finer
        if letters == "M" and number == 6 and 250 < nominal <= 315:
            upper = Fraction(-9)  # the one printed exception; the rule gives -11
    elif not fine and shaft == "k" and nominal > 3:
        return None
    elif not fine and shaft == "n":
        if nominal <= 1:
            return None
        if nominal > 3:
            upper = Fraction(0)
    return _Deviations(upper - it, upper)


@lru_cache(maxsize=4096)
def exact_deviations(nominal: Fraction, zone: Zone) -> tuple[Fraction, Fraction]:
    """Lower and upper deviation [mm] of `zone` at `nominal` [mm], exactly.

    Raises `Refused` outside the tables; nothing is extrapolated.
    """
    name = f"{zone.letters}{zone.grade}"
    if not 0 < nominal <= LARGEST_MM:
        raise Refused(
            f"{name} at {float(nominal):g} mm is not covered by the ISO 286-2 tables here: they "
            f"reach from above 0 to {LARGEST_MM} mm. State the deviations instead.",
            code="zone-not-covered",
        )
    it = _value(f"IT{zone.grade}", nominal)
    deviations = None
    if it is not None and not (nominal <= 1 and zone.grade.isdigit() and int(zone.grade) >= 14):
        side = _hole if zone.feature == "hole" else _shaft
        deviations = side(zone.letters, zone.grade, nominal, it)
    if deviations is None:
        raise Refused(
            f"ISO 286-2 gives no {name} at {float(nominal):g} mm. Check letter, grade and size, "
            "or state the deviations instead.",
            code="zone-not-covered",
        )
    return deviations.lower / 1000, deviations.upper / 1000


def zone_deviations(nominal_mm: float | Fraction, zone: str) -> tuple[float, float]:
    """Lower and upper deviation of an ISO 286 zone.

    Parameters
    ----------
    nominal_mm : float or Fraction
        Nominal size, above 0 to 500 [mm]
    zone : str
        Designation, `"k6"` for a shaft, `"H7"` for a hole

    Returns
    -------
    tuple of float
        Lower and upper deviation [mm]

    Raises
    ------
    Refused
        The zone does not exist, or the standard gives none at this size.

    Notes
    -----
    Tables of ISO 286-1:2010 and ISO 286-2:2010; values by row in `iso286.csv`.

    Examples
    --------
    >>> zone_deviations(280, "M6")  # the exception to the delta rule
    (-0.041, -0.009)
    """
    try:
        exact = Fraction(nominal_mm)
    except (ValueError, OverflowError):
        raise Refused(
            f"{nominal_mm} is no nominal size; give it in millimetres.", code="zone-not-covered"
        ) from None
    lower, upper = exact_deviations(exact, read_zone(zone))
    return float(lower), float(upper)
