"""What the user's own machines say of a number: parts tried in vain, and evidence on its sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from xref.errors import NeedsAnswer
from xref.matching.claims import SAME_WITHIN_MM, sizes_of
from xref.matching.experience import Experience, experience, trial_of
from xref.matching.variants import excludes, variant
from xref.store.number_key import number_key
from xref.store.statements import Statement

if TYPE_CHECKING:
    from xref.matching.chains import Evidence
    from xref.store import Store

TRIED = "tried on the machine"
OWN_TRIAL = "own trial"
"""The basis of a check that the user's own machine has made."""
SERIAL_BREAK = "serial break"
AS_LISTED = "as listed"
"""The basis of a check that the lists' serial numbers have made."""


@dataclass(frozen=True, slots=True)
class OwnWord:
    """Of one original: what did not fit, by number key of the part, and what was found on it.

    `elsewhere` tells, by number key, what the lists have for other machines than the original's.
    """

    tried: Mapping[str, Statement] = field(default_factory=dict)
    evidence: Sequence[Evidence] = ()
    elsewhere: Mapping[str, str] = field(default_factory=dict)

    @property
    def notes(self) -> list[str]:
        """Return the evidence as sentences."""
        return [seen.sentence() for seen in self.evidence]

    def against(self, number_key_: str | None, maker: str | None) -> Statement | None:
        """Return the trial in which this part did not fit, or None."""
        return trial_of(self.tried, number_key_ or "", maker)

    def failing(self, number_key_: str | None, maker: str | None) -> str | None:
        """Return the name of the check that a part fails whatever its sizes, or None."""
        if self.against(number_key_, maker) is not None:
            return TRIED
        return SERIAL_BREAK if number_key_ in self.elsewhere else None

    def marked(
        self, told: dict[str, Any], number_key_: str | None, maker: str | None
    ) -> dict[str, Any]:
        """Return a candidate's document, as that of a failure if the part was tried in vain.

        So is what the lists have for other machines: the form before a serial break never gets
        the later one unasked, whatever their sizes.
        """
        trial = self.against(number_key_, maker)
        if trial is not None:
            return marked(told, trial)
        why = self.elsewhere.get(number_key_ or "")
        return told if why is None else for_others(told, why)


def own_word(
    store: Store,
    number: str | None,
    elsewhere: Mapping[str, str] | None = None,
    want: int | None = None,
) -> OwnWord:
    """Return what the user's own machines say of an original, or of a want without a number."""
    key = number_key(number or "")
    if not key and want is None:
        return OwnWord()
    known = experience(store)
    return OwnWord(known.tried_for(number, want), known.about([key]), elsewhere or {})


def marked(told: Mapping[str, Any], trial: Statement) -> dict[str, Any]:
    """Return a candidate's document as that of a part that was tried and did not fit.

    What its sizes say stays in its checks; the machine's own answer stands before them.
    """
    from xref.matching.telling import did_not_fit  # late: it brings the search for words in

    said = did_not_fit(trial)
    source = f"own trial, {trial.list}" if trial.list else "own trial"
    tried = {"on": trial.list or None, "why": trial.note, "says": said}
    return {**_failed(told, TRIED, said, source, OWN_TRIAL), "tried": tried}


def for_others(told: Mapping[str, Any], why: str) -> dict[str, Any]:
    """Return a candidate's document as that of a part the lists have for other machines."""
    said = f"for other machines: {why}"
    return {**_failed(told, SERIAL_BREAK, said, "the lists", AS_LISTED), "for_others": said}


def _failed(
    told: Mapping[str, Any], name: str, said: str, source: str, basis: str
) -> dict[str, Any]:
    check = {
        "name": name,
        "permitted_mm": None,
        "actual_mm": None,
        "estimate_mm": None,
        "margin_mm": None,
        "result": "fail",
        "conformance": None,
        "rule": said,
        "source": source,
        "basis": basis,
    }
    by_size = f"by its sizes: {told['verdict']}, {told['certainty']}"
    return {
        **told,
        "verdict": "does not fit",
        "certainty": "sure",
        "conformance": 0.0,
        "work": [],
        "checks": [check, *told["checks"]],
        "warnings": [said, by_size, *told["warnings"]],
    }


