"""The store: one folder that remembers lists and state.

Reading lists takes no lock and never opens the state. The state is opened late and closed
early; writers take turns.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterator
from pathlib import Path

from ..errors import StoreUnavailable
from . import layout, lock
from .opening import as_declared, declare, open_database
from .state import State

FORMAT = 1


class Store:
    """A store in a folder; made by `Store.open`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._open = threading.local()

    @classmethod
    def open(cls, path: str | Path | None = None) -> Store:
        """Open the store in `path`, by default XREF_STORE or the platform's data directory.

        The folder is made on first use, readable by its owner only. Takes no lock. Raises
        StoreUnavailable for a folder that holds something else or a store of a newer xref.
        """
        folder = Path(path).expanduser() if path is not None else layout.default_folder()
        try:
            layout.make_private(folder)
            _agree_on_format(folder)
            (folder / "lists").mkdir(mode=0o700, exist_ok=True)
        except OSError as error:
            raise StoreUnavailable(
                f"no store can be kept in {folder}: {error.strerror or error}. "
                "Name another folder with --store or XREF_STORE.",
                at=str(folder),
            ) from error
        return cls(folder)

    @property
    def _state_file(self) -> Path:
        return self.folder / "state.duckdb"

    @contextlib.contextmanager
    def reading(self) -> Iterator[State]:
        """Open the state for reading while the block runs; inside another block, share its state.

        Raises StoreUnavailable when a writer keeps it longer than a few seconds.
        """
        outer = getattr(self._open, "state", None)
        if outer is not None:
            yield outer
            return
        con = self._open_as_declared()
        try:
            self._open.state = State(con, writable=False)
            yield self._open.state
        finally:
            self._open.state = None
            con.close()

    def _open_as_declared(self):  # type: ignore[no-untyped-def]
        if self._state_file.exists():
            con = open_database(self._state_file, read_only=True)
            if as_declared(con):
                return con
            con.close()
        with self.writing("prepare the store"):
            pass
        return open_database(self._state_file, read_only=True)

    @contextlib.contextmanager
    def writing(self, act: str, wait: float = lock.WAIT_SECONDS) -> Iterator[State]:
        """Hold the writers' turn and one transaction while the block runs.

        `act` says what for, to whoever has to wait. The transaction is kept when the block ends
        and undone when it raises. A writing block inside another joins it. Raises
        StoreUnavailable, naming the holder, when the turn does not come within `wait` [s].
        """
        outer = getattr(self._open, "state", None)
        if outer is not None:
            if not outer.writable:
                raise RuntimeError("Store.writing inside Store.reading: close the reading first")
            yield outer
            return
        with lock.held(self.folder / "writer.lock", act, wait):
            con = open_database(self._state_file, read_only=False, wait=wait)
            try:
                if not as_declared(con):
                    declare(con)
                con.execute("BEGIN")
                try:
                    self._open.state = State(con, writable=True)
                    yield self._open.state
                except BaseException:
                    con.execute("ROLLBACK")
                    raise
                con.execute("COMMIT")
            finally:
                self._open.state = None
                con.close()


def _agree_on_format(folder: Path) -> None:
    """Check the format of the store in `folder`, and mark a new one with ours."""
    mark = folder / "store.json"
    try:
        document = layout.read_json(mark)
        found = int(document["format"])
    except FileNotFoundError:
        strangers = [p.name for p in folder.iterdir() if not p.name.startswith(".")]
        if strangers:
            raise StoreUnavailable(
                f"{folder} is not a store of xref: it holds {strangers[0]} but no store.json. "
                "Name an empty or new folder with --store or XREF_STORE.",
                at=str(folder),
                code="store-not-one",
            ) from None
        layout.write_json(mark, {"format": FORMAT})
        return
    except (ValueError, KeyError, TypeError) as error:
        raise StoreUnavailable(
            f"{mark} cannot be read ({error}). `xref store restore FILE` puts a backup in place.",
            at=str(mark),
            code="store-damaged",
        ) from error
    if found > FORMAT:
        raise StoreUnavailable(
            f"the store in {folder} has format {found}, this xref knows formats up to {FORMAT}: "
            "a newer xref wrote it. Update xref, or name another store with --store.",
            at=str(folder),
            code="store-newer",
        )
