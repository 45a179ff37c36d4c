"""`xref order`: offers taken up. xref sends nothing; it notes what you ordered."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import money, note, say, table
from xref.faces.cli.shared import Shared, example, shared_options

_OFFER = (
    "xref offer add --supplier 'Ofterling Sundries' --want 1 \\\n"
    "    --price 14.20 --quantity 2 --on 2027-09-08"
)
_ORDER = "xref order add --offer 1 --quantity 1 --on 2027-09-09"


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Orders placed.")
    app.add_typer(noun, name="order")
    noun.command("add", epilog=example(_OFFER, _ORDER))(_add)
    noun.command(
        "cancel",
        epilog=example(_OFFER, _ORDER, "xref order cancel 1 --reason 'sold in the meantime'"),
    )(_cancel)
    noun.command("list", epilog=example(_OFFER, _ORDER, "xref order list"))(_list)


@shared_options()
def _add(
    shared: Shared,
    offer: Annotated[int, typer.Option("--offer", metavar="OFFER", help="Which offer.")],
    quantity: Annotated[int, typer.Option("--quantity", metavar="N", help="Pieces ordered.")],
) -> None:
    """Note that you ordered from an offer."""
    from xref.sourcing import orders

    document = orders.add(shared.store(), offer, quantity, shared.day)
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(
        f"Order {document['order']} noted: {document['quantity']} from {document['supplier']} "
        f"for want {document['want']}"
    )
    for text in document["notes"]:
        note(text)


@shared_options()
def _cancel(
    shared: Shared,
    order: Annotated[int, typer.Argument(metavar="ORDER", help="The order's number.")],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")] = "",
) -> None:
    """Note that an order, or the rest of it, will not come; its want is open again."""
    from xref.sourcing import orders

    document = orders.cancel(shared.store(), order, reason, shared.day)
    shared.emit(document, _render_cancel)


def _render_cancel(document: dict[str, Any]) -> None:
    if document["came"]:
        say(
            f"Order {document['order']}: {document['came']} came, {document['cancelled']} will "
            f"not: {document['reason']}"
        )
    else:
        say(f"Order {document['order']} cancelled: {document['reason']}")
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(
    shared: Shared,
) -> None:
    """List the orders with what has come."""
    from xref.sourcing import orders

    document = orders.listing(shared.store())
    shared.emit(document, _render_list, 0 if document["orders"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["orders"]:
        note("Nothing is ordered: xref order add --offer ID --quantity N")
        return
    table(
        ["order", "want", "supplier", "ordered", "pieces", "came", "back", "price"],
        [
            [
                o["order"],
                o["want"],
                o["supplier"],
                "cancelled" if o["cancelled_on"] else o["ordered_on"],
                o["quantity"],
                o["received"],
                o["sent_back"],
                money(o["price"], o["currency"]),
            ]
            for o in document["orders"]
        ],
        right="order want pieces came back",
    )
