"""`xref contradictions`: where the lists disagree with each other or with the dimensions."""

from __future__ import annotations

from typing import Annotated, Any

import typer

from xref.faces.cli.output import money, plural, say, tell
from xref.faces.cli.shared import Shared, example, shared_options
from xref.faces.cli.sizes_text import in_mm


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(epilog=example("xref contradictions", "xref contradictions --json"))
    @shared_options("on")
    def contradictions(
        shared: Shared,
        number: Annotated[
            str | None,
            typer.Argument(metavar="NUMBER", help="Only what concerns this number."),
        ] = None,
    ) -> None:
        """Show interchange statements whose parts cannot both fit, and other disagreements.

        Also: two catalogues with different sizes for one number, designations against their
        dimensions, loops and numbers that lead nowhere. Exit status 6 when there are any.
        """
        from xref.acts.contradictions import contradictions as act

        document = act(shared.store(), number=number)
        shared.emit(document, render, 6 if document["contradictions"] else 0)


def render(document: dict[str, Any]) -> None:
    """Print each contradiction with its rows."""
    found = document["contradictions"]
    for one in found:
        say(str(one["what"]))
        tell(str(one["why"]), indent=4)
        for row in one["rows"]:
            tell(_row(row), indent=6, first="    - ")
    say(f"{plural(len(found), 'contradiction')} found." if found else "No contradictions found.")


def _row(row: dict[str, Any]) -> str:
    sizes = in_mm(row.get("dimensions_mm") or {}, row.get("kind"))
    words = [row.get("says") or row.get("number"), row.get("maker"), row.get("kind")]
    words += [f"{sizes} mm" if sizes else None, row.get("variant")]
    if row.get("price") is not None:
        words.append(money(row["price"], row.get("currency")))
    return f"{', '.join(str(word) for word in words if word)} ({row.get('source')})"
