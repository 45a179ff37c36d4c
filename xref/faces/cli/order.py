"""`xref order`: offers taken up. xref sends nothing; it notes what you ordered."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.options import (
    JsonOption,
    LogOption,
    OnOption,
    StoreOption,
    example,
    open_store,
    the_day,
)
from xref.faces.cli.output import emit, money, note, say, table

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


def _add(
    offer: Annotated[int, typer.Option("--offer", metavar="OFFER", help="Which offer.")],
    quantity: Annotated[int, typer.Option("--quantity", metavar="N", help="Pieces ordered.")],
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Note that you ordered from an offer."""
    del log
    from xref.sourcing import orders

    document = orders.add(open_store(store), offer, quantity, the_day(on))
    emit(document, json, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(
        f"Order {document['order']} noted: {document['quantity']} from {document['supplier']} "
        f"for want {document['want']}"
    )
    for text in document["notes"]:
        note(text)


def _cancel(
    order: Annotated[int, typer.Argument(metavar="ORDER", help="The order's number.")],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")] = "",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Note that an order will not come; its want is open again."""
    del log
    from xref.sourcing import orders

    document = orders.cancel(open_store(store), order, reason, the_day(on))
    emit(document, json, lambda d: say(f"Order {d['order']} cancelled: {d['reason']}"))


def _list(
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """List the orders with what has come."""
    del log, on
    from xref.sourcing import orders

    document = orders.listing(open_store(store))
    emit(document, json, _render_list, 0 if document["orders"] else 1)


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
