"""Does a rolling bearing go on this journal, into this housing, between these shoulders?

Boundary dimensions are ISO 15's. A measured seat is judged by the zones of its
duty; with the duty unknown by the span of them all, and then never better than
likely. Narrower gets a spacer, a smaller outside a housing sleeve, a larger
bore a shaft sleeve; hardened rings are never ground or bored.
"""

from __future__ import annotations

import numpy as np

from xref.fits import bearings
from xref.fits.conformance import FAIL, LIKELY, NOT_CHECKED, PASS
from xref.fits.judgement import (
    ALTER_MACHINE,
    WITH_SPACER,
    Check,
    Judgement,
    Work,
    check,
    conclude,
)
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, MEASURED, PRINT_ROUNDING_MM, Bools, Floats, Quantity
from xref.fits.rules import COMMON_PRACTICE, FROM_MEMORY, NO_SOURCE, STANDARD, Rule
from xref.kinds.base import INCH, NOT_STATED, Need, Part, Window, code
from xref.kinds.rolling_bearing.duty import duty_checks, remarks

_KIND = "rolling_bearing"
_SEAT_SOURCE = "ANSI/ABMA Std 7, DIN 5425-1 pattern, with ISO 286-2"
_BOUNDARY = Rule("equal boundary dimension", "ISO 15", STANDARD)
_SEAT_RULES = {
    seat: (
        Rule(f"{name} in the zone for its load and rotation", _SEAT_SOURCE, FROM_MEMORY),
        Rule(f"{name} in the span of zones, duty not known", _SEAT_SOURCE, FROM_MEMORY),
        _BOUNDARY,
    )
    for seat, name in (("shaft", "journal"), ("housing", "housing"))
}
_STAGES = ((0.2, 0.2, 0.2, 0.2), (0.2, 12.5, 12.5, 0.2), (3.0, 16.0, 16.0, 6.0))
_SAME_DEG = 0.1  # the same for an angle, printed in degrees or in minutes


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on bore and outside diameter [mm]; wider with each stage."""
    bore_less, bore_more, od_less, od_more = _STAGES[stage]
    shaft = need.at("shaft").otherwise(need.own("bore_diameter"))
    housing = need.at("housing").otherwise(need.own("outside_diameter"))
    return [
        Window("bore_diameter", shaft.low - bore_less, shaft.high + bore_more),
        Window("outside_diameter", housing.low - od_less, housing.high + od_more),
    ]


def is_roller(part: Part) -> Bools:
    """Whether the bearing is judged by the roller rows (cylindrical, tapered, needle)."""
    kind = part.trait("bearing_type")
    rollers = [
        code(_KIND, "bearing_type", word)
        for word in ("cylindrical roller", "tapered roller", "needle roller", "spherical roller")
    ]
    return np.isin(kind, rollers)


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    shaft, shaft_sleeve = _seat("shaft", "bore_diameter", need, part)
    housing, housing_sleeve = _seat("housing", "outside_diameter", need, part)
    width, spacer = _width(need, part)
    checks = [shaft, housing, width, *_form(need, part)]
    checks += duty_checks(need, part, is_roller(part))
    old = need.named("width").estimate
    return conclude(
        checks,
        [shaft_sleeve, housing_sleeve, spacer],
        remarks(need, part, is_roller(part)),
        width_difference_mm=part.dimension("width")
        - np.where(np.isnan(old), need.at("depth").estimate, old),
    )


def _seat(seat: str, dimension: str, need: Need, part: Part) -> tuple[Check, Work]:
    """Check a seat; a larger bore or a smaller outside may be sleeved."""
    size = part.dimension(dimension)
    measured, named = need.at(seat), need.named(dimension)
    rotating, load, roller = need.word("rotating"), need.word("load"), is_roller(part)
    low, high = bearings.seat_limits(seat, size, roller, rotating, load)

    def no_row(i: int) -> str:
        if by_name[i] or not np.isnan(low[i]) or np.isnan(size[i]):
            return ""
        return bearings.seat_gap(seat, size[i], bool(roller[i]), str(rotating[i]), str(load[i]))

    known_duty = (rotating != "") & (load != "")
    by_name = ~measured.known
    made = check(
        seat,
        measured.otherwise(named),
        np.where(by_name, size - PRINT_ROUNDING_MM, low),
        np.where(by_name, size + PRINT_ROUNDING_MM, high),
        _SEAT_RULES[seat],
        rule_of=np.where(by_name, 2, np.where(known_duty, 0, 1)).astype(np.int8),
        missing=(
            "the journal, by micrometer" if seat == "shaft" else "the housing, by inside micrometer"
        ),
        no_row=no_row,
    )
    # Inside a span of zones a seat may still be the wrong one for its duty, a roller bearing's or
    # an inch bearing's: never better than likely. A reading coarser than a quarter of the zone
    # cannot tell.
    own_zone = known_duty & _has_own_rows(part) & (part.system != INCH)
    made.set_result(~by_name & ~own_zone & (made.result == PASS), LIKELY)
    coarse = (measured.how == MEASURED) & (
        (measured.high - measured.low) / 2
        > figure("seat_uncertainty_share") * (high - low) + EPSILON_MM
    )
    made.set_result(coarse & (made.result != FAIL), NOT_CHECKED)
    if coarse.any():
        made.missing = (
            "the seat closely enough: use a micrometer, several readings (the uncertainty is more "
            "than a quarter of the zone)"
        )
    sign = 1.0 if seat == "shaft" else -1.0
    wall = sign * (size - made.actual.estimate) / 2
    sleeve = (
        (made.result == FAIL)
        & (wall >= figure("sleeve_thick_min") - EPSILON_MM)
        & (wall <= figure("sleeve_wall_max") + EPSILON_MM)
    )
    target_low = np.where(np.isnan(low), size - PRINT_ROUNDING_MM, low)
    target_high = np.where(np.isnan(high), size + PRINT_ROUNDING_MM, high)
    made.after_work(sleeve, target_low, target_high)
    # Within the span of all duties the sleeve's seat may still be wrong for its own.
    made.set_result(sleeve & ~by_name & ~own_zone, LIKELY)
    before = (made.before or made).actual.estimate
    name = "sleeve the journal" if seat == "shaft" else "sleeve the housing"
    return made, Work(
        name,
        ALTER_MACHINE,
        sleeve,
        2 * wall,
        lambda i: (
            f"{name} from {before[i]:.3f} to {target_low[i]:.3f}..{target_high[i]:.3f} mm "
            f"(wall {wall[i]:.2f} mm)"
            + ("" if known_duty[i] else "; for limits of its own, say how it turns and is loaded")
        ),
    )


def _has_own_rows(part: Part) -> Bools:
    """Whether the seat tables have rows of this very type: radial ball, cylindrical, tapered."""
    others = [
        code(_KIND, "bearing_type", word)
        for word in ("needle roller", "spherical roller", "thrust ball")
    ]
    return ~np.isin(part.trait("bearing_type"), [NOT_STATED, *others])


def _width(need: Need, part: Part) -> tuple[Check, Work]:
    """Check the width (assembled width for tapered); narrower gets a spacer, wider never fits."""
    assembled = part.dimension("assembled_width")
    tapered = need.own("assembled_width").known & ~np.isnan(assembled)
    width = np.where(tapered, assembled, part.dimension("width"))
    old = need.named("width").where(tapered, need.named("assembled_width"))
    depth = need.at("depth")
    room = depth.otherwise(old)
    made = check(
        "width",
        room,
        width - PRINT_ROUNDING_MM,
        np.where(depth.known, np.inf, width + PRINT_ROUNDING_MM),
        Rule("width between the shoulders", "ISO 15; spacer: " + NO_SOURCE, COMMON_PRACTICE),
        missing="the width of the seat",
        required=room.known,
    )
    spare = room.estimate - width
    slack = np.where(depth.known, figure("bearing_axial_slack"), PRINT_ROUNDING_MM)
    spacer = spare > slack + EPSILON_MM
    # A narrower bearing in a measured seat or in the place of a wider one: fill the rest.
    made.after_work(spacer & (made.result == FAIL), made.low, np.inf)
    return made, Work(
        "spacer beside the ring",
        WITH_SPACER,
        spacer,
        np.where(spacer, spare, 0.0),
        lambda i: (
            f"fill {spare[i]:.2f} mm beside the bearing with a ring that bears on the ring it "
            "locates, clear of the other"
        ),
    )


def _form(need: Need, part: Part) -> list[Check]:
    """Type, ring, snap-ring groove and contact angle must be the old bearing's, where known."""
    checks = []
    for trait in ("bearing_type", "ring", "snap_ring"):
        old, new = need.trait(trait), part.trait(trait)
        applies = old != NOT_STATED
        if trait == "snap_ring":
            applies &= old == code(_KIND, "snap_ring", "yes")
        if trait == "ring":
            complete = code(_KIND, "ring", "complete")
            new = np.where(new < 0, complete, new).astype(np.int8)
            applies |= new != complete  # half a bearing for nobody knows what
        if not applies.any():
            continue
        made = _same(trait.replace("_", " "), old.astype(float), new.astype(float), applies)
        made.set_result(applies & ((new < 0) | (old < 0)), NOT_CHECKED)
        checks.append(made)
    angle = need.trait("contact_angle")
    applies = ~np.isnan(angle) | is_half(need) | is_half(part)
    if applies.any():
        checks.append(
            _same("contact angle", angle, part.trait("contact_angle"), applies, _SAME_DEG)
        )
    return checks


def is_half(side: Need | Part) -> Bools:
    """Whether it is a cup or a cone alone, which must match its other half's angle."""
    ring = side.trait("ring")
    return np.asarray((ring == code(_KIND, "ring", "cup")) | (ring == code(_KIND, "ring", "cone")))


def _same(name: str, old: Floats, new: Floats, applies: Bools, slack: float = 0.0) -> Check:
    return check(
        name,
        Quantity.limits(old, old),
        new - slack,
        new + slack,
        Rule(f"the same {name} as the old bearing", NO_SOURCE, COMMON_PRACTICE),
        missing=f"the {name} of both bearings",
        unit="",
        applies=applies,
    )
