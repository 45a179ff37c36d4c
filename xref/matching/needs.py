"""Needs from what the user has: a DataFrame of originals, or one query's sizes.

The old part's sizes keep how they were written (unit, decimals), because that
decides the system they belong to; a place keeps how well it was measured. A row
that cannot be judged is named with the reason and never stops the others.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import Impossible, XrefError
from xref.fits.bearings import LOADS, ROTATING
from xref.fits.glands import GLANDS, MOTIONS
from xref.fits.practice import figure
from xref.fits.quantity import EPSILON_MM, NOMINAL, OWN_LIMITS, Bools, Floats, Quantity
from xref.fits.service import MEDIUM_OTHER_NAMES
from xref.kinds.base import INCH, UNCLEAR, Need, encode
from xref.kinds.spec import spec
from xref.kinds.systems import (
    IN,
    MM,
    NO_UNIT,
    Written,
    made_standard,
    second_readings,
    snap_inch,
    system_of,
    with_row_places,
)
from xref.matching import standard_sizes
from xref.matching.impossible import NUMBERS, impossible_rows, in_words
from xref.sizes import Size, Unit, size

WORDS = ("medium", "dirt", "load", "rotating", "gland", "motion")
"""Service conditions that are words."""
KNOWN_WORDS: Mapping[str, tuple[str, ...]] = {
    "load": LOADS,
    "rotating": ROTATING,
    "gland": GLANDS,
    "motion": MOTIONS,
}
"""The words of the conditions that decide which limits apply; another word is refused."""

_INSTRUMENTS = {
    "outside caliper": "u_outside_caliper",
    "inside caliper": "u_inside_caliper",
    "micrometer": "u_micrometer",
    "inside micrometer": "u_micrometer",
    "depth gauge": "u_depth_gauge",
    "feeler gauge": "u_micrometer",
    "radius gauge": "u_depth_gauge",
}


@dataclass(slots=True)
class Sizes:
    """Columns of one dimension before they become a `Quantity`: floats [mm], NaN unknown."""

    value: Floats
    low: Floats
    high: Floats
    unit: NDArray[np.int8]
    decimals: NDArray[np.int8]
    unnamed: Bools
    """Where only limits were written, so that `value` is their middle and no nominal size."""
    counted: Bools
    """Where the decimals were counted on a number, which keeps no trailing zeros."""

    @property
    def limited(self) -> Bools:
        """Where limits were written."""
        return np.asarray((self.high - self.low) > EPSILON_MM)

    def as_written(self) -> Written:
        """Return the sizes as they were written."""
        return Written(self.value, self.unit, self.decimals)

    @classmethod
    def empty(cls, length: int) -> Sizes:
        """Return `length` unknown sizes."""
        nan = np.full(length, np.nan)
        codes = np.full(length, NO_UNIT, dtype=np.int8)
        decimals = np.full(length, -1, dtype=np.int8)
        no, not_counted = np.zeros(length, dtype=np.bool_), np.zeros(length, dtype=np.bool_)
        return cls(nan, nan.copy(), nan.copy(), codes, decimals, no, not_counted)

    def set(self, row: int, read: Size) -> None:
        """Put a read size in a row."""
        self.low[row], self.high[row] = read.low_mm, read.high_mm
        middle = (read.low_mm + read.high_mm) / 2
        self.value[row] = read.nominal_mm if read.nominal_mm is not None else middle
        self.unit[row] = IN if read.unit == "in" else MM
        self.decimals[row] = -1 if read.decimals is None else read.decimals
        self.unnamed[row] = read.nominal_mm is None
        self.counted[row] = False


@dataclass(slots=True)
class Asked:
    """Needs of one kind with what the answer must repeat: sources, assumptions, bad rows."""

    need: Need
    rows: NDArray[np.intp]
    notes: list[str] = field(default_factory=list)


def instrument_uncertainty(kind: str, place: str) -> float:
    """Return the usual uncertainty U (k = 2) of the instrument a place is measured with [mm]."""
    for one in spec(kind).places:
        if one.name == place:
            return figure(_INSTRUMENTS[one.instrument])
    return figure("u_outside_caliper")


def build_need(
    kind: str,
    own: Mapping[str, Sizes],
    place: Mapping[str, Quantity],
    service: Mapping[str, NDArray[Any]],
    traits: Mapping[str, NDArray[Any]],
    length: int,
) -> Need:
    """Return the need with its system decided and the old part's sizes as quantities."""
    written = with_row_places(
        {name: sizes.as_written() for name, sizes in own.items()},
        {name: sizes.counted for name, sizes in own.items()},
    )
    written = made_standard(kind, written)
    system, printed = system_of(kind, written)
    if len(system) != length:
        system = np.zeros(length, dtype=np.int8)
        printed = np.zeros(length, dtype=np.bool_)
    part: dict[str, Quantity] = {}
    nominal: dict[str, Floats] = {}
    other = second_readings(written)
    for name, sizes in own.items():
        value = snap_inch(written[name].value_mm, printed)
        limited = sizes.limited
        named = Quantity.limits(value, value, how=NOMINAL)
        part[name] = named.where(limited, Quantity.limits(sizes.low, sizes.high, OWN_LIMITS))
        if limited.any():
            nominal[name] = np.where(limited & ~sizes.unnamed, sizes.value, np.nan)
            if name in other:  # limits are kept as given
                other[name] = np.where(limited, np.nan, other[name])
    conditions = dict(service)
    if printed.any():
        conditions["inch_printed_mm"] = printed
    return Need(
        kind,
        system,
        part,
        dict(place),
        conditions,
        dict(traits),
        nominal,
        other,
    )


