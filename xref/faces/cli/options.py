"""Options that many commands share, and the examples at the end of every `--help`.

`--json`, `--store`, `--on` and `--log` may stand before or after the command:
`xref --json due` and `xref due --json` mean the same. Their callbacks gather
them in one `Settings` at the root, and what a command receives is the gathered
value.
"""

from __future__ import annotations

import os
import warnings
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from xref.store import Store


@dataclass
class Settings:
    """What the shared options have said so far, on either side of the command."""

    as_json: bool = False
    store: Path | None = None
    on: date | None = None
    log: Path | None = None


def _settings(context: typer.Context) -> Settings:
    return context.find_root().ensure_object(Settings)


def _keep_json(context: typer.Context, value: bool) -> bool:
    settings = _settings(context)
    settings.as_json = settings.as_json or value
    return settings.as_json


def _keep_store(context: typer.Context, value: Path | None) -> Path | None:
    settings = _settings(context)
    settings.store = value or settings.store
    return settings.store


def _keep_on(context: typer.Context, value: date | None) -> date | None:
    settings = _settings(context)
    settings.on = value or settings.on
    return settings.on


def _keep_log(context: typer.Context, value: Path | None) -> Path | None:
    settings = _settings(context)
    if value is not None and value != settings.log:
        settings.log = value
        _write_log_to(value)
    return settings.log


def _write_log_to(path: Path) -> None:
    """Send everything xref notes about its own working to this file."""
    import logging

    try:
        logging.basicConfig(
            filename=path,
            level=logging.DEBUG,
            format="%(asctime)s %(levelname)s %(name)s: %(message)s",
            encoding="utf-8",
            force=True,
        )
        logging.captureWarnings(True)
        warnings.resetwarnings()
    except OSError as error:
        raise typer.BadParameter(f"{path} cannot be written: {error.strerror}") from error


def a_date(text: str | date) -> date:
    """Return the date written as YYYY-MM-DD; anything else is a usage error."""
    if isinstance(text, date):
        return text
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(
            f"{text!r} is not a date of the calendar. Write it as 2026-11-01."
        ) from None


JsonOption = Annotated[
    bool,
    typer.Option("--json", callback=_keep_json, help="Print one JSON document and nothing else."),
]
StoreOption = Annotated[
    Path | None,
    typer.Option(
        "--store",
        metavar="DIR",
        callback=_keep_store,
        help="The store to use; else XREF_STORE, else the usual data directory.",
    ),
]
OnOption = Annotated[
    date | None,
    typer.Option(
        "--on",
        metavar="DATE",
        parser=a_date,
        callback=_keep_on,
        help="Act as on this date (YYYY-MM-DD) in place of today.",
    ),
]
LogOption = Annotated[
    Path | None,
    typer.Option(
        "--log",
        metavar="FILE",
        callback=_keep_log,
        help="Write a debug log to this file.",
    ),
]


# A command that needs no store or no date still takes the option, so that one set of shared
# options may follow every command of a script; its help does not show what has no effect.
IdleStoreOption = Annotated[
    Path | None,
    typer.Option(
        "--store",
        metavar="DIR",
        callback=_keep_store,
        hidden=True,
        help="Accepted, without effect.",
    ),
]
IdleOnOption = Annotated[
    date | None,
    typer.Option(
        "--on",
        metavar="DATE",
        parser=a_date,
        callback=_keep_on,
        hidden=True,
        help="Accepted, without effect.",
    ),
]


def example(*commands: str) -> str:
    """Return the epilog of a command's help: lines that a test runs on the demo store.

    A long command is broken with a backslash at the line's end. Backspace keeps the lines as
    they are.
    """
    heading = "Example:" if len(commands) == 1 else "Examples:"
    lines = [f"  {line}" for command in commands for line in command.splitlines()]
    return "\n".join(["\b", heading, *lines])


def store_directory(store: Path | None) -> Path | None:
    """Return where the store is to be: the option, else XREF_STORE, else None (the usual place)."""
    if store is not None:
        return store
    named = os.environ.get("XREF_STORE")
    return Path(named) if named else None


def open_store(store: Path | None) -> Store:
    """Open the store that the options name; the import waits until a command needs it."""
    from xref.store import Store

    return Store.open(store_directory(store))


def the_day(on: date | None) -> date:
    """Return the date to act on: `--on`, else today by the local clock."""
    return on or date.today()
