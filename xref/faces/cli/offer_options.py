"""What an offer says, as options shared by `offer add` and `enquiry answer`."""

from __future__ import annotations

from typing import Annotated

import typer

PriceOption = Annotated[
    str | None,
    typer.Option("--price", metavar="AMOUNT", help="Price of one piece, as 12.50; or free."),
]
CurrencyOption = Annotated[
    str | None,
    typer.Option("--currency", metavar="CODE", help="Its currency; else the supplier's."),
]
QuantityOption = Annotated[
    int | None, typer.Option("--quantity", metavar="N", help="Pieces they have; else any quantity.")
]
ConditionOption = Annotated[
    str | None, typer.Option("--condition", metavar="WORD", help="new, NOS, used or reman.")
]
UntilOption = Annotated[
    str | None,
    typer.Option(
        "--until", metavar="DATE", help="Last day of the offer; a month means its first day."
    ),
]
TaxOption = Annotated[
    str | None,
    typer.Option("--tax", metavar="BASIS", help="The price is 'with tax' or 'without tax'."),
]
HoursOption = Annotated[
    str | None,
    typer.Option("--work-hours", metavar="N", help="Hours of work per piece to make it fit."),
]
NumberOption = Annotated[
    str | None, typer.Option("--number", metavar="TEXT", help="The number of the part they offer.")
]
MakerOption = Annotated[str | None, typer.Option("--maker", metavar="TEXT", help="Who made it.")]
RemarkOption = Annotated[
    str | None, typer.Option("--remark", metavar="TEXT", help="Anything else they said.")
]
