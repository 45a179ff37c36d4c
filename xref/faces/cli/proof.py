"""`xref proof`: tests done, and what has proved right on the machine."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import note, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the commands to the application."""
    noun = typer.Typer(no_args_is_help=True, help="Tests done, and your own proved list.")
    app.add_typer(noun, name="proof")
    noun.command(
        "add",
        epilog=example(
            "xref proof add 1 --number BWR-238N --maker Brindlewerk --hours 12 \\\n"
            "    --remark 'dry after a day of running' --on 2027-10-01",
            "xref proof add 2 --number UMB-735 --failed 'lip runs beside the sleeve'",
        ),
    )(_add)
    noun.command(
        "list",
        epilog=example(
            "xref proof add 1 --number BWR-238N --maker Brindlewerk --on 2027-10-01",
            "xref proof list",
        ),
    )(_list)


@shared_options()
def _add(
    shared: Shared,
    want: Annotated[int, typer.Argument(metavar="WANT", help="Which want.")],
    test: Annotated[
        list[str] | None,
        typer.Option("--test", metavar="NAME", help="Note this test as done; may repeat."),
    ] = None,
    result: Annotated[
        str, typer.Option("--result", metavar="passed|failed", help="How the test went.")
    ] = "passed",
    number: Annotated[
        str | None,
        typer.Option(
            "--number", metavar="TEXT", help="The part that proved right; else what came."
        ),
    ] = None,
    maker: Annotated[
        str | None, typer.Option("--maker", metavar="TEXT", help="Who made it.")
    ] = None,
    hours: Annotated[
        float | None, typer.Option("--hours", metavar="N", help="Running hours so far.")
    ] = None,
    machine: Annotated[
        str | None, typer.Option("--machine", metavar="NAME", help="On which machine.")
    ] = None,
    failed: Annotated[
        str | None,
        typer.Option("--failed", metavar="WHY", help="It did not fit, and why."),
    ] = None,
    remark: Annotated[
        str | None, typer.Option("--remark", metavar="TEXT", help="What was seen.")
    ] = None,
) -> None:
    """Note a test as done, that the part has proved right, or that it did not fit.

    What proved right is used first the next time; what did not fit in place of this original is
    shown as tried, and its pieces are wanted again. Of one part the word that came last holds.
    """
    from xref.sourcing import proofs

    document = proofs.add(
        shared.store(),
        want,
        tests=test or (),
        result=result,
        number=number,
        maker=maker,
        hours=hours,
        machine=machine,
        did_not_fit=failed,
        remark=remark,
        on=shared.day,
    )
    shared.emit(document, _render_add)


def _render_add(document: dict[str, Any]) -> None:
    if document["proof"]:
        say(
            f"Proved: {document['by']} for {document['number'] or 'want'} (want {document['want']})"
        )
        return
    if document.get("misfit"):
        say(
            f"Noted: {document['by']} did not fit for {document['number'] or 'want'} "
            f"(want {document['want']})"
        )
        return
    say(f"{', '.join(document['tests'])}: {document['result']}")
    left = document["open_tests"]
    say(
        f"  still to do: {', '.join(left)}"
        if left
        else f"  no test is open; when it has proved right: xref proof add {document['want']}"
    )


@shared_options()
def _list(
    shared: Shared,
) -> None:
    """List what has proved right, what did not fit, and the tests still open."""
    from xref.sourcing import proofs

    document = proofs.listing(shared.store())
    shared.emit(document, _render_list, 0 if any(document.values()) else 1)


def _render_list(document: dict[str, Any]) -> None:
    if document["proofs"]:
        table(
            ["original", "proved by", "maker", "on", "hours", "machine"],
            [
                [
                    p["number"],
                    p["by_number"],
                    p["by_maker"],
                    p["proved_on"],
                    p["hours"],
                    p["machine"],
                ]
                for p in document["proofs"]
            ],
            right="hours",
        )
    elif not document["did_not_fit"]:
        note("Nothing has been proved yet.")
    for m in document["did_not_fit"]:
        part = " ".join(text for text in (m["by_maker"], m["by_number"]) if text)
        tell(
            f"did not fit in place of {m['number'] or 'want ' + str(m['want'])}: {part}, "
            f"{m['tried_on']}: {m['reason']}",
            indent=4,
            first="",
        )
    for t in document["open_tests"]:
        say(f"still to do for want {t['want']}: {t['test']}")
