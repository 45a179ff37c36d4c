"""Every command of the program, with the examples its help ends with."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from typing import Any

from typer.main import get_command

from xref.faces.cli.app import COMMANDS, build


def commands() -> Iterator[tuple[str, Any]]:
    """Yield `want add` and the like with the command, groups left out."""
    root = get_command(build(list(COMMANDS.values())))
    yield from _below("", root)


def _below(path: str, command: Any) -> Iterator[tuple[str, Any]]:
    for name, child in command.commands.items():
        here = f"{path} {name}".strip()
        if hasattr(child, "commands"):
            yield from _below(here, child)
        else:
            yield here, child


def examples(command: Any) -> list[list[str]]:
    """Return the words after `xref` of each example of a command's help."""
    text = (command.epilog or "").replace("\\\n", " ")
    return [shlex.split(line)[1:] for line in text.splitlines() if line.strip().startswith("xref ")]
