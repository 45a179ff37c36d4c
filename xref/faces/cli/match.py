"""`xref match`: what fits in place of a part, how surely, and why."""

from __future__ import annotations

from typing import Annotated

import typer

from xref.faces.cli import size_options as sized
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


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref match DG/1143",
            "xref match --kind shaft_seal --shaft 60.31mm --housing 79.40mm",
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
        inside: sized.IdOption = None,
        od: sized.OdOption = None,
        width: sized.WidthOption = None,
        length: sized.LengthOption = None,
        thickness: sized.ThicknessOption = None,
        section: sized.SectionOption = None,
        shaft: sized.ShaftOption = None,
        housing: sized.HousingOption = None,
        depth: sized.DepthOption = None,
        gap: sized.GapOption = None,
        fillet: sized.FilletOption = None,
        uncertainty: sized.UncertaintyOption = None,
        groove_diameter: sized.GrooveDiameterOption = None,
        groove_width: sized.GrooveWidthOption = None,
        mating_diameter: sized.MatingDiameterOption = None,
        gland: sized.GlandOption = None,
        rpm: sized.RpmOption = None,
        medium: sized.MediumOption = None,
        temperature: sized.TemperatureOption = None,
        pressure_bar: sized.PressureOption = None,
        dirt: sized.DirtOption = False,
        load: sized.LoadOption = None,
        rotating: sized.RotatingOption = None,
        motion: sized.MotionOption = None,
        load_n: sized.LoadNOption = None,
        life_hours: sized.LifeOption = None,
        wear_track: sized.WearTrackOption = None,
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
                "xref match --kind shaft_seal --shaft 60.31mm --housing 79.40mm"
            )
        from xref.acts.match import match as act

        document = act(
            open_store(store),
            number=number,
            kind=kind,
            part=sized.given(
                id=inside,
                od=od,
                width=width,
                length=length,
                thickness=thickness,
                section=section,
            ),
            place=sized.given(
                shaft=shaft,
                housing=housing,
                depth=depth,
                gap=gap,
                fillet=fillet,
                groove_diameter=groove_diameter,
                groove_width=groove_width,
                mating_diameter=mating_diameter,
            ),
            uncertainty=uncertainty,
            service=sized.given(
                rpm=rpm,
                medium=medium,
                temperature=temperature,
                pressure_bar=pressure_bar,
                dirt=dirt,
                load=load,
                rotating=rotating,
                motion=motion,
                load_n=load_n,
                life_hours=life_hours,
                wear_track=wear_track,
                gland=gland,
            ),
            top=top,
            all_=everything,
            on=the_day(on),
        )
        emit(document, json, render, 0 if document["candidates"] else 1)
