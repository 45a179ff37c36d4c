"""Options that take written sizes and service conditions, shared by `xref match` and `xref fit`."""

from __future__ import annotations

from typing import Annotated, Any

import typer


def _size(name: str, help_text: str) -> Any:
    """Return an option that takes a written size, `2-3/8in`."""
    return typer.Option(f"--{name}", metavar="SIZE", help=help_text)


IdOption = Annotated[
    str | None, _size("id", "The part's inside: shaft, bore or ring inside diameter.")
]
OdOption = Annotated[str | None, _size("od", "The part's outside diameter.")]
WidthOption = Annotated[str | None, _size("width", "The part's width.")]
LengthOption = Annotated[str | None, _size("length", "The part's length.")]
ThicknessOption = Annotated[str | None, _size("thickness", "A washer's thickness.")]
SectionOption = Annotated[str | None, _size("section", "An O-ring's cross-section.")]
ShaftOption = Annotated[str | None, _size("shaft", "The shaft as measured.")]
HousingOption = Annotated[str | None, _size("housing", "The housing bore as measured.")]
DepthOption = Annotated[str | None, _size("depth", "The depth of the pocket.")]
GapOption = Annotated[str | None, _size("gap", "The axial gap a washer or ring is to fill.")]
FilletOption = Annotated[
    str | None, _size("fillet", "The radius at the journal's shoulder, for a bearing.")
]
UncertaintyOption = Annotated[
    str | None, _size("uncertainty", "How well it was measured, +/- (else by instrument).")
]
GrooveDiameterOption = Annotated[
    str | None, _size("groove-diameter", "The groove's bottom diameter.")
]
GrooveWidthOption = Annotated[str | None, _size("groove-width", "The groove's width.")]
MatingDiameterOption = Annotated[
    str | None, _size("mating-diameter", "The bore or rod the O-ring seals against.")
]
GlandOption = Annotated[
    str | None, typer.Option("--gland", metavar="piston|rod|face", help="The form of the groove.")
]
RpmOption = Annotated[float | None, typer.Option("--rpm", help="Speed in revolutions per minute.")]
MediumOption = Annotated[
    str | None, typer.Option("--medium", help="What is kept in: oil, grease, water, fuel.")
]
TemperatureOption = Annotated[
    float | None, typer.Option("--temperature", metavar="C", help="Highest, in degrees C.")
]
PressureOption = Annotated[
    float | None, typer.Option("--pressure-bar", metavar="BAR", help="Pressure, in bar.")
]
DirtOption = Annotated[bool, typer.Option("--dirt", help="Dirt reaches the part.")]
LoadOption = Annotated[
    str | None,
    typer.Option("--load", metavar="light|normal|heavy", help="Load on a bearing or bush."),
]
RotatingOption = Annotated[
    str | None,
    typer.Option("--rotating", metavar="inner|outer", help="The ring that turns under the load."),
]
MotionOption = Annotated[
    str | None, typer.Option("--motion", metavar="static|dynamic", help="An O-ring's motion.")
]
LoadNOption = Annotated[
    float | None, typer.Option("--load-n", metavar="N", help="Load on a bush or bearing, in N.")
]
LifeOption = Annotated[
    float | None,
    typer.Option("--life-hours", metavar="H", help="Rating life a bearing must reach."),
]
WearTrackOption = Annotated[
    str | None,
    typer.Option(
        "--wear-track",
        metavar="POSITION,WIDTH",
        help="The worn track on the shaft, from the seat: 6mm,2mm.",
    ),
]


def given(**values: Any) -> dict[str, Any]:
    """Return what was stated; options left out, and switches not set, are no statement."""
    # Not `in (None, False)`: a pressure of 0 bar is a statement, and 0 equals False.
    return {
        name: value for name, value in values.items() if value is not None and value is not False
    }
