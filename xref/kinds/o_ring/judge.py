"""Does an O-ring seal in this groove? Squeeze, stretch and fill; else only the equal size.

A measured groove rules. Without one the old ring's standard size is all there
is, and only the equal size is a fit: an old ring has set, so it says little.
An O-ring is never altered.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from xref.fits import glands
from xref.fits.judgement import Check, Judgement, Remark, check, conclude
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import Bools, Floats, Quantity
from xref.fits.rules import FROM_MEMORY, Rule
from xref.fits.service import medium_check, temperature_check
from xref.fits.steps import read_rows, step_table_for
from xref.kinds.base import Need, Part, Window
from xref.kinds.spec import spec

_KIND = "o_ring"
_PRINTED_MM, _RING_MM = 0.05, 0.2
_WIDER = (0.0, 0.0, 0.15)
"""By which share of the size the windows of a stage are wider: a ring is never worked on."""
_LIMITS = (
    "Mechanical Engineers' Handbook vol. 3 (Kutz), Seal Technology; the rest common practice, "
    "no source"
)
_REACH_MM = step_table_for("o_ring_gland.csv", "most_percent", "static radial").reach_mm
_SQUEEZE_RULES = tuple(
    Rule(f"squeeze of a {name} ring", _LIMITS, FROM_MEMORY, _REACH_MM)
    for name in ("static radial", "static face", "dynamic")
)


def _by_section(rule: Rule) -> Rule:
    """Return a rule whose figures need the tolerance of the ring's section."""
    table = step_table_for("o_ring_section.csv", "tolerance_mm", "section")
    return replace(rule, table="ISO 3601-1 class A, section tolerance", reach_mm=table.reach_mm)


_SEAT_RULES = (
    practice_rule("o_ring_stretch_max", "stretch of the inside on a piston groove"),
    _by_section(practice_rule("o_ring_outside_max", "outside of the ring against the groove")),
)
_FILL_RULE = _by_section(practice_rule("o_ring_fill_max", "share of the groove the ring fills"))
Span = tuple[Floats, Floats]
_SQUEEZE_ITEMS = ("static radial", "static face", "dynamic radial")


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on inside diameter and section, around the ring the groove asks for [mm]."""
    share = _WIDER[stage]
    inside, section = _rings_in_question(need)
    return [
        Window(name, low * (1 - share) - _PRINTED_MM, high * (1 + share) + _PRINTED_MM)
        for name, (low, high) in (("inside_diameter", inside), ("cross_section", section))
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
    found = need.at("depth").otherwise(Quantity.measured(estimate, spread))
    # A depth that may be nothing is no depth: diameters the wrong way round, or read too coarsely.
    return found.where(~(found.low > 0), Quantity.unknown(len(need)))


def _rings_in_question(need: Need) -> tuple[Span, Span]:
    """Least and most inside diameter and section any limit allows in the groove [mm].

    Without a groove both are the old ring's.
    """
    groove, depth = need.at("groove_diameter"), _depth(need)
    rod, face, _ = _gland(need)
    outer = rod | face
    thin = depth.low / (1 - _column("least_percent").min() / 100)
    thick = depth.high / (1 - _column("most_percent").max() / 100)
    stretched = 1 + figure("o_ring_stretch_max") / 100
    larger = 1 + figure("o_ring_outside_max") / 100
    own_inside, own_section = (
        need.named(name).estimate for name in ("inside_diameter", "cross_section")
    )
    known = _groove_known(need)
    spare = 0.02  # the ring's own tolerance: a share of its inside, and for small rings 0.2 mm
    thin, thick = thin - _RING_MM, thick + _RING_MM
    return (
        (
            np.where(
                known,
                np.where(outer, groove.low - 2 * thick, groove.low / stretched - _RING_MM)
                * (1 - spare),
                own_inside,
            ),
            np.where(
                known,
                np.where(outer, groove.high * larger - 2 * thin, groove.high + _RING_MM)
                * (1 + spare),
                own_inside,
            ),
        ),
        (
            np.where(known, thin, own_section),
            np.where(known, thick, own_section),
        ),
    )


def _column(name: str) -> Floats:
    return np.array([float(row[name]) for row in read_rows("o_ring_gland.csv")])


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
        width_difference_mm=part.dimension("cross_section") - need.named("cross_section").estimate,
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
            looked_up=section,
            applies=grooved,
        ),
        check(
            "stretch",
            seat,
            0.0,
            np.where(outer, figure("o_ring_outside_max"), figure("o_ring_stretch_max")),
            _SEAT_RULES,
            quantity="groove diameter",
            rule_of=outer.astype(np.int8),
            missing="the groove diameter",
            unit="%",
            looked_up=np.where(outer, section, np.nan),
            applies=grooved,
        ),
        check(
            "fill",
            fill,
            0.0,
            figure("o_ring_fill_max"),
            _FILL_RULE,
            quantity="groove width",
            missing="the groove width",
            unit="%",
            looked_up=np.where(width.known, section, np.nan),
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
        value = part.dimension(name)
        checks.append(
            check(
                name.replace("_", " "),
                need.named(name),
                value - slack,
                value + slack,
                rule,
                missing=f"the {name.replace('_', ' ')} of the old ring, or the groove",
                applies=applies,
            )
        )
    return checks
