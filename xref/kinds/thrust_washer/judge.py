"""Does a thrust washer go over this shaft, into this recess, and leave the end float?

Thickness may be ground off or made up with a shim; inside and outside may not
be helped. End float after fitting is measured on the machine.
"""

from __future__ import annotations

import numpy as np

from xref.fits.conformance import FAIL
from xref.fits.judgement import (
    ALTER_PART,
    WITH_SPACER,
    Beside,
    Judgement,
    Remark,
    Work,
    check,
    conclude,
)
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM
from xref.kinds.base import Need, Part, Window, code

_STAGES = ((0.2, 1.2, 1.2, 0.4, 0.2), (0.3, 1.5, 1.5, 2.0, 2.2), (2.0, 5.0, 5.0, 5.0, 4.0))


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on inside, outside and thickness [mm]; wider with each stage."""
    inside_less, inside_more, outside, thicker, thinner = _STAGES[stage]
    shaft = need.at("shaft").otherwise(need.own("inside_diameter"))
    recess = need.at("housing").otherwise(need.own("outside_diameter"))
    gap = need.at("gap").otherwise(need.own("thickness"))
    return [
        Window("inside_diameter", shaft.low - inside_less, shaft.high + inside_more),
        Window("outside_diameter", recess.low - outside - 2.0, recess.high + outside),
        Window("thickness", gap.low - thinner, gap.high + thicker),
    ]


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    inside, outside, thickness = (
        part.dimension(name) for name in ("inside_diameter", "outside_diameter", "thickness")
    )
    old_inside, old_outside = need.own("inside_diameter"), need.own("outside_diameter")
    shaft = need.at("shaft").otherwise(old_inside)
    clearance = figure("washer_bore_clearance_max")
    bore = check(
        "inside",
        shaft,
        inside - clearance,
        inside,
        practice_rule("washer_bore_clearance_max", "inside over the shaft by 0 to 1 mm"),
        quantity="shaft",
        missing="the shaft",
    )
    recess = need.at("housing")
    by_recess = recess.known
    short = figure("washer_outside_short_max")
    around = check(
        "outside",
        recess.otherwise(old_outside),
        np.where(by_recess, outside, outside - EPSILON_MM),
        outside + np.where(by_recess, 2 * short, short),
        practice_rule("washer_outside_short_max", "outside no larger than recess or old washer"),
        quantity="housing",
        missing="the recess",
        required=by_recess | old_outside.known,
    )
    gap = need.at("gap")
    old = need.own("thickness")
    made_to = figure("washer_thickness")
    least, most = figure("washer_float_min"), figure("washer_float_max")
    by_gap = gap.known
    axial = check(
        "thickness",
        gap.otherwise(old),
        np.where(by_gap, thickness + made_to + least, thickness - made_to),
        np.where(by_gap, thickness - made_to + most, thickness + made_to),
        (
            practice_rule("washer_thickness", "the old washer's thickness"),
            practice_rule("washer_float_max", "end float 0.05 to 0.25 mm after fitting"),
        ),
        quantity="gap",
        rule_of=by_gap.astype(np.int8),
        missing="the axial gap",
    )
    wanted = np.where(by_gap, gap.estimate - (least + most) / 2, old.estimate)
    excess = thickness - wanted
    failed = axial.result == FAIL
    grind = failed & (excess > 0) & (excess <= figure("washer_grind_max") + EPSILON_MM)
    shim = failed & (excess < 0) & (-excess <= figure("washer_shim_max") + EPSILON_MM)
    # Worked to the gap as measured: how well it was measured still counts.
    axial.after_fitting_to(
        grind | shim,
        np.where(by_gap, wanted + least, wanted - made_to),
        np.where(by_gap, wanted - made_to + most, wanted + made_to),
    )
    porous = part.trait("material") == code("thrust_washer", "material", "porous bronze")
    return conclude(
        [bore, around, axial],
        [
            Work(
                "grind the thickness",
                ALTER_PART,
                grind,
                excess,
                lambda i: (
                    f"grind the washer from {thickness[i]:.2f} to {wanted[i]:.2f} "
                    f"+0/-{made_to:.2f} mm, faces parallel"
                ),
            ),
            Work(
                "shim",
                WITH_SPACER,
                shim,
                -excess,
                lambda i: f"add a shim {-excess[i]:.2f} mm thick to make up the end float",
                lambda i: Beside(
                    "thrust_washer",
                    {"shaft": shaft.take(np.array([i]))},
                    {
                        "outside_diameter": (
                            float(outside[i] - 2 * short),
                            float(outside[i]),
                            around.rule(i),
                        ),
                        "thickness": (
                            float(-excess[i] - made_to),
                            float(-excess[i] + made_to),
                            axial.rule(i),
                        ),
                    },
                ),
            ),
        ],
        [
            Remark(
                grind & porous, lambda _: "porous bronze: grinding smears the pores of the face"
            ),
            Remark(
                ~by_gap,
                lambda _: "end float not checked: measure the axial gap with the parts in place",
            ),
        ],
        width_difference_mm=excess,
    )
