"""Goods in: judge the part that came, as measured, against its place, and record the decision.

A part's measured sizes say two things: whether it is the part that was ordered (against the
list's sizes, within what such a part may differ), and whether it fits its place (the kind's
judge). The place is what was measured at teardown or is given now, else the old part's.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer, Refused
from xref.kinds.spec import spec
from xref.sourcing import proving, receipts
from xref.sourcing.readings import Reading, combined

if TYPE_CHECKING:
    from xref.sizes import Size
    from xref.store import Store

Row = dict[str, Any]
JudgeOne = Callable[[Row, Row], Row]


def receive(
    store: Store,
    order: int,
    measured: Sequence[str] = (),
    *,
    named: Mapping[str, str] | None = None,
    place: Mapping[str, str] | None = None,
    uncertainty: str | None = None,
    quantity: int | None = None,
    condition: str | None = None,
    repairs: Sequence[str] = (),
    traits: Mapping[str, str] | None = None,
    decision: str | None = None,
    remark: str | None = None,
    on: date,
    judge: JudgeOne | None = None,
) -> Row:
    """Judge and record a part that came; return decision, checks and open tests.

    `measured`: sizes in the kind's order (`60.02mm 80.1mm 8mm` or `60x80x8mm`), `named` the
    same by dimension, `place` the place by its names where it was measured again;
    `uncertainty`: U at k = 2 of all of them. `decision`: the user's own, which rules.
    Raises NeedsAnswer when nothing was measured or a check is doubtful, and records nothing.
    """
    if decision is not None and decision not in proving.DECISIONS:
        raise Impossible(
            f"the decision {decision!r} is not one of: {', '.join(proving.DECISIONS)}",
            at="decision",
        )
    seen, part, need, judged = _judged(
        store, order, measured, named or {}, place or {}, uncertainty, quantity, traits, on, judge
    )
    kind, sizes = seen["want"]["kind"], part["measured_mm"]
    verdict = decision or _decide(judged, bool(sizes), order)
    unmeasured = [] if sizes else ["the part before fitting"]
    if judged is not None:
        unmeasured += proving.unchecked(judged)
    tests = proving.tests_for(kind, repaired=bool(repairs), unchecked=unmeasured)
    noted = receipts.note(
        store,
        order,
        quantity=quantity,
        decision=verdict,
        decided_by="user" if decision else "judged",
        judged=judged,
        part=part,
        place=need,
        tests=tests,
        condition=condition,
        repairs=repairs,
        remark=remark,
        on=on,
    )
    return {
        **noted,
        "verdict": judged["verdict"] if judged else None,
        "certainty": judged.get("certainty") if judged else None,
        "checks": judged["checks"] if judged else [],
        "work": judged.get("work", []) if judged else [],
        "warnings": judged.get("warnings", []) if judged else [],
        "cautions": list(spec(kind).cautions) if kind else [],
    }


def judge_so_far(
    store: Store,
    order: int,
    measured: Sequence[str] = (),
    *,
    named: Mapping[str, str] | None = None,
    place: Mapping[str, str] | None = None,
    uncertainty: str | None = None,
    on: date,
) -> Row:
    """Judge a part while it is being measured; nothing is recorded.

    Returns `decision` (None while nothing was measured or a check is doubtful, with the sentence
    in `question`), `checks`, `work` and `warnings`. Raises as `receive` for sizes that cannot be.
    """
    _, part, _, judged = _judged(
        store, order, measured, named or {}, place or {}, uncertainty, None, None, on, None
    )
    answer: Row = {"decision": None, "question": None}
    try:
        answer["decision"] = _decide(judged, bool(part["measured_mm"]), order)
    except NeedsAnswer as question:
        answer["question"] = question.question
    told = judged or {}
    return {
        **answer,
        **{name: told.get(name) for name in ("verdict", "certainty")},
        **{name: told.get(name, []) for name in ("checks", "work", "warnings")},
        "part": part,
    }


def _judged(
    store: Store,
    order: int,
    measured: Sequence[str],
    named: Mapping[str, str],
    place: Mapping[str, str],
    uncertainty: str | None,
    quantity: int | None,
    traits: Mapping[str, str] | None,
    on: date,
    judge: JudgeOne | None,
) -> tuple[Row, Row, Row, Row | None]:
    """Return what was expected, the part as measured, what the machine asks for, the judgement."""
    seen = receipts.expected(store, order, quantity, on)
    kind = seen["want"]["kind"]
    sizes = _measured(kind, measured, named)
    ordered = _ordered_part(store, seen, kind)
    part: Row = {
        "kind": kind,
        "number": seen["offer"]["number"],
        "maker": seen["offer"]["maker"],
        "measured_mm": {name: s.low_mm for name, s in sizes.items()},
        "written": {name: s.text for name, s in sizes.items()},
        "uncertainty_mm": _mm(uncertainty, "uncertainty"),
        "ordered_mm": ordered["sizes"],
        "traits": {**ordered["traits"], **(traits or {})},
    }
    need = _need(store, seen, place, uncertainty)
    judged, as_ordered = None, []
    if kind and kind != "other" and (sizes or ordered["sizes"]):
        from xref.sourcing.judge_received import as_ordered_checks, judge_received

        as_ordered = as_ordered_checks(part) if sizes else []
        judged = (judge or judge_received)(need, part)
        judged = {**judged, "checks": [*as_ordered, *judged["checks"]]}
    return seen, part, need, judged


def _decide(judged: Row | None, measured: bool, order: int) -> str:
    if judged is None or not measured:
        raise NeedsAnswer(
            f"measure what came: xref receive {order} 60.02mm 80.1mm 8mm (or say what you decided "
            f"with --decision {'|'.join(proving.DECISIONS)})",
            at="sizes",
            code="not-measured",
        )
    decision = proving.decision_of(judged)
    other = [c["name"] for c in judged["checks"] if c["result"] == "fail"]
    if decision == "accept" and other:
        raise NeedsAnswer(
            f"it is not what was ordered ({', '.join(other)}), yet it would fit: say what you "
            f"decide with --decision {'|'.join(proving.DECISIONS)}",
            at="sizes",
            code="not-as-ordered",
        )
    if decision is None:
        names = ", ".join(proving.doubtful(judged))
        raise NeedsAnswer(
            f"doubtful: {names}. Measure again with a better instrument (--uncertainty), or say "
            f"what you decided with --decision {'|'.join(proving.DECISIONS)}",
            at="sizes",
            code="measure-again",
        )
    return decision


def _measured(kind: str | None, texts: Sequence[str], named: Mapping[str, str]) -> dict[str, Size]:
    """Return the part's measured sizes by dimension."""
    if not texts and not named:
        return {}
    if kind is None or not spec(kind).dimension_names:
        raise Impossible(
            "the want has no kind with sizes, so sizes cannot be judged: decide with --decision",
            at="sizes",
        )
    from xref.matching.needs import dimension_for
    from xref.sizes import size, sizes

    read = [one for text in texts for one in sizes(text)]
    order = spec(kind).written_order or spec(kind).dimension_names
    if len(read) > len(order):
        raise Impossible(
            f"{len(read)} sizes were given, {spec(kind).title.lower()} has "
            f"{len(order)}: {', '.join(order)}",
            at="sizes",
        )
    found = dict(zip(order, read, strict=False))
    found |= {dimension_for(kind, name): size(text) for name, text in named.items()}
    for name, one in found.items():
        if one.low_mm <= 0:
            raise Impossible(f"{name.replace('_', ' ')} {one.text} cannot be", at=name)
        if one.low_mm != one.high_mm:
            raise Refused(f"{one.text} is limits; give the size as measured", at=name)
    return found


