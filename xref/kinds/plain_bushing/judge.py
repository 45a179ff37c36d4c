"""Does a plain bushing press into this housing, run on this journal, fill this seat?

A bush of unknown material, or an inch one, follows no class known here: its press
is never better than likely. The housing is measured or H7 of the old bush's
nominal outside diameter; the journal must be measured: a clearance is never
assumed. Bushes may be turned, bored and faced (never a porous bore, never a
wrapped shell), wall left 1 mm.
"""

from __future__ import annotations

import numpy as np

from xref.fits import bushings
from xref.fits.conformance import FAIL, LIKELY, NOT_CHECKED, PASS
from xref.fits.judgement import (
    ALTER_MACHINE,
    ALTER_PART,
    WITH_SPACER,
    Check,
    Judgement,
    Work,
    check,
    conclude,
)
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, MEASURED, NOMINAL, Bools, Codes, Floats, Quantity
from xref.fits.zones import deviations
from xref.kinds.base import INCH, NOT_STATED, Need, Part, Window, code
from xref.kinds.plain_bushing.duty import (
    flange_check,
    load_checks,
    material_limit,
    pressure_of,
    remarks,
    running_of,
)

_KIND = "plain_bushing"
_STAGES = (
    # bore below and above the journal or old bore, OD below and above the housing [mm]
    (0.6, 0.6, 0.6, 0.6),
    (6.5, 0.6, 12.5, 15.5),
    (10.0, 4.0, 18.0, 20.0),
)


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on bore and outside diameter [mm]; wider with each stage."""
    below_d, above_d, below_od, above_od = _STAGES[stage]
    bore = need.at("shaft").otherwise(need.own("bore_diameter"))
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    # Press and clearance are shares of the size: windows of their own for large bushes.
    press = figure("bushing_press_max") * housing.high
    clearance = figure("bushing_clearance_max") * bore.high
    return [
        Window("outside_diameter", housing.low - below_od, housing.high + above_od + press),
        Window("bore_diameter", bore.low - below_d, bore.high + above_d + clearance),
    ]


def make_of(part: Part) -> Codes:
    """Return which standard a bush follows, from its material."""
    material = part.trait("material")
    make = np.full(len(part), bushings.SOLID, dtype=np.int8)
    make[material == code(_KIND, "material", "porous bronze")] = bushings.POROUS
    make[material == code(_KIND, "material", "steel-backed")] = bushings.WRAPPED
    return make


def housing_of(need: Need) -> Quantity:
    """Return the housing: measured, else H7 of the old bush's outside diameter."""
    own = old_size(need, "outside_diameter").estimate
    lower, upper = deviations(own, "H7")
    return need.at("housing").otherwise(Quantity.limits(own + lower, own + upper, how=NOMINAL))


def old_size(need: Need, dimension: str) -> Quantity:
    """Return the old bush's size by name; unknown where only its own limits are.

    A bush's limits (s6 outside, E6 inside) are neither the housing's nor the journal's.
    """
    named = need.named(dimension)
    return named.where(need.only_limits(dimension), Quantity.unknown(len(need)))


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    make = make_of(part)
    cuttable = bushings.is_machinable(make)
    press, press_work = press_check(housing_of(need), part, make, cuttable)
    clearance, ream = _clearance(need, part, make, cuttable)
    length, length_work = length_check(need, part)
    bore, ream_as_old = _bore_by_name(need, part, cuttable)
    checks = [press, clearance, bore, length, *flange_check(need, part)]
    checks += load_checks(need, part)
    old = need.named("length").estimate
    return conclude(
        checks,
        [*press_work, ream, ream_as_old, *length_work],
        remarks(need, part, make, housing_of(need)),
        width_difference_mm=part.dimension("length")
        - np.where(np.isnan(old), need.at("depth").estimate, old),
    )


