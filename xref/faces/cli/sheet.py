"""`xref sheet`: sheets of paper as HTML files, or as PDF where a Chromium is installed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from xref.errors import Refused
from xref.faces.cli import size_options as sized
from xref.faces.cli.options import (
    JsonOption,
    LogOption,
    OnOption,
    StoreOption,
    example,
    open_store,
    the_day,
)
from xref.faces.cli.output import emit, say

if TYPE_CHECKING:
    from xref.faces.sheets.sheets import Paper
    from xref.store import Store

OutOption = Annotated[
    Path | None,
    typer.Option("--out", metavar="FILE", help="Where to write it; else its name, beside you."),
]
PdfOption = Annotated[
    bool, typer.Option("--pdf", help="Write a PDF instead, printed by an installed Chromium.")
]
UnitOption = Annotated[
    str, typer.Option("--unit", metavar="mm|in", help="The unit that sizes are shown in.")
]
PaperOption = Annotated[
    str, typer.Option("--paper", metavar="A4|Letter", help="The paper it is laid out for.")
]


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


def _fit(noun: typer.Typer) -> None:
    @noun.command("fit", epilog=example("xref sheet fit DG/1143 --out fit.html --on 2027-09-06"))
    def fit(
        text: Annotated[
            str, typer.Argument(metavar="TEXT", help="A number, or sizes with their kind.")
        ],
        kind: Annotated[
            str | None, typer.Option("--kind", metavar="KIND", help="The kind of part.")
        ] = None,
        shaft: sized.ShaftOption = None,
        housing: sized.HousingOption = None,
        depth: sized.DepthOption = None,
        uncertainty: sized.UncertaintyOption = None,
        out: OutOption = None,
        pdf: PdfOption = False,
        unit: UnitOption = "mm",
        paper: PaperOption = "A4",
        store: StoreOption = None,
        on: OnOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Write the fit sheet for the bench: section, bands, work, cautions of what fits best."""
        del log
        from xref.faces.sheets import gather

        asked = {
            "kind": kind,
            "place": sized.given(shaft=shaft, housing=housing, depth=depth),
            "uncertainty": uncertainty,
        }
        _write(
            lambda opened, on_paper: gather.fit(opened, on_paper, text, **asked),
            "fit",
            store=store,
            on=on,
            unit=unit,
            paper=paper,
            out=out,
            pdf=pdf,
            json=json,
        )


def _wanted(
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the wanted list for the wall, with who closes when."""
    del log
    from xref.faces.sheets import gather

    _write(gather.wanted, "wanted", store=store, on=on, unit=unit, paper=paper, out=out, pdf=pdf,
           json=json)  # fmt: skip


def _plan(
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
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the buying plan."""
    del log
    from xref.faces.sheets import gather

    _write(
        lambda opened, on_paper: gather.plan(
            opened, on_paper, without=without or (), rates=rates, currency=currency
        ),
        "plan",
        store=store,
        on=on,
        unit=unit,
        paper=paper,
        out=out,
        pdf=pdf,
        json=json,
    )


def _enquiry(
    enquiry: Annotated[int, typer.Argument(metavar="ENQUIRY", help="The enquiry's number.")],
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the letter of an enquiry, to be sent on paper."""
    del log
    from xref.faces.sheets import gather

    _write(lambda opened, on_paper: gather.enquiry(opened, on_paper, enquiry), f"enquiry-{enquiry}",
           store=store, on=on, unit=unit, paper=paper, out=out, pdf=pdf, json=json)  # fmt: skip


def _receiving(
    order: Annotated[int, typer.Argument(metavar="ORDER", help="The order's number.")],
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the sheet on which a part that came is measured, with boxes to fill in."""
    del log
    from xref.faces.sheets import gather

    _write(lambda opened, on_paper: gather.receiving(opened, on_paper, order), f"order-{order}",
           store=store, on=on, unit=unit, paper=paper, out=out, pdf=pdf, json=json)  # fmt: skip


def _assembly(
    machine: Annotated[str, typer.Argument(metavar="MACHINE", help="The machine's name.")],
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the assembly sheet: each place, its part, what the manual says, boxes to tick."""
    del log
    from xref.faces.sheets import gather

    _write(lambda opened, on_paper: gather.assembly(opened, on_paper, machine), "assembly",
           store=store, on=on, unit=unit, paper=paper, out=out, pdf=pdf, json=json)  # fmt: skip


def _shop(
    want: Annotated[int, typer.Argument(metavar="WANT", help="The want's number.")],
    out: OutOption = None,
    pdf: PdfOption = False,
    unit: UnitOption = "mm",
    paper: PaperOption = "A4",
    store: StoreOption = None,
    on: OnOption = None,
    json: JsonOption = False,
    log: LogOption = None,
) -> None:
    """Write the sketch of a wanted part with its limits, for an outside shop."""
    del log
    from xref.faces.sheets import gather

    _write(lambda opened, on_paper: gather.shop(opened, on_paper, want), f"shop-{want}",
           store=store, on=on, unit=unit, paper=paper, out=out, pdf=pdf, json=json)  # fmt: skip


def _write(
    make: Callable[[Store, Paper], str],
    name: str,
    *,
    store: Path | None,
    on: Any,
    unit: str,
    paper: str,
    out: Path | None,
    pdf: bool,
    json: bool,
) -> None:
    """Make a sheet and write it; say where it is."""
    from xref.faces.sheets.sheets import PAPERS, Paper

    if unit not in ("mm", "in"):
        raise typer.BadParameter(f"--unit {unit!r} is neither mm nor in.")
    named = {p.lower(): p for p in PAPERS}.get(paper.lower())
    if named is None:
        raise typer.BadParameter(f"--paper {paper!r} is none of {', '.join(PAPERS)}.")
    html = make(open_store(store), Paper(the_day(on), unit=unit, paper=named))
    place = out or Path(f"{name}.{'pdf' if pdf else 'html'}")
    if pdf:
        from xref.faces.sheets import pdf as printed

        printed.write(html, place)
    else:
        try:
            place.write_text(html, encoding="utf-8")
        except OSError as error:
            raise Refused(f"{place} cannot be written: {error.strerror}", at=str(place)) from error
    document = {"sheet": name, "file": str(place), "paper": named, "pdf": pdf}
    emit(document, json, lambda d: say(f"Written: {d['file']}"))
