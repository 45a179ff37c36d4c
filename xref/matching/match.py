"""`xref.match`: DataFrames in, a ranked DataFrame out. Pure: no files, no printing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from xref.errors import Impossible, Refused, XrefError
from xref.fits.judgement import CERTAINTY_WORDS, VERDICT_WORDS, Judgement
from xref.kinds.base import Need
from xref.kinds.companions import companions
from xref.matching.candidates import BySize, boundless
from xref.matching.designated import completed
from xref.matching.engine import MISSES_SHOWN, NARROW, search
from xref.matching.inches import in_millimetres, plain
from xref.matching.judging import failing_check, judge_of
from xref.matching.need_frame import needs_from_frame, with_designations
from xref.matching.parts import part_from_columns
from xref.matching.rank import key
from xref.matching.standard_sizes import two_sizes

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

NO_DIAMETER = "no size to look by is given: a diameter of the part or of its place is needed"

Rows = NDArray[np.intp]
Record = tuple[int, int, int, str, str, float, str, str | None]
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
    originals, catalogue = plain(originals), in_millimetres(plain(catalogue))
    notes: list[str] = []
    parts = _Catalogue(catalogue, notes)
    records = ranked(originals, parts.of, top=top, service=service, notes=notes)
    made = _frame(pd, originals, catalogue, records)
    made.attrs["notes"] = list(dict.fromkeys(notes))
    return made


@dataclass(frozen=True, slots=True)
class OnOffer:
    """The parts of one kind, with what the caller calls each and its place in the alphabet."""

    by_size: BySize
    rows: Rows
    names: Rows


class _Catalogue:
    """A DataFrame of parts, by kind; `notes` takes what is to be said of its rows."""

    def __init__(self, frame: pd.DataFrame, notes: list[str]) -> None:
        self._frame, self._notes = frame, notes
        self._kinds = frame["kind"].to_numpy(dtype=object)
        self._names = alphabetical(frame["maker"].to_list(), frame["number"].to_list())
        self._made: dict[str, OnOffer] = {}

    def of(self, kind: str) -> OnOffer:
        """Return the parts of a kind, understood once; `rows` are those of the DataFrame."""
        if kind not in self._made:
            rows = np.flatnonzero(self._kinds == kind)
            frame = self._frame.iloc[rows]
            columns = {str(c): frame[c].to_numpy() for c in frame.columns}
            stated = completed(kind, frame["number"].tolist(), columns)
            part = part_from_columns(kind, stated, len(frame))
            for at, text in two_sizes(part.other, "part on offer"):
                self._notes.append(f"catalogue row {rows[at]}: {text}")
            self._made[kind] = OnOffer(BySize(part), rows, self._names[rows])
        return self._made[kind]


def ranked(
    originals: pd.DataFrame,
    offered: Callable[[str], OnOffer],
    *,
    top: int,
    service: Mapping[str, Any] | None = None,
    notes: list[str],
) -> list[Record]:
    """Rank the parts `offered` of each kind for each original; see `match`.

    Returns, in order, the original's row, the rank, the part as `OnOffer.rows` calls it (-1 for
    none), and what is told of it. `notes` takes what is to be said of the originals.
    """
    if not isinstance(top, int | np.integer) or top < 1:
        raise Impossible(
            f"The {top} best parts cannot be shown: top is a whole number, at least 1."
        )
    originals = in_millimetres(originals)
    records: list[Record] = []
    served: set[int] = set()
    bad: dict[int, str] = {}
    kinds_of_originals = originals["kind"].to_numpy(dtype=object)
    for row, kind in enumerate(kinds_of_originals):
        if not isinstance(kind, str):
            bad[row] = "its kind is not given: the column kind says what each original is"
    for kind in dict.fromkeys(k for k in kinds_of_originals if isinstance(k, str)):
        rows = np.flatnonzero(kinds_of_originals == kind)
        try:
            judge = judge_of(kind)
            asked = needs_from_frame(
                kind, with_designations(kind, originals.iloc[rows]), service or {}, bad, rows
            )
        except XrefError as error:
            bad |= {int(row): error.message for row in rows}
            continue
        for at in np.flatnonzero(boundless(judge.windows(asked, NARROW))).tolist():
            bad.setdefault(int(rows[at]), NO_DIAMETER)
        for at, text in two_sizes(asked.other, "old part"):
            notes.append(f"originals row {rows[at]}: {text}")
        usable = np.array([i for i, row in enumerate(rows) if int(row) not in bad], dtype=np.intp)
        for need_row, position, part, told in _search(kind, asked, offered, top, usable):
            row = int(rows[need_row])
            served.add(row)
            records.append((row, position, part, *told))
    records.extend(
        (row, 1, -1, VERDICT_WORDS[-1], CERTAINTY_WORDS[-1], 0.0, "", bad.get(row))
        for row in range(len(originals))
        if row not in served
    )
    records.sort(key=lambda record: record[:2])
    return records


def _search(
    kind: str, need: Need, offered: Callable[[str], OnOffer], top: int, rows: Rows
) -> list[tuple[int, int, int, _Told]]:
    """Return need row, rank, part and what is told, over the kind and its companions."""
    found: list[tuple[int, tuple[float, ...], int, int, bool, _Told]] = []
    for offered_kind in (kind, *companions(kind)):
        there = offered(offered_kind)
        best = search(
            offered_kind,
            need,
            there.by_size.part,
            by_size=there.by_size,
            names=there.names,
            top=top,
            tell=_tell,
            always_misses=len(rows) <= MISSES_FOR_ALL,
            rows=rows,
        )
        for one in best:
            ranking, told = one.told
            name, part = int(there.names[one.part_row]), int(there.rows[one.part_row])
            found.append((one.need_row, ranking, name, part, one.fits, told))
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
    pandas: Any, originals: pd.DataFrame, catalogue: pd.DataFrame, records: list[Record]
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
