"""`xref match`: what fits in place of a part, how surely, and why."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.match_text import render
from xref.faces.cli.options import (
    JsonOption,
    LogOption,
    OnOption,
    StoreOption,
    example,
    open_store,
    the_day,
)
from xref.faces.cli.output import emit


def _size(name: str, help_text: str) -> typer.models.OptionInfo:
    """Return an option that takes a written size, `2-3/8in`."""
    option: typer.models.OptionInfo = typer.Option(f"--{name}", metavar="SIZE", help=help_text)
    return option


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref match --kind shaft_seal --shaft 60.31mm --housing 80.01mm",
            "xref match --kind shaft_seal --id 2-3/8in --od 3-1/8in --width 1/2in --json",
        )
    )
    def match(
        number: Annotated[
            str | None, typer.Argument(metavar="NUMBER", help="A number of an original part.")
        ] = None,
        kind: Annotated[
            str | None,
            typer.Option("--kind", metavar="KIND", help="The kind of part, e.g. shaft_seal."),
        ] = None,
        inside: Annotated[
            str | None, _size("id", "The part's inside: shaft, bore or ring inside diameter.")
        ] = None,
        od: Annotated[str | None, _size("od", "The part's outside diameter.")] = None,
        part_width: Annotated[str | None, _size("width", "The part's width.")] = None,
        length: Annotated[str | None, _size("length", "The part's length.")] = None,
        thickness: Annotated[str | None, _size("thickness", "A washer's thickness.")] = None,
        section: Annotated[str | None, _size("section", "An O-ring's cross-section.")] = None,
        shaft: Annotated[str | None, _size("shaft", "The shaft as measured.")] = None,
        housing: Annotated[str | None, _size("housing", "The housing bore as measured.")] = None,
        depth: Annotated[str | None, _size("depth", "The depth of the pocket.")] = None,
        uncertainty: Annotated[
            str | None,
            _size("uncertainty", "How well it was measured, +/- (else by instrument)."),
        ] = None,
        groove_diameter: Annotated[
            str | None, _size("groove-diameter", "The groove's bottom diameter.")
        ] = None,
        groove_width: Annotated[str | None, _size("groove-width", "The groove's width.")] = None,
        mating_diameter: Annotated[
            str | None, _size("mating-diameter", "The bore or rod the O-ring seals against.")
        ] = None,
        gland: Annotated[
            str | None,
            typer.Option("--gland", metavar="piston|rod|face", help="The form of the groove."),
        ] = None,
        rpm: Annotated[
            float | None, typer.Option("--rpm", help="Speed in revolutions per minute.")
        ] = None,
        medium: Annotated[
            str | None, typer.Option("--medium", help="What is kept in: oil, grease, water, fuel.")
        ] = None,
        temperature: Annotated[
            float | None, typer.Option("--temperature", metavar="C", help="Highest, in deg C.")
        ] = None,
        pressure_bar: Annotated[
            float | None, typer.Option("--pressure-bar", metavar="BAR", help="Pressure, in bar.")
        ] = None,
        dirt: Annotated[bool, typer.Option("--dirt", help="Dirt reaches the seal.")] = False,
        load: Annotated[
            str | None,
            typer.Option("--load", metavar="light|normal|heavy", help="A bearing's load."),
        ] = None,
        rotating: Annotated[
            str | None,
            typer.Option(
                "--rotating", metavar="inner|outer", help="The ring that turns under the load."
            ),
        ] = None,
        wear_track: Annotated[
            str | None,
            typer.Option(
                "--wear-track",
                metavar="POSITION,WIDTH",
                help="The worn track on the shaft, from the seat: 6mm,2mm.",
            ),
        ] = None,
        top: Annotated[
            int, typer.Option("--top", min=1, max=1000, help="How many candidates to show.")
        ] = 10,
        everything: Annotated[
            bool, typer.Option("--all", help="Show every candidate and near miss.")
        ] = False,
        store: StoreOption = None,
        on: OnOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Rank the parts that fit in place of a number, of sizes, or of the place as measured.

        Each answer gives its verdict (as is, with spacer, alter the part, alter the machine),
        how sure it is, every check with its limits and the standard it comes from, the work it
        needs, who has it and when they close. Near misses follow with the check that fails.

        --id, --od, --width are the part's own sizes; --shaft, --housing, --depth are the
        machine's, as measured, and rule where they are given.
        """
        del log
        if number is None and kind is None:
            raise typer.BadParameter(
                "Give the number of a part, or --kind and sizes: "
                "xref match --kind shaft_seal --shaft 60.31mm --housing 80.01mm"
            )
        from xref.acts.match import match as act

        part = {
            "id": inside,
            "od": od,
            "width": part_width,
            "length": length,
            "thickness": thickness,
            "section": section,
        }
        place = {
            "shaft": shaft,
            "housing": housing,
            "depth": depth,
            "groove_diameter": groove_diameter,
            "groove_width": groove_width,
            "mating_diameter": mating_diameter,
            "gland": gland,
        }
        service = {
            "rpm": rpm,
            "medium": medium,
            "temperature": temperature,
            "pressure_bar": pressure_bar,
            "dirt": dirt or None,
            "load": load,
            "rotating": rotating,
            "wear_track": wear_track,
        }
        document = act(
            open_store(store),
            number=number,
            kind=kind,
            part=_given(part),
            place=_given(place),
            uncertainty=uncertainty,
            service=_given(service),
            top=top,
            all_=everything,
            on=the_day(on),
        )
        emit(document, json, render, 0 if document["candidates"] else 1)


def _given(values: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value is not None}