def press_check(
    housing: Quantity, part: Part, make: Codes, cuttable: Bools
) -> tuple[Check, list[Work]]:
    """Check the press in the housing; cures are turning the OD or sleeving the housing."""
    od = part.dimension("outside_diameter")
    low, high = bushings.housing_limits(od, make)
    made = check(
        "press",
        housing,
        low,
        high,
        bushings.PRESS_RULES,
        quantity="housing",
        rule_of=make,
        missing="the housing bore",
        looked_up=od,
    )
    unknown_class = (part.trait("material") == NOT_STATED) | (part.system == INCH)
    made.set_result(unknown_class & (made.result == PASS), LIKELY)
    target = turned_to(housing)
    wall_left = (target - part.dimension("bore_diameter")) / 2
    tight = (made.result == FAIL) & (housing.estimate < low)
    turn = tight & cuttable & (wall_left >= figure("bushing_wall_min") - EPSILON_MM)
    turn &= od - target <= figure("bushing_turn_max") + EPSILON_MM
    wall = (housing.estimate - od) / 2
    loose = (made.result == FAIL) & (housing.estimate > high)
    sleeve = (
        loose
        & (wall >= figure("sleeve_thick_min") - EPSILON_MM)
        & (wall <= figure("sleeve_wall_max") + EPSILON_MM)
    )
    made.after_fitting_to(turn, *bushings.housing_limits(target, make))
    made.after_work(sleeve, low, high)
    made.set_result(sleeve & unknown_class, LIKELY)  # H7 for an outside of no class known
    s6 = deviations(target, "s6")
    return made, [
        Work(
            "turn the outside diameter",
            ALTER_PART,
            turn,
            od - target,
            lambda i: (
                f"turn the bush's outside diameter {od[i]:.2f} to {target[i]:.2f} "
                f"+{s6[1][i]:.3f}/+{s6[0][i]:.3f} mm"
            ),
        ),
        Work(
            "sleeve the housing",
            ALTER_MACHINE,
            sleeve,
            2 * wall,
            lambda i: (
                f"press a sleeve into the housing and bore it to {od[i]:.2f} H7 "
                f"(wall {wall[i]:.2f} mm)"
            ),
        ),
    ]


def turned_to(housing: Quantity) -> Floats:
    """Return the diameter a bush's outside is turned for [mm]: as measured, else the nominal."""
    return np.where(housing.how == MEASURED, housing.estimate, housing.low)


def _clearance(need: Need, part: Part, make: Codes, cuttable: Bools) -> tuple[Check, Work]:
    journal = need.at("shaft")
    bore = part.dimension("bore_diameter")
    bore_low, bore_high = bushings.bore_after_pressing(bore, make)
    running = running_of(need)
    least, most = bushings.clearance_bounds(bore, running)
    made = check(
        "clearance",
        journal,
        bore_high - most,
        bore_low - least,
        bushings.CLEARANCE_RULES,
        quantity="shaft",
        rule_of=running.steady.astype(np.int8),
        missing="the journal, by micrometer",
        looked_up=bore,
    )
    made.set_result((part.system == INCH) & (made.result == PASS), LIKELY)
    target_low, target_high, wall = reamed_bore(journal, _around(need, part), running)
    ream = (
        (made.result == FAIL)
        & (journal.estimate > made.high)
        & cuttable
        & (wall >= figure("bushing_wall_min") - EPSILON_MM)
        & (target_low - bore <= figure("bushing_ream_max") + EPSILON_MM)
    )
    made.after_fitting_to(ream, *journals_for(target_low, target_high, journal, running))
    return made, Work(
        "bore or ream after pressing",
        ALTER_PART,
        ream,
        target_low - bore,
        lambda i: (
            f"bore or ream the bush after pressing to {target_low[i]:.3f}..{target_high[i]:.3f} mm "
            f"(wall left {wall[i]:.2f} mm)"
        ),
    )


