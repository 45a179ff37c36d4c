"""The store for many threads of one process: readers together, writers in between, nobody starves.

The database cannot have one file open for reading and for writing in the same process at the same
time. Left to themselves, readers that overlap all day would keep every writer waiting. Between
processes the store's own lock decides; nothing is held while nobody reads or writes.
"""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from xref.errors import StoreUnavailable
from xref.store import Store
from xref.store.store import WAIT_SECONDS

if TYPE_CHECKING:
    from xref.store.state import State


class Turns:
    """Any number of readers, or one writer; who waits to write comes before new readers."""

    def __init__(self) -> None:
        self._change = threading.Condition()
        self._readers = 0
        self._writing = False
        self._waiting = 0

    @contextlib.contextmanager
    def reading(self, wait: float) -> Iterator[bool]:
        """Hold a reader's turn while the block runs; gives whether it came within `wait` [s]."""
        with self._change:
            came = self._change.wait_for(lambda: not self._writing and not self._waiting, wait)
            self._readers += came
        try:
            yield came
        finally:
            if came:
                with self._change:
                    self._readers -= 1
                    self._change.notify_all()

    @contextlib.contextmanager
    def writing(self, wait: float) -> Iterator[bool]:
        """Hold the writer's turn while the block runs; gives whether it came within `wait` [s]."""
        with self._change:
            self._waiting += 1
            came = self._change.wait_for(lambda: not self._writing and not self._readers, wait)
            self._waiting -= 1
            self._writing = self._writing or came
            if not came:
                self._change.notify_all()
        try:
            yield came
        finally:
            if came:
                with self._change:
                    self._writing = False
                    self._change.notify_all()


class SharedStore(Store):
    """A store whose readers and writers in this process take turns."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder)
        self._turns = Turns()
        self._inside = threading.local()

    @contextlib.contextmanager
    def reading(self) -> Iterator[State]:
        """Open the state for reading, when no thread of this process writes."""
        if getattr(self._inside, "turn", False):
            with super().reading() as state:
                yield state
            return
        with (
            self._turns.reading(WAIT_SECONDS) as came,
            self._mine(came),
            super().reading() as state,
        ):
            yield state

    @contextlib.contextmanager
    def writing(self, act: str, wait: float = WAIT_SECONDS) -> Iterator[State]:
        """Hold the writers' turn, in this process first, then among all."""
        if getattr(self._inside, "turn", False):
            with super().writing(act, wait) as state:
                yield state
            return
        start = time.monotonic()
        with self._turns.writing(wait) as came, self._mine(came):
            left = max(round(wait - (time.monotonic() - start), 1), 0.5)
            with super().writing(act, left) as state:
                yield state

    @contextlib.contextmanager
    def _mine(self, came: bool) -> Iterator[None]:
        """Remember that this thread has its turn; what it opens inside needs no other."""
        if not came:
            raise StoreUnavailable(
                f"many are writing to the store in {self.folder} just now; waited "
                f"{WAIT_SECONDS:g} seconds. Try again.",
                at=str(self.folder),
                code="store-busy",
            )
        self._inside.turn = True
        try:
            yield
        finally:
            self._inside.turn = False