def one_need(
    kind: str,
    *,
    part: Mapping[str, str],
    place: Mapping[str, str],
    uncertainty: str | None = None,
    service: Mapping[str, Any] | None = None,
    traits: Mapping[str, Any] | None = None,
    unit: str | None = None,
    listed: Collection[str] = (),
) -> tuple[Need, dict[str, str], list[str]]:
    """Build one need from written sizes; also where each came from, and what was assumed.

    `listed` names sizes that a list wrote and nobody typed: of those with two standard sizes in
    reach both are judged. Raises `Impossible`, `NeedsAnswer` or `Refused` with a sentence naming
    the option.
    """
    own = {name: Sizes.empty(1) for name in part}
    origin: dict[str, str] = {}
    assumed: list[str] = []
    reads = {name: _read(name, text, unit) for name, text in part.items()}
    standard_sizes.demand_one(kind, reads, listed)
    for name, read in reads.items():
        own[name].set(0, read)
        origin[name] = f"as written {read.text}"
        assumed += [f"{in_words(name)}: {note}" for note in read.notes]
    stated = None if uncertainty is None else _read("uncertainty", uncertainty, unit)
    if stated is not None and stated.high_mm <= 0:
        raise Impossible("The uncertainty must be above zero: give what the instrument can do.")
    measured: dict[str, Quantity] = {}
    places = [one.name for one in spec(kind).places]
    for name, text in place.items():
        if name not in (*places, "depth"):
            raise Impossible(
                f"A {spec(kind).title.lower()} is not judged by a {in_words(name)}: measure "
                f"{', '.join(map(in_words, places))}.",
                code="no-such-place",
            )
        read = _read(name, text, unit)
        if read.high_mm - read.low_mm > EPSILON_MM:
            measured[name] = Quantity.limits(read.low_mm, read.high_mm)
            origin[name] = f"limits {read.low_mm:g}..{read.high_mm:g}"
        else:
            usual = instrument_uncertainty(kind, name)
            spread = usual if stated is None else stated.high_mm
            if spread >= read.low_mm:
                raise Impossible(
                    f"The uncertainty of {spread:g} mm is as large as the {in_words(name)} of "
                    f"{read.low_mm:g} mm: give what the instrument can do.",
                    at=name,
                )
            measured[name] = Quantity.measured(read.low_mm, spread)
            origin[name] = f"measured ±{spread:g}"
            if stated is None:
                assumed.append(f"{in_words(name)} measured within ±{spread:g} mm (its instrument)")
    conditions = service_columns(service or {})
    wrong = impossible_rows(
        kind,
        {name: sizes.value for name, sizes in own.items()},
        {name: q.estimate for name, q in measured.items()},
        conditions,
    )
    if wrong:
        raise Impossible(f"Impossible: {wrong[0]}.")
    need = build_need(kind, own, measured, conditions, trait_columns(kind, traits or {}), 1)
    assumed += _about_system(need, own)
    return need, origin, assumed


