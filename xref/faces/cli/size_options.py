"""Options that take written sizes and service conditions, in groups; each field is an option."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import typer

from xref.faces.cli.shared import Group


def _size(name: str, help_text: str) -> Any:
    """Return an option that takes a written size, `2-3/8in`."""
    return typer.Option(f"--{name}", metavar="SIZE", help=help_text)


@dataclass(frozen=True)
class PartSizes(Group):
    """The part's own sizes."""

    id_: Annotated[
        str | None, _size("id", "The part's inside: shaft, bore or ring inside diameter.")
    ] = None
    od: Annotated[str | None, _size("od", "The part's outside diameter.")] = None
    width: Annotated[str | None, _size("width", "The part's width.")] = None
    length: Annotated[str | None, _size("length", "The part's length.")] = None
    thickness: Annotated[str | None, _size("thickness", "A washer's thickness.")] = None
    section: Annotated[str | None, _size("section", "An O-ring's cross-section.")] = None


@dataclass(frozen=True)
class MainPlace(Group):
    """Where the part goes, as measured on the machine."""

    shaft: Annotated[str | None, _size("shaft", "The shaft as measured.")] = None
    housing: Annotated[str | None, _size("housing", "The housing bore as measured.")] = None
    depth: Annotated[str | None, _size("depth", "The depth of the pocket.")] = None


@dataclass(frozen=True)
class Place(MainPlace):
    """The place with all that can be measured of it."""

    gap: Annotated[str | None, _size("gap", "The axial gap a washer or ring is to fill.")] = None
    fillet: Annotated[
        str | None, _size("fillet", "The radius at the journal's shoulder, for a bearing.")
    ] = None
    groove_diameter: Annotated[
        str | None, _size("groove-diameter", "The groove's bottom diameter.")
    ] = None
    groove_width: Annotated[str | None, _size("groove-width", "The groove's width.")] = None
    mating_diameter: Annotated[
        str | None, _size("mating-diameter", "The bore or rod the O-ring seals against.")
    ] = None


@dataclass(frozen=True)
class Service(Group):
    """What the part has to bear."""

    gland: Annotated[
        str | None,
        typer.Option("--gland", metavar="piston|rod|face", help="The form of the groove."),
    ] = None
    rpm: Annotated[float | None, typer.Option("--rpm", help="Speed in revolutions per minute.")] = (
        None
    )
    medium: Annotated[
        str | None, typer.Option("--medium", help="What is kept in: oil, grease, water, fuel.")
    ] = None
    temperature: Annotated[
        float | None, typer.Option("--temperature", metavar="C", help="Highest, in degrees C.")
    ] = None
    pressure_bar: Annotated[
        float | None, typer.Option("--pressure-bar", metavar="BAR", help="Pressure, in bar.")
    ] = None
    dirt: Annotated[bool, typer.Option("--dirt", help="Dirt reaches the part.")] = False
    load: Annotated[
        str | None,
        typer.Option("--load", metavar="light|normal|heavy", help="Load on a bearing or bush."),
    ] = None
    rotating: Annotated[
        str | None,
        typer.Option(
            "--rotating", metavar="inner|outer", help="The ring that turns under the load."
        ),
    ] = None
    motion: Annotated[
        str | None, typer.Option("--motion", metavar="static|dynamic", help="An O-ring's motion.")
    ] = None
    load_n: Annotated[
        float | None, typer.Option("--load-n", metavar="N", help="Load on a bush or bearing, in N.")
    ] = None
    life_hours: Annotated[
        float | None,
        typer.Option("--life-hours", metavar="H", help="Rating life a bearing must reach."),
    ] = None
    wear_track: Annotated[
        str | None,
        typer.Option(
            "--wear-track",
            metavar="POSITION,WIDTH",
            help="The worn track on the shaft, from the seat: 6mm,2mm.",
        ),
    ] = None


UncertaintyOption = Annotated[
    str | None, _size("uncertainty", "How well it was measured, +/- (else by instrument).")
]
