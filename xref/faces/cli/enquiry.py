"""`xref enquiry`: letters to suppliers, when they went, what came back. Nothing is sent by xref."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.offer_options import Offered
from xref.faces.cli.output import note, say, table
from xref.faces.cli.shared import Shared, example, shared_options

EnquiryId = Annotated[int, typer.Argument(metavar="ENQUIRY", help="The enquiry's number.")]

_WRITE = (
    "xref enquiry write --supplier 'Ofterling Sundries' \\\n    --want 1 --want 2 --on 2027-09-06"
)
_SENT = "xref enquiry sent 1 --on 2027-09-07"


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Letters to suppliers and their answers.")
    app.add_typer(noun, name="enquiry")
    noun.command("write", epilog=example(_WRITE))(_write)
    noun.command("sent", epilog=example(_WRITE, _SENT))(_sent)
    noun.command(
        "answer",
        epilog=example(
            _WRITE,
            _SENT,
            "xref enquiry answer 1 --want 1 --has yes --price 9.50 \\\n"
            "    --quantity 4 --on 2027-09-14",
        ),
    )(_answer)
    noun.command("list", epilog=example(_WRITE, "xref enquiry list"))(_list)
    noun.command("show", epilog=example(_WRITE, "xref enquiry show 1"))(_show)


@shared_options()
def _write(
    shared: Shared,
    supplier: Annotated[
        str | None, typer.Option("--supplier", metavar="NAME", help="Only to this supplier.")
    ] = None,
    want: Annotated[
        list[int] | None,
        typer.Option("--want", metavar="WANT", help="Only this want; may be repeated."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="DIR", help="Also write each letter as a text and an HTML file."
        ),
    ] = None,
) -> None:
    """Write one letter per supplier for what is due to be asked. You send it yourself."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing import enquiries, letter_files

    if out is not None:
        letter_files.folder(out)
    document = enquiries.write(
        shared.store(), shared.day, supplier=supplier, only=want or (), find=candidates
    )
    if out is not None:
        document["files"] = letter_files.write(out, document["enquiries"])
    shared.emit(document, _render_write, 0 if document["enquiries"] else 1)


def _render_write(document: dict[str, Any]) -> None:
    for text in document["notes"]:
        note(text)
    if not document["enquiries"]:
        note("Nothing is left to ask: xref due shows what comes next.")
    for number, enquiry in enumerate(document["enquiries"]):
        if number:
            say("-" * 72)
        say(enquiry["letter"].rstrip("\n"))
    for file in document.get("files", ()):
        note(f"written: {file}")
    if document["enquiries"]:
        first = document["enquiries"][0]["enquiry"]
        note(f"When a letter has gone: xref enquiry sent {first}")


@shared_options()
def _sent(
    shared: Shared,
    enquiry: EnquiryId,
) -> None:
    """Note that a letter went; from then the days to reply count."""
    from xref.sourcing import enquiries

    document = enquiries.sent(shared.store(), enquiry, shared.day)
    shared.emit(
        document,
        lambda d: say(
            f"Enquiry {d['enquiry']} to {d['supplier']} sent on {d['sent_on']}; "
            f"ask again from {d['chase_on']}"
        ),
    )


@shared_options()
def _answer(
    shared: Shared,
    enquiry: EnquiryId,
    want: Annotated[int, typer.Option("--want", metavar="WANT", help="Which want.")],
    has: Annotated[str, typer.Option("--has", metavar="yes|no|looking", help="What they said.")],
    offered: Offered,
) -> None:
    """Note what a supplier answered about one want; yes makes an offer."""
    from xref.sourcing import enquiries

    document = enquiries.answer(
        shared.store(),
        enquiry,
        want,
        has,
        shared.day,
        **vars(offered),
    )
    shared.emit(document, _render_answer)


def _render_answer(document: dict[str, Any]) -> None:
    offer = f", offer {document['offer']}" if document["offer"] else ""
    say(f"{document['supplier']} on want {document['want']}: {document['has']}{offer}")
    if document["unanswered"]:
        say(f"  still unanswered: want {', '.join(map(str, document['unanswered']))}")


@shared_options()
def _list(
    shared: Shared,
) -> None:
    """List the enquiries with what was answered."""
    from xref.sourcing import enquiries

    document = enquiries.listing(shared.store())
    shared.emit(document, _render_list, 0 if document["enquiries"] else 1)


def _render_list(document: dict[str, Any]) -> None:
    if not document["enquiries"]:
        note("No enquiry is written: xref enquiry write")
        return
    table(
        ["enquiry", "supplier", "written", "sent", "answers"],
        [
            [
                e["enquiry"],
                e["supplier"],
                e["written_on"],
                e["sent_on"],
                ", ".join(f"{w['want']}: {w['answer'] or 'open'}" for w in e["wants"]),
            ]
            for e in document["enquiries"]
        ],
        right="enquiry",
    )


@shared_options()
def _show(
    shared: Shared,
    enquiry: EnquiryId,
) -> None:
    """Show a letter as it was written."""
    from xref.sourcing import enquiries

    shared.emit(enquiries.show(shared.store(), enquiry), lambda d: say(d["letter"].rstrip("\n")))
