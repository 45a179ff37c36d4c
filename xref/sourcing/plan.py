"""The buying plan over the state: what to buy from whom, why, and what stays uncovered.

Lines come in the order in which they should be saved: first what only one supplier has or
what a supplier about to close has, by the chance of missing it, then the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer

from . import due, due_rules, found_fits, lookup, plan_model, supply
from .money import amount, convert, currency_code, major, minor, read_rates

if TYPE_CHECKING:
    from xref.store import Store

    from .supply import Listing

Row = dict[str, Any]
SECONDS = 15.0
RULE = (
    "chance of missing = days still needed to ask, decide and post / days left, at most 1 "
    "(common practice, no source)"
)


@dataclass(frozen=True)
class Source:
    """One way to buy a want: an offer given, or a line of a supplier's current list."""

    id: int
    want: int
    supplier: str
    price: Decimal
    currency: str | None
    left: int | None
    work: Decimal
    offer: int | None
    until: date | None
    listing: Listing | None
    needed_days: int


def plan(
    store: Store,
    on: date,
    *,
    without: Sequence[str] = (),
    rates: Path | None = None,
    work_rate: str | None = None,
    currency: str | None = None,
    seconds: float = SECONDS,
    decision_days: int = due_rules.DECISION_DAYS,
    find: found_fits.FindCandidates | None = None,
) -> dict[str, Any]:
    """Return the plan of the contract; prices of one want per piece, postage once per supplier.

    `rates`: the user's rate table; `work_rate`: money per hour in the plan's currency;
    `seconds`: the longest search [s]; `without`: suppliers left out.
    Raises NeedsAnswer for a currency without a rate, or work without a rate for it.
    """
    if not 0 < seconds <= 3600:
        raise Impossible(f"a search of {seconds} seconds cannot be: give 1 to 3600", at="seconds")
    table = read_rates(rates) if rates is not None else {}
    target = currency_code(currency)
    per_hour = _work_rate(work_rate)
    with store.reading() as state:
        seen = due.picture(state, on)
        left_out = {lookup.supplier(state, name)["supplier"] for name in without}
    wanted = [w for w in seen.wants.values() if w["needed"]]
    lines = supply.listings(store, wanted, found_fits.remembered(store, wanted, find))
    sources, refused = _sources(seen, wanted, lines, left_out, decision_days)
    target = target or _currency(seen, sources, table)
    choices = [_choice(s, target, table, per_hour) for s in sources]
    used = {s.supplier for s in sources}
    postage = {key: _postage(seen.suppliers[key], target, table) for key in used}
    quantities = {w["want"]: int(w["needed"]) for w in wanted}
    found = plan_model.solve(quantities, choices, postage, seconds=seconds)
    written = _lines(seen, sources, choices, found.pieces, decision_days)
    bought: dict[int, int] = defaultdict(int)
    for line in written:
        bought[line["want"]] += line["quantity"]
    return {
        "on": on.isoformat(),
        "total": major(found.total),
        "currency": target,
        "lines": written,
        "postage": [
            {"supplier": seen.suppliers[key]["name"], "postage": major(postage[key])}
            for key in sorted({lookup.supplier_key(x["supplier"]) for x in written})
        ],
        "uncovered": [
            {
                "want": w["want"],
                "number": w["number"],
                "quantity": int(w["needed"]) - bought[w["want"]],
                "why": _why_not(
                    seen,
                    w,
                    bought[w["want"]],
                    refused[w["want"]],
                    lines.get(w["want"], ()),
                    left_out,
                    decision_days,
                ),
                **_risk_of_waiting(seen, w, lines.get(w["want"], ()), decision_days),
            }
            for w in wanted
            if bought[w["want"]] < w["needed"]
        ],
        "proven": found.proven,
        "gap": found.gap,
        "rule": RULE,
    }


def _work_rate(text: str | None) -> Decimal | None:
    if text is None:
        return None
    return amount(text, "work rate")


def _sources(
    seen: due.Picture,
    wanted: Sequence[Row],
    lines: Mapping[int, Sequence[Listing]],
    left_out: set[str],
    decision_days: int,
) -> tuple[list[Source], dict[int, list[str]]]:
    """Return what can be bought, and per want why something else cannot.

    An offer given by a supplier replaces what that supplier's list says about the same want.
    """
    needed = {w["want"] for w in wanted}
    refused: dict[int, list[str]] = defaultdict(list)
    sources: list[Source] = []
    for o in seen.offers:
        if o["want"] not in needed or o["supplier"] in left_out:
            continue
        reason = _refusal(seen, o["supplier"], o["price"])
        if reason:
            refused[o["want"]].append(f"offer {o['offer']}: {reason}")
            continue
        dates = seen.dates[o["supplier"]]
        sources.append(
            Source(
                len(sources),
                o["want"],
                o["supplier"],
                o["price"],
                o["currency"] or seen.suppliers[o["supplier"]].get("currency"),
                o["left"],
                o["work_hours"] or Decimal(0),
                o["offer"],
                o["until"],
                None,
                dates.postage_days + decision_days,
            )
        )
    for want, listed in lines.items():
        for line in listed:
            key = line.supplier
            if (
                want not in needed
                or key not in seen.suppliers
                or key in left_out
                or not line.current
                or line.quantity == 0
                or (key, want) in seen.offered
                or not line.buyable
            ):
                continue
            if any(
                r["want"] == want and r["supplier"] == key and r["answer"] == "no"
                for r in seen.asked_of.get(want, ())
            ):
                refused[want].append(f"{seen.suppliers[key]['name']} said no")
                continue
            reason = _refusal(seen, key, line.price)
            if reason:
                refused[want].append(f"{line.number} in {line.list}: {reason}")
                continue
            assert line.price is not None  # noqa: S101 - refused otherwise
            dates = seen.dates[key]
            sources.append(
                Source(
                    len(sources),
                    want,
                    key,
                    line.price,
                    line.currency or seen.suppliers[key].get("currency"),
                    line.quantity,
                    Decimal(0),
                    None,
                    None,
                    line,
                    dates.reply_days + dates.postage_days + decision_days,
                )
            )
    return sources, refused


