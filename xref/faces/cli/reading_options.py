"""The answers a user may give about a file, shared by `xref read` and `xref load`."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.shared import Group


@dataclass(frozen=True)
class Meaning(Group):
    """What a file is and what its columns mean; each field is an option."""

    table: Annotated[
        str | None,
        typer.Option(
            "--table",
            metavar="TABLE",
            help="What it is: stock, catalogue, originals, interchange, suppliers or wanted.",
        ),
    ] = None
    kind: Annotated[
        str | None,
        typer.Option(
            "--kind", metavar="KIND", help="The kind of part, where the file does not say."
        ),
    ] = None
    unit: Annotated[
        str | None,
        typer.Option("--unit", metavar="in|mm", help="The unit of sizes written without one."),
    ] = None
    column: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="THEIRS=ours",
            help="What a heading of theirs means, e.g. 'Pcs=quantity'; may be repeated.",
        ),
    ] = None

    def given(self) -> dict[str, Any]:
        """Return the answers that were given, `--column` words taken apart into a mapping."""
        kept = super().given()
        columns = kept.pop("column", None)
        if columns:
            kept["columns"] = dict(_pair(text) for text in columns)
        return kept


@dataclass(frozen=True)
class Answers(Meaning):
    """All that can be answered about a file; each field is an option."""

    sheet: Annotated[
        str | None, typer.Option("--sheet", metavar="NAME", help="The sheet of a workbook to read.")
    ] = None
    header_row: Annotated[
        int | None,
        typer.Option("--header-row", metavar="N", help="The row that holds the headings, from 1."),
    ] = None
    no_header: Annotated[
        bool,
        typer.Option("--no-header", help="The file has no headings; name columns with --column."),
    ] = False
    decimal: Annotated[
        str | None,
        typer.Option("--decimal", metavar=".|,", help="The decimal sign of prices and quantities."),
    ] = None
    encoding: Annotated[
        str | None,
        typer.Option("--encoding", metavar="NAME", help="The character encoding, cp1252."),
    ] = None
    currency: Annotated[
        str | None,
        typer.Option(
            "--currency", metavar="CODE", help="The currency of prices that name none, EUR."
        ),
    ] = None
    supplier: Annotated[
        str | None,
        typer.Option(
            "--supplier", metavar="NAME", help="Whose list it is; answers are remembered."
        ),
    ] = None


RejectsOption = Annotated[
    Path | None,
    typer.Option("--rejects", metavar="FILE", help="Write the rows set aside to this CSV file."),
]


def _pair(text: str) -> tuple[str, str]:
    theirs, separator, ours = text.rpartition("=")
    if not separator or not theirs.strip() or not ours.strip():
        raise typer.BadParameter(
            f"--column {text!r} does not say which heading means what. Write it as "
            "'Their heading=quantity'."
        )
    return theirs.strip(), ours.strip()


@contextmanager
def readable(file: str) -> Iterator[Path]:
    """Give the path of the file named, standard input copied to a temporary file for `-`."""
    if file != "-":
        yield Path(file)
        return
    with tempfile.TemporaryDirectory(prefix="xref-") as folder:
        copy = Path(folder) / "standard input"
        copy.write_bytes(sys.stdin.buffer.read())
        yield copy
