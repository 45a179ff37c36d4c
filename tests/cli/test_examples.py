"""Every command is complete: it has help, an example that runs, and its place in the README."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.cli.commands import commands, examples
from tests.command_line import Xref
from xref.faces.cli.app import COMMANDS
from xref.resources import folder

ALL = list(commands())
NAMES = [name for name, _ in ALL]
# What the contract promises (architecture: command line, contract 1).
PROMISED = {
    *("demo", "read", "load", "identify", "match", "match-list", "fit", "due", "plan", "receive"),
    *("contradictions", "sheet fit", "sheet wanted", "sheet plan", "serve"),
    *("want add", "want list", "want show", "want close"),
    *("supplier add", "supplier list", "supplier show"),
    *("enquiry write", "enquiry sent", "enquiry answer", "enquiry list"),
    *("offer add", "offer list", "order add", "order list", "proof add", "proof list"),
    *("teardown add", "teardown list", "teardown show"),
    *("store info", "store check", "store backup", "store restore"),
}
# Statuses an example may end with besides 0, with the reason.
ALLOWED = {"contradictions": {6}}  # the demo's lists hold some, to show them
SHARED = {"--json"}


def test_the_contract_is_complete() -> None:
    """Every command the contract names is there, and every module is registered."""
    assert PROMISED - set(NAMES) == set()
    assert {name.split()[0] for name in NAMES} == set(COMMANDS)


@pytest.mark.parametrize(("name", "command"), ALL, ids=NAMES)
def test_help_is_complete(name: str, command: Any) -> None:
    """Every command says what it does, takes --json, explains each option and has an example."""
    assert command.help
    assert examples(command)
    assert all(words[: len(name.split())] == name.split() for words in examples(command)[-1:])
    options = {flag for parameter in command.params for flag in parameter.opts}
    assert options >= SHARED
    unexplained = [p.opts[0] for p in command.params if not getattr(p, "help", None)]
    assert unexplained == []


@pytest.mark.parametrize("name", NAMES)
def test_help_fits_the_screen(name: str, xref: Xref) -> None:
    """Every help page fits 80 columns and ends with its example."""
    answer = xref(*name.split(), "--help")
    assert answer.status == 0
    assert max(map(len, answer.out.splitlines())) <= 80
    assert "Example" in answer.out
    assert answer.out.rstrip().splitlines()[-1].startswith("    ")


@pytest.mark.store
@pytest.mark.parametrize(("name", "command"), ALL, ids=NAMES)
@pytest.mark.usefixtures("beside_the_demo_files")
def test_examples_run(name: str, command: Any, xref: Xref, demo_store: Path) -> None:
    """The examples of a command's help do what they say, on the demo store."""
    for words in examples(command):
        answer = xref(*words)
        assert answer.status in {0} | ALLOWED.get(name, set()), (words, answer.err)
        assert "Traceback" not in answer.err
        assert answer.out.strip()
        if "--json" not in words:
            shown = answer.out.replace(str(demo_store), "store")  # a path is never broken
            assert max(map(len, shown.splitlines())) <= 80, words


def schema_of(name: str) -> Path:
    """Return where the JSON Schema of a command's answer is, if it has one."""
    return folder("schemas") / "answers" / f"{name.replace(' ', '_')}.schema.json"


@pytest.mark.store
@pytest.mark.parametrize(
    ("name", "command"), [(n, c) for n, c in ALL if schema_of(n).exists()], ids=lambda v: str(v)
)
@pytest.mark.usefixtures("demo_store", "beside_the_demo_files")
def test_answers_keep_their_schema(name: str, command: Any, xref: Xref) -> None:
    """The --json answer of each command is what its JSON Schema says."""
    schema = json.loads(schema_of(name).read_text(encoding="utf-8"))
    checker = jsonschema.Draft202012Validator(
        schema, format_checker=jsonschema.FormatChecker(["date"])
    )
    for words in examples(command):
        if words[: len(name.split())] != name.split() or "--schema" in words:
            xref(*words)  # an example may need another command first
            continue
        answer = xref(*words, *([] if "--json" in words else ["--json"]))
        assert answer.err == ""
        checker.validate(answer.document)


@pytest.mark.parametrize(
    "path", sorted((folder("schemas") / "answers").iterdir()), ids=lambda path: path.name
)
def test_schemas_are_schemas(path: Path) -> None:
    """Every JSON Schema of an answer is itself valid and belongs to a command."""
    schema = json.loads(path.read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    name = path.name.removesuffix(".schema.json")
    assert name == "error" or name.replace("_", " ") in NAMES


def test_errors_keep_their_schema(xref: Xref) -> None:
    """A refusal with --json is what the error schema says."""
    schema = json.loads(schema_of("error").read_text(encoding="utf-8"))
    for words in (["fit", "no_such_kind"], ["match"], ["load", "no-such-file.csv"]):
        answer = xref(*words, "--json")
        assert answer.status in {2, 4}
        jsonschema.validate(answer.document, schema)