def _refusal(seen: due.Picture, key: str, price: Decimal | None) -> str | None:
    """Return why nothing can be bought there at all, or None."""
    dates = seen.dates[key]
    if dates.closed(seen.on):
        return f"{dates.name} no longer takes orders"
    if dates.deadline and (dates.deadline - seen.on).days < dates.postage_days:
        return (
            f"an order posted today would reach {dates.name} after {dates.deadline} "
            f"({dates.postage_days} days in the post)"
        )
    return "no price is known" if price is None else None


def _currency(seen: due.Picture, sources: Sequence[Source], table: dict[str, Decimal]) -> str:
    """Return the plan's currency: the only one there is, else the one the table gives 1."""
    there = {s.currency for s in sources if s.currency}
    there |= {c for s in sources if (c := seen.suppliers[s.supplier].get("currency"))}
    if len(there) == 1:
        return there.pop()
    base = [code for code, rate in table.items() if rate == 1]
    if len(base) == 1:
        return base[0]
    if not there:
        return base[0] if base else "EUR"
    raise NeedsAnswer(
        f"prices stand in {', '.join(sorted(there))}: say in which currency to plan "
        "(--currency) and give the rates (--rates FILE with the headings currency,rate)",
        at="currency",
        code="currency-missing",
    )


def _choice(
    source: Source, target: str, table: dict[str, Decimal], per_hour: Decimal | None
) -> plan_model.Choice:
    if source.currency is None:
        raise NeedsAnswer(
            f"the price of {_named(source)} has no currency: note it with "
            "`xref supplier add NAME --currency EUR`",
            at="currency",
            code="currency-missing",
        )
    if source.work and per_hour is None:
        raise NeedsAnswer(
            f"{_named(source)} needs {source.work} hours of work per piece: say what an hour "
            "costs with --work-rate (0.01 to ignore it)",
            at="work-rate",
            code="work-rate-missing",
        )
    work = source.work * (per_hour or Decimal(0))
    cent = Decimal("0.01")
    price = source.price.quantize(cent, ROUND_HALF_UP)
    return plan_model.Choice(
        source.id,
        source.want,
        source.supplier,
        minor(convert(price, source.currency, target, table)),
        minor(work.quantize(cent, ROUND_HALF_UP)),
        source.left,
    )


def _named(source: Source) -> str:
    if source.offer is not None:
        return f"offer {source.offer}"
    assert source.listing is not None  # noqa: S101 - one of the two
    return f"{source.listing.number} in {source.listing.list}"


def _postage(supplier: Row, target: str, table: dict[str, Decimal]) -> int:
    value = lookup.cents(supplier.get("postage"))
    if not value:
        return 0
    if not supplier.get("currency"):
        raise NeedsAnswer(
            f"the postage of {supplier['name']} has no currency: note it with "
            "`xref supplier add NAME --currency EUR`",
            at="currency",
            code="currency-missing",
        )
    return minor(convert(value, supplier["currency"], target, table))


def _lines(
    seen: due.Picture,
    sources: Sequence[Source],
    choices: Sequence[plan_model.Choice],
    pieces: Mapping[int, int],
    decision_days: int,
) -> list[Row]:
    suppliers_of: dict[int, set[str]] = defaultdict(set)
    prices_of: dict[int, list[int]] = defaultdict(list)
    for s, c in zip(sources, choices, strict=True):
        suppliers_of[s.want].add(s.supplier)
        prices_of[s.want].append(c.price + c.work)
    lines = []
    for s, c in zip(sources, choices, strict=True):
        quantity = pieces.get(s.id, 0)
        if not quantity:
            continue
        dates = seen.dates[s.supplier]
        only = len(suppliers_of[s.want]) == 1
        last = min((d for d in (dates.deadline, s.until) if d), default=None)
        left = (last - seen.on).days if last else None
        chance = due_rules.chance_of_missing(left, s.needed_days)
        lines.append(
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
                "listed": _listed(s),
                "only_source": only,
                "order_by": _order_by(dates, s, decision_days),
                "chance_of_missing": chance,
                "why": _why(s, c, only, dates, prices_of[s.want]),
            }
        )
    return sorted(
        lines,
        key=lambda x: (
            not (x["only_source"] or x["chance_of_missing"] is not None),
            -(x["chance_of_missing"] or 0),
            x["order_by"] or "9999",
            seen.wants[x["want"]]["priority"] or 2,
            x["supplier"].casefold(),
            x["want"],
        ),
    )


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


def _why_not(
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


def _risk_of_waiting(
    seen: due.Picture, want: Row, listings: Sequence[Listing], decision_days: int
) -> Row:
    """Return the chance of missing an uncovered want whose last holders are about to close."""
    open_ = [
        key
        for key, rank in supply.holders(want, listings, seen.suppliers)
        if rank <= due_rules.LISTED_BEFORE and not seen.dates[key].closed(seen.on)
    ]
    chances = []
    for key in open_:
        dates = seen.dates[key]
        left = (dates.deadline - seen.on).days if dates.deadline else None
        chances.append(
            due_rules.chance_of_missing(left, dates.reply_days + dates.postage_days + decision_days)
        )
    known = [c for c in chances if c is not None]
    return {"chance_of_missing": min(known) if known and len(known) == len(chances) else None}
