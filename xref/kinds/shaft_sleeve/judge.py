"""Does a repair sleeve go on this shaft, and does the old one's seal run on it?

A thin sleeve states the range it is made for; one that states none is named by its shaft. In
place of a thick sleeve the new outside must be the old one's: the seal runs on it.
"""

from __future__ import annotations

import numpy as np

from xref.fits.judgement import Check, Judgement, Remark, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM, Bools, Quantity
from xref.fits.rules import COMMON_PRACTICE, NO_SOURCE, Rule
from xref.fits.zones import deviations
from xref.kinds.base import Need, Part, Window

_RANGE = Rule("shaft within the range the sleeve's maker states", NO_SOURCE, "common practice")
_NAMED = practice_rule("sleeve_bore_off_max", "a sleeve is named by its shaft, within 0.1 mm")
_OUTSIDE = Rule(
    "outside as the old sleeve's, within h11: its seal runs on it",
    "ISO 6194-1 with ISO 286-2; the comparison by name: " + NO_SOURCE,
    COMMON_PRACTICE,
    500.0,
    "ISO 286-2",
)
_STAGES = (0.3, 0.6, 3.0)


def windows(need: Need, stage: int) -> list[Window]:
    """Return the window on the sleeve's inside diameter [mm]; wider with each stage."""
    spread = _STAGES[stage]
    shaft = need.at("shaft").otherwise(need.own("inside_diameter"))
    return [Window("inside_diameter", shaft.low - spread, shaft.high + spread)]


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    shaft = need.at("shaft").otherwise(need.named("inside_diameter"))
    low, high = part.dimension("shaft_low"), part.dimension("shaft_high")
    inside, outside = part.dimension("inside_diameter"), part.dimension("outside_diameter")
    wall = (outside - inside) / 2
    thin, thick = figure("sleeve_thin_max"), figure("sleeve_thick_min")
    is_thin, is_thick = wall <= thin + EPSILON_MM, wall >= thick - EPSILON_MM
    between = ~(is_thin | is_thick)
    seat = check(
        "shaft",
        shaft,
        low,
        high,
        _RANGE,
        missing="the shaft, by micrometer, or the range the sleeve is made for",
    )
    walls = check(
        "wall",
        Quantity.limits(np.where(between, 0.0, 1.0), np.where(between, 0.0, 1.0)),
        np.where(np.isnan(wall), np.nan, 1.0),
        1.0,
        practice_rule("sleeve_thin_max", "wall at most 0.3 mm or at least 1.5 mm"),
        missing="the sleeve's outside diameter",
        unit="",
        required=False,
    )
    old_width = need.named("width")
    return conclude(
        [seat, walls, *_by_name(need, part, shaft, is_thin)],
        [],
        [
            Remark(
                is_thick,
                lambda i: f"a thick sleeve: the seal becomes one for {outside[i]:.2f} mm",
            ),
            Remark(
                is_thin,
                lambda _: "a thin sleeve: the seal for the shaft stays",
            ),
        ],
        width_difference_mm=part.dimension("width") - old_width.estimate,
    )


def _by_name(need: Need, part: Part, shaft: Quantity, is_thin: Bools) -> list[Check]:
    """Check the named bore where no range is stated, and the outside against the old sleeve's."""
    inside, outside = part.dimension("inside_diameter"), part.dimension("outside_diameter")
    stated = ~np.isnan(part.dimension("shaft_low")) & ~np.isnan(part.dimension("shaft_high"))
    off = figure("sleeve_bore_off_max")
    old = need.named("outside_diameter")
    old_wall = (old.estimate - need.own("inside_diameter").otherwise(shaft).estimate) / 2
    both_thin = is_thin & (old_wall <= figure("sleeve_thin_max") + EPSILON_MM)
    grade = -deviations(outside, "h11")[0]
    by_name, same_outside = ~stated & shaft.known & ~np.isnan(inside), old.known & ~both_thin
    checks = []
    if by_name.any():
        checks.append(
            check(
                "inside",
                shaft,
                inside - off,
                inside + off,
                _NAMED,
                quantity="shaft",
                missing="the shaft, by micrometer",
                applies=by_name,
            )
        )
    if same_outside.any():
        checks.append(
            check(
                "outside",
                old,
                outside - grade,
                outside + grade,
                _OUTSIDE,
                missing="the sleeve's outside diameter",
                looked_up=outside,
                applies=same_outside,
            )
        )
    return checks
