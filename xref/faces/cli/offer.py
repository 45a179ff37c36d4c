"""`xref offer`: what a supplier said, in one line."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.offer_options import Offered
from xref.faces.cli.output import money, note, say, table
from xref.faces.cli.shared import Shared, example, shared_options

_OFFER = (
    "xref offer add --supplier 'Ofterling Sundries' --want 1 \\\n"
    "    --price 14.20 --quantity 2 --on 2027-09-08"
)


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Offers, by letter or by telephone.")
    app.add_typer(noun, name="offer")
    noun.command(
        "add",
        epilog=example(_OFFER),
    )(_add)
    noun.command(
        "withdraw", epilog=example(_OFFER, "xref offer withdraw 1 --reason 'sold to another'")
    )(_withdraw)
    noun.command("list", epilog=example(_OFFER, "xref offer list --want 1 --on 2027-09-08"))(_list)


@shared_options()
def _add(
    shared: Shared,
    supplier: Annotated[str, typer.Option("--supplier", metavar="NAME", help="Who offers it.")],
    want: Annotated[int, typer.Option("--want", metavar="WANT", help="For which want.")],
    offered: Offered,
) -> None:
    """Note what was offered on the telephone or at a sale."""
    from xref.sourcing import offers

    document = offers.add(
        shared.store(),
        supplier,
        want,
        on=shared.day,
        **vars(offered),
    )
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(f"Offer {document['offer']} of {document['supplier']} for want {document['want']} noted")
    for text in document["notes"]:
        note(text)


@shared_options()
def _withdraw(
    shared: Shared,
    *,
    offer: Annotated[int, typer.Argument(metavar="OFFER", help="The offer's number.")],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why it stands no more.")],
) -> None:
    """Note that an offer stands no more, or was noted by mistake; its record stays."""
    from xref.sourcing import offers

    shared.emit(offers.withdraw(shared.store(), offer, reason, shared.day), _render_withdraw)


def _render_withdraw(document: dict[str, Any]) -> None:
    say(f"Offer {document['offer']} of {document['supplier']} is withdrawn: {document['reason']}")
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(
    shared: Shared,
    want: Annotated[
        int | None, typer.Option("--want", metavar="WANT", help="Only for this want.")
    ] = None,
    supplier: Annotated[
        str | None, typer.Option("--supplier", metavar="NAME", help="Only of this supplier.")
    ] = None,
) -> None:
    """List the offers; those that no longer stand say so."""
    from xref.sourcing import offers

    document = offers.listing(shared.store(), shared.day, want=want, supplier=supplier)
    shared.emit(document, _render_list, 0 if document["offers"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["offers"]:
        note("No offer is noted: xref offer add")
        return
    table(
        ["offer", "want", "supplier", "price", "pieces", "until", ""],
        [
            [
                o["offer"],
                o["want"],
                o["supplier"],
                money(o["price"], o["currency"]),
                o["quantity"] or "any",
                o["until"],
                None if o["stands"] else "no longer stands",
            ]
            for o in document["offers"]
        ],
        right="offer want pieces",
    )
