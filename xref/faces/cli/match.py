"""`xref match`: what fits in place of a part, how surely, and why."""

from __future__ import annotations

from typing import Annotated

import typer

from xref.faces.cli import size_options as sized
from xref.faces.cli.match_text import render
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref match DG/1143",
            "xref match --kind shaft_seal --shaft 60.31mm --housing 79.40mm",
            "xref match --kind shaft_seal --id 2-3/8in --od 3-1/8in --width 1/2in --json",
        )
    )
    @shared_options()
    def match(
        shared: Shared,
        *,
        number: Annotated[
            str | None, typer.Argument(metavar="NUMBER", help="A number of an original part.")
        ] = None,
        kind: Annotated[
            str | None,
            typer.Option("--kind", metavar="KIND", help="The kind of part, e.g. shaft_seal."),
        ] = None,
        part: sized.PartSizes,
        place: sized.Place,
        uncertainty: sized.UncertaintyOption = None,
        service: sized.Service,
        top: Annotated[
            int, typer.Option("--top", min=1, max=1000, help="How many candidates to show.")
        ] = 10,
        everything: Annotated[
            bool, typer.Option("--all", help="Show every candidate and near miss.")
        ] = False,
    ) -> None:
        """Rank the parts that fit in place of a number, of sizes, or of the place as measured.

        Each answer gives its verdict (as is, with spacer, alter the part, alter the machine),
        how sure it is, every check with its limits and the standard it comes from, the work it
        needs, who has it and when they close. Near misses follow with the check that fails.

        --id, --od, --width are the part's own sizes; --shaft, --housing, --depth are the
        machine's, as measured, and rule where they are given.
        """
        if number is None and kind is None:
            raise typer.BadParameter(
                "Give the number of a part, or --kind and sizes: "
                "xref match --kind shaft_seal --shaft 60.31mm --housing 79.40mm"
            )
        from xref.acts.match import match as act

        document = act(
            shared.store(),
            number=number,
            kind=kind,
            part=part.given(),
            place=place.given(),
            uncertainty=uncertainty,
            service=service.given(),
            top=top,
            all_=everything,
            on=shared.day,
        )
        shared.emit(document, render, 0 if document["candidates"] else 1)
