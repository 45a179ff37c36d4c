"""What every test may use: a private store, and the command line run in this process."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest


@dataclass(frozen=True)
class Answer:
    """What one run of the command line gave."""

    status: int
    out: str
    err: str

    @property
    def document(self) -> dict[str, Any]:
        """The one JSON document on stdout."""
        document = json.loads(self.out)
        assert document["contract"] == 1
        return document


Xref = Callable[..., Answer]


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