def _ordered_part(store: Store, seen: Row, kind: str | None) -> Row:
    """Return sizes [mm] and traits of the part that was ordered, as a list gives its number.

    Without a number in the offer the wanted part itself was ordered, by number or by sizes.
    """
    number = seen["offer"]["number"] or seen["want"]["number"]
    if not number and seen["want"]["part"]:
        nominal = {n: v["nominal"] for n, v in seen["want"]["part"].items()}
        return {"sizes": {n: v for n, v in nominal.items() if v is not None}, "traits": {}}
    maker = (seen["offer"]["maker"] or "").casefold()
    for item in store.items_by_number(number) if number else ():
        if (
            item["kind"] == kind
            and item["dimensions_mm"]
            and (not maker or not item["maker"] or item["maker"].casefold() == maker)
        ):
            return {"sizes": item["dimensions_mm"], "traits": item["traits"]}
    return {"sizes": {}, "traits": {}}


def _need(store: Store, seen: Row, place: Mapping[str, str], uncertainty: str | None) -> Row:
    """Return what the machine asks for: the old part's row, and the place as [low, high] mm."""
    from xref.acts.bulk import originals_by_number

    want, kind = seen["want"], seen["want"]["kind"]
    original: Row = {"number": want["number"], "kind": kind}
    if want["part"]:
        original |= {f"{name}_text": v["text"] for name, v in want["part"].items()}
    elif want["number"]:
        form = next(iter(want["variants"] or []), None)
        row = originals_by_number(store, [(want["number"], form)])[0][0]
        if row is not None and row["kind"] == kind:
            original = row
    intervals: dict[str, list[float]] = {}
    for name in {r["dimension"] for r in seen["readings"]}:
        found = combined(
            [
                Reading(r["value_mm"], r["uncertainty_mm"], r["plane"], r["direction"])
                for r in seen["readings"]
                if r["dimension"] == name
            ]
        )
        intervals[name] = [found.low_mm, found.high_mm]
    if place:
        if kind is None:
            raise Impossible("the want has no kind, so its place has no names", at="place")
        from xref.matching.needs import instrument_uncertainty
        from xref.sizes import size

        known = [p.name for p in spec(kind).places]
        for name, text in place.items():
            if name not in known:
                raise Impossible(
                    f"{spec(kind).title} has no place {name!r}: {', '.join(known)}", at=name
                )
            spread = _mm(uncertainty, "uncertainty") or instrument_uncertainty(kind, name)
            value = size(text)
            intervals[name] = [value.low_mm - spread, value.high_mm + spread]
    return {"number": want["number"], "kind": kind, "original": original, "place_mm": intervals}


def _mm(text: str | None, what: str) -> float | None:
    if text is None:
        return None
    from xref.sizes import size

    value = size(text).high_mm
    if value <= 0:
        raise Impossible(f"{what} {text} cannot be", at=what)
    return value
