"""Does a rotary shaft seal fit this shaft, this housing and this pocket? (ISO 6194-1, OS-4)

The place rules where it was measured; otherwise it is derived from the old
seal's nominal size: shaft h11 and bore H8 for metric, the inch tables for inch.
Cures, each with its bounds in `fits/tables/workshop_practice.csv`: sleeve the
shaft, bore or sleeve the housing, deepen the pocket, move the lip off its track.
A shaft is never turned down to suit a seal.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from xref.fits import seals
from xref.fits.conformance import DOUBTFUL, FAIL, NOT_CHECKED
from xref.fits.judgement import (
    ALTER_MACHINE,
    Check,
    Judgement,
    Remark,
    Work,
    check,
    conclude,
)
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, NOMINAL, Bools, Floats, Quantity
from xref.kinds.base import INCH, NOT_STATED, Need, Part, Window, code
from xref.kinds.shaft_seal.lip import service_checks, thick_sleeve, thin_sleeve, track_check

_KIND = "shaft_seal"
Span = tuple[Floats, Floats]
_STAGES = (
    # how far d1 may lie below and above the shaft, D below and above the housing [mm]
    (0.2, 0.5, 0.6, 0.4),  # tolerances only
    (0.2, 12.5, 15.5, 2.5),  # sleeves and boring within their bounds
    (4.0, 16.0, 18.0, 5.0),  # near misses
)


def windows(need: Need, stage: int) -> list[Window]:
    """Return windows on d1 and D around the place [mm]; wider with each stage."""
    below_d, above_d, below_bore, above_bore = _STAGES[stage]
    shaft, housing = shaft_of(need), housing_of(need)
    return [
        Window("shaft_diameter", shaft.low - below_d, shaft.high + above_d),
        Window("outside_diameter", housing.low - below_bore, housing.high + above_bore),
    ]


def shaft_of(need: Need) -> Quantity:
    """Return the shaft: measured, else what the old seal's d1 was made for."""
    return _derived(need, "shaft", "shaft_diameter", seals.shaft_limits)


def housing_of(need: Need) -> Quantity:
    """Return the housing bore: measured, else what the old seal's D was made for."""
    return _derived(need, "housing", "outside_diameter", seals.bore_limits)


def _derived(
    need: Need, place: str, dimension: str, made_for: Callable[[Floats, Bools], Span]
) -> Quantity:
    """Return a place as measured; where it was not, from the old seal's own size."""
    measured, own = need.at(place), need.own(dimension)
    rows = np.flatnonzero(~measured.known & (own.how == NOMINAL))
    found = measured.otherwise(own)
    if len(rows):
        limits = made_for(own.estimate[rows], need.system[rows] == INCH)
        found.put(rows, Quantity.limits(*limits, how=NOMINAL))
    return found


def judge(need: Need, part: Part) -> Judgement:
    """Judge row i of `need` with row i of `part`."""
    shaft, housing, depth = shaft_of(need), housing_of(need), need.at("depth")
    shaft_check, sleeve = _shaft(shaft, part)
    housing_check, housing_work = _housing(housing, part)
    width_check, deepen = _width(need, part, depth)
    checks = [shaft_check, housing_check, width_check]
    work = [sleeve, *housing_work, deepen]
    track = track_check(need, part, (shaft, housing, depth), sleeved=sleeve.applies)
    if track is not None:
        checks.append(track.check)
        work += track.work
    checks += service_checks(need, part, shaft)
    old_width = need.named("width").estimate
    before = np.where(np.isnan(old_width), depth.estimate, old_width)
    return conclude(
        checks,
        work,
        _remarks(need, part, depth, moved=track is not None),
        width_difference_mm=part.dimension("width") - before,
    )


def _shaft(shaft: Quantity, part: Part) -> tuple[Check, Work]:
    d1 = part.dimension("shaft_diameter")
    inch = part.system == INCH
    low, high = seals.shaft_limits(d1, inch)
    made = check(
        "shaft",
        shaft,
        low,
        high,
        seals.SHAFT_RULES,
        rule_of=inch.astype(np.int8),
        missing="the shaft where the lip runs",
        looked_up=d1,
    )
    wall = (d1 - shaft.estimate) / 2
    thin, thick, most = (
        figure(name) for name in ("sleeve_thin_max", "sleeve_thick_min", "sleeve_wall_max")
    )
    possible = (wall <= thin + EPSILON_MM) | (
        (wall >= thick - EPSILON_MM) & (wall <= most + EPSILON_MM)
    )
    applies = (made.result == FAIL) & (shaft.estimate < low) & possible
    made.after_work(applies, low, high)
    return made, Work(
        "sleeve the shaft",
        ALTER_MACHINE,
        applies,
        2 * wall,
        lambda i: (
            f"fit a thin sleeve (wall at most {thin:g} mm) whose stated range takes a shaft of "
            f"{shaft.estimate[i]:.2f} mm: it runs a seal of d1 {d1[i]:g}"
            if wall[i] <= thin + EPSILON_MM
            else f"sleeve the shaft from {shaft.estimate[i]:.2f} to {low[i]:.2f}..{high[i]:.2f} mm "
            f"(wall {wall[i]:.2f} mm)"
        ),
        beside=lambda i: (
            thin_sleeve(shaft, i)
            if wall[i] <= thin + EPSILON_MM
            else thick_sleeve(shaft, i, (float(low[i]), float(high[i]), made.rule(i)))
        ),
    )


