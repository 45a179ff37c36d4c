"""`xref identify`: which part a smudged, spaced or superseded number means."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import say, tell
from xref.faces.cli.shared import Shared, example, shared_options
from xref.faces.cli.sizes_text import in_mm


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example("xref identify 'DG 1142'", "xref identify 'oil seal, countershaft'")
    )
    @shared_options("on")
    def identify(
        shared: Shared,
        text: Annotated[
            str, typer.Argument(metavar="TEXT", help="A number as you have it, or a description.")
        ],
        top: Annotated[
            int, typer.Option("--top", min=1, max=1000, help="How many matches to show.")
        ] = 10,
        serial: Annotated[
            str | None,
            typer.Option("--serial", metavar="NUMBER", help="The machine's serial number."),
        ] = None,
        form: Annotated[
            str | None,
            typer.Option("--form", metavar="TEXT", help="The form meant: 'before serial 412'."),
        ] = None,
    ) -> None:
        """Find the part a text means, and say how it was found and in which list.

        Exact numbers first, then the same characters written otherwise, then what was superseded
        or given as interchange, then what merely looks like it.
        """
        from xref.acts.identify import identify as act

        document = act(shared.store(), text, top=top, serial=serial, form=form)
        shared.emit(document, render, 0 if document["matches"] else 1)


def render(document: dict[str, Any]) -> None:
    """Print what a text may mean, one paragraph a match."""
    for gone in document.get("no_longer_listed", ()):
        say(f"{gone['number']}  not listed since {gone['not_listed_since']} ({gone['list']})")
    if not document["matches"]:
        say("Nothing in the lists is like it.")
        tell("Load the book or list it stands in (xref load FILE), or match by sizes (xref match).")
        return
    for match in document["matches"]:
        say(_headline(match))
        sizes = in_mm(match.get("dimensions_mm") or {}, match.get("kind"))
        about = [match.get("description"), f"{sizes} mm" if sizes else None, match.get("variant")]
        if any(about):
            tell("; ".join(str(word) for word in about if word), indent=4)
        for step in match.get("path") or []:
            tell(_step(step), indent=6, first="    > ")
        if match.get("note"):
            tell(str(match["note"]), indent=4)
        also = match.get("also_in") or []
        tell("; ".join([f"from {match['source']}", *(f"also {place}" for place in also)]), indent=4)


def _headline(match: dict[str, Any]) -> str:
    words = [match["number"], match.get("maker"), match.get("kind")]
    how = match["how"]
    if match.get("score") is not None and how in {"looks like", "description"}:
        how = f"{how}, {match['score']:.2f}"
    return f"{'  '.join(str(word) for word in words if word)}  ({how})"


def _step(step: dict[str, Any]) -> str:
    pieces = "" if step.get("quantity", 1) == 1 else f", {step['quantity']} of it"
    together = step.get("together_with") or []
    counts = step.get("together_quantities") or [1] * len(together)
    named = [to if n == 1 else f"{n} of {to}" for to, n in zip(together, counts, strict=True)]
    beside = f", together with {', '.join(named)}" if named else ""
    source = f" ({step['source']})" if step.get("source") else ""
    return f"{step['from']} {step['relation']} {step['to']}{pieces}{beside}{source}"
