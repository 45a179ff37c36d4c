"""What every test may use: a private store, and the command line run in this process."""

from __future__ import annotations

import shutil
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


@pytest.fixture(scope="session")
def built_demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the demo store once; do not write to it."""
    from xref.acts.demo import build
    from xref.store import Store

    place = tmp_path_factory.mktemp("demo") / "store"
    build(Store.open(place))
    return place


@pytest.fixture
def demo_store(built_demo: Path, private_store: Path) -> Path:
    """Return a demo store of the test's own, where XREF_STORE points."""
    shutil.copytree(built_demo, private_store)
    return private_store


@pytest.fixture
def beside_the_demo_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in a folder that holds `data_demo`, as a checkout does."""
    from xref.resources import folder

    place = tmp_path / "bench"
    shutil.copytree(folder("data_demo"), place / "data_demo")
    monkeypatch.chdir(place)
    return place
