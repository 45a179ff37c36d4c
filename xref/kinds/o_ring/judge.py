"""Does an O-ring seal in this groove? Squeeze, stretch and fill; else only the equal size.

A measured groove rules. Without one the old ring's standard size is all there
is, and only the equal size is a fit: an old ring has set, so it says little.
An O-ring is never altered.
"""

from __future__ import annotations

import numpy as np

from xref.fits import glands
from xref.fits.judgement import Check, Judgement, Remark, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import NOMINAL, Bools, Floats, Quantity
from xref.fits.rules import FROM_MEMORY, Rule
from xref.fits.service import medium_check, temperature_check
from xref.fits.steps import step_table_for
from xref.kinds.base import Need, Part, Window
from xref.kinds.spec import spec

_KIND = "o_ring"
_STAGES = ((0.06, 0.08, 0.05), (0.12, 0.25, 0.35), (0.2, 0.5, 0.8))
_LIMITS = (
    "Mechanical Engineers' Handbook vol. 3 (Kutz), Seal Technology; the rest common practice, "
    "no source"
)
_SQUEEZE_RULES = (
    Rule("squeeze of a static radial ring", _LIMITS, FROM_MEMORY),
    Rule("squeeze of a static face ring", _LIMITS, FROM_MEMORY),
    Rule("squeeze of a dynamic ring", _LIMITS, FROM_MEMORY),
)
_SQUEEZE_ITEMS = ("static radial", "static face", "dynamic radial")


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on inside diameter and section, around the ring the groove asks for [mm]."""
    inside, section = _ring_asked_for(need)
    share, below, above = _STAGES[stage]
    spread = np.where(_groove_known(need), share * inside + 0.5, 0.03 * inside * stage + 0.05)
    thick = np.where(_groove_known(need), above * 2, 0.02 + 0.3 * stage)
    del below
    return [
        Window("inside_diameter", inside - spread, inside + spread),
        Window("cross_section", section - thick, section + thick),
    ]


def _gland(need: Need) -> tuple[Bools, Bools, Bools]:
    """Which rows have a rod or a face groove, and which move; a piston at rest is the default."""
    rod, face = need.says("gland", glands.ROD), need.says("gland", glands.FACE)
    return rod, face, need.says("motion", "dynamic")


def _groove_known(need: Need) -> Bools:
    return need.at("groove_diameter").known & (
        need.at("mating_diameter").known | need.at("depth").known
    )


def _depth(need: Need) -> Quantity:
    """Depth of the gland: as measured, or half the difference of the diameters (JCGM 100, 5.1)."""
    groove, mating = need.at("groove_diameter"), need.at("mating_diameter")
    rod, face, _ = _gland(need)
    difference = (mating.estimate - groove.estimate) / 2
    estimate = np.where(rod, -difference, np.where(face, np.abs(difference), difference))
    spread = np.hypot(mating.high - mating.low, groove.high - groove.low) / 4
    return need.at("depth").otherwise(Quantity.measured(estimate, spread))


def _ring_asked_for(need: Need) -> tuple[Floats, Floats]:
    """Inside diameter and section to search around [mm]: of the groove, else of the old ring."""
    groove, depth = need.at("groove_diameter"), _depth(need)
    rod, face, moving = _gland(need)
    squeeze = np.where(moving, 0.14, 0.20)
    section = depth.estimate / (1 - squeeze)
    inside = np.where(rod | face, groove.estimate * 1.01 - 2 * section, groove.estimate / 1.02)
    known = _groove_known(need)
    return (
        np.where(known, inside, need.own("inside_diameter").estimate),
        np.where(known, section, need.own("cross_section").estimate),
    )


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    grooved = _groove_known(need)
    checks: list[Check] = []
    if grooved.any():
        checks += _groove_checks(need, part, grooved)
    if not grooved.all():
        checks += _same_size_checks(need, part, ~grooved)
    materials = tuple(spec(_KIND).trait("material").words)
    if need.states("temperature"):
        checks.append(
            temperature_check(materials, part.trait("material"), need.number("temperature"))
        )
    if need.states("medium"):
        checks.append(medium_check(materials, part.trait("material"), need.word("medium")))
    unsaid = grooved & (need.word("gland") == "")
    return conclude(
        checks,
        [],
        [
            Remark(unsaid, lambda _: "gland not stated: judged as a piston groove"),
            Remark(
                ~grooved,
                lambda _: (
                    "groove not measured: only the equal standard size is a fit, "
                    "and the groove must be measured before relying on it"
                ),
            ),
        ],
        width_difference_mm=part.dimension("cross_section") - need.own("cross_section").estimate,
    )


def _groove_checks(need: Need, part: Part, grooved: Bools) -> list[Check]:
    section, inside = part.dimension("cross_section"), part.dimension("inside_diameter")
    groove, depth, width = need.at("groove_diameter"), _depth(need), need.at("groove_width")
    rod, face, moving = _gland(need)
    thin, thick = glands.section_limits(section)
    small, large = glands.inside_limits(inside, section)
    item = np.where(moving, 2, np.where(face, 1, 0)).astype(np.int8)
    least, most = np.full(len(part), np.nan), np.full(len(part), np.nan)
    for i, name in enumerate(_SQUEEZE_ITEMS):
        rows = item == i
        for target, column in ((least, "least_percent"), (most, "most_percent")):
            target[rows] = step_table_for("o_ring_gland.csv", column, name)(section[rows])
    squeeze = _interval(
        100 * (thin - depth.high) / thin,
        100 * (thick - depth.low) / thick,
        100 * (section - depth.estimate) / section,
        depth.known,
    )
    outer = rod | face
    seat = _interval(
        np.where(
            outer,
            100 * (small + 2 * thin - groove.high) / groove.high,
            100 * (groove.low - large) / large,
        ),
        np.where(
            outer,
            100 * (large + 2 * thick - groove.low) / groove.low,
            100 * (groove.high - small) / small,
        ),
        np.where(
            outer,
            100 * (inside + 2 * section - groove.estimate) / groove.estimate,
            100 * (groove.estimate - inside) / inside,
        ),
        groove.known,
    )
    fill = _interval(
        100 * np.pi * thin**2 / 4 / (depth.high * width.high),
        100 * np.pi * thick**2 / 4 / (depth.low * width.low),
        100 * np.pi * section**2 / 4 / (depth.estimate * width.estimate),
        depth.known & width.known,
    )
    return [
        check(
            "squeeze",
            squeeze,
            least,
            most,
            _SQUEEZE_RULES,
            quantity="gland depth",
            rule_of=item,
            missing="the mating diameter or the depth of the groove",
            unit="%",
            applies=grooved,
        ),
        check(
            "stretch",
            seat,
            0.0,
            np.where(outer, figure("o_ring_outside_max"), figure("o_ring_stretch_max")),
            (
                practice_rule("o_ring_stretch_max", "stretch of the inside on a piston groove"),
                practice_rule("o_ring_outside_max", "outside of the ring against the groove"),
            ),
            quantity="groove diameter",
            rule_of=outer.astype(np.int8),
            missing="the groove diameter",
            unit="%",
            applies=grooved,
        ),
        check(
            "fill",
            fill,
            0.0,
            figure("o_ring_fill_max"),
            practice_rule("o_ring_fill_max", "share of the groove the ring fills"),
            quantity="groove width",
            missing="the groove width",
            unit="%",
            applies=grooved,
        ),
    ]


def _interval(low: Floats, high: Floats, estimate: Floats, known: Bools) -> Quantity:
    """Return a derived quantity: worst case of ring and groove around the best estimate."""
    made = Quantity.limits(np.where(known, low, np.nan), np.where(known, high, np.nan))
    return Quantity(made.low, made.high, np.where(known, estimate, np.nan), made.sigma, made.how)


def _same_size_checks(need: Need, part: Part, applies: Bools) -> list[Check]:
    slack = figure("o_ring_same_size")
    rule = practice_rule("o_ring_same_size", "the same standard size: the groove is not known")
    checks = []
    for name in ("inside_diameter", "cross_section"):
        own = need.own(name)
        value = part.dimension(name)
        checks.append(
            check(
                name.replace("_", " "),
                Quantity.limits(own.estimate, own.estimate, how=NOMINAL),
                value - slack,
                value + slack,
                rule,
                missing=f"the {name.replace('_', ' ')} of the old ring, or the groove",
                applies=applies,
            )
        )
    return checks
