"""`xref read`: show how a file is understood, loading nothing."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli import reading_options as given
from xref.faces.cli.output import plural, say, shown, tell
from xref.faces.cli.output import table as print_table
from xref.faces.cli.shared import Shared, example, shared_options
from xref.faces.cli.sizes_text import in_mm

ROWS_SHOWN = 12


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example(
            "xref read --schema --table stock --kind shaft_seal",
            "xref read data_demo/stock_nettlewick.html",
        )
    )
    @shared_options("on")
    def read(
        shared: Shared,
        *,
        file: Annotated[
            str | None,
            typer.Argument(metavar="FILE", help="The table to read; - reads standard input."),
        ] = None,
        schema: Annotated[
            bool,
            typer.Option(
                "--schema", help="Show what a table of this --table (and --kind) may hold instead."
            ),
        ] = False,
        answers: given.Answers,
        rejects: given.RejectsOption = None,
    ) -> None:
        """Read a table and show how it is understood; nothing is loaded.

        Headings, units and currency as recognised, every row that can be loaded, every row set
        aside with its reason, and what must be asked first (exit status 3). What was answered
        before about the lists of --supplier holds here too.
        """
        if schema:
            if answers.table is None:
                raise typer.BadParameter("--schema needs --table: stock, catalogue, originals ...")
            from xref.tables import describe

            shared.emit(describe(answers.table, answers.kind), render_schema)
            return
        if file is None:
            raise typer.BadParameter("Name the file to read, or --schema with --table.")
        with given.readable(file) as path:
            document = _read(shared, answers, path, rejects)
        status = 4 if document["refused"] else 3 if document["questions"] else 0
        shared.emit(document, render, status)


def _read(
    shared: Shared, answers: given.Answers, path: Path, rejects: Path | None
) -> dict[str, Any]:
    """Read a file, with what the store remembers of the supplier where there is a store."""
    from xref.store.layout import folder_of

    if answers.supplier and folder_of(shared.folder).exists():
        from xref.acts.load import preview

        return preview(shared.store(), path, rejects=rejects, **answers.given())
    from xref.acts.read import read

    return read(path, rejects=rejects, **answers.given())


def render(document: dict[str, Any]) -> None:
    """Print a reading for people."""
    if document["refused"]:
        tell(document["message"])
        return
    kind = f", {document['kind']}" if document["kind"] else ""
    say(f"Table: {document['table'] or 'not recognised'}{kind}")
    if document["message"]:
        tell(document["message"])
    if document["columns"]:
        say("Headings")
        for theirs, ours in document["columns"].items():
            tell(f"{theirs or '(none)'} -> {ours or 'kept as it is'}", indent=4, first="  ")
    unit, encoding = document["unit"] or "as each cell says", document["encoding"] or "not text"
    say(f"Unit: {unit}. Encoding: {encoding}.")
    for question in document["questions"]:
        tell(f"Question: {question}", indent=2, first="")
    rows = document["rows"]
    if rows:
        say()
        _rows(rows[:ROWS_SHOWN])
        if len(rows) > ROWS_SHOWN:
            say(f"... and {plural(len(rows) - ROWS_SHOWN, 'row')} more (--json shows all)")
    set_aside(document["set_aside"])
    say()
    say(
        f"{plural(len(rows), 'row')} can be loaded, {len(document['set_aside'])} set aside, "
        f"{document['furniture']} furniture."
    )


def render_schema(document: dict[str, Any]) -> None:
    """Print the fields of a table, with the other headings they are known by."""
    tell(str(document.get("description") or document.get("title") or ""))
    for field in document["fields"]:
        say()
        say(f"{field['name']}  ({field['type']})  {field.get('title', '')}")
        if field.get("description"):
            tell(field["description"], indent=4)
        names = field.get("otherNames") or []
        if names:
            tell(f"also: {', '.join(names)}", indent=4)


def set_aside(rows: list[dict[str, Any]], limit: int = ROWS_SHOWN) -> None:
    """Print the rows set aside with their reasons."""
    if not rows:
        return
    say()
    say("Set aside")
    for row in rows[:limit]:
        tell(f"{place(row['at'])}: {row['reason']}", indent=4, first="  ")
        tell(str(row["raw"])[:300], indent=6)
    if len(rows) > limit:
        say(f"  ... and {len(rows) - limit} more (--rejects FILE writes all of them)")


def place(at: Any) -> str:
    """Return where a row stands in its file, in words."""
    if isinstance(at, dict):
        return f"sheet {at['sheet']}, row {at['row']}"
    return f"row {at}"


def _rows(rows: list[dict[str, Any]]) -> None:
    def cells(row: dict[str, Any]) -> list[object]:
        quantity = row.get("quantity")
        price = row.get("price")
        return [
            row["at"]["row"] if isinstance(row["at"], dict) else row["at"],
            row.get("number"),
            row.get("kind") or row.get("description"),
            in_mm(row.get("dimensions_mm") or {}, row.get("kind")),
            "" if quantity is None else quantity,
            "" if price is None else f"{row.get('currency') or ''} {_price(price)}".strip(),
            ", ".join([*_replacements(row), *(row.get("warnings") or [])]),
        ]

    print_table(
        ["row", "number", "part", "mm", "pcs", "price", "remarks"],
        [["" if cell is None else shown(cell) for cell in cells(row)] for row in rows],
        right="row pcs price",
    )


def _replacements(row: dict[str, Any]) -> list[str]:
    """Return the numbers that replace a row's, with how many of each; a set as one text."""
    numbers = row.get("replacements") or []
    counts = row.get("relation_quantities") or [row.get("relation_quantity") or 1] * len(numbers)
    named = [
        f"{count} of {number}" if isinstance(count, int) and count > 1 else str(number)
        for number, count in zip(numbers, counts, strict=False)
    ]
    return [" + ".join(named)] if row.get("together") else named


def _price(price: Any) -> str:
    """Return a price with two places, or more where the list has them."""
    return f"{price:.2f}" if round(price, 2) == price else str(price)
