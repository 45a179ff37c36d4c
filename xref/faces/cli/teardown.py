"""`xref teardown`: the machine taken apart, place by place."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import note, plural, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options

_MACHINE = "Ostrel No. 3, serial 468"
_ASSEMBLY = f"xref teardown add '{_MACHINE}' --assembly DG/1000 --serial 468"


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="What was found when the machine came apart.")
    app.add_typer(noun, name="teardown")
    noun.command(
        "add",
        epilog=example(
            _ASSEMBLY,
            f"xref teardown add '{_MACHINE}' --place 'drum shaft' \\\n"
            "    --number FD/4111 \\\n"
            "    --reading shaft@near,0=44.802mm --reading shaft@far,90=44.799mm \\\n"
            "    --uncertainty 0.005mm --lip 'towards the gear case' --decision replace",
        ),
    )(_add)
    noun.command("list", epilog=example(_ASSEMBLY, "xref teardown list"))(_list)
    noun.command("show", epilog=example(_ASSEMBLY, f"xref teardown show '{_MACHINE}'"))(_show)


@shared_options()
def _add(
    shared: Shared,
    machine: Annotated[str, typer.Argument(metavar="MACHINE", help="The machine's name.")],
    assembly: Annotated[
        str | None,
        typer.Option(
            "--assembly", metavar="NUMBER", help="Note all lines of this assembly as places."
        ),
    ] = None,
    times: Annotated[
        int, typer.Option("--times", metavar="N", help="How many of the assembly the machine has.")
    ] = 1,
    serial: Annotated[
        str | None,
        typer.Option(
            "--serial", metavar="N", help="The machine's serial number, where forms differ."
        ),
    ] = None,
    place: Annotated[
        str | None,
        typer.Option("--place", metavar="NAME", help="One place: its name, id or number."),
    ] = None,
    kind: Annotated[
        str | None, typer.Option("--kind", metavar="KIND", help="What kind of part sits there.")
    ] = None,
    number: Annotated[
        str | None,
        typer.Option("--number", metavar="NUMBER", help="The part's number in the book."),
    ] = None,
    quantity: Annotated[
        int | None, typer.Option("--quantity", metavar="N", help="Pieces at that place.")
    ] = None,
    reading: Annotated[
        list[str] | None,
        typer.Option(
            "--reading",
            metavar="WHAT@PLANE,DIRECTION=SIZE",
            help="A reading, as shaft@near,90=59.93mm; may repeat.",
        ),
    ] = None,
    instrument: Annotated[
        str | None, typer.Option("--instrument", metavar="TEXT", help="What it was measured with.")
    ] = None,
    uncertainty: Annotated[
        str | None,
        typer.Option(
            "--uncertainty", metavar="SIZE", help="What the instrument can do, U at k = 2."
        ),
    ] = None,
    score: Annotated[
        str | None, typer.Option("--score", metavar="TEXT", help="Wear or scoring seen.")
    ] = None,
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="Anything else seen.")
    ] = None,
    photograph: Annotated[
        str | None, typer.Option("--photograph", metavar="PATH", help="Where the photograph lies.")
    ] = None,
    lip: Annotated[
        str | None, typer.Option("--lip", metavar="TEXT", help="Lip direction, as the manual says.")
    ] = None,
    torque: Annotated[
        str | None, typer.Option("--torque", metavar="TEXT", help="Torque, as the manual says.")
    ] = None,
    torque_end: Annotated[
        str | None,
        typer.Option("--torque-end", metavar="TEXT", help="On which end the torque is put."),
    ] = None,
    page: Annotated[
        str | None, typer.Option("--page", metavar="TEXT", help="Page of the manual.")
    ] = None,
    decision: Annotated[
        str | None,
        typer.Option(
            "--decision",
            metavar="WORD",
            help="reuse, repair, make or replace; replace makes a want.",
        ),
    ] = None,
    reason: Annotated[
        str | None, typer.Option("--reason", metavar="TEXT", help="Why you decided so.")
    ] = None,
    by: Annotated[
        str | None, typer.Option("--by", metavar="DATE", help="When a replacement is needed.")
    ] = None,
    priority: Annotated[
        int, typer.Option("--priority", metavar="1|2|3", help="How urgent a replacement is.")
    ] = 2,
) -> None:
    """Note an assembly, or one place with what was measured and decided."""
    from xref.sourcing import teardown

    if (assembly is None) == (place is None):
        raise typer.BadParameter("Say --assembly NUMBER or --place NAME (one of the two).")
    if assembly is not None:
        document = teardown.add_assembly(shared.store(), machine, assembly, times, serial)
        shared.emit(document, _render_assembly)
        return
    assert place is not None  # noqa: S101 - one of the two
    document = teardown.add_place(
        shared.store(),
        machine,
        place,
        kind=kind,
        number=number,
        quantity=quantity,
        readings=reading or (),
        instrument=instrument,
        uncertainty=uncertainty,
        score=score,
        note=remark,
        photograph=photograph,
        instructions={"lip": lip, "torque": torque, "torque_end": torque_end, "page": page},
        decision=decision,
        reason=reason,
        by=by,
        priority=priority,
        on=shared.day,
    )
    shared.emit(document, _render_place)


def _render_assembly(document: dict[str, Any]) -> None:
    say(
        f"{document['assembly']} in {document['machine']}: "
        f"{plural(len(document['places']), 'place')}"
    )
    table(
        ["place", "number", "name", "kind", "pieces"],
        [
            [p["place"], p["number"], p["name"], p["kind"], p["quantity"]]
            for p in document["places"]
        ],
        right="place pieces",
    )


def _render_place(document: dict[str, Any]) -> None:
    say(
        f"{document['name']} (place {document['place']}): "
        f"{plural(document['readings'], 'reading')} noted"
    )
    if document["decision"]:
        say(
            f"  {document['decision']}" + (f", want {document['want']}" if document["want"] else "")
        )
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(
    shared: Shared,
) -> None:
    """List the machines."""
    from xref.sourcing import teardown

    document = teardown.listing(shared.store())
    shared.emit(document, _render_list, 0 if document["machines"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["machines"]:
        note("No machine is noted: xref teardown add MACHINE --assembly NUMBER")
        return
    table(
        ["machine", "places", "measured", "decided"],
        [[m["machine"], m["places"], m["measured"], m["decided"]] for m in document["machines"]],
        right="places measured decided",
    )


@shared_options()
def _show(
    shared: Shared,
    machine: Annotated[str, typer.Argument(metavar="MACHINE", help="The machine's name.")],
) -> None:
    """Show each place: sizes, taper, out-of-round, whether within limits, what was decided."""
    from xref.acts.teardown import show

    shared.emit(show(shared.store(), machine), _render_show)


def _render_show(document: dict[str, Any]) -> None:
    say(document["machine"])
    for p in document["places"]:
        say()
        tell(
            f"{p['place']}  {p['name']}"
            + (f", {p['number']}" if p["number"] else "")
            + (f", {p['quantity']} pieces" if (p["quantity"] or 1) > 1 else ""),
            indent=4,
            first="",
        )
        for name, s in p["measured"].items():
            form = [
                f"{word} {s[key]:.3f}"
                for word, key in (("taper", "taper_mm"), ("out of round", "out_of_round_mm"))
                if s[key] is not None
            ]
            tell(
                f"{name}: {s['low_mm']:.3f} to {s['high_mm']:.3f} mm, "
                f"{plural(s['readings'], 'reading')}" + (f"; {', '.join(form)} mm" if form else ""),
                indent=6,
                first="    ",
            )
        if p["measured"]:
            tell(
                f"limits: {p['limits']}" + (f" ({p['why']})" if p["why"] else ""),
                indent=6,
                first="    ",
            )
        for seen in p["evidence"]:
            tell(f"evidence: {seen}", indent=6, first="    ")
        for title in ("score", "note", "photograph", "decision", "reason", "want"):
            if p[title]:
                tell(f"{title}: {p[title]}", indent=6, first="    ")
        for name, text in p["instructions"].items():
            tell(f"{name.replace('_', ' ')}: {text}", indent=6, first="    ")
