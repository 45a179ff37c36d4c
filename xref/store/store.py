"""The store: one folder that remembers lists and state.

Reading lists takes no lock and never opens the state. The state is opened late and closed
early; writers take turns.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import StoreUnavailable
from . import layout
from .edition import Edition, ListInfo, from_row
from .lists import Lists
from .migration import agree_on_format
from .number_key import number_key
from .settling import is_broken_off, log_of, settle, settle_grown

if TYPE_CHECKING:
    import duckdb
    import numpy as np
    import pandas as pd

    from .key_file import Column
    from .noted import Noted
    from .number_index import NumberIndex
    from .state import State
    from .statement_index import StatementIndex

# Seconds that a writer waits for its turn, and a reader for a writer to end.
WAIT_SECONDS = 8.0


class Store:
    """A store in a folder; made by `Store.open`."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.lists = Lists(folder / "lists")
        self.noted_before: tuple[tuple[int, ...], Noted] | None = None  # for `noted` alone
        self._open = threading.local()

    @classmethod
    def open(cls, path: str | Path | None = None) -> Store:
        """Open the store in `path`, by default XREF_STORE or the platform's data directory.

        The folder is made on first use, readable by its owner only. Takes no lock. Raises
        StoreUnavailable for a folder that holds something else or a store of a newer xref.
        """
        folder = layout.folder_of(path)
        try:
            layout.make_private(folder)
            agree_on_format(folder)
            (folder / "lists").mkdir(mode=0o700, exist_ok=True)
        except OSError as error:
            taken = isinstance(error, FileExistsError | NotADirectoryError)
            reason = "a file stands in the way" if taken else error.strerror or error
            raise StoreUnavailable(
                f"no store can be kept in {folder}: {reason}. "
                "Name another folder with --store or XREF_STORE.",
                at=str(folder),
            ) from error
        return cls(folder)

    @property
    def _state_file(self) -> Path:
        return self.folder / "state.duckdb"

    def state_files(self) -> tuple[Path, Path]:
        """Return the paths of the state and of its log, which need not be there."""
        return self._state_file, log_of(self._state_file)

    @contextlib.contextmanager
    def reading(self) -> Iterator[State]:
        """Open the state for reading while the block runs; inside another block, share its state.

        Raises StoreUnavailable when a writer keeps it longer than a few seconds.
        """
        outer = getattr(self._open, "state", None)
        if outer is not None:
            yield outer
            return
        from .opening import in_words
        from .state import State

        with in_words(self.folder, writing=False):
            con = self._open_as_declared()
            try:
                self._open.state = State(con, writable=False)
                yield self._open.state
            finally:
                self._open.state = None
                con.close()

    def stamp(self) -> tuple[int, ...] | None:
        """Return what differs whenever the state does, without opening it.

        None while this thread has the state open: reading from it is cheap then, and a writer sees
        what it has not committed yet.
        """
        if getattr(self._open, "state", None) is not None:
            return None
        found: list[int] = []
        for path in self.state_files():
            with contextlib.suppress(FileNotFoundError):
                status = path.stat()
                found += (status.st_ino, status.st_size, status.st_mtime_ns, status.st_ctime_ns)
        return tuple(found)

    def noted(self) -> Noted:
        """Return what a look-up needs of the state, opening it only if it changed since.

        Suppliers, offers and the user's own experience, exactly as the state has them now.
        """
        from .noted import noted

        return noted(self)

    def _open_as_declared(self) -> duckdb.DuckDBPyConnection:
        from .opening import as_declared, open_database

        if self._state_file.exists() and not is_broken_off(self._state_file):
            before = self._state_file.stat().st_ino
            con = open_database(self._state_file, read_only=True)
            # A state that was settled meanwhile may have been opened without its log.
            same = not is_broken_off(self._state_file) and self._state_file.stat().st_ino == before
            if same and as_declared(con):
                return con
            con.close()
        with self.writing("prepare the store"):
            pass
        return open_database(self._state_file, read_only=True)

    @contextlib.contextmanager
    def writing(self, act: str, wait: float = WAIT_SECONDS) -> Iterator[State]:
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
        from . import lock
        from .opening import as_declared, declare, in_words, open_database, undone
        from .state import State
        from .writing import publish

        with in_words(self.folder), lock.held(self.folder / "writer.lock", act, wait):
            con = open_database(self._state_file, read_only=False, wait=wait)
            try:
                declared = as_declared(con)
                if not declared:
                    declare(con)
                con.execute("BEGIN")
                try:
                    self._open.state = State(con, writable=True)
                    yield self._open.state
                except BaseException:
                    undone(con)
                    raise
                con.execute("COMMIT")
                publish(self.folder, self._open.state)
                settle_grown(con, self._state_file, anyway=not declared)
            finally:
                self._open.state = None
                con.close()

    def add_edition(self, info: ListInfo, rows: pd.DataFrame) -> Edition:
        """Add the rows of a reading as the newest edition of their list; all or nothing.

        The same content read with the same decisions as the current edition adds nothing: that
        edition comes back with `already` set. Raises Refused for a list without rows, or with
        columns that cannot be kept.
        """
        from .writing import add_edition

        return add_edition(self, info, rows)

    def editions(self, table: str | None = None) -> list[Edition]:
        """Return the current edition of every list, or of those of one `table`."""
        return self.lists.editions(table)

    def keys(
        self, kind: str, tables: Iterable[str] = ("catalogue", "stock")
    ) -> dict[str, np.ndarray[Any, Any]]:
        """Return the distinct judgement keys of `kind` in the current lists, as columns.

        `edition` and `key` name them; sizes in mm are `<dimension>_mm`, `_low_mm`, `_high_mm`
        (NaN unknown), traits by their names and `written_unit` (None unknown). Every column of
        the kind is there. Sorted by edition, then by size.
        """
        return self.lists.keys(kind, tables)

    def coded_keys(
        self, kind: str, tables: Iterable[str] = ("catalogue", "stock")
    ) -> dict[str, Column]:
        """Return what `keys` does, with traits in words as codes (`key_file.Words`)."""
        return self.lists.coded_keys(kind, tables)

    def items(
        self, wanted: Iterable[tuple[int, int]], per_key: int | None = 5
    ) -> list[dict[str, Any]]:
        """Return up to `per_key` items of each (edition, key), in the order asked for."""
        return self.lists.items(wanted, per_key)

    def items_by_number(
        self,
        text: str | Iterable[str],
        tables: Iterable[str] | None = None,
        *,
        mentioned: bool = False,
    ) -> list[dict[str, Any]]:
        """Return the items that bear a number, however it is spaced (or any of several numbers).

        With `mentioned` the items that name it as a replacement, or as what they supersede.
        """
        texts = [text] if isinstance(text, str) else list(text)
        keys = [key for key in dict.fromkeys(map(number_key, texts)) if key]
        role = "mentioned" if mentioned else "own"
        return self.lists.by_number(keys, self._of(tables), role)

    def items_by_assembly(
        self, number: str, tables: Iterable[str] | None = ("originals",)
    ) -> list[dict[str, Any]]:
        """Return the lines of an assembly in the parts books, in the order of the book."""
        return self.lists.by_assembly(number_key(number), self._of(tables))

    def replacements(
        self,
        numbers: Iterable[str] | None = None,
        tables: Iterable[str] = ("interchange", "originals", "catalogue", "stock"),
    ) -> list[dict[str, Any]]:
        """Return the items that state a replacement: all, or those that concern some numbers."""
        keys = None if numbers is None else [number_key(n) for n in numbers]
        return self.lists.replacements(keys, self._of(tables))

    def number_index(self, edition: Edition) -> NumberIndex:
        """Return the likeness index of an edition's numbers."""
        return self.lists.number_index(edition)

    def statement_index(self, edition: Edition) -> StatementIndex:
        """Return what an edition states of replacements, findable from either number."""
        return self.lists.statement_index(edition)

    def all_editions(self, table: str | None = None) -> list[Edition]:
        """Return every edition, history included and withdrawn ones left out, oldest first."""
        sql = "SELECT * FROM editions WHERE NOT coalesce(withdrawn, false) ORDER BY edition"
        with self.reading() as state:
            editions = [from_row(row) for row in state.rows(sql)]
        return [e for e in editions if table is None or e.table == table]

    def changes(
        self, edition: Edition, previous: Edition | None = None, limit: int | None = 200
    ) -> dict[str, Any]:
        """Compare an edition with the one before it (or `previous`).

        Returns the counts `new`, `gone`, `changed` and of the changed `dearer`, `cheaper`,
        `quantity`; `examples` holds up to `limit` rows of each, or all of them with None. An
        offer is known again by number, maker, kind, condition and variant; prices compare only
        in one currency. Without a previous edition everything is new.
        """
        from .comparing import compare

        if previous is None:
            before = [
                e
                for e in self.all_editions(edition.table)
                if e.list == edition.list and e.number < edition.number
            ]
            previous = before[-1] if before else None
        return compare(self, previous, edition, limit)

    def history(self, text: str, table: str | None = "stock") -> list[dict[str, Any]]:
        """Return what each edition of each list said of a number: quantity, price, as of when."""
        from . import history

        return history.history(self.lists, [number_key(text)], self.all_editions(table))

    def not_listed(
        self, numbers: Iterable[str] | None = None, table: str | None = "stock"
    ) -> list[dict[str, Any]]:
        """Return the numbers a list once held and holds no more, with `not_listed_since`."""
        from . import history

        keys = None if numbers is None else [number_key(n) for n in numbers]
        return history.not_listed(self.lists, keys, self.all_editions(table))

    def withdraw(self, edition: Edition) -> None:
        """Take back an edition loaded by mistake: the one before it is current again."""
        with self.writing(f"withdraw {edition.name}") as state:
            state.record("list withdrawn", "editions", edition.edition, {"withdrawn": True})

    def erase_contact(self, holder: str) -> bool:
        """Erase contact details for good: the state file is written anew without them.

        Backups made earlier still hold them. Returns whether there were any.
        """
        from . import lock
        from .opening import open_database

        with self.writing("erase contact details") as state:
            erased = state.drop_contact(holder)
            # Also after an erasure that was broken off before the file was written anew.
            ever = state.one(
                "SELECT 1 FROM events WHERE in_table = 'contacts' AND key = ?", [holder]
            )
        if ever:
            with lock.held(self.folder / "writer.lock", "erase contact details"):
                settle(open_database(self._state_file, read_only=False), self._state_file)
        return erased

    def check(self) -> dict[str, Any]:
        """Rebuild every current table from the events, recompute every digest, and compare.

        Returns `events`, `editions` (counts), `damage` and `notes` (lists of code, what, where).
        """
        from .check import check, unreadable

        try:
            return check(self)
        except StoreUnavailable as error:
            if error.code != "store-damaged":
                raise
            return unreadable(self, error)

    def info(self) -> dict[str, Any]:
        """Return where the store is, its format and size, and how much it holds."""
        from .check import info

        return info(self)

    def backup(self, file: str | Path) -> dict[str, Any]:
        """Write the whole store to one new file. Refused if the file exists."""
        from .backup import back_up

        return back_up(self.folder, Path(file))

    @staticmethod
    def restore(file: str | Path, path: str | Path | None = None) -> dict[str, Any]:
        """Put a backup in the place of the store; the store replaced is kept aside.

        The backup is unpacked beside and checked first; Refused leaves everything as it was.
        `kept_aside` of the answer names the folder of the store that was replaced.
        """
        from .backup import restore

        return restore(Path(file), layout.folder_of(path))

    def _of(self, tables: Iterable[str] | None) -> list[Edition]:
        wanted = None if tables is None else set(tables)
        return [e for e in self.editions() if wanted is None or e.table in wanted]
