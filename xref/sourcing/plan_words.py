"""The buying plan in words: its lines with the reason for each, and why a want is left over."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from . import due, due_rules, lookup, plan_model, supply
from .money import major
from .plan_sources import Source

if TYPE_CHECKING:
    from .supply import Listing

Row = dict[str, Any]
RULE = (
    "chance of missing = days still needed to ask, decide and post / days left, at most 1, for "
    "the surest source (common practice, no source)"
)


def lines(
    seen: due.Picture,
    sources: Sequence[Source],
    choices: Sequence[plan_model.Choice],
    pieces: Mapping[int, int],
    decision_days: int,
) -> list[Row]:
    """Return the plan's lines, what may soon be gone first, each with why it was chosen."""
    chance = _chances(seen, sources)
    suppliers_of: dict[int, set[str]] = defaultdict(set)
    prices_of: dict[int, list[int]] = defaultdict(list)
    for s, c in zip(sources, choices, strict=True):
        suppliers_of[s.want].add(s.supplier)
        prices_of[s.want].append(c.price + c.work)
    result = []
    for s, c in zip(sources, choices, strict=True):
        quantity = pieces.get(s.id, 0)
        if not quantity:
            continue
        dates = seen.dates[s.supplier]
        only = len(suppliers_of[s.want]) == 1
        result.append(
            {
                "want": s.want,
                "number": seen.wants[s.want]["number"],
                "offer": s.offer,
                "supplier": dates.name,
                "quantity": quantity,
                "price": major(c.price),
                "as_offered": {"price": s.price.quantize(Decimal("0.01")), "currency": s.currency},
                "work_cost": major(c.work * quantity),
                "cost": major((c.price + c.work) * quantity),
                "tax_basis": s.tax,
                "listed": _listed(s),
                "only_source": only,
                "order_by": _order_by(dates, s, decision_days),
                "chance_of_missing": chance[s.want],
                "why": _why(s, c, only, dates, prices_of[s.want]),
            }
        )
    return sorted(
        result,
        key=lambda x: (
            not (x["only_source"] or x["chance_of_missing"] is not None),
            -(x["chance_of_missing"] or 0),
            x["order_by"] or "9999",
            seen.wants[x["want"]]["priority"] or 2,
            x["supplier"].casefold(),
            x["want"],
        ),
    )


def of_tax(seen: due.Picture, sources: Sequence[Source]) -> list[str]:
    """Return the sentence that is due when prices with and without tax were compared."""
    names: dict[str, list[str]] = {"with tax": [], "without tax": []}
    for s in sources:
        if s.tax and s.price and seen.dates[s.supplier].name not in names[s.tax]:
            names[s.tax].append(seen.dates[s.supplier].name)
    if not all(names.values()):
        return []
    said = "; ".join(f"{basis}: {', '.join(sorted(there))}" for basis, there in names.items())
    return [
        f"prices with and without tax stand side by side as they were said, and no tax was added "
        f"or taken off ({said})"
    ]


def _chances(seen: due.Picture, sources: Sequence[Source]) -> dict[int, float | None]:
    """Return per want the chance of missing it: that of its surest source, None if one stays."""
    found: dict[int, float | None] = {}
    for s in sources:
        last = min((d for d in (seen.dates[s.supplier].deadline, s.until) if d), default=None)
        left = (last - seen.on).days if last else None
        chance = due_rules.chance_of_missing(left, s.needed_days)
        before = found.get(s.want, 1.0)
        found[s.want] = None if chance is None or before is None else min(chance, before)
    return found


def _listed(source: Source) -> Row | None:
    """Return the list line a purchase rests on: it has to be asked for before ordering."""
    if source.listing is None:
        return None
    line = source.listing
    return {
        "list": line.list,
        "maker": line.maker,
        "number": line.number,
        "how": line.how,
        "verdict": line.verdict,
        "as_of": line.as_of,
    }


def _order_by(dates: due_rules.Supplier, source: Source, decision_days: int) -> str | None:
    limits = [source.until] if source.until else []
    if dates.deadline:
        lead = dates.postage_days + decision_days
        limits.append(date.fromordinal(max(dates.deadline.toordinal() - lead, 1)))
    return lookup.iso(min(limits, default=None))


def _why(
    source: Source,
    choice: plan_model.Choice,
    only: bool,
    dates: due_rules.Supplier,
    prices: Sequence[int],
) -> str:
    reasons = []
    if only:
        reasons.append("the only supplier that has it")
    if dates.deadline:
        reasons.append(f"{dates.name} takes orders only until {dates.deadline.isoformat()}")
    if source.until:
        reasons.append(f"the offer stands until {source.until.isoformat()}")
    if not only:
        mine = choice.price + choice.work
        if mine == min(prices):
            reasons.append("the lowest price with work")
        else:
            more = major(mine - min(prices))
            reasons.append(
                f"{more} dearer than the lowest price, made up by shared postage "
                "or by what the cheaper one cannot supply"
            )
    if source.listing is not None:
        line = source.listing
        reasons.append(f"listed as {line.number}, not yet offered: ask before ordering")
    return "; ".join(reasons)


def why_not(
    seen: due.Picture,
    want: Row,
    bought: int,
    refused: Sequence[str],
    listings: Sequence[Listing],
    left_out: set[str],
    decision_days: int,
) -> str:
    """Return why a want, or the rest of one, is not covered, and what would help."""
    reasons = [f"the offers cover {bought} of {int(want['needed'])}"] if bought else []
    reasons += list(dict.fromkeys(refused))
    named = [
        seen.suppliers[key]["name"]
        for key in sorted(left_out)
        if (key, want["want"]) in seen.offered or any(li.supplier == key for li in listings)
    ]
    if named:
        reasons.append(f"left out: {', '.join(named)}")
    if not reasons:
        reasons.append("nobody has offered it")
    asks = [
        a
        for a in due.asks(seen, {want["want"]: listings}, decision_days, (want,))
        if lookup.supplier_key(a.supplier) not in left_out
    ]
    waiting = [
        r
        for r in seen.asked_of.get(want["want"], ())
        if r["sent_on"] and r["answer"] in (None, "looking")
    ]
    if waiting:
        reasons.append(
            "an answer is awaited from "
            + ", ".join(seen.suppliers[r["supplier"]]["name"] for r in waiting)
        )
    if asks:
        first = due_rules.most_urgent_first(asks)[0]
        by = f" by {first.by.isoformat()}" if first.by else ""
        reasons.append(f"ask {first.supplier}{by}")
    return "; ".join(reasons)


def risk_of_waiting(seen: due.Picture, listings: Sequence[Listing], decision_days: int) -> Row:
    """Return the chance of missing an uncovered want whose last holders are about to close."""
    holders = supply.listed_by(listings, seen.suppliers)
    open_ = [key for key in holders if not seen.dates[key].closed(seen.on)]
    chances = []
    for key in open_:
        dates = seen.dates[key]
        left = (dates.deadline - seen.on).days if dates.deadline else None
        chances.append(
            due_rules.chance_of_missing(left, dates.reply_days + dates.postage_days + decision_days)
        )
    known = [c for c in chances if c is not None]
    return {"chance_of_missing": min(known) if known and len(known) == len(chances) else None}
