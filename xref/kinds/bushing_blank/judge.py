"""Can a bushing be made from this blank? Judged against the need of a plain bushing.

The blank is cored stock: its outside is turned to press into the housing, its
core bored to run on the journal after pressing, its end faced. Stock must be
left everywhere; a journal or housing not measured leaves its check open.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from xref.fits import bushings
from xref.fits.judgement import ALTER_PART, Judgement, Remark, Work, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM, NOMINAL, Floats, Quantity
from xref.fits.rules import NO_SOURCE
from xref.fits.zones import deviations
from xref.kinds.base import Need, Part, Window
from xref.kinds.bushing_blank.itself import checks_and_work, wanted_itself
from xref.kinds.plain_bushing.duty import running_of
from xref.kinds.plain_bushing.judge import (
    housing_of,
    journals_for,
    make_of,
    old_size,
    reamed_bore,
    turned_to,
)

_STOCK = practice_rule("bushing_stock_min", "stock left to machine on outside, bore and length")
_BY_ZONE = f"ISO 286-2; the bound: {NO_SOURCE}"
_CUT_RULE = replace(_STOCK, source=_BY_ZONE, reach_mm=bushings.ISO_REACH_MM, table="ISO 286-2")
_WALL_RULE = replace(
    _CUT_RULE,
    text=practice_rule("bushing_wall_min").text,
    basis=practice_rule("bushing_wall_min").basis,
)
_STAGES = (12.0, 42.0, 60.0)
"""How far the outside of a blank may lie above the housing [mm]; a core may be as small as none."""
_SHORT = (0.1, 0.1, 5.0)
"""How far it may fall short of it, and a core be too large: print rounding, then near misses."""


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows: the outside above the housing, the core below the journal [mm]."""
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    bore = need.at("shaft").otherwise(need.own("bore_diameter"))
    return [
        Window("outside_diameter", housing.low - _SHORT[stage], housing.high + _STAGES[stage]),
        Window("bore_diameter", np.full(len(need), -np.inf), bore.high + _SHORT[stage]),
    ]


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` (a plain bushing's, or a blank's) with row i of `part` (a blank)."""
    itself = wanted_itself(need)
    as_bush = ~itself
    housing = housing_of(need)
    journal = need.at("shaft")
    known_journal = journal.otherwise(old_size(need, "bore_diameter"))
    seat = need.at("depth").otherwise(need.named("length"))
    stock = figure("bushing_stock_min")
    target = turned_to(housing)
    s6 = deviations(target, "s6")
    make = make_of(part)
    running = running_of(need)
    bore_low, bore_high, wall = reamed_bore(known_journal, housing.estimate, running)
    outside, core, length = (
        part.dimension(name) for name in ("outside_diameter", "bore_diameter", "length")
    )
    by_housing = np.where(housing.known, target, need.named("outside_diameter").estimate)
    checks = [
        check(
            "stock outside",
            _known_as(housing, outside),
            housing.high + s6[1] + stock,
            housing.high + s6[1] + figure("blank_turn_max"),
            _CUT_RULE,
            missing="the housing bore",
            looked_up=by_housing,
            applies=as_bush,
        ),
        check(
            "stock inside",
            _known_as(known_journal, core),
            -np.inf,
            bore_low - stock,
            _CUT_RULE,
            missing="the journal",
            looked_up=known_journal.estimate,
            applies=as_bush,
        ),
        check(
            "length",
            _known_as(seat, length),
            seat.estimate,
            np.inf,
            _STOCK,
            missing="the length of the seat",
            applies=as_bush,
        ),
        check(
            "wall left",
            Quantity.limits(wall, wall),
            figure("bushing_wall_min"),
            np.inf,
            _WALL_RULE,
            missing="journal and housing",
            looked_up=known_journal.estimate,
            applies=as_bush,
        ),
        check(
            "press",
            housing,
            *bushings.housing_limits(target, np.full_like(make, bushings.SOLID)),
            bushings.PRESS_RULES,
            quantity="housing",
            missing="the housing bore",
            looked_up=by_housing,
            applies=as_bush,
        ),
        check(
            "clearance",
            journal,
            *journals_for(bore_low, bore_high, journal, running),
            bushings.CLEARANCE_RULES,
            quantity="shaft",
            rule_of=running.steady.astype(np.int8),
            missing="the journal, by micrometer: the bore is made to it",
            looked_up=journal.estimate,
            applies=as_bush,
        ),
    ]
    whole = bushings.is_machinable(make)
    if not whole.all():
        checks.append(
            check(
                "material",
                Quantity.limits(whole.astype(float), whole.astype(float)),
                1.0,
                1.0,
                bushings.CUTTING_RULE,
                missing="the material",
                unit="",
                applies=~whole & as_bush,
            )
        )
    work = [
        Work(
            "turn the outside diameter",
            ALTER_PART,
            as_bush,
            outside - target,
            lambda i: (
                f"turn the outside diameter {outside[i]:.2f} to {target[i]:.2f} "
                f"+{s6[1][i]:.3f}/+{s6[0][i]:.3f} mm and press it in"
            ),
        ),
        Work(
            "bore or ream after pressing",
            ALTER_PART,
            as_bush,
            bore_low - core,
            lambda i: (
                f"bore or ream after pressing from {core[i]:.2f} to {bore_low[i]:.3f}.."
                f"{bore_high[i]:.3f} mm (wall left {wall[i]:.2f} mm)"
            ),
        ),
        Work(
            "part off and face",
            ALTER_PART,
            as_bush & (length > seat.estimate + EPSILON_MM),
            np.nan_to_num(length - seat.estimate),
            lambda i: f"part off and face to {seat.estimate[i]:.2f} mm long",
        ),
    ]
    if itself.any():
        more_checks, more_work = checks_and_work(need, part, itself, whole)
        checks += more_checks
        work += more_work
    return conclude(
        checks,
        work,
        [
            Remark(
                ~journal.known & as_bush,
                lambda _: "the bore is from the old bush's name: measure the journal before boring",
            ),
            Remark(
                (housing.how == NOMINAL) & as_bush,
                lambda _: "the housing is from the old bush's name: measure it before turning",
            ),
        ],
        width_difference_mm=np.zeros(len(part)),
    )


def _known_as(place: Quantity, size_mm: Floats) -> Quantity:
    """Return the blank's size, assumed where the place it is made for was not measured."""
    made = Quantity.limits(size_mm, size_mm)
    return replace(made, how=np.where(place.assumed, NOMINAL, made.how).astype(np.int8))
