"""A fresh store for every test, and child processes to fight over it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from xref.store import Store


@pytest.fixture
def store(tmp_path: Path) -> Store:
    """Return a store in a folder of its own."""
    return Store.open(tmp_path / "store")


class Child:
    """A child process at work on a store."""

    def __init__(self, pid: int, done: Path) -> None:
        self.pid = pid
        self.done = done

    def is_alive(self) -> bool:
        """Tell whether it still runs."""
        try:
            os.kill(self.pid, 0)
        except ProcessLookupError:
            return False
        return True

    def join(self) -> bool:
        """Wait for its end; tell whether it finished what it had to do."""
        deadline = time.monotonic() + 60
        while self.is_alive():
            assert time.monotonic() < deadline
            time.sleep(0.001)
        return self.done.exists()

    def kill(self) -> None:
        """Kill it, as loss of power or the impatient would."""
        os.kill(self.pid, signal.SIGKILL)
        assert not self.join()


class Children:
    """Starts children from a fork server."""

    def __init__(self, server: subprocess.Popen[str], folder: Path) -> None:
        self.server = server
        self.folder = folder
        self.count = 0

    def start(self, function: str, *arguments: object) -> Child:
        """Start a child that runs a function of `workers`."""
        self.count += 1
        done = self.folder / str(self.count)
        assert self.server.stdin is not None
        assert self.server.stdout is not None
        line = json.dumps([function, [*map(_plain, arguments)], str(done)])
        self.server.stdin.write(line + "\n")
        self.server.stdin.flush()
        return Child(int(self.server.stdout.readline()), done)


def _plain(argument: object) -> object:
    return str(argument) if isinstance(argument, Path) else argument


@pytest.fixture(scope="session")
def children(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Children]:
    """Start child processes; skipped where there is no fork."""
    if not hasattr(os, "fork"):
        pytest.skip("there is no fork on this system")
    with subprocess.Popen(
        [sys.executable, str(Path(__file__).with_name("workers.py"))],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as server:
        yield Children(server, tmp_path_factory.mktemp("done"))