def _about_system(need: Need, own: Mapping[str, Sizes]) -> list[str]:
    """Say where the system of the sizes is not the one they are written in, or not clear."""
    both = [text for _, text in standard_sizes.two_sizes(need.other, "old part")]
    if both:
        return both
    if need.system[0] == UNCLEAR:
        return ["the sizes may be inch or metric ones: judged under both, the worse shown"]
    said = []
    for name, sizes in own.items():
        if sizes.high[0] - sizes.low[0] > EPSILON_MM:
            continue  # limits are kept as given
        meant = float(need.part[name].estimate[0])
        if abs(meant - sizes.value[0]) > EPSILON_MM:
            shown = f"{meant / 25.4:g} in" if need.system[0] == INCH else f"{meant:g} mm"
            said.append(f"{in_words(name)} {sizes.value[0]:.6g} mm read as the standard {shown}")
    return said


def service_columns(service: Mapping[str, Any]) -> dict[str, NDArray[Any]]:
    """Return one query's service conditions as columns of one row."""
    columns: dict[str, NDArray[Any]] = {}
    for name, value in service.items():
        if value is None or value is False:
            continue
        if name == "wear_track":
            position, width = wear_track(value)
            columns["track_position"] = np.array([position])
            columns["track_width"] = np.array([width])
        elif name in NUMBERS:
            columns[name] = np.array([_finite(name, value)])
        elif name in WORDS:
            columns[name] = np.array([service_word(name, value)], dtype="<U24")
        else:
            raise Impossible(
                f"{name!r} is no service condition xref knows.", code="unknown-service"
            )
    return columns


def service_word(name: str, value: object) -> str:
    """Return a service condition's word; `Impossible` where only some words are understood."""
    word = "yes" if value is True else str(value).strip().casefold()
    known = KNOWN_WORDS.get(name)
    if known is not None and word not in known:
        raise Impossible(
            f"{in_words(name).capitalize()} is {', '.join(known[:-1])} or {known[-1]}; "
            f"{value!r} is none of these.",
            code="unknown-word",
        )
    return MEDIUM_OTHER_NAMES.get(word, word) if name == "medium" else word


def _finite(name: str, value: object) -> float:
    try:
        figure_given = float(str(value))
    except ValueError:
        figure_given = np.nan
    if not np.isfinite(figure_given):
        raise Impossible(f"{in_words(name).capitalize()} is a figure; {value!r} is none.")
    return figure_given


def wear_track(text: object) -> tuple[float, float]:
    """Read POSITION,WIDTH of a worn track, both from the seat [mm]."""
    pieces = str(text).split(",")
    if len(pieces) != 2:
        raise Impossible(
            f"The wear track {text!r} is not POSITION,WIDTH: write both with their unit, 6mm,2mm."
        )
    position, width = (_read("wear track", piece, None) for piece in pieces)
    return position.high_mm, width.high_mm


def trait_columns(kind: str, traits: Mapping[str, Any]) -> dict[str, NDArray[Any]]:
    """Return one old part's traits as columns of one row; unknown traits are left out."""
    columns: dict[str, NDArray[Any]] = {}
    for trait in spec(kind).traits:
        value = traits.get(trait.name)
        if value is None:
            continue
        if trait.is_number:
            columns[trait.name] = np.array([float(value)])
        elif trait.words:
            columns[trait.name] = encode(kind, trait.name, [value])
    return columns


def dimension_for(kind: str, option: str) -> str:
    """Return the dimension an option means for a kind: `id`, `od`, `width`, `length`, `section`.

    Raises `Impossible` when the kind has no such dimension.
    """
    names = spec(kind).dimension_names
    order = spec(kind).written_order
    if option in names:
        return option
    if option == "id" and order:
        return order[0]
    if option == "od" and "outside_diameter" in names:
        return "outside_diameter"
    if option == "section" and "cross_section" in names:
        return "cross_section"
    if option in ("width", "length", "thickness") and len(order) > 2:
        return order[2]
    raise Impossible(
        f"No {spec(kind).title.lower()} has a {option!r}: it has {', '.join(names) or 'no sizes'}.",
        code="no-such-dimension",
    )


def _read(name: str, text: str, unit: str | None) -> Size:
    stated: Unit | None = "in" if unit == "in" else "mm" if unit == "mm" else None
    try:
        return size(str(text), stated)
    except XrefError as error:
        error.message = f"{in_words(name)}: {error.message}"
        error.args = (error.message,)
        raise
