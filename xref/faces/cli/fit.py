"""`xref fit`: explain whether one part fits one place, or what a press fit does."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli import size_options as sized
from xref.faces.cli.match_text import in_both, render_check, standing
from xref.faces.cli.output import say, tell
from xref.faces.cli.shared import Shared, example, shared_options

PRESS = "press"


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref fit shaft_seal --id 60mm --od 80mm --width 8mm \\\n"
            "    --shaft 60.01mm --housing 80.02mm --depth 10mm --trait case=metal",
            "xref fit press --interference 0.05mm --interface 32mm \\\n"
            "    --inner-bore 25mm --outer-outside 60mm --length 30mm",
        )
    )
    @shared_options("store", "on")
    def fit(
        shared: Shared,
        *,
        kind: Annotated[
            str, typer.Argument(metavar="KIND|press", help="A kind of part, 6205, -214, or press.")
        ],
        part: sized.PartSizes,
        trait: Annotated[
            list[str] | None,
            typer.Option(
                "--trait", metavar="NAME=WORD", help="What else the part is: case=metal; repeat."
            ),
        ] = None,
        place: sized.Place,
        uncertainty: sized.UncertaintyOption = None,
        service: sized.Service,
        interference: Annotated[
            str | None,
            typer.Option("--interference", metavar="SIZE", help="press: on diameter."),
        ] = None,
        interface: Annotated[
            str | None,
            typer.Option("--interface", metavar="SIZE", help="press: diameter where they meet."),
        ] = None,
        inner_bore: Annotated[
            str | None,
            typer.Option("--inner-bore", metavar="SIZE", help="press: left out, it is solid."),
        ] = None,
        outer_outside: Annotated[
            str | None,
            typer.Option("--outer-outside", metavar="SIZE", help="press: left out, without end."),
        ] = None,
        inner: Annotated[
            str, typer.Option("--inner", metavar="MATERIAL", help="press: the inner part's.")
        ] = "bronze",
        outer: Annotated[
            str, typer.Option("--outer", metavar="MATERIAL", help="press: the outer part's.")
        ] = "cast iron",
        friction: Annotated[
            float, typer.Option("--friction", min=0.0, max=1.0, help="press: coefficient.")
        ] = 0.15,
    ) -> None:
        """Explain one fit: what is given, every rule with its limits, the result, the source.

        --id, --od, --width are the new part's; --shaft, --housing, --depth the place as measured.
        """
        from xref.acts import fit as act

        if kind == PRESS:
            document = act.press(
                interference=_needed(interference, "interference"),
                interface=_needed(interface, "interface"),
                inner_bore=inner_bore,
                outer_outside=outer_outside,
                length=_needed(part.length, "length"),
                inner=inner,
                outer=outer,
                friction=friction,
            )
            shared.emit(document, render_press)
            return
        document = act.fit(
            kind,
            part=part.given(),
            place=place.given(),
            traits=_traits(trait or []),
            uncertainty=uncertainty,
            service=service.given(),
        )
        shared.emit(document, render)


def _needed(value: str | None, name: str) -> str:
    if value is None:
        raise typer.BadParameter(f"A press fit needs --{name}, with its unit: --{name} 32mm.")
    return value


def _traits(words: list[str]) -> dict[str, str]:
    pairs = [word.partition("=") for word in words]
    for name, separator, value in pairs:
        if not separator or not value:
            raise typer.BadParameter(f"--trait {name!r} is not NAME=WORD, e.g. case=metal.")
    return {name.strip(): value.strip() for name, _, value in pairs}


def render(document: dict[str, Any]) -> None:
    """Print verdict and checks, every band drawn."""
    tell(standing(document), indent=4, first="")
    given = document["given"]
    for title, sizes in (("part", given["part_mm"]), ("place", given["place_mm"])):
        for name, value in sizes.items():
            origin = given["from"].get(name)
            said = f"given: {title} {name.replace('_', ' ')} {in_both(value)}"
            if title == "part" and name in given["part_limits_mm"]:
                said += f", limits {in_both(given['part_limits_mm'][name])}"
            tell(said + (f" ({origin})" if origin else ""), indent=4, first="  ")
    for name, value in {**given["traits"], **given["service"]}.items():
        said = "yes" if value is True else value
        tell(f"given: {name.replace('_', ' ')} {said}", indent=4, first="  ")
    for assumption in document["given"]["assumed"]:
        tell(f"assumed: {assumption}", indent=4, first="  ")
    for check in document["checks"]:
        render_check(check, drawn=True)
    for work in document["work"]:
        tell(f"work: {work}", indent=10, first="    ")
    for warning in document["warnings"]:
        tell(f"note: {warning}", indent=10, first="    ")
    _cautions(document)


def render_press(document: dict[str, Any]) -> None:
    """Print what a press fit comes to."""
    for name, value in document["given"].items():
        say(f"given    {name.replace('_mm', ' [mm]').replace('_', ' ')}: {value}")
    for check in document["checks"]:
        say(f"{check['name']:<15} {check['value']:.4g} {check['unit']}")
        tell(f"{check['result']}; {check['rule']}; {check['source']}", indent=4)
    _cautions(document)


def _cautions(document: dict[str, Any]) -> None:
    if document["cautions"]:
        say()
        say("Cautions")
        for caution in document["cautions"]:
            tell(caution, indent=4, first="  - ")
