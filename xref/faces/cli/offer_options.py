"""What an offer says, as options shared by `offer add` and `enquiry answer`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer


@dataclass(frozen=True)
class Offered:
    """What they offer; each field is an option."""

    price: Annotated[
        str | None,
        typer.Option("--price", metavar="AMOUNT", help="Price of one piece, as 12.50; or free."),
    ] = None
    currency: Annotated[
        str | None,
        typer.Option("--currency", metavar="CODE", help="Its currency; else the supplier's."),
    ] = None
    quantity: Annotated[
        int | None,
        typer.Option("--quantity", metavar="N", help="Pieces they have; else any quantity."),
    ] = None
    condition: Annotated[
        str | None, typer.Option("--condition", metavar="WORD", help="new, NOS, used or reman.")
    ] = None
    until: Annotated[
        str | None,
        typer.Option(
            "--until", metavar="DATE", help="Last day of the offer; a month means its first day."
        ),
    ] = None
    tax: Annotated[
        str | None,
        typer.Option("--tax", metavar="BASIS", help="The price is 'with tax' or 'without tax'."),
    ] = None
    work_hours: Annotated[
        str | None,
        typer.Option("--work-hours", metavar="N", help="Hours of work per piece to make it fit."),
    ] = None
    number: Annotated[
        str | None,
        typer.Option("--number", metavar="TEXT", help="The number of the part they offer."),
    ] = None
    maker: Annotated[str | None, typer.Option("--maker", metavar="TEXT", help="Who made it.")] = (
        None
    )
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="Anything else they said.")
    ] = None