def _bore_by_name(need: Need, part: Part, cuttable: Bools) -> tuple[Check, Work]:
    """Check the bore against the old bush's where the journal, which decides, is not measured."""
    old, bore = old_size(need, "bore_diameter"), part.dimension("bore_diameter")
    width = deviations(bore, "H8")[1]
    applies = ~need.at("shaft").known & old.known
    made = check(
        "bore",
        old,
        bore - width,
        bore + width,
        bushings.BORE_RULE,
        missing="the journal, by micrometer",
        looked_up=bore,
        applies=applies,
    )
    wall = (_around(need, part) - old.estimate) / 2
    opened = old.estimate - bore
    ream = (
        (made.result == FAIL)
        & applies
        & cuttable
        & (opened > 0)
        & (opened <= figure("bushing_ream_max") + EPSILON_MM)
        & (wall >= figure("bushing_wall_min") - EPSILON_MM)
    )
    made.after_fitting_to(ream, old.estimate, old.estimate + width)
    return made, Work(
        "bore or ream after pressing",
        ALTER_PART,
        ream,
        np.where(ream, opened, 0.0),
        lambda i: (
            f"bore or ream the bush after pressing from {bore[i]:.2f} mm to suit the journal "
            f"(the old bush: {old.estimate[i]:.2f} mm); measure the journal first"
        ),
    )


def _around(need: Need, part: Part) -> Floats:
    """Return a bush's outside once fitted [mm]: turned to the housing, or its own in a sleeve.

    Not known without the housing.
    """
    return np.minimum(housing_of(need).estimate, part.dimension("outside_diameter"))


def reamed_bore(
    journal: Quantity, outside_mm: Floats, running: bushings.Running | None = None
) -> tuple[Floats, Floats, Floats]:
    """Limits of the bore that suits a journal, H8 wide, and the wall it leaves [mm].

    `outside_mm` is the bush's outside once fitted.
    """
    least, most = bushings.clearance_bounds(journal.estimate, running)
    grade = deviations(journal.estimate, "H8")[1]
    low = journal.high + np.minimum(least * 2, (least + most) / 2)
    return low, low + grade, (outside_mm - low - grade) / 2


def journals_for(
    low: Floats, high: Floats, journal: Quantity, running: bushings.Running
) -> tuple[Floats, Floats]:
    """Limits of the journal that runs in a bore made to `low`..`high` [mm]."""
    least, most = bushings.clearance_bounds(journal.estimate, running)
    return high - most, low - least


def length_check(need: Need, part: Part) -> tuple[Check, list[Work]]:
    """Check the length: longer is faced; shorter needs its pressure known and a washer.

    Facing an end is allowed for every make: FITS 2 keeps only the bore of a porous bush whole.
    """
    length = part.dimension("length")
    old, depth = need.named("length"), need.at("depth")
    seat = old.where(depth.known & ~old.known, depth)
    slack = bushings.length_slack(length)
    pressure = pressure_of(need, part)
    limit = material_limit(part, "max_pressure_mpa")
    point = Quantity.limits(seat.estimate, seat.estimate, how=NOMINAL)
    made = check(
        "length",
        depth.where(depth.known, Quantity.limits(depth.estimate, depth.estimate)).otherwise(point),
        length - slack,
        np.inf,
        bushings.LENGTH_RULE,
        missing="the length of the seat",
        looked_up=np.where(seat.known, length, np.nan),
        required=seat.known,
    )
    room = np.where(depth.known, depth.estimate, seat.estimate)
    longer = length - room
    face = (made.result == FAIL) & (longer > 0)
    made.after_work(face, room, room)
    shorter = (seat.estimate - length) > slack + EPSILON_MM
    carries = shorter & (pressure <= limit)
    made.set_result(shorter & ~carries & (made.result != FAIL), NOT_CHECKED)
    made.set_result(shorter & (pressure > limit), FAIL)
    made.missing = "the length of the seat, or the load: a shorter bush carries more pressure"
    return made, [
        Work(
            "face the plain end",
            ALTER_PART,
            face,
            longer,
            lambda i: f"face the plain end: length {length[i]:.2f} to {room[i]:.2f} mm",
        ),
        Work(
            "ring to fill the seat",
            WITH_SPACER,
            shorter,
            np.where(shorter, seat.estimate - length, 0.0),
            lambda i: (
                f"fill the seat with a ring {seat.estimate[i] - length[i]:.2f} mm long: the bush "
                "is shorter than the old one"
            ),
        ),
    ]
