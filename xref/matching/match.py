"""`xref.match`: DataFrames in, a ranked DataFrame out. Pure: no files, no printing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import Impossible, Refused, XrefError
from xref.fits.judgement import CERTAINTY_WORDS, VERDICT_WORDS, Judgement
from xref.fits.quantity import Quantity
from xref.kinds.base import Need, encode
from xref.kinds.companions import companions
from xref.kinds.spec import spec
from xref.kinds.systems import IN, decimals_of, unit_codes
from xref.matching import needs as building
from xref.matching.designated import KINDS as DESIGNATED
from xref.matching.designated import completed
from xref.matching.engine import MISSES_SHOWN, search
from xref.matching.impossible import NUMBERS, impossible_rows
from xref.matching.inches import floats, in_millimetres
from xref.matching.judging import failing_check, judge_of
from xref.matching.parts import part_from_columns
from xref.matching.rank import key
from xref.matching.standard_sizes import demand_one, two_sizes
from xref.sizes import size

if TYPE_CHECKING:
    import pandas as pd

COLUMNS = (
    "original_row",
    "original_number",
    "rank",
    "maker",
    "number",
    "verdict",
    "certainty",
    "conformance",
    "work",
    "failing_check",
)
MISSES_FOR_ALL = 2000
"""With more originals of a kind than this, near misses are sought only for those short of
candidates: the widest window makes hundreds of pairs for each."""

_Told = tuple[str, str, float, str, str | None]


def match(
    originals: pd.DataFrame,
    catalogue: pd.DataFrame,
    *,
    top: int = 10,
    service: Mapping[str, Any] | None = None,
) -> pd.DataFrame:
    """Rank the parts of a catalogue that fit each original.

    Parameters
    ----------
    originals : DataFrame
        `number`, `kind`; the part's own `<dimension>_mm` or `<dimension>_text` with optional
        `written_unit` ("mm"/"in"); and/or the place `<place>_mm` with `<place>_uncertainty_mm`;
        `gland`; service columns, which override `service`. Every `_mm` may be `_in`.
    catalogue : DataFrame
        `maker`, `number`, `kind`, `<dimension>_mm`, and traits by name (`case` ...).
    top : int
        Most candidates per original; up to three near misses follow them (beyond 2,000 originals
        of a kind only where candidates are fewer than `top`).
    service : mapping, optional
        Service conditions for every original: rpm, medium, temperature, pressure_bar ...

    Returns
    -------
    DataFrame
        One row per original and candidate: original_row (0-based), original_number, rank, maker,
        number, verdict, certainty, conformance, work (text), failing_check. An original with
        nothing found, or with sizes that cannot be, has one row `does not fit` with number None.
        `.attrs["notes"]` says which sizes had two standard sizes in reach and were judged as both.

    Raises
    ------
    Refused
        A needed column is missing.
    Impossible
        `top` is below 1.
    """
    import pandas as pd

    for frame, name, wanted in (
        (originals, "originals", ("number", "kind")),
        (catalogue, "catalogue", ("maker", "number", "kind")),
    ):
        missing = [column for column in wanted if column not in frame.columns]
        if missing:
            raise Refused(f"The {name} have no column {', '.join(missing)}: add it.")
    if top < 1:
        raise Impossible(f"The {top} best parts cannot be shown: top is at least 1.")
    originals, catalogue = in_millimetres(originals), in_millimetres(catalogue)
    records: list[tuple[Any, ...]] = []
    served: set[int] = set()
    bad: dict[int, str] = {}
    notes: list[str] = []
    kinds_of_originals = originals["kind"].to_numpy(dtype=object)
    for kind in dict.fromkeys(k for k in kinds_of_originals if isinstance(k, str)):
        rows = np.flatnonzero(kinds_of_originals == kind)
        try:
            judge_of(kind)
            asked = needs_from_frame(
                kind, with_designations(kind, originals.iloc[rows]), service or {}, bad, rows
            )
        except XrefError as error:
            bad |= {int(row): error.message for row in rows}
            continue
        for at, text in two_sizes(asked.other, "old part"):
            notes.append(f"originals row {rows[at]}: {text}")
        usable = np.array([i for i, row in enumerate(rows) if int(row) not in bad], dtype=np.intp)
        for need_row, position, part_row, told in _search(
            kind, asked, catalogue, top, usable, notes
        ):
            row = int(rows[need_row])
            served.add(row)
            records.append((row, position, part_row, *told))
    records.extend(
        (row, 1, -1, VERDICT_WORDS[-1], CERTAINTY_WORDS[-1], 0.0, "", bad.get(row))
        for row in range(len(originals))
        if row not in served
    )
    records.sort(key=lambda record: record[:2])
    made = _frame(pd, originals, catalogue, records)
    made.attrs["notes"] = list(dict.fromkeys(notes))
    return made


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
    own = {
        name: _own_sizes(frame, name, bad, rows)
        for name in declared.dimension_names
        if f"{name}_mm" in frame.columns or f"{name}_text" in frame.columns
    }
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
                spread = np.where(np.isnan(stated), spread, stated)
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
    nothing = np.ones(length, dtype=np.bool_)
    for values in (*(sizes.value for sizes in own.values()), *(q.estimate for q in place.values())):
        nothing &= np.isnan(values)
    for row in np.flatnonzero(nothing):
        bad.setdefault(int(rows[row]), "no size is given, of the part or of its place")
    return building.build_need(kind, own, place, conditions, _traits(kind, frame), length)


def _own_sizes(
    frame: pd.DataFrame, name: str, bad: dict[int, str], rows: NDArray[np.intp]
) -> building.Sizes:
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
        sizes.decimals = np.where(sizes.unit == IN, in_inches, -1).astype(np.int8)
        if f"{name}_low_mm" in frame.columns and f"{name}_high_mm" in frame.columns:
            low, high = floats(frame, f"{name}_low_mm"), floats(frame, f"{name}_high_mm")
            sizes.low = np.where(np.isnan(low), sizes.low, low)
            sizes.high = np.where(np.isnan(high), sizes.high, high)
            for i in np.flatnonzero(sizes.low > sizes.high):
                bad.setdefault(
                    int(rows[i]),
                    f"{name.replace('_', ' ')}: the lower limit {sizes.low[i]:g} mm is above the "
                    f"upper limit {sizes.high[i]:g} mm",
                )
    if f"{name}_text" in frame.columns:
        read: dict[tuple[str, object], Any] = {}
        for row, text in enumerate(frame[f"{name}_text"]):
            if not isinstance(text, str) or not text.strip():
                continue
            unit = units[row] if units[row] in ("mm", "in") else None
            known = read.get((text, unit))
            if known is None:
                try:
                    known = size(text, unit)
                    demand_one(name, known)
                except XrefError as error:
                    known = error
                read[(text, unit)] = known
            if isinstance(known, XrefError):
                if np.isnan(sizes.value[row]):
                    bad.setdefault(int(rows[row]), f"{name.replace('_', ' ')}: {known.message}")
            else:
                sizes.set(row, known)
    return sizes


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


def _search(
    kind: str,
    need: Need,
    catalogue: pd.DataFrame,
    top: int,
    rows: NDArray[np.intp],
    notes: list[str],
) -> list[tuple[int, int, int, _Told]]:
    """Return need row, rank, catalogue row and what is told, over the kind and its companions.

    `notes` takes what is to be said of the catalogue's rows.
    """
    of_kind = catalogue["kind"].to_numpy(dtype=object)
    names = alphabetical(catalogue["maker"].to_list(), catalogue["number"].to_list())
    found: list[tuple[int, tuple[float, ...], int, int, bool, _Told]] = []
    for offered_kind in (kind, *companions(kind)):
        offered = np.flatnonzero(of_kind == offered_kind)
        frame = catalogue.iloc[offered]
        columns = {str(c): frame[c].to_numpy() for c in frame.columns}
        part = part_from_columns(
            offered_kind, completed(offered_kind, frame["number"].tolist(), columns), len(frame)
        )
        for at, text in two_sizes(part.other, "part on offer"):
            notes.append(f"catalogue row {offered[at]}: {text}")
        ranked = search(
            offered_kind,
            need,
            part,
            names=names[offered],
            top=top,
            tell=_tell,
            always_misses=len(rows) <= MISSES_FOR_ALL,
            rows=rows,
        )
        for one in ranked:
            part_row = int(offered[one.part_row])
            ranking, told = one.told
            found.append((one.need_row, ranking, int(names[part_row]), part_row, one.fits, told))
    found.sort(key=lambda entry: entry[:4])
    return _numbered(found, top)


def _numbered(
    found: list[tuple[int, tuple[float, ...], int, int, bool, _Told]], top: int
) -> list[tuple[int, int, int, _Told]]:
    """Number each need's best `top` parts and then its nearest misses."""
    counts: dict[tuple[int, bool], int] = {}
    positions: dict[int, int] = {}
    numbered = []
    for need_row, _, _, part_row, fits, told in found:
        seen = counts.get((need_row, fits), 0)
        counts[(need_row, fits)] = seen + 1
        if seen < (top if fits else MISSES_SHOWN):
            positions[need_row] = positions.get(need_row, 0) + 1
            numbered.append((need_row, positions[need_row], part_row, told))
    return numbered


