"""Does a plain bushing press into this housing, run on this journal, fill this seat?

The housing is measured or H7 of the old bush's nominal outside diameter; the
journal must be measured: a clearance is never assumed. Bushes may be turned,
bored and faced (never a porous bore, never a wrapped shell), wall left 1 mm.
"""

from __future__ import annotations

import numpy as np

from xref.fits import bushings
from xref.fits.conformance import FAIL, NOT_CHECKED
from xref.fits.judgement import (
    ALTER_MACHINE,
    ALTER_PART,
    WITH_SPACER,
    Check,
    Judgement,
    Remark,
    Work,
    check,
    conclude,
)
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, MEASURED, NOMINAL, Bools, Codes, Floats, Quantity
from xref.fits.seals import surface_speed
from xref.kinds.base import INCH, NOT_STATED, Need, Part, Window, code
from xref.kinds.spec import spec

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
    own = need.own("outside_diameter")
    lower, upper = bushings.safe_zone(own.estimate, "H7")
    derived = Quantity.limits(own.estimate + lower, own.estimate + upper, how=NOMINAL)
    return need.at("housing").otherwise(own.where(own.how == NOMINAL, derived))


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    make = make_of(part)
    cuttable = bushings.is_machinable(make)
    press, press_work = press_check(housing_of(need), part, make, cuttable)
    clearance, ream = _clearance(need, part, make, cuttable)
    length, length_work = length_check(need, part, cuttable)
    checks = [press, clearance, length, *_flange(need, part)]
    checks += load_checks(need, part)
    old = need.own("length").estimate
    return conclude(
        checks,
        [*press_work, ream, *length_work],
        _remarks(need, part, make),
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
    )
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
    s6 = bushings.safe_zone(target, "s6")
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
    least, most = bushings.clearance_bounds(bore)
    made = check(
        "clearance",
        journal,
        bore_high - most,
        bore_low - least,
        bushings.CLEARANCE_RULE,
        quantity="shaft",
        missing="the journal, by micrometer",
    )
    target_low, target_high, wall = reamed_bore(journal, housing_of(need))
    ream = (
        (made.result == FAIL)
        & (journal.estimate > made.high)
        & cuttable
        & (wall >= figure("bushing_wall_min") - EPSILON_MM)
        & (target_low - bore <= figure("bushing_ream_max") + EPSILON_MM)
    )
    made.after_fitting_to(ream, *journals_for(target_low, target_high, journal))
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


def reamed_bore(journal: Quantity, housing: Quantity) -> tuple[Floats, Floats, Floats]:
    """Limits of the bore that suits a journal, H8 wide, and the wall it leaves [mm]."""
    least, most = bushings.clearance_bounds(journal.estimate)
    grade = bushings.safe_zone(journal.estimate, "H8")[1]
    low = journal.high + np.minimum(least * 2, (least + most) / 2)
    return low, low + grade, (housing.estimate - low - grade) / 2


def journals_for(low: Floats, high: Floats, journal: Quantity) -> tuple[Floats, Floats]:
    """Limits of the journal that runs in a bore made to `low`..`high` [mm]."""
    least, most = bushings.clearance_bounds(journal.estimate)
    return high - most, low - least


