"""`xref match-list`: match every line of a file, or every want, and write the result."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli import reading_options as given
from xref.faces.cli.output import plural, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options

SHOWN = 40


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        "match-list",
        epilog=example(
            "xref match-list data_demo/wanted.csv --out matched.csv", "xref match-list --wanted"
        ),
    )
    @shared_options()
    def match_list(
        shared: Shared,
        *,
        file: Annotated[
            str | None,
            typer.Argument(metavar="FILE", help="Originals with sizes, or a list of numbers."),
        ] = None,
        wanted: Annotated[
            bool, typer.Option("--wanted", help="Match the open wants of the store instead.")
        ] = False,
        out: Annotated[
            Path | None,
            typer.Option(
                "--out", metavar="FILE", help="Write the rows to this .csv, .tsv or .xlsx file."
            ),
        ] = None,
        meaning: given.Meaning,
        top: Annotated[
            int, typer.Option("--top", min=1, max=100, help="Candidates for each line.")
        ] = 3,
    ) -> None:
        """Match many parts at once against the lists of the store.

        Every line of the file appears in the result; where nothing fits, a line says so with the
        check that fails. Lines that could not be read are named.
        """
        if (file is None) == (not wanted):
            raise typer.BadParameter("Name a file, or say --wanted (one of the two).")
        from xref.acts.match_list import match_list as act

        if file is None:
            document = act(shared.store(), None, top=top, out=out, on=shared.day)
        else:
            with given.readable(file) as path:
                document = act(
                    shared.store(), path, top=top, out=out, on=shared.day, **meaning.given()
                )
        shared.emit(document, render, 0 if document["matched"] else 1)


def render(document: dict[str, Any]) -> None:
    """Print the best candidates of each line."""
    rows = [
        [
            row["original_number"],
            row["rank"],
            " ".join(str(word) for word in (row["maker"], row["number"]) if word),
            row["verdict"],
            row["certainty"],
            row["work"] or (f"fails: {row['failing_check']}" if row["failing_check"] else ""),
        ]
        for row in document["rows"][:SHOWN]
    ]
    table(["original", "#", "part", "verdict", "certainty", "work"], rows, right="#")
    if len(document["rows"]) > SHOWN:
        say(f"... and {plural(len(document['rows']) - SHOWN, 'row')} more")
    for line in document.get("not_matched", []):
        tell(f"{line['number'] or 'a line'}: {line['why']}", indent=4, first="  ")
    say(
        f"{plural(document['originals'], 'original')}, {document['matched']} with at least one "
        "part that fits."
    )
    if document.get("out"):
        say(f"Written to {document['out']}")
