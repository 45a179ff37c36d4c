"""What a bush's service asks beyond its place: form, pressure, PV, wear, oil."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from xref.fits import bushings
from xref.fits.conformance import NOT_CHECKED
from xref.fits.judgement import Check, Remark, check
from xref.fits.practice import figure
from xref.fits.press import press_fit
from xref.fits.quantity import Codes, Floats, Quantity
from xref.fits.seals import speed_of
from xref.kinds.base import INCH, NOT_STATED, Need, Part, code
from xref.kinds.spec import spec

_KIND = "plain_bushing"


def running_of(need: Need) -> bushings.Running:
    """Return where the bush turns steadily: a speed was stated, and no heavy load.

    Heavy, slow or swinging duty, and one not stated, keep the wide clearance.
    """
    rpm = need.number("rpm")
    return bushings.Running((rpm > 0) & ~need.says("load", "heavy"), need.says("dirt", "yes"))


def flange_check(need: Need, part: Part) -> list[Check]:
    """The form must be the same; flange sizes are compared where both are known."""
    old_flange, new_flange = need.named("flange_diameter"), part.dimension("flange_diameter")
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
    thickness = need.named("flange_thickness").estimate - part.dimension("flange_thickness")
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
            material_limit(part, "max_pressure_mpa"),
            bushings.PRESSURE_RULE,
            missing="the material",
            unit="MPa",
            no_row=_no_row(part, "max_pressure_mpa"),
            applies=stated,
        )
    ]
    if need.states("rpm"):
        rpm = need.number("rpm")
        pv = pressure * speed_of(part.dimension("bore_diameter"), rpm)
        checks.append(
            check(
                "pressure x speed",
                Quantity.limits(pv, pv),
                0.0,
                material_limit(part, "max_pv_mpa_m_s"),
                bushings.PV_RULE,
                missing="the material",
                unit="MPa m/s",
                no_row=_no_row(part, "max_pv_mpa_m_s"),
                applies=stated & ~np.isnan(rpm),
            )
        )
    return checks


def _no_row(part: Part, column: str) -> Callable[[int], str]:
    names = tuple(spec(part.kind).trait("material").words)
    return bushings.no_limit_for(names, part.trait("material"), column)


def material_limit(part: Part, column: str) -> Floats:
    """Return the limit of each part's material, NaN where no handbook gives one."""
    names = tuple(spec(part.kind).trait("material").words)
    return np.asarray(bushings.limits_of_material(names, column)[part.trait("material")])


def _closing_in(part: Part, housing: Quantity, make: Codes) -> Callable[[int], str]:
    """Say how far the bore closes in: Lame for bronze in thick cast iron, and the safe bound."""
    bore, od = part.dimension("bore_diameter"), part.dimension("outside_diameter")
    most = bushings.outside_limits(od, make)[1] - housing.low

    def text(i: int) -> str:
        said = "the bore closes in when the bush goes home"
        if most[i] > 0 and bore[i] < od[i]:
            lame = press_fit(most[i], od[i], bore[i], np.inf, 1.0, "bronze", "cast iron")
            said += (
                f": by about {lame.close_in_mm:.3f} mm (Lame, bronze 111 GPa in thick cast iron "
                f"100 GPa) to {most[i]:.3f} mm, the whole press (shop's safe bound)"
            )
        return said + "; measure it pressed, then ream"

    return text


def remarks(need: Need, part: Part, make: Codes, housing: Quantity) -> list[Remark]:
    """Return what to tell: closing in, oil, wear limit, running clearance, material."""
    lacks = {
        name: (need.trait(name) == code(_KIND, name, "yes"))
        & (part.trait(name) != code(_KIND, name, "yes"))
        for name in ("oil_groove", "oil_hole")
    }
    journal = need.at("shaft")
    running = running_of(need)
    _, most = bushings.clearance_bounds(part.dimension("bore_diameter"), running)
    worn = figure("wear_limit_factor") * most
    allowance = bushings.running_allowance(part.dimension("bore_diameter"), running.dirty)
    return [
        Remark(np.ones(len(part), dtype=np.bool_), _closing_in(part, housing, make)),
        Remark(
            lacks["oil_groove"],
            lambda _: "the old bush had an oil groove: cut one, and drill the oil hole in line",
        ),
        Remark(
            lacks["oil_hole"] & ~lacks["oil_groove"],
            lambda _: "the old bush had an oil hole: drill it in line with the housing's, deburred",
        ),
        Remark(
            journal.known,
            lambda i: (
                f"worn out when the clearance is above {worn[i]:.2f} mm, "
                f"{figure('wear_limit_factor'):g} times the new maximum (common practice)"
            ),
        ),
        Remark(
            journal.known & running.steady,
            lambda i: (
                "it turns steadily, so the clearance is held to 0.001 in per inch (common "
                f"practice): {allowance[i]:.3f} mm at the bore's nominal size; heavy, slow or "
                "swinging duty keeps the wide limits: say --load heavy, or no speed"
            ),
        ),
        Remark(
            journal.known & np.isnan(need.number("rpm")),
            lambda _: (
                "speed not stated: judged by the wide clearance; say --rpm to have it held to "
                "0.001 in per inch where the bush turns steadily"
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
