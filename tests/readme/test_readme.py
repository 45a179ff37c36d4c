"""The README tells the truth: its commands run, and their output is what it shows."""

from __future__ import annotations

import doctest
import re
import shlex
from pathlib import Path

import pytest

from tests.cli.commands import commands
from tests.readme.shown import README, ROOT, rewritten, shown

TEXT = README.read_text(encoding="utf-8")
# "exactly two commands do all set-up on a fresh machine"
SETUP = (
    "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/xref demo",
    ".venv/bin/python -m pytest -n 2",
)


@pytest.mark.store
def test_shown_output_is_real(tmp_path: Path) -> None:
    """Every command shown in the README prints exactly what the README shows."""
    assert rewritten(TEXT, tmp_path / "bench") == TEXT


def test_the_readme_shows_the_main_jobs() -> None:
    """The README shows reading, loading, identifying, matching and the wanted list."""
    acts = {shlex.split(one.command.replace("\\\n", " "))[1] for one in shown(TEXT)}
    assert {"demo", "read", "load", "identify", "match", "want", "due"} <= acts


def test_two_commands_set_everything_up() -> None:
    """The set-up is two commands, and CI runs the second as it stands."""
    block = re.search(r"^```sh\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
    assert block is not None
    assert tuple(block[1].splitlines()) == SETUP
    assert f"exec {SETUP[1]}\n" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_command_is_in_the_table() -> None:
    """The command table names every command the program has, and no other."""
    listed = re.findall(r"^\| `xref ([a-z-]+(?: [a-z]+)?)", TEXT, re.MULTILINE)
    assert sorted(listed) == sorted(name for name, _ in commands())


@pytest.mark.store
def test_the_library_example_runs() -> None:
    """The Python example of the README gives the results it shows."""
    parser = doctest.DocTestParser()
    example = parser.get_doctest(TEXT, {}, "README", str(README), 0)
    assert example.examples
    failures: list[str] = []
    doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE).run(
        example, out=failures.append
    )
    assert failures == []
