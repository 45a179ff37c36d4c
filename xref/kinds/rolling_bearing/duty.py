"""What a bearing's duty asks beyond its size: fillet, speed, life, clearance left."""

from __future__ import annotations

import numpy as np

from xref.fits import bearings
from xref.fits.conformance import LIKELY, PASS
from xref.fits.judgement import Check, Remark, check
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, Bools, Floats, Quantity
from xref.fits.rules import COMMON_PRACTICE, FROM_MEMORY, NO_SOURCE, STANDARD, Rule
from xref.kinds.base import INCH, NOT_STATED, Need, Part, code
from xref.kinds.spec import spec

_KIND = "rolling_bearing"
# The first four read in a published text, the others from memory.
_OLD_CORNERS = {0.5: 0.3, 1.0: 0.6, 1.5: 1.0, 2.0: 1.1, 2.5: 1.5, 3.0: 2.0, 3.5: 2.1, 4.0: 3.0}
_FILLET = Rule("shoulder fillet below r_s min of the bearing", "ISO 15, ISO 582", FROM_MEMORY)
_SPEED = Rule("speed under the list's limit", NO_SOURCE, COMMON_PRACTICE)
_LIFE = Rule("basic rating life L10 at least the life asked for", "ISO 281", STANDARD)


def duty_checks(need: Need, part: Part, roller: Bools) -> list[Check]:
    """Return the checks of what was stated or measured for any row."""
    checks = []
    if "fillet" in need.place:
        checks.append(_fillet_check(need.at("fillet"), part))
    old_corner, corner = need.named("corner").estimate, part.dimension("corner")
    smaller = ~need.at("fillet").known & (corner < _least_corner(old_corner) - EPSILON_MM)
    if smaller.any():
        checks.append(
            check(
                "corner",
                Quantity.unknown(len(part)),
                np.nan,
                np.nan,
                _FILLET,
                missing="the shoulder fillet: the new corner is smaller than the old one's",
                applies=smaller,
            )
        )
    if need.states("rpm"):
        rpm = need.number("rpm")
        limit = part.trait("speed_limit_rpm")
        checks.append(
            check(
                "speed",
                Quantity.limits(rpm, rpm),
                0.0,
                limit,
                _SPEED,
                missing="the speed limit of the bearing",
                unit="rev/min",
                required=False,
                applies=~np.isnan(rpm),
            )
        )
    if need.states("life_hours"):
        life = _life(need, part.trait("dynamic_load_kn"), roller)
        asked = need.number("life_hours")
        checks.append(
            check(
                "life",
                Quantity.limits(life, life),
                asked,
                np.inf,
                _LIFE,
                missing="the dynamic load rating, load and speed",
                unit="h",
                applies=~np.isnan(asked),
            )
        )
    return checks


def _fillet_check(fillet: Quantity, part: Part) -> Check:
    """Check the fillet against the bearing's corner: as printed, but no more than ISO 15's.

    Of sizes that ISO 15 does not list a corner may be an old list's nominal r: a fillet between
    the r_s min that this means and the corner printed is never better than likely.
    """
    printed = part.dimension("corner")
    names = ("bore_diameter", "outside_diameter", "width")
    standard = bearings.standard_corner(*(part.dimension(name) for name in names))
    listed = ~np.isnan(standard)
    made = check(
        "fillet",
        fillet,
        0.0,
        np.where(listed, np.minimum(printed, standard), printed),
        _FILLET,
        missing="the corner r_s min of the bearing",
        applies=fillet.known,
    )
    unsure = ~listed & (fillet.high > _least_corner(printed) + EPSILON_MM)
    made.set_result(fillet.known & unsure & (made.result == PASS), LIKELY)
    return made


def _least_corner(printed_mm: Floats) -> Floats:
    """Smallest r_s min that a printed corner may mean [mm]: old lists print the nominal r."""
    least = printed_mm.copy()
    for old_r, r_s_min in _OLD_CORNERS.items():
        least[np.abs(printed_mm - old_r) < EPSILON_MM] = r_s_min
    return least