def length_check(need: Need, part: Part, cuttable: Bools) -> tuple[Check, list[Work]]:
    """Check the length: longer is faced; shorter needs its pressure known and a washer."""
    length = part.dimension("length")
    old, depth = need.own("length"), need.at("depth")
    seat = old.where(depth.known & ~old.known, depth)
    slack = bushings.length_slack(length)
    pressure = pressure_of(need, part)
    limit = _material_limit(part, "max_pressure_mpa")
    point = Quantity.limits(seat.estimate, seat.estimate, how=NOMINAL)
    made = check(
        "length",
        depth.where(depth.known, Quantity.limits(depth.estimate, depth.estimate)).otherwise(point),
        length - slack,
        np.inf,
        bushings.LENGTH_RULE,
        missing="the length of the seat",
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
    del cuttable  # facing an end is allowed for every make
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


def _flange(need: Need, part: Part) -> list[Check]:
    """The form must be the same; flange sizes are compared where both are known."""
    old_flange, new_flange = need.own("flange_diameter"), part.dimension("flange_diameter")
    flanged = code(_KIND, "form", "flanged")
    old_form, new_form = need.trait("form"), part.trait("form")
    old_is = (old_form == flanged) | old_flange.known
    new_is = (new_form == flanged) | ~np.isnan(new_flange)
    named = old_flange.known | (old_form != NOT_STATED) | need.own("bore_diameter").known
    applies = (old_is | new_is) & (named | new_is)
    if not applies.any():
        return []
    made = check(
        "flange",
        Quantity.limits(np.where(old_is, 1.0, 0.0), np.where(old_is, 1.0, 0.0)),
        np.where(new_is, 1.0, 0.0),
        np.where(new_is, 1.0, 0.0),
        bushings.FLANGE_RULE,
        missing="the form of the old bush",
        unit="",
        applies=applies,
    )
    made.set_result(applies & ~named, NOT_CHECKED)
    thickness = need.own("flange_thickness").estimate - part.dimension("flange_thickness")
    differs = (np.abs(thickness) > 0.1) | (np.abs(old_flange.estimate - new_flange) > 0.5)
    made.set_result(applies & old_is & new_is & differs, NOT_CHECKED)
    made.missing = "whether a flange of other size finds room"
    return [made]


def pressure_of(need: Need, part: Part) -> Floats:
    """Bearing pressure F / (d L) [MPa]; NaN where the load is not stated."""
    load = need.number("load_n")
    return np.asarray(load / (part.dimension("bore_diameter") * part.dimension("length")))


def load_checks(need: Need, part: Part) -> list[Check]:
    """Check bearing pressure and PV where the load was stated."""
    if not need.states("load_n"):
        return []
    pressure = pressure_of(need, part)
    stated = ~np.isnan(need.number("load_n"))
    checks = [
        check(
            "pressure",
            Quantity.limits(pressure, pressure),
            0.0,
            _material_limit(part, "max_pressure_mpa"),
            bushings.PRESSURE_RULE,
            missing="the material",
            unit="MPa",
            applies=stated,
        )
    ]
    if need.states("rpm"):
        rpm = need.number("rpm")
        pv = pressure * surface_speed(part.dimension("bore_diameter"), rpm)
        checks.append(
            check(
                "pressure x speed",
                Quantity.limits(pv, pv),
                0.0,
                _material_limit(part, "max_pv_mpa_m_s"),
                bushings.PV_RULE,
                missing="the material",
                unit="MPa m/s",
                applies=stated & ~np.isnan(rpm),
            )
        )
    return checks


def _material_limit(part: Part, column: str) -> Floats:
    names = tuple(spec(part.kind).trait("material").words)
    return np.asarray(bushings.limits_of_material(names, column)[part.trait("material")])


def _remarks(need: Need, part: Part, make: Codes) -> list[Remark]:
    old_groove, groove = need.trait("oil_groove"), part.trait("oil_groove")
    has = code(_KIND, "oil_groove", "yes")
    journal = need.at("shaft")
    _, most = bushings.clearance_bounds(part.dimension("bore_diameter"))
    worn = figure("wear_limit_factor") * most
    running = bushings.RUNNING_SHARE * journal.estimate
    return [
        Remark(
            np.ones(len(part), dtype=np.bool_),
            lambda _: (
                "the bore closes in by up to the whole press when the bush goes home (shop's safe "
                "bound): measure it pressed, then ream"
            ),
        ),
        Remark(
            (old_groove == has) & (groove != has),
            lambda _: "the old bush had an oil groove: cut one, and drill the oil hole in line",
        ),
        Remark(
            journal.known,
            lambda i: (
                f"worn out when the clearance is above {worn[i]:.2f} mm, "
                f"{figure('wear_limit_factor'):g} times the new maximum (common practice)"
            ),
        ),
        Remark(
            journal.known & ~np.isnan(need.number("rpm")),
            lambda i: (
                "for a bush that turns steadily and is kept oiled, 0.001 in per inch is common "
                f"practice: about {running[i]:.3f} mm of clearance here"
            ),
        ),
        Remark(
            part.trait("material") == NOT_STATED,
            lambda _: (
                "the list does not say the material: judged as solid bronze; never cut the bore of "
                "a porous or a wrapped bush"
            ),
        ),
        Remark(
            make == bushings.POROUS,
            lambda _: "porous: never cut the bore; size it with a mandrel",
        ),
        Remark(
            part.system == INCH,
            lambda _: (
                "an inch bush, judged by the classes of ISO 4379 at its size: common practice, "
                "no source"
            ),
        ),
    ]
