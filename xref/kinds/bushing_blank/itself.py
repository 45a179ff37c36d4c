"""A blank wanted as a blank, not as the bush it becomes: the same size, or one to cut down to it.

Applies where only the old blank's own sizes are known. Where a journal or a housing was measured,
the blank is judged by the bush that is to be made for them.
"""

from __future__ import annotations

import numpy as np

from xref.fits.bushings import CUTTING_RULE
from xref.fits.conformance import FAIL
from xref.fits.judgement import ALTER_PART, Check, Work, check
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM, Bools, Quantity
from xref.kinds.base import Need, Part

KIND = "bushing_blank"


def wanted_itself(need: Need) -> Bools:
    """Return the rows that want a blank by its own sizes."""
    place = need.at("shaft").known | need.at("housing").known
    named = need.own("outside_diameter").known | need.own("bore_diameter").known
    return named & ~place if need.kind == KIND else np.zeros(len(need), dtype=np.bool_)


def checks_and_work(
    need: Need, part: Part, applies: Bools, machinable: Bools
) -> tuple[list[Check], list[Work]]:
    """Return the checks of a blank for a blank, and what is to be cut off."""
    slack, most = figure("blank_same_size"), figure("blank_turn_max")
    rule = practice_rule("blank_same_size", "a blank of the same size, or one with more to cut")
    checks: list[Check] = []
    work: list[Work] = []
    cut = np.zeros(len(part), dtype=np.bool_)
    for dimension, sign, name in (
        ("outside_diameter", 1.0, "turn the outside diameter"),
        ("bore_diameter", -1.0, "bore out the core"),
        ("length", 1.0, "part off"),
    ):
        old, new = need.named(dimension), part.dimension(dimension)
        if dimension == "length":
            old = old.otherwise(need.at("depth"))  # the seat it is to fill
        ample = most if dimension == "outside_diameter" else np.inf
        low, high = (new - ample, new + slack) if sign > 0 else (new - slack, np.inf)
        checks.append(
            check(
                dimension.replace("_", " "),
                old,
                low,
                high,
                rule,
                quantity=f"old {dimension}",  # not the length of a seat, which is judged beside
                missing=f"the {dimension.replace('_', ' ')} of the old blank",
                required=old.known,
                applies=applies,
            )
        )
        spare = sign * (new - old.estimate)
        needed = applies & (spare > slack + EPSILON_MM) & (checks[-1].result != FAIL)
        cut |= needed
        work.append(_cutting(name, needed, new, old, spare))
    solid = (~cut | machinable).astype(np.float64)
    checks.append(
        check(
            "cutting",
            Quantity.limits(solid, solid),
            1.0,
            1.0,
            CUTTING_RULE,
            missing="the material",
            unit="",
            applies=applies & cut & ~machinable,
        )
    )
    return checks, work


def _cutting(name: str, needed: Bools, new: np.ndarray, old: Quantity, spare: np.ndarray) -> Work:
    return Work(
        name,
        ALTER_PART,
        needed,
        np.nan_to_num(spare),
        lambda i: f"{name} from {new[i]:.2f} to {old.estimate[i]:.2f} mm",
    )
