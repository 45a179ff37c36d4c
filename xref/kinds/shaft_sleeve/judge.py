"""Does a repair sleeve go on this shaft? A thin sleeve states the range it is made for."""

from __future__ import annotations

import numpy as np

from xref.fits.judgement import Judgement, Remark, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM, Quantity
from xref.fits.rules import NO_SOURCE, Rule
from xref.kinds.base import Need, Part, Window

_RANGE = Rule("shaft within the range the sleeve's maker states", NO_SOURCE, "common practice")
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
        [seat, walls],
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
