"""`xref plan`: what to buy from whom, at least cost, and what stays uncovered."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.output import money, note, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref plan --currency GBP --rates data_demo/rates.csv --on 2027-09-06",
            "xref plan --currency GBP --rates data_demo/rates.csv --on 2027-09-06 \\\n"
            "    --without 'Hobbleton Bearing & Seal Stores'",
        )
    )
    @shared_options()
    def plan(
        shared: Shared,
        without: Annotated[
            list[str] | None,
            typer.Option(
                "--without", metavar="SUPPLIER", help="Leave this supplier out; may repeat."
            ),
        ] = None,
        rates: Annotated[
            Path | None,
            typer.Option(
                "--rates", metavar="FILE", help="Your rate table, headings currency,rate."
            ),
        ] = None,
        currency: Annotated[
            str | None, typer.Option("--currency", metavar="CODE", help="The currency to plan in.")
        ] = None,
        work_rate: Annotated[
            str | None,
            typer.Option("--work-rate", metavar="AMOUNT", help="What an hour of work costs you."),
        ] = None,
        seconds: Annotated[
            float, typer.Option("--seconds", metavar="N", help="Longest search for the least cost.")
        ] = 12.0,
        decision_days: Annotated[
            int, typer.Option("--decision-days", metavar="N", help="Days you want for deciding.")
        ] = 7,
    ) -> None:
        """Plan the buying: first what may soon be gone, then everything at least cost.

        Cost is prices, postage once per supplier, and work at your rate. Parts that are only
        listed, not yet offered, are marked: ask before you order.
        """
        from xref.acts.want_candidates import candidates
        from xref.sourcing import plan as sourcing

        document = sourcing.plan(
            shared.store(),
            shared.day,
            without=without or (),
            rates=rates,
            currency=currency,
            work_rate=work_rate,
            seconds=seconds,
            decision_days=decision_days,
            find=candidates,
        )
        shared.emit(document, _render, 0 if document["lines"] or not document["uncovered"] else 1)


def _quoted(line: dict[str, Any]) -> str:
    """Return the price as the supplier says it, where it was converted at the user's rate."""
    said = line["as_offered"]
    if said["price"] == line["price"]:
        return ""
    return f" ({money(said['price'], said['currency'])})"


def _render(document: dict[str, Any]) -> None:
    if not document["lines"] and not document["uncovered"]:
        note("Nothing is wanted that is not covered.")
        return
    for line in document["lines"]:
        source = f"offer {line['offer']}" if line["offer"] else "listed, ask first"
        say(
            f"want {line['want']}  {line['quantity']} × {line['number'] or 'part'}  "
            f"{line['supplier']}  ({source})"
        )
        work = f", work {line['work_cost']:.2f}" if line["work_cost"] else ""
        by = f", order by {line['order_by']}" if line["order_by"] else ""
        say(f"        {money(line['price'], document['currency'])} each{_quoted(line)}{work}{by}")
        if line["chance_of_missing"] is not None:
            say(f"        chance of missing it: {line['chance_of_missing']:.0%}")
        tell(line["why"], indent=8, first=" " * 8)
    if document["postage"]:
        say()
        table(
            ["postage of", document["currency"]],
            [[p["supplier"], f"{p['postage']:.2f}"] for p in document["postage"]],
            right=document["currency"],
        )
    say()
    proven = (
        "no cheaper plan exists"
        if document["proven"]
        else f"a plan up to {document['gap']:.1%} cheaper may exist"
    )
    say(f"Total {money(document['total'], document['currency'])}: {proven}.")
    for left in document["uncovered"]:
        tell(
            f"Uncovered: want {left['want']}, {left['quantity']} × {left['number'] or 'part'}: "
            f"{left['why']}",
            indent=4,
            first="",
        )
    for text in document["notes"]:
        note(text)
    if any(x["chance_of_missing"] is not None for x in document["lines"]):
        note(document["rule"])
