"""The pictures of a match: each candidate's section and the bands of its checks."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from xref.faces.drawings.bands import band
from xref.faces.drawings.section import Part, misfits, side_by_side
from xref.kinds.designation import decode

DRAWN = 3  # candidates drawn in full; on a page the others are drawn when opened
Row = dict[str, Any]


def pictured(match: Row, unit: str, open_: int = 0) -> list[Row]:
    """Return the candidates with their section and bands; beyond the first few, only `open_`."""
    shown = []
    for candidate in match["candidates"]:
        rank = candidate["rank"]
        drawn = rank <= DRAWN or rank == open_
        shown.append(
            {
                **candidate,
                "drawn": drawn,
                "section": drawing(match["need"], candidate, f"c{rank}", unit) if drawn else None,
                "checks": [
                    {**check, "picture": picture(check, f"c{rank}b{n}", unit) if drawn else None}
                    for n, check in enumerate(candidate["checks"])
                ],
                "offers": sorted(
                    candidate["offers"], key=lambda o: (o["closes_on"] is None, o["closes_on"])
                ),
            }
        )
    return shown


def pictured_misses(match: Row, unit: str) -> list[Row]:
    """Return the near misses, each with its section and only the checks that speak against it."""
    return [
        {
            **miss,
            "section": drawing(match["need"], miss, f"m{n}", unit) if n < DRAWN else None,
            "checks": [
                {**c, "picture": picture(c, f"m{n}b{k}", unit) if n < DRAWN else None}
                for k, c in enumerate(miss["checks"])
                if c["result"] in ("fail", "doubtful")
            ],
        }
        for n, miss in enumerate(match["near_misses"])
    ]


def drawing(need: Row, candidate: Row, ident: str, unit: str) -> Markup | None:
    """Return old and new side by side, the misfit marked."""
    part = candidate["parts"][0]
    old_label = need.get("number") or ("old part" if need["part_mm"] else "the place")
    new_traits = _traits(part["number"], part["kind"])
    old_traits = _traits(need.get("number"), need["kind"]) or _same_type(candidate, new_traits)
    picture = side_by_side(
        Part(old_label, need["kind"], need["part_mm"], old_traits),
        Part(part["number"] or "new part", part["kind"], part["dimensions_mm"], new_traits),
        ident,
        place=need["place_mm"],
        marks=misfits(candidate["checks"]),
        unit=unit,
    )
    return None if picture is None else Markup(picture)  # noqa: S704 - its text is escaped


def _traits(number: str | None, kind: str) -> Row:
    """Return what a designation by a standard says of a part's form; empty where it is none."""
    named = decode(number) if number else None
    return dict(named.traits) if named is not None and named.kind == kind else {}


def _same_type(candidate: Row, traits: Row) -> Row:
    """Return the bearing type of the new part for the old one, where a check says they agree."""
    agree = any(c["name"] == "bearing type" and c["result"] == "pass" for c in candidate["checks"])
    return {k: v for k, v in traits.items() if agree and k == "bearing_type"}


def picture(check: Row, ident: str, unit: str) -> Markup | None:
    """Return the band of one check."""
    drawn = band(check, ident, unit)
    return None if drawn is None else Markup(drawn)  # noqa: S704 - its text is escaped