def alphabetical(makers: list[object], numbers: list[object]) -> NDArray[np.intp]:
    """Return the position of each maker and number in their alphabetical order."""
    keys = [(str(m), str(n)) for m, n in zip(makers, numbers, strict=True)]
    position = {key: i for i, key in enumerate(sorted(set(keys)))}
    return np.array([position[key] for key in keys], dtype=np.intp)


def _tell(judged: Judgement, row: int) -> tuple[tuple[float, ...], _Told]:
    return key(judged, row), (
        VERDICT_WORDS[int(judged.verdict[row])],
        CERTAINTY_WORDS[int(judged.certainty[row])],
        round(float(judged.conformance[row]), 4),
        "; ".join(item.text(row) for item in judged.work if item.applies[row]),
        failing_check(judged, row),
    )


def _frame(
    pandas: Any, originals: pd.DataFrame, catalogue: pd.DataFrame, records: list[tuple[Any, ...]]
) -> pd.DataFrame:
    numbers = originals["number"].to_list()
    makers, offered = catalogue["maker"].to_list(), catalogue["number"].to_list()
    rows = [
        (
            row,
            numbers[row],
            position,
            makers[part] if part >= 0 else None,
            offered[part] if part >= 0 else None,
            *told,
        )
        for row, position, part, *told in records
    ]
    # Object columns, so that nothing found stays None and does not become a number.
    made: pd.DataFrame = pandas.DataFrame(rows, columns=list(COLUMNS), dtype=object)
    return made.astype({"original_row": "int64", "rank": "int64", "conformance": "float64"})
