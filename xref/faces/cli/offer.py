"""`xref offer`: what a supplier said, in one line."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli import offer_options as offered
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


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Offers, by letter or by telephone.")
    app.add_typer(noun, name="offer")
    noun.command(
        "add",
        epilog=example(_OFFER),
    )(_add)
    noun.command("list", epilog=example(_OFFER, "xref offer list --want 1 --on 2027-09-08"))(_list)


def _add(
    supplier: Annotated[str, typer.Option("--supplier", metavar="NAME", help="Who offers it.")],
    want: Annotated[int, typer.Option("--want", metavar="WANT", help="For which want.")],
    price: offered.PriceOption = None,
    currency: offered.CurrencyOption = None,
    quantity: offered.QuantityOption = None,
    condition: offered.ConditionOption = None,
    until: offered.UntilOption = None,
    tax: offered.TaxOption = None,
    work_hours: offered.HoursOption = None,
    number: offered.NumberOption = None,
    maker: offered.MakerOption = None,
    remark: offered.RemarkOption = None,
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Note what was offered on the telephone or at a sale."""
    del log
    from xref.sourcing import offers

    document = offers.add(
        open_store(store),
        supplier,
        want,
        on=the_day(on),
        price=price,
        currency=currency,
        quantity=quantity,
        condition=condition,
        until=until,
        tax=tax,
        work_hours=work_hours,
        number=number,
        maker=maker,
        remark=remark,
    )
    emit(document, json, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(f"Offer {document['offer']} of {document['supplier']} for want {document['want']} noted")
    for text in document["notes"]:
        note(text)


def _list(
    want: Annotated[
        int | None, typer.Option("--want", metavar="WANT", help="Only for this want.")
    ] = None,
    supplier: Annotated[
        str | None, typer.Option("--supplier", metavar="NAME", help="Only of this supplier.")
    ] = None,
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """List the offers; those that no longer stand say so."""
    del log
    from xref.sourcing import offers

    document = offers.listing(open_store(store), the_day(on), want=want, supplier=supplier)
    emit(document, json, _render_list, 0 if document["offers"] else 1)


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
