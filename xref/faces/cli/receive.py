"""`xref receive`: measure what came; accept, rework or return."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli import size_options as sized
from xref.faces.cli.output import say, tell
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref offer add --supplier 'Ofterling Sundries' --want 1 --price 14.20 \\\n"
            "    --number BWR-238N --maker Brindlewerk --on 2027-09-08",
            "xref order add --offer 1 --quantity 1 --on 2027-09-09",
            "xref receive 1 59.2mm 80.3mm 8.0mm --uncertainty 0.02mm --on 2027-09-20",
        )
    )
    @shared_options()
    def receive(
        shared: Shared,
        *,
        order: Annotated[int, typer.Argument(metavar="ORDER", help="The order's number.")],
        sizes: Annotated[
            list[str] | None,
            typer.Argument(metavar="[SIZE]...", help="Sizes as measured, in the kind's order."),
        ] = None,
        part: sized.PartSizes,
        place: sized.MainPlace,
        uncertainty: sized.UncertaintyOption = None,
        quantity: Annotated[
            int | None,
            typer.Option("--quantity", metavar="N", help="Pieces that came; else all awaited."),
        ] = None,
        condition: Annotated[
            str | None, typer.Option("--condition", metavar="WORD", help="new, NOS, used or reman.")
        ] = None,
        repair: Annotated[
            list[str] | None,
            typer.Option("--repair", metavar="TEXT", help="An earlier repair found; may repeat."),
        ] = None,
        decision: Annotated[
            str | None,
            typer.Option("--decision", metavar="WORD", help="Your own: accept, rework or return."),
        ] = None,
        remark: Annotated[
            str | None, typer.Option("--remark", metavar="TEXT", help="Anything else.")
        ] = None,
    ) -> None:
        """Judge a part that came, as measured, against its place.

        --shaft, --housing, --depth are the place measured again; else what the teardown noted.
        """
        from xref.acts.receive import receive as act

        document = act(
            shared.store(),
            order,
            sizes or (),
            named=part.given(),
            place=place.given(),
            uncertainty=uncertainty,
            quantity=quantity,
            condition=condition,
            repairs=repair or (),
            decision=decision,
            remark=remark,
            on=shared.day,
        )
        shared.emit(document, _render)


def _render(document: dict[str, Any]) -> None:
    say(
        f"{document['decision'].upper()}: {document['quantity']} for want {document['want']}, "
        f"receipt {document['receipt']}"
    )
    if document["decided_by"] == "user":
        say(f"  your own decision; judged: {document['verdict'] or 'not judged'}")
    elif document["certainty"]:
        say(f"  {document['verdict']}, {document['certainty']}")
    for check in document["checks"]:
        tell(f"{check['result']}: {check['name']}{_limits(check)}", indent=6, first="  ")
    for text in document["work"]:
        tell(f"work: {text}", indent=6, first="  ")
    for text in document["warnings"]:
        tell(f"note: {text}", indent=6, first="  ")
    for name, text in document["instructions"].items():
        tell(f"{name.replace('_', ' ')}: {text}", indent=6, first="  ")
    if document["open_tests"]:
        tell(f"still to do: {', '.join(document['open_tests'])}", indent=6, first="  ")
        say(f"  xref proof add {document['want']} --test '{document['open_tests'][0]}'")
    for text in document["cautions"]:
        tell(f"caution: {text}", indent=6, first="  ")


def _limits(check: dict[str, Any]) -> str:
    permitted, actual = check.get("permitted_mm"), check.get("actual_mm")
    if not permitted or not actual or None in (*permitted, *actual):
        return ""
    return (
        f", {actual[0]:.3f} to {actual[1]:.3f} mm; permitted "
        f"{permitted[0]:.3f} to {permitted[1]:.3f} mm"
    )
