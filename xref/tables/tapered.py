"""The one width that lists give of a tapered roller bearing: its assembled width T.

ISO 355 sizes tapered bearings d x D x T; B and C are the widths of cone and cup alone.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from xref.tables.column import absent
from xref.tables.kindwords import ring_named
from xref.tables.sized import ASSEMBLED, Sized, dimension_of
from xref.tables.text import fold

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.alike import Alike
    from xref.tables.rowset import Rows

_KIND, _TYPE, _TAPERED = "rolling_bearing", "bearing_type", "tapered roller"
_WORDS = re.compile(
    r"\btaper(?:ed)?\b(?! (?:bore|sleeve|lock|shaft|hole|adapter))|\btrb\b|"
    r"kegelroll|rouleaux coniques|rulli conici|rodillos conicos|kegelrol|"
    r"koniska? rull|konisk rull"
)
# Series of ISO 355 tapered bearings in the form of DIN 720: 302, 303, 313, 320, 322, 323, ...
_SERIES = re.compile(r"(?:30[23]|31[3]|32[0-3]|329|33[0-2])(\d\d)(?![\d])[\w/ .-]*")
_BORES = {"00": 10.0, "01": 12.0, "02": 15.0, "03": 17.0}
_RING_WIDTH = frozenset(
    {"b", "c", "b mm", "c mm", "b in", "c in", "cone width", "cup width", "inner ring width"}
)


def assembled_widths(part: Alike, rows: Rows, sized: Sized) -> None:
    """Move the width of complete tapered bearings to their assembled width.

    Not where the heading says `B` or `C`, a cup or a cone alone, or where T is given too.
    """
    import numpy as np

    width = sized.dimensions.get("width")
    if width is None or not (part.kinds == _KIND).any() or _is_ring_width(part):
        return
    here = (part.kinds == _KIND) & ~np.isnan(width.nominal)
    for name in ("bore_diameter", "outside_diameter"):  # a cup or a cone has one of them
        here &= name in sized.dimensions and ~np.isnan(sized.dimensions[name].nominal)
    if ASSEMBLED in sized.dimensions:
        here &= np.isnan(sized.dimensions[ASSEMBLED].nominal)
    rings = rows.values.get("ring")
    if rings is not None:
        here &= ~np.isin(rings.astype(str), ["cup", "cone"])
    here &= _tapered(part, rows, sized)
    if not here.any():
        return
    assembled = dimension_of(sized, ASSEMBLED, len(part.kinds))
    for name in ("nominal", "low", "high", "text"):
        values = getattr(width, name)
        getattr(assembled, name)[here] = values[here]
        values[here] = None if name == "text" else np.nan
    types = rows.values.setdefault(_TYPE, np.full(rows.size, None, dtype=object))
    types[here & absent(types)] = _TAPERED
    rows.notes.append("the width of tapered roller bearings is taken as their assembled width T")


def rings_alone(part: Alike, rows: Rows) -> None:
    """Say of rows whose kind or description ends in cup or cone that they are that ring alone."""
    import numpy as np

    here = part.kinds == _KIND
    if not here.any():
        return
    rings = rows.values.get("ring", np.full(rows.size, None, dtype=object))
    before = rings
    for name in ("kind", "description"):
        index = part.columns.first(name)
        if index is not None:
            column = part.block.columns[index]
            said = column.spread([ring_named(text) for text in column.texts])
            rings = np.where(here & absent(rings), said, rings)
    if rings is not before and not absent(rings).all():
        rows.values["ring"] = rings


def _is_ring_width(part: Alike) -> bool:
    listed = part.columns.sizes.get(_KIND, {}).get("width", [])
    return any(fold(part.block.headings[index]) in _RING_WIDTH for index in listed)


def _tapered(part: Alike, rows: Rows, sized: Sized) -> NDArray[np.bool_]:
    """Mark rows whose type, words or designation say that the bearing is tapered."""
    import numpy as np

    found = np.zeros(rows.size, dtype=bool)
    types = rows.values.get(_TYPE)
    if types is not None:
        found |= types == _TAPERED
    for name in ("kind", "description"):
        index = part.columns.first(name)
        if index is not None:
            found |= part.block.columns[index].mask(_says_tapered, ordinary=False)
    sections = part.block.sections
    said = np.fromiter(map(_says_tapered, sections.values), bool, len(sections.values))
    found |= said[sections.codes]
    if types is not None:
        found &= absent(types) | (types == _TAPERED)  # a column of types knows better
    index = part.columns.first("number")
    bore = sized.dimensions.get("bore_diameter")
    if index is not None and bore is not None:
        column = part.block.columns[index]
        bores = np.array([_bore(text) for text in column.texts])[column.codes]
        found |= np.abs(bores - bore.nominal) < 0.01
    return found


def _says_tapered(text: str) -> bool:
    return bool(text) and bool(_WORDS.search(fold(text)))


def names_a_bore(number: str) -> bool:
    """Whether a number is a designation such as 30205 that names a tapered bearing's bore."""
    return _SERIES.fullmatch(number) is not None


def _bore(number: str) -> float:
    """Return the bore [mm] that a designation such as 30205 names, else NaN."""
    match = _SERIES.fullmatch(number)
    if match is None:
        return float("nan")
    return _BORES.get(match[1]) or 5.0 * int(match[1])
