"""`xref want`: what the machine needs, and the story of each want."""

from __future__ import annotations

import shlex
from typing import Annotated, Any

import typer

from xref.faces.cli import size_options as sized
from xref.faces.cli.output import money, note, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options

WantId = Annotated[int, typer.Argument(metavar="WANT", help="The want's number in the list.")]


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="The wanted list.")
    app.add_typer(noun, name="want")
    noun.command(
        "add",
        epilog=example(
            "xref want add DG/1141A --quantity 2 --by 2028-03-01 --on 2027-09-06",
            "xref want add 60x80x8mm --kind shaft_seal --quantity 1",
            "xref want add --kind o_ring --id 1-1/4in --section 1/8in --quantity 6",
        ),
    )(_add)
    noun.command("list", epilog=example("xref want list"))(_list)
    noun.command("show", epilog=example("xref want show 1"))(_show)
    noun.command(
        "close",
        epilog=example("xref want close 3 --as made --reason 'turned from bar in our own shop'"),
    )(_close)


@shared_options()
def _add(
    shared: Shared,
    *,
    quantity: Annotated[int, typer.Option("--quantity", metavar="N", help="Pieces wanted.")],
    what: Annotated[
        str | None, typer.Argument(metavar="NUMBER|SIZES", help="A number, or sizes.")
    ] = None,
    kind: Annotated[
        str | None, typer.Option("--kind", metavar="KIND", help="The kind, needed with sizes.")
    ] = None,
    sizes: sized.PartSizes,
    by: Annotated[
        str | None,
        typer.Option("--by", metavar="DATE", help="Needed by; a month means its first day."),
    ] = None,
    priority: Annotated[
        int, typer.Option("--priority", metavar="1|2|3", help="1 is the most urgent.")
    ] = 2,
    variant: Annotated[
        list[str] | None,
        typer.Option(
            "--variant", metavar="TEXT", help="A form or substitute accepted; may repeat."
        ),
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", metavar="TEXT", help="Where on the machine it goes.")
    ] = None,
    description: Annotated[
        str | None, typer.Option("--description", metavar="TEXT", help="What it is.")
    ] = None,
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="Anything else.")
    ] = None,
) -> None:
    """Note a part that is wanted."""
    from xref.sourcing import wants

    document = wants.add(
        shared.store(),
        what,
        quantity=quantity,
        kind=kind,
        sizes=sizes.given(),
        by=by,
        priority=priority,
        variants=variant or (),
        place=place,
        description=description,
        remark=remark,
        on=shared.day,
    )
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    say(f"Want {document['want']} noted: {document['number'] or document['kind']}")
    for text in document["notes"]:
        note(text)


@shared_options()
def _list(
    shared: Shared,
    everything: Annotated[bool, typer.Option("--all", help="Also those that have ended.")] = False,
) -> None:
    """List the wants, most urgent first."""
    from xref.sourcing import wants

    document = wants.listing(shared.store(), shared.day, everything=everything)
    shared.emit(document, _render_list, 0 if document["wants"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["wants"]:
        note("Nothing is wanted: xref want add NUMBER --quantity N")
        return
    table(
        ["want", "part", "pieces", "covered", "state", "by", "place"],
        [
            [
                w["want"],
                w["number"] or " × ".join(w["sizes"].values()) or w["description"],
                w["quantity"],
                w["covered"],
                w["state"],
                w["by"],
                w["place"],
            ]
            for w in document["wants"]
        ],
        right="want pieces covered",
    )


@shared_options()
def _show(
    shared: Shared,
    want: WantId,
) -> None:
    """Tell the whole story of a want, in order."""
    from xref.sourcing import story

    shared.emit(story.show(shared.store(), want, shared.day), _render_show)


def _render_show(document: dict[str, Any]) -> None:
    part = document["number"] or " × ".join(document["sizes"].values()) or document["kind"]
    tell(
        f"Want {document['want']}: {document['quantity']} × {part}"
        + (f", {document['description']}" if document["description"] else "")
    )
    say(f"  {document['state']}, {document['covered']} of {document['quantity']} covered")
    for title in ("place", "by", "remark"):
        if document[title]:
            tell(f"{title}: {document[title]}", indent=4, first="  ")
    if document["variants"]:
        tell(f"also accepted: {', '.join(document['variants'])}", indent=4, first="  ")
    for name, value in document["instructions"].items():
        tell(f"{name.replace('_', ' ')}: {value}", indent=4, first="  ")
    say()
    for event in document["story"]:
        tell(event["text"], indent=14, first=f"  {event['on']}  ")
    for o in (offer for offer in document["offers"] if offer["stands"]):
        until = f", until {o['until']}" if o["until"] else ""
        tell(
            f"stands: offer {o['offer']} of {o['supplier']}, "
            f"{money(o['price'], o['currency'])}{until}",
            indent=4,
            first="  ",
        )
    left = [t["test"] for t in document["tests"] if not t["done_on"]]
    if left:
        tell(f"still to test: {', '.join(left)}", indent=4, first="  ")
    following = _following(document)
    if following:
        say()
        tell(f"next: {following}", indent=4, first="  ")


def _following(document: dict[str, Any]) -> str | None:
    """Return the command that takes a want on from its state; None once it has ended."""
    want = document["want"]
    offers = [offer for offer in document["offers"] if offer["stands"]]
    known, needed = document["number"], document["needed"]
    fits = f"xref match {shlex.quote(known)} shows what fits; " if known else ""
    return {
        "wanted": f"{fits}xref due says whom to ask, xref enquiry write --want {want} asks",
        "asked": f"xref enquiry answer ENQUIRY --want {want} --has yes|no|looking",
        "offered": (
            f"xref order add --offer {offers[0]['offer']} --quantity {needed}"
            if offers
            else "xref due"
        ),
        "ordered": "xref receive ORDER, with the sizes as measured",
        "received": f"xref due says whom to ask for the {needed} still to find"
        if document["proved"]
        else f"fit and test it, then xref proof add {want}",
    }.get(document["state"])


@shared_options()
def _close(
    shared: Shared,
    want: WantId,
    as_: Annotated[
        str, typer.Option("--as", metavar="END", help="made, modified, reused or dropped.")
    ],
    reason: Annotated[str, typer.Option("--reason", metavar="TEXT", help="Why.")] = "",
) -> None:
    """End a want without buying: made, modified away, reused or dropped."""
    from xref.sourcing import wants

    document = wants.close(shared.store(), want, as_, reason, shared.day)
    shared.emit(document, lambda d: say(f"Want {d['want']} ended as {d['state']}: {d['reason']}"))