def remarks(need: Need, part: Part, roller: Bools) -> list[Remark]:
    """Return what to tell: clearance left, life, weaker than the old one, shields, pairs."""
    bore = part.dimension("bore_diameter")
    interference = need.at("shaft").estimate - bearings.mean_ring("delta_dmp", bore)
    loss = figure("clearance_loss_share") * interference
    normal = code(_KIND, "clearance_group", "CN")  # what a bearing without a group sign has
    stated = part.trait("clearance_group")
    group = np.where(roller, stated, np.where(stated == NOT_STATED, normal, stated))
    left = np.full(len(part), np.nan)
    for position, name in enumerate(spec(_KIND).trait("clearance_group").words):
        here = group == position
        if here.any():
            left[here] = bearings.mean_clearance(name, bore[here])
    old_c, new_c = need.trait("dynamic_load_kn"), part.trait("dynamic_load_kn")
    old_c0, new_c0 = need.trait("static_load_kn"), part.trait("static_load_kn")
    measured = need.at("shaft").known | need.at("housing").known
    others = [
        code(_KIND, "bearing_type", word)
        for word in ("needle roller", "spherical roller", "thrust ball")
    ]
    open_ = code(_KIND, "shields", "open")
    old_shields, shields = need.trait("shields"), part.trait("shields")
    ring = part.trait("ring")
    alone = (ring == code(_KIND, "ring", "cup")) | (ring == code(_KIND, "ring", "cone"))
    life = _life(need, new_c, roller)
    unknown_duty = measured & ((need.word("rotating") == "") | (need.word("load") == ""))
    return [
        Remark(
            loss > left,
            lambda i: (
                f"the press takes about {1000 * loss[i]:.0f} um of a mean clearance of "
                f"{1000 * left[i]:.0f} um (ISO 5753-1): ask for a larger group"
            ),
        ),
        Remark(
            unknown_duty,
            lambda _: (
                "duty not stated: say --rotating inner|outer and --load light|normal|heavy to "
                "have the seat judged by its own zone"
            ),
        ),
        Remark(
            new_c < old_c,
            lambda i: f"load rating {new_c[i]:g} kN is below the old bearing's {old_c[i]:g} kN",
        ),
        Remark(
            new_c0 < old_c0,
            lambda i: (
                f"static load rating {new_c0[i]:g} kN is below the old bearing's {old_c0[i]:g} kN"
            ),
        ),
        Remark(
            measured & (part.trait("bearing_type") == NOT_STATED),
            lambda _: (
                "the list does not say what bearing this is: seats judged as a ball bearing's"
            ),
        ),
        Remark(
            measured & np.isin(part.trait("bearing_type"), others),
            lambda _: (
                "the seat zones are those of radial ball, cylindrical and tapered roller bearings: "
                "for this type a guide only"
            ),
        ),
        Remark(
            part.system == INCH,
            lambda _: (
                "an inch bearing: a family of its own, whose seats have their own tables; the "
                "metric zones are shown as a guide"
            ),
        ),
        Remark(~np.isnan(life), lambda i: f"rating life L10 about {life[i]:.0f} h (ISO 281)"),
        Remark(
            (old_shields >= 0) & (shields >= 0) & (old_shields != shields),
            lambda i: (
                "shields or seals differ from the old bearing: "
                + (
                    "sealed bearings are greased for life and want no oil"
                    if shields[i] != open_
                    else "an open bearing needs the housing's own seals"
                )
            ),
        ),
        Remark(alone, lambda _: "cup and cone wear together: renew both"),
    ]


def _life(need: Need, dynamic_load_kn: Floats, roller: Bools) -> Floats:
    if not need.states("load_n") or not need.states("rpm"):
        return np.full(len(need), np.nan)
    return bearings.rating_life_hours(
        dynamic_load_kn, need.number("load_n"), need.number("rpm"), roller
    )
