"""Needs from a DataFrame of originals: sizes as written, places, service, traits.

A row that cannot be judged is put into `bad` with its reason and never stops the others.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import XrefError
from xref.fits.quantity import Bools, Quantity
from xref.kinds.base import Need, encode
from xref.kinds.spec import spec
from xref.kinds.systems import IN, decimals_of, leading_dimensions, named_in_inches, unit_codes
from xref.matching import needs as building
from xref.matching.designated import KINDS as DESIGNATED
from xref.matching.designated import completed
from xref.matching.impossible import NUMBERS, impossible_rows
from xref.matching.inches import finite, floats
from xref.matching.standard_sizes import demand_one
from xref.sizes import Size, Unit, size

if TYPE_CHECKING:
    import pandas as pd


def with_designations(kind: str, frame: pd.DataFrame) -> pd.DataFrame:
    """Return originals with the sizes their numbers designate, where no size stands at all."""
    if kind not in DESIGNATED:
        return frame
    names = [f"{name}_{unit}" for name in spec(kind).dimension_names for unit in ("mm", "text")]
    places = [f"{one.name}_mm" for one in spec(kind).places]
    given = frame[[name for name in (*names, *places) if name in frame.columns]]
    bare = given.isna().all(axis=1).to_numpy()
    if not bare.any():
        return frame
    numbers = [n if is_bare else None for n, is_bare in zip(frame["number"], bare, strict=True)]
    columns = {str(c): frame[c].to_numpy() for c in frame.columns}
    return frame.assign(**completed(kind, numbers, columns))


def needs_from_frame(
    kind: str,
    frame: pd.DataFrame,
    service: Mapping[str, Any],
    bad: dict[int, str],
    rows: NDArray[np.intp],
) -> Need:
    """Build the needs of one kind; rows that cannot be are put in `bad` under their number."""
    declared = spec(kind)
    length = len(frame)
    given = [
        name
        for name in declared.dimension_names
        if f"{name}_mm" in frame.columns or f"{name}_text" in frame.columns
    ]
    clear = _named_in_inches(kind, frame, given, rows)
    own = {name: _own_sizes(kind, frame, name, bad, rows, clear) for name in given}
    place: dict[str, Quantity] = {}
    for one in declared.places:
        # A place and a dimension may share a name only where they are one thing.
        if f"{one.name}_mm" in frame.columns and one.name not in own:
            value = floats(frame, f"{one.name}_mm")
            spread = np.full(length, building.instrument_uncertainty(kind, one.name))
            if f"{one.name}_uncertainty_mm" in frame.columns:
                stated = floats(frame, f"{one.name}_uncertainty_mm")
                for row in np.flatnonzero((stated <= 0) | np.isinf(stated) | (stated >= value)):
                    bad.setdefault(
                        int(rows[row]),
                        f"the uncertainty of the {one.title.lower()} is {stated[row]:g} mm: give "
                        "what the instrument can do, above zero and below the size",
                    )
                spread = np.where(np.isfinite(stated), stated, spread)
            place[one.name] = Quantity.measured(value, spread)
    conditions = _service(frame, service, bad, rows)
    wrong = impossible_rows(
        kind,
        {name: sizes.value for name, sizes in own.items()},
        {name: q.estimate for name, q in place.items()},
        conditions,
    )
    for index, reason in wrong.items():
        bad.setdefault(int(rows[index]), reason)
        for sizes in own.values():  # what cannot be is not calculated with
            sizes.value[index] = sizes.low[index] = sizes.high[index] = np.nan
    if wrong:
        cannot_be = np.isin(np.arange(length), list(wrong))
        nowhere = Quantity.unknown(length)
        place = {name: q.where(cannot_be, nowhere) for name, q in place.items()}
        conditions = {n: _without(values, cannot_be) for n, values in conditions.items()}
    nothing = np.ones(length, dtype=np.bool_)
    for values in (*(sizes.value for sizes in own.values()), *(q.estimate for q in place.values())):
        nothing &= np.isnan(values)
    for row in np.flatnonzero(nothing):
        bad.setdefault(int(rows[row]), "no size is given, of the part or of its place")
    return building.build_need(kind, own, place, conditions, _traits(kind, frame), length)


def _without(values: NDArray[Any], rows: Bools) -> NDArray[Any]:
    """Return a service condition as not stated at `rows`."""
    nothing = np.nan if values.dtype.kind == "f" else ""
    return np.where(rows, nothing, values).astype(values.dtype)


def _named_in_inches(
    kind: str, frame: pd.DataFrame, given: list[str], rows: NDArray[np.intp]
) -> Bools:
    """Return the rows whose sizes together are a standard's own, whatever one alone may mean."""
    nothing = np.zeros(len(frame), dtype=np.bool_)
    names = [name for name in leading_dimensions(kind) if name in given]
    if kind != "o_ring" or len(names) < 2:
        return nothing
    read = {name: _own_sizes(kind, frame, name, {}, rows, ~nothing) for name in names}
    return named_in_inches(kind, {name: one.as_written() for name, one in read.items()})


