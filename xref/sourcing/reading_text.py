"""A reading as typed at the bench: `shaft@1,x=59.93mm`."""

from __future__ import annotations

import re
from typing import Any

from xref.errors import Impossible
from xref.kinds.spec import kinds, spec

_READING = re.compile(r"([a-z_ ]+?)\s*(?:@\s*([^,=]*)(?:,\s*([^=]*))?)?\s*=\s*(.+)", re.I)


def written_reading(
    text: str, kind: str | None, instrument: str | None = None, uncertainty: str | None = None
) -> dict[str, Any]:
    """Read `DIMENSION[@PLANE[,DIRECTION]]=SIZE` into the columns of a reading.

    `instrument` and `uncertainty` (U at k = 2, a size) default to what the kind says the place
    is measured with. Raises Impossible for a dimension the kind has not, or another writing.
    """
    from xref.sizes import size

    match = _READING.fullmatch(text.strip())
    if match is None:
        raise Impossible(
            f"the reading {text!r} is not written DIMENSION@PLANE,DIRECTION=SIZE, as in "
            "shaft@1,x=59.93mm",
            at="reading",
        )
    dimension = match[1].strip().lower().replace(" ", "_")
    known = (
        {p.name: p.instrument for p in spec(kind).places}
        if kind
        else {p.name: p.instrument for k in kinds() for p in spec(k).places}
    )
    if dimension not in known:
        raise Impossible(
            f"{dimension!r} is not measured at a {spec(kind).title.lower() if kind else 'place'}: "
            f"{', '.join(known)}",
            at="reading",
        )
    read = size(match[4])
    if read.low_mm != read.high_mm or read.low_mm <= 0:
        raise Impossible(f"the reading {match[4]!r} is not one size above zero", at="reading")
    return {
        "dimension": dimension,
        "plane": (match[2] or "").strip(),
        "direction": (match[3] or "").strip(),
        "value_mm": read.low_mm,
        "text": read.text,
        "uncertainty_mm": _uncertainty(uncertainty, kind, dimension),
        "instrument": instrument or known[dimension],
    }


def _uncertainty(text: str | None, kind: str | None, dimension: str) -> float:
    if text is None:
        from xref.matching.needs import instrument_uncertainty

        return instrument_uncertainty(kind, dimension) if kind else 0.05
    from xref.sizes import size

    stated = size(text)
    if stated.high_mm <= 0:
        raise Impossible(f"an uncertainty of {text} cannot be", at="uncertainty")
    return stated.high_mm
