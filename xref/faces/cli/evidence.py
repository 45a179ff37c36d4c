"""`xref evidence`: what the machine itself shows, noted against the book."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli import size_options as sized
from xref.faces.cli.output import note, say, tell
from xref.faces.cli.shared import Shared, example, shared_options

_NOTED = (
    "xref evidence add DG/1141 --machine 'Ostrel No. 3, serial 300' \\\n"
    "    --place 'output shaft' --bears DG/1141A --on 2027-10-01"
)


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(
        no_args_is_help=True, help="What the machine itself shows, against the book."
    )
    app.add_typer(noun, name="evidence")
    noun.command(
        "add",
        epilog=example(
            _NOTED,
            "xref evidence add DG/1141A --machine 'Ostrel No. 3' --serial 468 \\\n"
            "    --form 'before serial 412' --on 2027-10-01",
        ),
    )(_add)
    noun.command("list", epilog=example(_NOTED, "xref evidence list"))(_list)
    noun.command(
        "withdraw",
        epilog=example(_NOTED, "xref evidence withdraw 1 --reason 'misread: the early one'"),
    )(_withdraw)


@shared_options()
def _add(
    shared: Shared,
    *,
    number: Annotated[
        str, typer.Argument(metavar="NUMBER", help="The number the book gives for the place.")
    ],
    machine: Annotated[
        str | None, typer.Option("--machine", metavar="NAME", help="On which machine it was seen.")
    ] = None,
    serial: Annotated[
        str | None, typer.Option("--serial", metavar="N", help="The machine's serial number.")
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", metavar="TEXT", help="Where on the machine.")
    ] = None,
    bears: Annotated[
        str | None,
        typer.Option("--bears", metavar="NUMBER", help="The number on the part fitted there."),
    ] = None,
    maker: Annotated[
        str | None, typer.Option("--maker", metavar="TEXT", help="Whose number that is.")
    ] = None,
    form: Annotated[
        str | None,
        typer.Option(
            "--form", metavar="TEXT", help="The form it is, as lists write it: 'before serial 412'."
        ),
    ] = None,
    kind: Annotated[
        str | None, typer.Option("--kind", metavar="KIND", help="Its kind, where no list says it.")
    ] = None,
    sizes: sized.PartSizes,
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="Anything else seen.")
    ] = None,
) -> None:
    """Note what the part fitted shows where the book gives NUMBER.

    It bears another number, measures otherwise (--id, --od, --width ... of the part itself), or
    is the form that the book has for other machines. It then comes before what the book says,
    for that machine, and after what has proved right.
    """
    from xref.sourcing import evidence

    document = evidence.add(
        shared.store(),
        number,
        machine=machine,
        serial=serial,
        place=place,
        bears=bears,
        maker=maker,
        form=form,
        kind=kind,
        sizes=sizes.given(),
        remark=remark,
        on=shared.day,
    )
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    tell(f"Evidence {document['evidence']} noted: {document['says']}", indent=4, first="")
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(shared: Shared) -> None:
    """List the evidence that counts."""
    from xref.sourcing import evidence

    document = evidence.listing(shared.store())
    shared.emit(document, _render_list, 0 if document["evidence"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["evidence"]:
        note("Nothing is noted against the book: xref evidence add NUMBER --bears NUMBER")
    for one in document["evidence"]:
        tell(one["says"], indent=6, first=f"{one['evidence']:>4}  ")


@shared_options()
def _withdraw(
    shared: Shared,
    *,
    evidence: Annotated[int, typer.Argument(metavar="EVIDENCE", help="Its number in the list.")],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why it counts no more.")],
) -> None:
    """Take back evidence noted by mistake; the record of it stays."""
    from xref.sourcing import evidence as noted

    document = noted.withdraw(shared.store(), evidence, reason, shared.day)
    shared.emit(document, _render_withdraw)


def _render_withdraw(document: dict[str, Any]) -> None:
    say(f"Evidence {document['evidence']} is withdrawn: {document['reason']}")