def _housing(housing: Quantity, part: Part) -> tuple[Check, list[Work]]:
    bore = part.dimension("outside_diameter")
    inch = part.system == INCH
    rubber = part.trait("case") == code(_KIND, "case", "rubber")
    low, high = seals.bore_limits(bore, inch)
    made = check(
        "housing",
        housing,
        low,
        high,
        seals.BORE_RULES,
        rule_of=inch.astype(np.int8),
        missing="the housing bore",
        looked_up=bore,
    )
    above = (made.result == FAIL) & (housing.estimate > high)
    if above.any() and rubber.any():
        # A rubber-covered seal still presses in a bore above its tolerance: doubtful, not failed.
        holds = above & rubber
        seal_low, _ = seals.outside_limits(bore[holds], rubber[holds], inch[holds])
        holds[holds] = seal_low - housing.high[holds] > EPSILON_MM
        made.set_result(holds, DOUBTFUL)
        above &= ~holds
    below = (made.result == FAIL) & (housing.estimate < low)
    cut = high - housing.estimate
    wall = (housing.estimate - bore) / 2
    thick, most, boring = (
        figure(name) for name in ("sleeve_thick_min", "sleeve_wall_max", "bore_out_max")
    )
    bore_out = below & (cut <= boring + EPSILON_MM)
    sleeve = above & (wall >= thick - EPSILON_MM) & (wall <= most + EPSILON_MM)
    first = bore + 2 * thick
    both = above & (wall < thick - EPSILON_MM) & (first - housing.estimate <= boring + EPSILON_MM)
    made.after_work(bore_out | sleeve | both, low, high)
    return made, [
        Work(
            "bore the housing",
            ALTER_MACHINE,
            bore_out | both,
            np.where(both, first - housing.estimate, cut),
            lambda i: (
                f"bore the housing from {housing.estimate[i]:.2f} to "
                + (
                    f"{first[i]:.2f} mm to make room for a sleeve"
                    if both[i]
                    else f"{low[i]:.3f}..{high[i]:.3f} mm"
                )
            ),
        ),
        Work(
            "sleeve the housing",
            ALTER_MACHINE,
            sleeve | both,
            2 * wall,
            lambda i: (
                f"press a sleeve into the housing and bore it to {low[i]:.3f}..{high[i]:.3f} mm "
                f"(wall {max(wall[i], thick):.2f} mm)"
            ),
        ),
    ]


def _width(need: Need, part: Part, depth: Quantity) -> tuple[Check, Work]:
    width = part.dimension("width")
    inch = part.system == INCH
    old = need.named("width")
    by_depth = depth.known
    needed = np.where(by_depth, width + seals.width_tolerance(width, inch), width)
    # The pocket took the old seal: without a depth a new one no wider fits, as an assumption.
    pocket = depth.otherwise(old)
    made = check(
        "width",
        pocket,
        needed,
        np.inf,
        seals.WIDTH_RULES,
        rule_of=inch.astype(np.int8),
        missing="the depth of the housing pocket",
        required=by_depth | old.known,
        looked_up=np.where(by_depth, width, np.nan),
    )
    excess = needed - pocket.estimate
    slack = figure("wider_unchecked_max")
    made.set_result(~by_depth & (made.result == FAIL) & (excess <= slack + EPSILON_MM), NOT_CHECKED)
    applies = (made.result == FAIL) & (excess <= figure("deepen_max") + EPSILON_MM)
    made.after_work(applies, needed, needed)
    return made, Work(
        "deepen the pocket",
        ALTER_MACHINE,
        applies,
        excess,
        lambda i: f"deepen the housing pocket by {excess[i]:.2f} mm to at least {needed[i]:.2f} mm",
    )


def _remarks(need: Need, part: Part, depth: Quantity, *, moved: bool) -> list[Remark]:
    case = part.trait("case")
    width = part.dimension("width")
    rest = depth.estimate - width
    old_lip = need.trait("lip_material")
    soft = np.isin(old_lip, [code(_KIND, "lip_material", word) for word in ("leather", "felt")])
    dirt = need.says("dirt", "yes")
    single = part.trait("dust_lip") != code(_KIND, "dust_lip", "yes")
    inch_named_mm = _inch_printed_in_mm(need)
    return [
        Remark(
            case == NOT_STATED,
            lambda _: "the list does not say metal or rubber case: judged as metal",
        ),
        Remark((rest > 1.0) & (not moved), partial(_rest_text, rest)),
        Remark(
            depth.low - 2 * (width + seals.width_tolerance(width, part.system == INCH))
            >= -EPSILON_MM,
            lambda i: (
                f"two of them, {2 * width[i]:.1f} mm together, go into the pocket one behind the "
                "other: grease between the lips"
            ),
        ),
        Remark(
            soft,
            lambda _: (
                "the old lip was leather or felt: its free size says little, go by shaft and "
                "bore; a rubber lip may not run on a pitted track or an oil-return thread (sleeve)"
            ),
        ),
        Remark(dirt & single, lambda _: "dirt at the shaft asks for a dust lip; this has none"),
        Remark(
            inch_named_mm,
            lambda _: "the old sizes are inch sizes printed in millimetres: judged as inch",
        ),
    ]


def _rest_text(rest: Floats, i: int) -> str:
    return (
        f"the pocket is {rest[i]:.1f} mm deeper than the seal: seat it on the shoulder, or fill "
        f"the rest with a ring {rest[i]:.1f} mm thick"
    )


def _inch_printed_in_mm(need: Need) -> Bools:
    flag = need.service.get("inch_printed_mm")
    return np.zeros(len(need), dtype=np.bool_) if flag is None else flag.astype(np.bool_)
