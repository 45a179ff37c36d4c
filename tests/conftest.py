"""What every test may use: a private store, and the command line run in this process."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command_line import Answer, Xref


@pytest.fixture(autouse=True)
def private_store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Point XREF_STORE at an empty place, so that no test touches a store of the user's."""
    place = tmp_path / "store"
    monkeypatch.setenv("XREF_STORE", str(place))
    monkeypatch.setenv("COLUMNS", "80")
    return place


@pytest.fixture
def xref(capsys: pytest.CaptureFixture[str]) -> Xref:
    """Return a function that runs `xref WORDS…` in this process."""
    from xref.faces.cli.app import run

    def call(*words: object) -> Answer:
        capsys.readouterr()
        status = run([str(word) for word in words])
        captured = capsys.readouterr()
        return Answer(status, captured.out, captured.err)

    return call
