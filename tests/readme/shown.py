"""The README's commands and the output it shows for each.

A block marked `console` holds one command after `$ ` and its real output (which may itself show
commands). The blocks are run in order on one store in a folder that holds `data_demo`.
`| head -N` shortens an output as it would in a shell.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
_BLOCK = re.compile(r"^```console\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_HEAD = re.compile(r"\s*\|\s*head -(\d+)$")
PROGRAM = "import sys; from xref.faces.cli.app import main; sys.exit(main())"


@dataclass(frozen=True)
class Shown:
    """A command of the README with the output printed there."""

    command: str
    output: str


def shown(text: str) -> list[Shown]:
    """Return the commands of a text with their outputs, in order."""
    return [_of_block(block) for block in _BLOCK.findall(text)]


def _of_block(block: str) -> Shown:
    lines = block.splitlines(keepends=True)
    count = 1
    while lines[count - 1].rstrip("\n").endswith("\\"):
        count += 1
    command = "".join(lines[:count]).rstrip("\n")
    return Shown(command.removeprefix("$ "), "".join(lines[count:]))


class Bench:
    """A folder with the demo's files in which the README's commands run one after another."""

    def __init__(self, place: Path) -> None:
        self.place = place
        shutil.copytree(ROOT / "data_demo", place / "data_demo")
        self._environment = {**os.environ, "COLUMNS": "80", "XREF_STORE": "demo-store"}

    def run(self, command: str) -> str:
        """Run a command line of the README and return what it prints."""
        head = _HEAD.search(command)
        words = shlex.split(_HEAD.sub("", command).replace("\\\n", " "))
        if words[0] != "xref":
            raise ValueError(f"the README shows a command that is not xref's: {command}")
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM, *words[1:]],
            cwd=self.place,
            env=self._environment,
            capture_output=True,
            text=True,
            check=False,
        )
        if "Traceback" in done.stderr or done.returncode not in {0, 1, 3, 6}:
            raise RuntimeError(f"{command} ended with {done.returncode}: {done.stderr}")
        lines = done.stdout.splitlines(keepends=True)
        return "".join(lines[: int(head[1])] if head else lines)


def rewritten(text: str, place: Path) -> str:
    """Return the text with every shown output replaced by the real one."""
    bench = Bench(place)

    def block(match: re.Match[str]) -> str:
        command = _of_block(match[1]).command
        return f"```console\n$ {command}\n{bench.run(command)}```"

    return _BLOCK.sub(block, text)
