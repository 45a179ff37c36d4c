"""`xref contradictions`: where the lists disagree with each other or with the dimensions."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.options import JsonOption, LogOption, StoreOption, example, open_store
from xref.faces.cli.output import emit, plural, say, tell


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(epilog=example("xref contradictions", "xref contradictions --json"))
    def contradictions(
        number: Annotated[
            str | None,
            typer.Argument(metavar="NUMBER", help="Only what concerns this number."),
        ] = None,
        store: StoreOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Show interchange statements whose parts cannot both fit, and other disagreements.

        Also: two catalogues with different sizes for one number, designations against their
        dimensions, loops and numbers that lead nowhere. Exit status 6 when there are any.
        """
        del log
        from xref.acts.contradictions import contradictions as act

        document = act(open_store(store), number=number)
        emit(document, json, render, 6 if document["contradictions"] else 0)


def render(document: dict[str, Any]) -> None:
    """Print each contradiction with its rows."""
    found = document["contradictions"]
    for one in found:
        say(str(one["what"]))
        tell(str(one["why"]), indent=4)
        for row in one["rows"]:
            tell(_row(row), indent=6, first="    - ")
    say(f"{plural(len(found), 'contradiction')} found." if found else "No contradictions found.")


def _row(row: Any) -> str:
    if not isinstance(row, dict):
        return str(row)
    return ", ".join(
        f"{name} {value}" for name, value in row.items() if value not in (None, "", [])
    )
