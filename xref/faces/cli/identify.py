"""`xref identify`: which part a smudged, spaced or superseded number means."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.options import JsonOption, LogOption, StoreOption, example, open_store
from xref.faces.cli.output import emit, say, tell


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example("xref identify 'DG 1142'", "xref identify 'oil seal, countershaft'")
    )
    def identify(
        text: Annotated[
            str, typer.Argument(metavar="TEXT", help="A number as you have it, or a description.")
        ],
        top: Annotated[
            int, typer.Option("--top", min=1, max=1000, help="How many matches to show.")
        ] = 10,
        store: StoreOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Find the part a text means, and say how it was found and in which list.

        Exact numbers first, then the same characters written otherwise, then what was superseded
        or given as interchange, then what merely looks like it.
        """
        del log
        from xref.acts.identify import identify as act

        document = act(open_store(store), text, top=top)
        emit(document, json, render, 0 if document["matches"] else 1)


def render(document: dict[str, Any]) -> None:
    """Print what a text may mean, one paragraph a match."""
    if not document["matches"]:
        say("Nothing in the lists is like it.")
        tell("Load the book or list it stands in (xref load FILE), or match by sizes (xref match).")
        return
    for match in document["matches"]:
        say(_headline(match))
        if match.get("description"):
            tell(str(match["description"]), indent=4)
        if match.get("dimensions_mm"):
            from xref.faces.cli.read import sizes

            known = {k: v for k, v in match["dimensions_mm"].items() if v is not None}
            if known:
                say(f"    {sizes(known)} mm")
        for step in match.get("path") or []:
            tell(_step(step), indent=6, first="    > ")
        if match.get("variant"):
            tell(f"variant: {match['variant']}", indent=4)
        tell(f"from {_source(match)}", indent=4)


def _headline(match: dict[str, Any]) -> str:
    words = [match["number"], match.get("maker"), match.get("kind")]
    how = match["how"]
    if match.get("score") is not None and how in {"looks like", "description"}:
        how = f"{how}, {match['score']:.2f}"
    return f"{'  '.join(str(word) for word in words if word)}  ({how})"


def _source(match: dict[str, Any]) -> str:
    source = match.get("source")
    if isinstance(source, dict):
        return ", ".join(f"{value}" for value in source.values() if value is not None)
    return str(source or match.get("table"))


def _step(step: Any) -> str:
    if not isinstance(step, dict):
        return str(step)
    words = [step.get("from"), step.get("how") or step.get("relation"), step.get("to")]
    text = " ".join(str(word) for word in words if word)
    return f"{text} ({step['source']})" if step.get("source") else text
