"""`xref load`: read a file into the store as one new edition of a list, or not at all."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli import reading_options as given
from xref.faces.cli.output import money, plural, say, tell
from xref.faces.cli.read import render as render_reading
from xref.faces.cli.read import set_aside
from xref.faces.cli.shared import Shared, example, shared_options

NameOption = Annotated[
    str | None,
    typer.Option("--name", metavar="NAME", help="The list's name; else the supplier or the file."),
]
PreviewOption = Annotated[
    bool, typer.Option("--preview", help="Show how the file is understood and load nothing.")
]
MendedOption = Annotated[
    Path | None,
    typer.Option(
        "--mended",
        metavar="FILE",
        help="Merge rows that were set aside and since mended into the current edition.",
    ),
]


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref load data_demo/stock_quastenburg_later.csv --table stock \\\n"
            "    --supplier 'Dichtungslager Quastenburg' --on 2027-09-20",
            "xref load --mended data_demo/stock_nettlewick_mended.csv --table stock \\\n"
            '    --supplier "Nettlewick Engineers\' Sundries"',
        )
    )
    @shared_options()
    def load(
        shared: Shared,
        *,
        file: Annotated[
            str | None,
            typer.Argument(metavar="FILE", help="The table to load; - reads standard input."),
        ] = None,
        answers: given.Answers,
        name: NameOption = None,
        rejects: given.RejectsOption = None,
        mended: MendedOption = None,
        preview: PreviewOption = False,
    ) -> None:
        """Load a supplier's stock list, a catalogue, an interchange list or originals.

        A later list of the same supplier replaces the earlier one, which stays as history; what
        is new, gone or changed is shown, and which wants the list can now fill.
        """
        if file is None and mended is None:
            raise typer.BadParameter("Name the file to load, or --mended FILE.")
        if file is not None and mended is not None:
            raise typer.BadParameter(
                f"Load {file} first, then the rows mended: xref load --mended {mended} "
                "with the same --table and --supplier."
            )
        with given.readable(str(mended if file is None else file)) as path:
            if preview:
                from xref.acts.load import preview as look

                document = look(shared.store(), path, rejects=rejects, **answers.given())
                status = 4 if document["refused"] else 3 if document["questions"] else 0
                shared.emit(document, render_reading, status)
                return
            from xref.acts.load import load as act

            document = act(
                shared.store(),
                path,
                on=shared.day,
                name=name,
                mend=mended is not None,
                rejects=rejects,
                **answers.given(),
            )
        shared.emit(document, render)


def render(document: dict[str, Any]) -> None:
    """Print what a load did."""
    tell(
        f"{document['list']} ({document['table']}): {plural(document['loaded'], 'row')} loaded, "
        f"{document['set_aside']} set aside, {document['furniture']} furniture."
    )
    if document.get("unchanged"):
        say("The same list as before: nothing changed.")
    elif document.get("first"):
        say("The first list of theirs.")
    else:
        changes = ", ".join(
            f"{document[name]:,} {name}"
            for name in ("new", "gone", "changed", "dearer", "cheaper")
            if document.get(name) is not None
        )
        say(f"Against the list before: {changes}.")
        _change_rows(document.get("change_rows") or {})
    for text in document.get("notes", []):
        tell(text, indent=2, first="- ")
    set_aside(document.get("set_aside_rows", []), limit=5)
    _fills(document["fills"])


def _fills(fills: list[dict[str, Any]]) -> None:
    """Print, for each want, the numbers of the list that can fill it."""
    parts: dict[tuple[int, str], list[str]] = {}
    for fill in fills:
        name = " ".join(word for word in (fill["maker"], fill["number"]) if word)
        parts.setdefault((fill["want"], fill["wanted"]), []).append(f"{name} ({fill['how']})")
    for (want, wanted), found in parts.items():
        tell(f"Fills want {want}, {wanted}: {'; '.join(dict.fromkeys(found))}", 2, "* ")


def _change_rows(rows: dict[str, list[dict[str, Any]]], limit: int = 5) -> None:
    """Print the first rows of each sort of change (of a first list, nothing: all is new)."""
    for sort in ("new", "gone", "dearer", "cheaper", "quantity"):
        for row in rows.get(sort, [])[:limit]:
            name = " ".join(str(word) for word in (row["maker"], row["number"]) if word)
            tell(f"{sort}: {name}{_difference(sort, row)}", indent=4, first="  ")
        if len(rows.get(sort, [])) > limit:
            say(f"  {sort}: and {len(rows[sort]) - limit} more (--json shows them)")


def _difference(sort: str, row: dict[str, Any]) -> str:
    if sort in {"dearer", "cheaper"}:
        return f", {money(row['price_before'], row['currency'])} -> {row['price']:.2f}"
    if sort == "quantity":
        before, now = (
            "unknown" if row[name] is None else row[name]
            for name in ("quantity_before", "quantity")
        )
        return f", {before} -> {now} pcs"
    return ""
