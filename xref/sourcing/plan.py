"""The buying plan over the state: what to buy from whom, why, and what stays uncovered.

Lines come in the order in which they should be saved: first what only one supplier has or
what a supplier about to close has, by the chance of missing it, then the rest.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer
from xref.matching.experience import experience

from . import due, due_rules, found_fits, lookup, plan_model, plan_sources, plan_words, supply
from .money import amount, convert, currency_code, major, minor, read_rates
from .plan_sources import Source, named

if TYPE_CHECKING:
    from xref.store import Store


Row = dict[str, Any]
SECONDS = 12.0


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
        seen = due.picture(state, on, every_offer=True)
        left_out = {lookup.supplier(state, name)["supplier"] for name in without}
    wanted = [w for w in seen.wants.values() if w["needed"]]
    lines = supply.listings(store, wanted, found_fits.remembered(store, wanted, find))
    sources, refused = plan_sources.sources(
        seen, wanted, lines, left_out, decision_days, experience(store)
    )
    target = target or _currency(seen, sources, table)
    choices = [_choice(s, target, table, per_hour) for s in sources]
    used = {s.supplier for s in sources}
    postage = {key: _postage(seen.suppliers[key], target, table) for key in used}
    quantities = {w["want"]: int(w["needed"]) for w in wanted}
    found = plan_model.solve(quantities, choices, postage, seconds=seconds)
    written = plan_words.lines(seen, sources, choices, found.pieces, decision_days)
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
                "why": plan_words.why_not(
                    seen,
                    w,
                    bought[w["want"]],
                    refused[w["want"]],
                    lines.get(w["want"], ()),
                    left_out,
                    decision_days,
                ),
                **plan_words.risk_of_waiting(seen, lines.get(w["want"], ()), decision_days),
            }
            for w in wanted
            if bought[w["want"]] < w["needed"]
        ],
        "proven": found.proven,
        "gap": found.gap,
        "rule": plan_words.RULE,
        "notes": plan_words.of_tax(seen, sources),
    }


def _work_rate(text: str | None) -> Decimal | None:
    if text is None:
        return None
    return amount(text, "work rate")


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
        readings=tuple(sorted(there)),
        at="currency",
        code="currency-missing",
    )


def _choice(
    source: Source, target: str, table: dict[str, Decimal], per_hour: Decimal | None
) -> plan_model.Choice:
    if source.currency is None and source.price:  # a gift needs none
        raise NeedsAnswer(
            f"the price of {named(source)} has no currency: note it with "
            "`xref supplier add NAME --currency EUR`",
            at="currency",
            code="currency-missing",
        )
    if source.work and per_hour is None:
        raise NeedsAnswer(
            f"{named(source)} needs {source.work} hours of work per piece: say what an hour "
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
        minor(convert(price, source.currency or target, target, table)),
        minor(work.quantize(cent, ROUND_HALF_UP)),
        source.left,
    )


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