def as_found(
    known: Experience, number: str, items: Sequence[dict[str, Any]]
) -> tuple[list[dict[str, Any]], str | None]:
    """Return a number's rows as the machine shows it, and what was changed for which evidence.

    Of rows for several forms those of the form found are left; sizes measured on the part found
    take the place of those that differ from them. Without evidence the rows come back as they
    are. Raises NeedsAnswer when machines show different sizes.
    """
    key = number_key(number)
    seen = [e for e in known.evidence if e.book_key == key]
    rows, told = list(items), []
    formed = [e for e in seen if e.form is not None]
    if any(excludes(a.form, b.form) for a in formed for b in formed if a.form and b.form):
        formed = []  # machines with different forms decide nothing
    for one in formed[-1:]:
        form = one.form
        left = [
            row
            for row in rows
            if form is None or not row.get("variant") or not excludes(form, variant(row["variant"]))
        ]
        if left and len(left) < len(rows):
            rows = left
            told.append(one.sentence())
    measured = [e for e in seen if e.sizes]
    for one in measured:
        for other in measured:
            apart = [n for n in one.sizes if n in other.sizes and _differ(one, other, n)]
            if apart:
                raise NeedsAnswer(
                    f"Machines show {number} with different sizes: {one.sentence()}; "
                    f"{other.sentence()}. Say which with --kind and its sizes, or withdraw one "
                    "with `xref evidence withdraw`.",
                    code="number-ambiguous",
                )
    for one in measured:
        changed = [_with_sizes(row, one) for row in rows if one.kind in (None, row["kind"])]
        if not rows and one.kind:
            bare: dict[str, Any] = {"number": number, "kind": one.kind, "dimensions_mm": {}}
            bare |= {"limits_mm": {}, "written": {}, "traits": {}, "written_unit": None}
            bare |= {"list": one.source, "maker": None, "variant": None, "table": "evidence"}
            changed = [_with_sizes(bare | {"at": one.record}, one)]
        if any(row is not old for row, old in zip(changed, rows, strict=False)) or not rows:
            rows = changed or rows
            told.append(one.sentence())
    return rows, "; ".join(dict.fromkeys(told)) or None


def _differ(one: Evidence, other: Evidence, name: str) -> bool:
    a, b = one.sizes[name], other.sizes[name]
    return bool(a["low"] > b["high"] + SAME_WITHIN_MM or b["low"] > a["high"] + SAME_WITHIN_MM)


def _with_sizes(row: dict[str, Any], seen: Evidence) -> dict[str, Any]:
    """Return a row with the sizes found in place of those they contradict; else the row itself."""
    own = sizes_of(row)
    new = {
        name: size
        for name, size in seen.sizes.items()
        if name not in own
        or own[name] < size["low"] - SAME_WITHIN_MM
        or own[name] > size["high"] + SAME_WITHIN_MM
    }
    if not new:
        return row
    kept = {n: v for n, v in (row["limits_mm"] or {}).items() if n not in new}
    limits = {n: (s["low"], s["high"]) for n, s in new.items() if s["low"] < s["high"]}
    nominal = {
        n: s["nominal"] if s["nominal"] is not None else (s["low"] + s["high"]) / 2
        for n, s in new.items()
    }
    written = {n: v for n, v in (row.get("written") or {}).items() if n not in new}
    return {
        **row,
        "dimensions_mm": {**row["dimensions_mm"], **nominal},
        "limits_mm": {**kept, **limits},
        "written": {**written, **{n: s["text"] for n, s in new.items()}},
    }
