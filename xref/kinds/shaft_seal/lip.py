"""Where the lip runs and what it must stand: track, speed, heat, pressure, medium, rotation."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from xref.fits import seals
from xref.fits.conformance import DOUBTFUL, FAIL, NOT_CHECKED, PASS
from xref.fits.judgement import ALTER_MACHINE, WITH_SPACER, Beside, Check, Work, check
from xref.fits.practice import figure, practice_rule
from xref.fits.quantity import EPSILON_MM, NOMINAL, Bools, Floats, Quantity
from xref.fits.rules import FROM_MEMORY, HANDBOOK, NO_SOURCE, Rule
from xref.fits.service import medium_check, speed_check, temperature_check
from xref.kinds.base import INCH, NOT_STATED, Need, Part, code
from xref.kinds.spec import spec

_KIND = "shaft_seal"
_PRESSURE_BAR, _HANDBOOK_SMALL_BAR, _SMALL_SHAFT_MM = 0.3, 0.6, 75.0
_PRESSURE_RULE = Rule(
    "pressure at a standard lip: 0.3 bar; to 0.6 bar up to 75 mm shaft is doubtful",
    "ISO 6194-1:2007 scope (30 kPa); Tribology Handbook (Neale), section B23",
    HANDBOOK,
)


_THIN_RULE = practice_rule("sleeve_thin_max", "wall of a thin sleeve at most 0.3 mm")
_THICK_RULE = practice_rule("sleeve_bore_off_max", "a sleeve named by the shaft, bored to it")


@dataclass(slots=True)
class Track:
    """The worn-track check and the work that may cure it."""

    check: Check
    work: list[Work]


def track_check(
    need: Need, part: Part, place: tuple[Quantity, Quantity, Quantity], *, sleeved: Bools
) -> Track | None:
    """Check that the new lip clears the old track by 1 mm; else move it, else sleeve the shaft.

    `place`: shaft, housing and depth of the pocket.
    The lip is taken to sit at the same share of the seal's width as the old lip
    did of the old seal (of the pocket, when the old width is not known): common
    practice, no source.
    """
    if not need.states("track_position"):
        return None
    shaft, housing, depth = place
    position, track_width = need.number("track_position"), need.number("track_width")
    asked = ~np.isnan(position)
    old_width = need.named("width").estimate
    base = np.where(np.isnan(old_width), depth.estimate, old_width)
    width = part.dimension("width")
    lip = position * width / base
    clear = track_width / 2 + figure("lip_clear_min")
    away = np.abs(lip - position)
    made = check(
        "wear track",
        Quantity.limits(away, away, how=NOMINAL),  # where the lip sits is an assumption
        clear,
        np.inf,
        practice_rule("lip_clear_min", "the new lip clear of the old track by 1 mm"),
        missing="the old seal's width or the pocket's depth",
        applies=asked,
    )
    worn = made.result == FAIL
    shift = clear - (lip - position)
    pocket = np.where(depth.known, depth.low, old_width)  # it took the old seal
    room = pocket - width - seals.width_tolerance(width, part.system == INCH)
    spacer = worn & ~sleeved & (shift > 0) & (room >= shift - EPSILON_MM)
    sleeve = worn & ~spacer & ~sleeved
    made.after_work(worn, clear, clear)
    thin = figure("sleeve_thin_max")
    return Track(
        made,
        [
            Work(
                "spacer ring behind the seal",
                WITH_SPACER,
                spacer,
                np.where(spacer, shift, 0.0),
                lambda i: (
                    f"put a ring {shift[i]:.2f} mm thick between shoulder and seal: it moves the "
                    f"lip off the worn track"
                ),
                lambda i: Beside(
                    "spacer_ring",
                    {"shaft": shaft.take(np.array([i])), "housing": housing.take(np.array([i]))},
                    {"thickness": (float(shift[i]), float(room[i]), made.rule(i))},
                ),
            ),
            Work(
                "thin sleeve over the track",
                ALTER_MACHINE,
                sleeve,
                np.where(sleeve, 2 * thin, 0.0),
                lambda _: (
                    f"fit a thin sleeve (wall at most {thin:g} mm) over the worn track: the lip "
                    f"of this seal would run in it"
                ),
                lambda i: thin_sleeve(shaft, i),
            ),
        ],
    )


def thin_sleeve(shaft: Quantity, i: int) -> Beside:
    """Return what a thin sleeve is: a thin wall, and a stated range that takes the shaft."""
    wall = (0.0, figure("sleeve_thin_max"), _THIN_RULE)
    return Beside("shaft_sleeve", {"shaft": shaft.take(np.array([i]))}, {"wall": wall})


def thick_sleeve(shaft: Quantity, i: int, outside: tuple[float, float, Rule]) -> Beside:
    """Return what a sleeve to press on is: named by the shaft, its outside a seal's shaft."""
    off = figure("sleeve_bore_off_max")
    inside = (float(shaft.low[i]) - off, float(shaft.high[i]) + off, _THICK_RULE)
    return Beside(
        "shaft_sleeve",
        {"shaft": shaft.take(np.array([i]))},
        {"inside_diameter": inside, "outside_diameter": outside},
        open=("shaft",),
    )


def service_checks(need: Need, part: Part, shaft: Quantity) -> list[Check]:
    """Return the checks of the service conditions that were stated for any row."""
    materials = tuple(spec(_KIND).trait("lip_material").words)
    material = part.trait("lip_material")
    checks: list[Check] = []
    if need.states("rpm"):
        rpm = need.number("rpm")
        speed = Quantity.limits(seals.speed_of(shaft.low, rpm), seals.speed_of(shaft.high, rpm))
        checks.append(speed_check(materials, material, speed, ~np.isnan(rpm)))
    if need.states("temperature"):
        checks.append(temperature_check(materials, material, need.number("temperature")))
    if need.states("pressure_bar"):
        checks.append(_pressure(need.number("pressure_bar"), shaft))
    if need.states("medium"):
        checks.append(medium_check(materials, material, need.word("medium")))
    rotation = _rotation(need, part)
    if rotation is not None:
        checks.append(rotation)
    return checks


def _pressure(bar: Floats, shaft: Quantity) -> Check:
    made = check(
        "pressure",
        Quantity.limits(bar, bar),
        0.0,
        _PRESSURE_BAR,
        _PRESSURE_RULE,
        missing="the pressure",
        unit="bar",
        applies=~np.isnan(bar),
    )
    small = shaft.estimate <= _SMALL_SHAFT_MM
    made.set_result(
        (made.result == FAIL) & small & (bar <= _HANDBOOK_SMALL_BAR + EPSILON_MM), DOUBTFUL
    )
    return made


def _rotation(need: Need, part: Part) -> Check | None:
    """A lip with one-way pumping ribs leaks on the other rotation."""
    either = code(_KIND, "rotation", "either")
    offered, wanted = part.trait("rotation"), need.trait("rotation")
    one_way = (offered != NOT_STATED) & (offered != either)
    if not one_way.any():
        return None
    made = check(
        "rotation",
        Quantity.unknown(len(part)),
        np.nan,
        np.nan,
        Rule("a one-way lip only on its own direction", NO_SOURCE, FROM_MEMORY),
        missing="which way the shaft turns, seen from the air side",
        unit="",
        applies=one_way,
    )
    known = wanted != NOT_STATED
    result = np.where(offered == wanted, PASS, np.where(known, FAIL, NOT_CHECKED))
    made.result = np.where(one_way, result, PASS).astype(np.int8)
    return made
