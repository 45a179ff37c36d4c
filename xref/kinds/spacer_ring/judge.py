"""Does a spacer ring pass the shaft, enter the housing and fill the gap?

A ring is turned or ground to size: too thick or too large is altered, too thin
or too small is not.
"""

from __future__ import annotations

from xref.fits.conformance import FAIL
from xref.fits.judgement import ALTER_PART, Judgement, Work, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM
from xref.kinds.base import Need, Part, Window

_STAGES = (  # outside below and above, inside above, thickness below and above [mm]
    (4.5, 0.5, 4.5, 0.3, 0.3),
    (4.5, 15.5, 4.5, 0.3, 15.5),
    (20.0, 20.0, 20.0, 6.0, 20.0),
)


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on outside, inside and thickness [mm]; wider with each stage."""
    smaller, larger, inside, thinner, thicker = _STAGES[stage]
    shaft = need.at("shaft").otherwise(need.own("inside_diameter"))
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    gap = need.at("gap").otherwise(need.own("thickness"))
    return [
        Window("outside_diameter", housing.low - smaller, housing.high + larger),
        Window("inside_diameter", shaft.low - 1.0, shaft.high + inside),
        Window("thickness", gap.low - thinner, gap.high + thicker),
    ]


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    inside, outside, thickness = (
        part.dimension(name) for name in ("inside_diameter", "outside_diameter", "thickness")
    )
    slack, short = figure("washer_thickness"), figure("ring_outside_short_max")
    shaft = need.at("shaft").otherwise(need.own("inside_diameter"))
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    gap = need.at("gap").otherwise(need.own("thickness"))
    through = check(
        "inside",
        shaft,
        inside - figure("ring_bore_clearance_max"),
        inside,
        practice_rule("ring_bore_clearance_max", "the shaft passes through, by at most 4 mm"),
        quantity="shaft",
        missing="the shaft",
    )
    enters = check(
        "outside",
        housing,
        outside,
        outside + short,
        practice_rule("ring_outside_short_max", "the ring enters the housing, by at most 4 mm"),
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
    most = figure("ring_cut_max") + EPSILON_MM
    too_large, too_thick = outside - housing.estimate, thickness - gap.estimate
    turn = (enters.result == FAIL) & (too_large > 0) & (too_large <= most)
    enters.after_fitting_to(turn, housing.low, housing.low + short)
    grind = (fills.result == FAIL) & (too_thick > 0) & (too_thick <= most)
    fills.after_fitting_to(grind, gap.estimate - slack, gap.estimate + slack)
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
