"""Does a spacer ring pass the shaft, enter the housing and fill the gap?

A ring is turned or ground to size: too thick or too large is altered, too thin
or too small is not.
"""

from __future__ import annotations

import numpy as np

from xref.fits.conformance import FAIL
from xref.fits.judgement import ALTER_PART, Judgement, Work, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import LIMITS, NOMINAL, Quantity
from xref.kinds.base import Need, Part, Window

_STAGES = ((4.0, 4.0, 0.3), (15.0, 15.0, 3.0), (20.0, 20.0, 6.0))


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on outside, inside and thickness [mm]; wider with each stage."""
    inside, outside, thickness = _STAGES[stage]
    shaft = need.at("shaft").otherwise(need.own("inside_diameter"))
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    gap = need.at("gap").otherwise(need.own("thickness"))
    return [
        Window("outside_diameter", housing.low - outside, housing.high + outside),
        Window("inside_diameter", shaft.low - 1.0, shaft.high + inside),
        Window("thickness", gap.low - thickness, gap.high + thickness),
    ]


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    inside, outside, thickness = (
        part.dimension(name) for name in ("inside_diameter", "outside_diameter", "thickness")
    )
    slack = figure("washer_thickness")
    shaft = need.at("shaft").otherwise(_named(need.own("inside_diameter")))
    housing = need.at("housing").otherwise(_named(need.own("outside_diameter")))
    gap = need.at("gap").otherwise(_named(need.own("thickness")))
    through = check(
        "inside",
        shaft,
        -np.inf,
        inside,
        practice_rule("washer_bore_clearance_max", "the shaft passes through"),
        quantity="shaft",
        missing="the shaft",
    )
    enters = check(
        "outside",
        housing,
        outside,
        np.inf,
        practice_rule("washer_outside_short_max", "the ring enters the housing"),
        quantity="housing",
        missing="the housing",
    )
    fills = check(
        "thickness",
        gap,
        thickness - slack,
        thickness + slack,
        practice_rule("washer_thickness", "thickness equal to the gap"),
        quantity="gap",
        missing="the gap",
    )
    turn = (enters.result == FAIL) & (outside > housing.estimate)
    enters.after_work(turn, enters.low, np.inf)
    grind = (fills.result == FAIL) & (thickness > gap.estimate)
    fills.after_work(grind, fills.low, fills.high)
    return conclude(
        [through, enters, fills],
        [
            Work(
                "turn the outside",
                ALTER_PART,
                turn,
                outside - housing.estimate,
                lambda i: f"turn the ring's outside {outside[i]:.2f} to {housing.low[i]:.2f} mm",
            ),
            Work(
                "face to thickness",
                ALTER_PART,
                grind,
                thickness - gap.estimate,
                lambda i: f"face the ring from {thickness[i]:.2f} to {gap.estimate[i]:.2f} mm",
            ),
        ],
        width_difference_mm=thickness - gap.estimate,
    )


def _named(own: Quantity) -> Quantity:
    nominal = Quantity.limits(own.estimate, own.estimate, how=NOMINAL)
    return own.where(own.how != LIMITS, nominal)
