"""Contract 1: options every command takes on either side, exit statuses, silence, the store."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.commands import commands
from tests.command_line import Answer, Xref

PROGRAM = "import sys; from xref.faces.cli.app import main; sys.exit(main())"
NAMES = [name for name, _ in commands()]


def process(*words: str, store: Path) -> Answer:
    """Run xref in a process of its own, as a program that pipes it does."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *words],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, "XREF_STORE": str(store), "NO_COLOR": "1"},
    )
    return Answer(done.returncode, done.stdout, done.stderr)


@pytest.mark.parametrize("name", NAMES)
def test_shared_options_follow_every_command(name: str) -> None:
    """Contract: `--json` everywhere, `--store DIR`, `--on DATE`; no command refuses them."""
    command = dict(commands())[name]
    options = {flag for parameter in command.params for flag in parameter.opts}
    assert {"--json", "--store", "--on", "--log"} <= options


@pytest.mark.store
@pytest.mark.parametrize(
    "words",
    [
        ["--store", "{}", "--on", "2027-09-06", "--json", "due"],
        ["--store={}", "--on=2027-09-06", "--json", "due"],
        ["due", "--store", "{}", "--on", "2027-09-06", "--json"],
        ["due", "--store={}", "--on=2027-09-06", "--json"],
        ["--json", "due", "--store={}", "--on", "2027-09-06"],
    ],
)
def test_either_side_either_spelling(xref: Xref, tmp_path: Path, words: list[str]) -> None:
    """Contract: options before and after the command, with a space or an equals sign."""
    place = tmp_path / "elsewhere"
    answer = xref(*[word.format(place) for word in words])
    assert answer.status == 0
    assert answer.document == {"contract": 1, "on": "2027-09-06", "actions": []}
    assert place.is_dir()


@pytest.mark.store
def test_one_document_and_nothing_else(tmp_path: Path) -> None:
    """Contract: one document on stdout; an empty store is no failure; nothing on stderr."""
    for words in (["want", "list"], ["due"], ["plan"], ["store", "info"], ["store", "check"]):
        answer = process(*words, "--json", store=tmp_path / "store")
        assert answer.document["contract"] == 1
        assert answer.out.count("\n") == 1
        assert answer.err == ""


@pytest.mark.store
def test_unreadable_files_end_with_4(xref: Xref, tmp_path: Path) -> None:
    """Contract: 4 input refused; one sentence; `read` prints its document as refused."""
    binary = tmp_path / "list.csv"
    binary.write_bytes(bytes(range(256)) * 8)
    for file in (binary, tmp_path / "none.csv", tmp_path, "A" * 5000):
        answer = xref("load", file, "--table", "stock")
        assert (answer.status, answer.out) == (4, "")
        assert 0 < len(answer.err) < 500
        assert xref("load", file, "--table", "stock", "--json").status == 4
    document = xref("read", binary, "--json")
    assert document.status == 4
    assert document.document["refused"]
    assert document.document["rows"] == []


@pytest.mark.store
def test_a_path_that_is_no_folder(xref: Xref, tmp_path: Path) -> None:
    """Contract: 5 where no store can be; the sentence says what stands there."""
    file = tmp_path / "file"
    file.write_text("mine", encoding="utf-8")
    answer = xref("want", "list", "--store", file)
    assert answer.status == 5
    assert "a file stands in the way" in " ".join(answer.err.split())
    assert file.read_text(encoding="utf-8") == "mine"


@pytest.mark.store
def test_a_newer_store(xref: Xref, private_store: Path) -> None:
    """Contract: 5 for a newer store, with the way out."""
    assert xref("store", "info").status == 0
    marker = private_store / "store.json"
    marker.write_text(marker.read_text(encoding="utf-8").replace("2", "99"), encoding="utf-8")
    answer = xref("want", "list", "--json")
    assert answer.status == 5
    assert answer.document["error"]["code"] == "store-newer"
    assert "Update xref" in answer.document["error"]["message"]


@pytest.mark.store
def test_damage_is_found(xref: Xref, private_store: Path) -> None:
    """Contract: 6 damage found, even where the records cannot be opened at all."""
    xref("want", "add", "X1", "--quantity", "1")
    assert xref("store", "check", "--json").status == 0
    (private_store / "state.duckdb").write_bytes(b"no database\n" * 400)
    check = xref("store", "check", "--json")
    assert check.status == 6
    assert check.document["damage"][0]["where"] == "state.duckdb"
    assert xref("want", "list").status == 5


@pytest.mark.store
def test_a_store_that_cannot_be_written(
    xref: Xref, private_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A read-only store can be read; writing ends with 5 and a sentence."""
    xref("want", "add", "X1", "--quantity", "1")
    opened = os.open

    def read_only(path: str, flags: int, *more: int, **named: int) -> int:
        if flags & os.O_CREAT and str(path).startswith(str(private_store)):
            raise OSError(30, "Read-only file system", str(path))
        return opened(path, flags, *more, **named)

    monkeypatch.setattr("xref.store.lock.os.open", read_only)
    answer = xref("want", "add", "X2", "--quantity", "1")
    assert answer.status == 5
    assert "can still be read" in " ".join(answer.err.split())
    monkeypatch.undo()
    assert len(xref("want", "list", "--store", private_store, "--json").document["wants"]) == 1


@pytest.mark.store
def test_two_processes_enter_at_once(tmp_path: Path) -> None:
    """Contract: writers take turns; nothing entered at the same time is lost."""
    store = tmp_path / "store"
    words = ("--quantity", "1", "--json")
    running = [
        subprocess.Popen(
            [sys.executable, "-c", PROGRAM, "want", "add", f"P{i}", *words],
            stdout=subprocess.PIPE,
            env={**os.environ, "XREF_STORE": str(store)},
        )
        for i in range(3)
    ]
    for one in running:
        one.communicate(timeout=120)
    assert [one.returncode for one in running] == [0, 0, 0]
    wants = process("want", "list", "--json", store=store).document["wants"]
    assert {want["number"] for want in wants} == {"P0", "P1", "P2"}
    assert {want["want"] for want in wants} == {1, 2, 3}
