"""The examples at the end of every `--help`, and the shared options under their own names."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from xref.faces.cli.shared import JsonOption as JsonOption
from xref.faces.cli.shared import LogOption as LogOption
from xref.faces.cli.shared import OnOption as OnOption
from xref.faces.cli.shared import Shared, _on_option, _store_option
from xref.faces.cli.shared import StoreOption as StoreOption

if TYPE_CHECKING:
    from xref.store import Store

IdleStoreOption = _store_option(idle=True)
IdleOnOption = _on_option(idle=True)


def example(*commands: str) -> str:
    """Return the epilog of a command's help: lines that a test runs on the demo store.

    A long command is broken with a backslash at the line's end. Backspace keeps the lines as
    they are.
    """
    heading = "Example:" if len(commands) == 1 else "Examples:"
    lines = [f"  {line}" for command in commands for line in command.splitlines()]
    return "\n".join(["\b", heading, *lines])


def open_store(store: Path | None) -> Store:
    """Open the store that the options name; the import waits until a command needs it."""
    return Shared(folder=store).store()


def the_day(on: date | None) -> date:
    """Return the date to act on: `--on`, else today by the local clock."""
    return Shared(on=on).day