def _own_sizes(
    kind: str,
    frame: pd.DataFrame,
    name: str,
    bad: dict[int, str],
    rows: NDArray[np.intp],
    clear: Bools,
) -> building.Sizes:
    """Read one dimension; of a size typed where it is not `clear` only one may be meant."""
    sizes = building.Sizes.empty(len(frame))
    units = (
        frame["written_unit"].to_numpy(dtype=object)
        if "written_unit" in frame.columns
        else np.full(len(frame), None, dtype=object)
    )
    if f"{name}_mm" in frame.columns:
        sizes.value = floats(frame, f"{name}_mm")
        sizes.low, sizes.high = sizes.value.copy(), sizes.value.copy()
        sizes.unit = unit_codes(units)
        in_inches = decimals_of(np.where(np.isfinite(sizes.value), sizes.value / 25.4, np.nan))
        sizes.counted = sizes.unit == IN
        sizes.decimals = np.where(sizes.counted, in_inches, -1).astype(np.int8)
        if f"{name}_low_mm" in frame.columns and f"{name}_high_mm" in frame.columns:
            low, high = finite(frame, f"{name}_low_mm"), finite(frame, f"{name}_high_mm")
            sizes.low = np.where(np.isnan(low), sizes.low, low)
            sizes.high = np.where(np.isnan(high), sizes.high, high)
            for i in np.flatnonzero(sizes.low > sizes.high):
                bad.setdefault(
                    int(rows[i]),
                    f"{name.replace('_', ' ')}: the lower limit {sizes.low[i]:g} mm is above the "
                    f"upper limit {sizes.high[i]:g} mm",
                )
    if f"{name}_text" in frame.columns:
        read: dict[tuple[str, object, bool], Any] = {}
        for row, text in enumerate(frame[f"{name}_text"]):
            if not isinstance(text, str) or not text.strip():
                continue
            unit = units[row] if units[row] in ("mm", "in") else None
            asked = (text, unit, bool(clear[row]))
            known = read.get(asked)
            if known is None:
                read[asked] = known = _read(kind, name, *asked)
            if isinstance(known, str):
                if np.isnan(sizes.value[row]):
                    bad.setdefault(int(rows[row]), known)
            else:
                sizes.set(row, known)
    return sizes


def _read(kind: str, name: str, text: str, unit: Unit | None, clear: bool) -> Size | str:
    """Return the size a text means, or why it cannot be told."""
    try:
        read = size(text, unit)
    except XrefError as error:
        return f"{name.replace('_', ' ')}: {error.message}"
    try:
        if not clear:
            demand_one(kind, {name: read})
    except XrefError as error:
        return error.message  # it names the size itself
    return read


def _service(
    frame: pd.DataFrame, service: Mapping[str, Any], bad: dict[int, str], rows: NDArray[np.intp]
) -> dict[str, NDArray[Any]]:
    length = len(frame)
    columns = {
        name: np.repeat(values, length)
        for name, values in building.service_columns(service).items()
    }
    for name in NUMBERS:
        if name in frame.columns:
            stated = floats(frame, name)
            before = columns.get(name, np.full(length, np.nan))
            columns[name] = np.where(np.isnan(stated), before, stated)
    for name in building.WORDS:
        if name in frame.columns:
            words = _words(frame, name, bad, rows)
            before = columns.get(name, np.full(length, "", dtype="<U24"))
            columns[name] = np.where(words == "", before, words)
    if "wear_track" in frame.columns:
        tracks = np.full((length, 2), np.nan)
        for row, text in enumerate(frame["wear_track"]):
            if isinstance(text, str) and text:
                try:
                    tracks[row] = building.wear_track(text)
                except XrefError as error:
                    bad.setdefault(int(rows[row]), error.message)
        for i, name in enumerate(("track_position", "track_width")):
            before = columns.get(name, np.full(length, np.nan))
            columns[name] = np.where(np.isnan(tracks[:, i]), before, tracks[:, i])
    return columns


def _words(
    frame: pd.DataFrame, name: str, bad: dict[int, str], rows: NDArray[np.intp]
) -> NDArray[np.str_]:
    words = np.full(len(frame), "", dtype="<U24")
    for row, value in enumerate(frame[name]):
        if value is True or (isinstance(value, str) and value.strip()):
            try:
                words[row] = building.service_word(name, value)
            except XrefError as error:
                bad.setdefault(int(rows[row]), error.message)
    return words


def _traits(kind: str, frame: pd.DataFrame) -> dict[str, NDArray[Any]]:
    traits: dict[str, NDArray[Any]] = {}
    for trait in spec(kind).traits:
        if trait.name not in frame.columns:
            continue
        if trait.is_number:
            traits[trait.name] = floats(frame, trait.name)
        elif trait.words:
            traits[trait.name] = encode(kind, trait.name, list(frame[trait.name]))
    return traits
