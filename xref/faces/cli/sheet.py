"""`xref sheet`: sheets of paper as HTML files, or as PDF where a Chromium is installed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from xref.errors import Refused
from xref.faces.cli import size_options as sized
from xref.faces.cli.output import say
from xref.faces.cli.shared import Shared, example, shared_options


@dataclass(frozen=True)
class Target:
    """Where a sheet goes, and how it is laid out."""

    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="FILE", help="Where to write it; else its name, beside you."),
    ] = None
    pdf: Annotated[
        bool, typer.Option("--pdf", help="Write a PDF instead, printed by an installed Chromium.")
    ] = False
    unit: Annotated[
        str, typer.Option("--unit", metavar="mm|in", help="The unit that sizes are shown in.")
    ] = "mm"
    paper: Annotated[
        str, typer.Option("--paper", metavar="A4|Letter", help="The paper it is laid out for.")
    ] = "A4"


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Sheets to print: HTML, or PDF with --pdf.")
    app.add_typer(noun, name="sheet")
    _fit(noun)
    noun.command("wanted", epilog=example("xref sheet wanted --out wanted.html"))(_wanted)
    noun.command(
        "plan",
        epilog=example(
            "xref sheet plan --currency GBP --rates data_demo/rates.csv \\\n"
            "    --out plan.html --on 2027-09-06"
        ),
    )(_plan)
    noun.command(
        "enquiry",
        epilog=example(
            "xref enquiry write --supplier 'Ofterling Sundries' --want 1 --on 2027-09-06",
            "xref sheet enquiry 1 --out enquiry.html",
        ),
    )(_enquiry)
    noun.command(
        "receiving",
        epilog=example(
            "xref offer add --supplier 'Ofterling Sundries' \\\n"
            "    --want 1 --price 14.20 --on 2027-09-08",
            "xref order add --offer 1 --quantity 1 --on 2027-09-09",
            "xref sheet receiving 1 --out order-1.html --on 2027-09-20",
        ),
    )(_receiving)
    noun.command(
        "assembly",
        epilog=example(
            "xref teardown add 'Ostrel No. 3, serial 468' --assembly DG/1000 --serial 468",
            "xref sheet assembly 'Ostrel No. 3, serial 468' --out assembly.html",
        ),
    )(_assembly)
    noun.command("shop", epilog=example("xref sheet shop 5 --out shop.html --on 2027-09-06"))(_shop)
    noun.command(
        "make",
        epilog=example(
            "xref teardown add 'Ostrel No. 3, serial 468' --place 'idler gear' \\\n"
            "    --kind plain_bushing --number DG/1161 --decision make \\\n"
            "    --reading shaft=24.98mm --reading housing=32.01mm --uncertainty 0.005mm",
            "xref sheet make 'Ostrel No. 3, serial 468' 'idler gear' --out make.html",
        ),
    )(_make)


def _fit(noun: typer.Typer) -> None:
    @noun.command(
        "fit",
        epilog=example(
            "xref sheet fit DG/1143 --out fit.html --on 2027-09-06",
            "xref sheet fit IP/2171 --groove-diameter 25.40mm --groove-width 4.60mm \\\n"
            "    --mating-diameter 31.14mm --gland piston --out ring.html",
        ),
    )
    @shared_options()
    def fit(
        shared: Shared,
        *,
        text: Annotated[
            str, typer.Argument(metavar="TEXT", help="A number, or sizes with their kind.")
        ],
        kind: Annotated[
            str | None, typer.Option("--kind", metavar="KIND", help="The kind of part.")
        ] = None,
        measured: sized.Place,
        uncertainty: sized.UncertaintyOption = None,
        service: sized.Service,
        target: Target,
    ) -> None:
        """Write the fit sheet for the bench: section, bands, work, cautions of what fits best."""
        from xref.faces.sheets import gather

        _write(
            shared,
            target,
            "fit",
            gather.fit,
            text,
            kind=kind,
            place=measured.given(),
            uncertainty=uncertainty,
            service=service.given(),
        )


@shared_options()
def _wanted(
    shared: Shared,
    target: Target,
) -> None:
    """Write the wanted list for the wall, with who closes when."""
    from xref.faces.sheets import gather

    _write(shared, target, "wanted", gather.wanted)


@shared_options()
def _plan(
    shared: Shared,
    *,
    without: Annotated[
        list[str] | None,
        typer.Option("--without", metavar="SUPPLIER", help="Leave a supplier out; may repeat."),
    ] = None,
    rates: Annotated[
        Path | None,
        typer.Option("--rates", metavar="FILE", help="A table of what a currency buys."),
    ] = None,
    currency: Annotated[
        str | None, typer.Option("--currency", metavar="CODE", help="The currency of the plan.")
    ] = None,
    target: Target,
) -> None:
    """Write the buying plan."""
    from xref.faces.sheets import gather

    _write(
        shared,
        target,
        "plan",
        gather.plan,
        without=without or (),
        rates=rates,
        currency=currency,
    )


@shared_options()
def _enquiry(
    shared: Shared,
    enquiry: Annotated[int, typer.Argument(metavar="ENQUIRY", help="The enquiry's number.")],
    target: Target,
) -> None:
    """Write the letter of an enquiry, to be sent on paper."""
    from xref.faces.sheets import gather

    _write(shared, target, f"enquiry-{enquiry}", gather.enquiry, enquiry)


@shared_options()
def _receiving(
    shared: Shared,
    order: Annotated[int, typer.Argument(metavar="ORDER", help="The order's number.")],
    target: Target,
) -> None:
    """Write the sheet on which a part that came is measured, with boxes to fill in."""
    from xref.faces.sheets import gather

    _write(shared, target, f"order-{order}", gather.receiving, order)


@shared_options()
def _assembly(
    shared: Shared,
    machine: Annotated[str, typer.Argument(metavar="MACHINE", help="The machine's name.")],
    target: Target,
) -> None:
    """Write the assembly sheet: each place, its part, what the manual says, boxes to tick."""
    from xref.faces.sheets import gather

    _write(shared, target, "assembly", gather.assembly, machine)


@shared_options()
def _shop(
    shared: Shared,
    want: Annotated[int, typer.Argument(metavar="WANT", help="The want's number.")],
    target: Target,
) -> None:
    """Write the sketch of a wanted part with its limits, for an outside shop."""
    from xref.faces.sheets import gather

    _write(shared, target, f"shop-{want}", gather.shop, want)


@shared_options()
def _make(
    shared: Shared,
    machine: Annotated[str, typer.Argument(metavar="MACHINE", help="The machine's name.")],
    place: Annotated[
        str, typer.Argument(metavar="PLACE", help="The place: its name, id or number.")
    ],
    target: Target,
) -> None:
    """Write the sketch of the part that a place of a machine needs made, with no want for it."""
    from xref.faces.sheets import gather

    _write(shared, target, "make", gather.make, machine, place)


def _write(
    shared: Shared,
    target: Target,
    name: str,
    make: Callable[..., str],
    *about: Any,
    **more: Any,
) -> None:
    """Make a sheet about something and write it; say where it is."""
    from xref.faces.sheets.sheets import PAPERS, Paper

    if target.unit not in ("mm", "in"):
        raise typer.BadParameter(f"--unit {target.unit!r} is neither mm nor in.")
    paper = {p.lower(): p for p in PAPERS}.get(target.paper.lower())
    if paper is None:
        raise typer.BadParameter(f"--paper {target.paper!r} is none of {', '.join(PAPERS)}.")
    html = make(shared.store(), Paper(shared.day, unit=target.unit, paper=paper), *about, **more)
    place = target.out or Path(f"{name}.{'pdf' if target.pdf else 'html'}")
    if target.pdf:
        from xref.faces.sheets import pdf as printed

        printed.write(html, place)
    else:
        try:
            place.write_text(html, encoding="utf-8")
        except OSError as error:
            raise Refused(f"{place} cannot be written: {error.strerror}", at=str(place)) from error
    document = {"sheet": name, "file": str(place), "paper": paper, "pdf": target.pdf}
    shared.emit(document, lambda d: say(f"Written: {d['file']}"))
