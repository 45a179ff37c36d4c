"""Where everything in a store lies, and how files are put there so that none is ever half there.

store.json            format version of the store
writer.lock           the writers' turn
state.duckdb          events and their projections, with what came since in state.duckdb.wal
lists/current.json    which edition of each list is current
lists/<list>/<edition>/{items,keys,numbers}.parquet, *.index, meta.json
derived/              what is only ever derived from the rest, and may be deleted at any time
backups/              copies made before a migration or a restore
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any


def named_folder(path: str | Path | None) -> Path | None:
    """Return the folder of the store that is named: `path`, else XREF_STORE, else None."""
    named = path or os.environ.get("XREF_STORE")
    return Path(named).expanduser() if named else None


def folder_of(path: str | Path | None) -> Path:
    """Return the folder of a store: the one named, else in the user's data directory."""
    named = named_folder(path)
    if named is not None:
        return named
    from platformdirs import user_data_dir

    return Path(user_data_dir("xref", appauthor=False))


def make_private(folder: Path) -> None:
    """Create `folder` (and its parents) readable by its owner only; one that exists is kept."""
    if not folder.is_dir():
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=0o700, exist_ok=True)
        folder.chmod(0o700)  # a wider umask or a set-group parent would show through


def sync_folder(folder: Path) -> None:
    """Make renames inside `folder` survive a loss of power."""
    if sys.platform == "win32":  # folders cannot be opened there; NTFS journals renames itself
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sync_file(path: Path) -> None:
    """Make the content of `path` survive a loss of power."""
    descriptor = os.open(path, os.O_RDWR)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def write_json(path: Path, document: Any) -> None:
    """Replace `path` by `document` at once: readers see the old file or the new one."""
    new = path.with_name(f".new-{token()}")
    try:
        with new.open("x", encoding="utf-8") as file:
            json.dump(document, file, ensure_ascii=False, indent=1)
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)


def token() -> str:
    """Return a few characters no other process will use for a name."""
    return os.urandom(6).hex()


def read_json(path: Path) -> Any:
    """Return the JSON document at `path`."""
    return json.loads(path.read_text(encoding="utf-8"))
