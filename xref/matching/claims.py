"""Interchange statements held against the sizes of their parts (FITS 8).

Equal nominal sizes agree. Others go to the kind's judge, the first part as the need and the
second as the part on offer; without a judge the diameters decide. A statement whose sizes are not
known, or that speaks of several parts together, is claimed, not checked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from xref.errors import Refused
from xref.kinds.spec import kinds, spec
from xref.store.statements import Statement

Item = Mapping[str, Any]
Pair = tuple[Statement, Item, Item]

SAME_WITHIN_MM = 0.05
"""Sizes nearer than this are one nominal size printed differently (common practice)."""
_ALONG = ("width", "length", "thickness")


def sizes_of(item: Item) -> dict[str, float]:
    """Return the sizes of a row that belong to its kind [mm]."""
    known = item.get("dimensions_mm") or {}
    names = spec(item["kind"]).dimension_names if item.get("kind") in kinds() else tuple(known)
    return {name: known[name] for name in names if known.get(name) is not None}


def differing(a: Mapping[str, float], b: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """Return the sizes that both give and that are not the same."""
    return {
        name: (a[name], b[name])
        for name in a
        if name in b and abs(a[name] - b[name]) > SAME_WITHIN_MM
    }


def in_words(differences: Mapping[str, tuple[float, float]]) -> str:
    """Return differing sizes as a reader's sentence."""
    return ", ".join(
        f"{name.replace('_', ' ')} {a:.4g} against {b:.4g} mm"
        if max(a, b) < 10
        else f"{name.replace('_', ' ')} {a:.5g} against {b:.5g} mm"
        for name, (a, b) in differences.items()
    )


def refuted(pairs: Sequence[Pair]) -> list[tuple[Statement, Item, Item, str]]:
    """Return the pairs whose second part cannot serve as the first, with the figures why."""
    wrong: list[tuple[Statement, Item, Item, str]] = []
    doubtful: dict[str, list[tuple[Pair, dict[str, tuple[float, float]]]]] = {}
    for statement, old, new in pairs:
        if {old.get("kind"), new.get("kind")} - set(kinds()) or len(statement.to) > 1:
            continue
        if old["kind"] != new["kind"]:
            if "other" not in (old["kind"], new["kind"]) and not _kin(old["kind"], new["kind"]):
                why = f"{_title(old['kind'])} against {_title(new['kind'])}"
                wrong.append((statement, old, new, why))
            continue
        found = differing(sizes_of(old), _taken(sizes_of(new), statement.quantity))
        if found:
            doubtful.setdefault(old["kind"], []).append(((statement, old, new), found))
    for kind, several in doubtful.items():
        judged = _judged(kind, [pair for pair, _ in several])
        for (pair, found), failing in zip(several, judged, strict=True):
            if failing is None:  # no judge: the diameters decide
                across = {n: ab for n, ab in found.items() if not n.endswith(_ALONG)}
                if across:
                    wrong.append((*pair, in_words(across)))
            elif failing:
                wrong.append((*pair, f"{in_words(found)}; {failing}"))
    return wrong


def _kin(a: str, b: str) -> bool:
    """Whether one kind is what the other is made from or may be made up by."""
    kin = ({"plain_bushing", "bushing_blank"}, {"thrust_washer", "spacer_ring"})
    return any({a, b} <= group for group in kin)


def _title(kind: str) -> str:
    return spec(kind).title.lower()


def _taken(sizes: dict[str, float], quantity: int) -> dict[str, float]:
    """Return the sizes of several pieces laid together."""
    return {n: v * quantity if n in _ALONG else v for n, v in sizes.items()}


def _judged(kind: str, pairs: Sequence[Pair]) -> list[str | None]:
    """Return, per pair, the failing check in words, "" if it fits, None if nobody judges."""
    import pandas as pd

    from xref.matching.judging import describe, judge_of, judge_pairs
    from xref.matching.need_frame import needs_from_frame
    from xref.matching.parts import part_from_columns

    try:
        judge_of(kind)
    except Refused:
        return [None] * len(pairs)
    names = spec(kind).dimension_names
    olds = pd.DataFrame([_columns(old, names, 1) for _, old, _ in pairs])
    news = pd.DataFrame([_columns(new, names, s.quantity) for s, _, new in pairs])
    bad: dict[int, str] = {}
    rows = np.arange(len(pairs))
    need = needs_from_frame(kind, olds.dropna(axis=1, how="all"), {}, bad, rows)
    columns = {str(name): news[name].to_numpy() for name in news.columns}
    part = part_from_columns(kind, columns, len(pairs))
    judged, _, _, use = judge_pairs(kind, need, part, rows, rows)
    result: list[str | None] = []
    for row in rows.tolist():
        told = describe(judged, int(use[row]))
        if row in bad or told["verdict"] != "does not fit":
            result.append("")
            continue
        failing = [c for c in told["checks"] if c["result"] == "fail"] or told["checks"][:1]
        result.append("; ".join(f"{c['name']}: {c['rule']} ({c['source']})" for c in failing[:2]))
    return result


def _columns(item: Item, names: Sequence[str], quantity: int) -> dict[str, Any]:
    sizes = _taken(sizes_of(item), quantity)
    return {
        **{f"{name}_mm": sizes.get(name, np.nan) for name in names},
        **(item.get("traits") or {}),
        "written_unit": item.get("written_unit"),
    }
