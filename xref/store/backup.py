"""One file that holds the whole store, and the way back.

The state is copied while the writers' turn is held; the editions it speaks of never change, so
they can be copied at leisure afterwards and the backup is still of one moment.
"""

from __future__ import annotations

import hashlib
import json
import shutil
import tempfile
import zipfile
import zlib
from datetime import UTC, datetime
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any

from ..errors import Refused, StoreUnavailable
from . import layout, lock
from .migration import FORMAT, found_format

if TYPE_CHECKING:
    from collections.abc import Iterator

MANIFEST = "backup.json"
# What reading an archive raises that is none, or holds something else; the archive module answers
# one that is encrypted, or packed in a way it does not know, with the last two.
_NO_BACKUP = (
    *(zipfile.BadZipFile, zlib.error, EOFError, KeyError, ValueError, TypeError, AttributeError),
    *(RuntimeError, NotImplementedError),
)


def back_up(folder: Path, file: Path) -> dict[str, Any]:
    """See `Store.backup`."""
    from .opening import in_words, unwritten_copy

    try:
        with in_words(folder), lock.held(folder / "writer.lock", "back up the store"):
            return write_backup(folder, file)
    except StoreUnavailable as error:
        if error.code != "store-read-only":
            raise
    # A disk that fails is often left readable only: all the more reason for a backup.
    with tempfile.TemporaryDirectory(prefix="xref-") as beside:
        copy = Path(beside) / "state.duckdb"
        with in_words(Path(beside)), unwritten_copy(folder / "state.duckdb", copy):
            return write_backup(folder, file, copy)


def write_backup(folder: Path, file: Path, copy: Path | None = None) -> dict[str, Any]:
    """Write the store in `folder` to `file`; the writers' turn is held by the caller.

    `copy`: a copy of the state to take in its place, where the store itself cannot be written.
    """
    if file.exists():
        raise Refused(f"{file} is there already; name another file for the backup.", at=str(file))
    if file.resolve().is_relative_to((folder / "lists").resolve()):
        raise Refused(f"{file} lies among the lists of the store; name a file elsewhere.")
    if copy is None:
        _settle(folder / "state.duckdb")
    part = file.with_name(f".{file.name}.{layout.token()}.part")
    digests: dict[str, str] = {}
    size = 0
    try:
        with zipfile.ZipFile(part, "x", zipfile.ZIP_STORED, allowZip64=True) as archive:
            for path in _content(folder):
                name = path.relative_to(folder).as_posix()
                source = copy if copy and name == "state.duckdb" else path
                digests[name], written = _pack(archive, source, name)
                size += written
            manifest = {
                "format": found_format(folder),
                "made_at": datetime.now(UTC).isoformat(timespec="seconds"),
                "files": digests,
            }
            archive.writestr(MANIFEST, json.dumps(manifest, indent=1))
        layout.sync_file(part)
        part.chmod(0o600)
        part.replace(file)
    except OSError as error:
        raise StoreUnavailable(
            f"the backup cannot be written to {file}: {error.strerror or error}.", at=str(file)
        ) from error
    finally:
        part.unlink(missing_ok=True)
    layout.sync_folder(file.resolve().parent)
    return {"file": str(file), "files": len(digests), "bytes": size}


def _settle(state: Path) -> None:
    """Bring what the log holds into the state file itself."""
    from .opening import open_database
    from .settling import settle

    if state.exists():
        settle(open_database(state, read_only=False), state)


def _content(folder: Path) -> Iterator[Path]:
    """Yield what makes up a store, without locks, earlier backups and broken-off loads."""
    for name in ("store.json", "state.duckdb", "lists/current.json"):
        if (folder / name).is_file():
            yield folder / name
    for path in sorted((folder / "lists").glob("[0-9]*/[0-9]*/*")):
        if path.is_file():
            yield path


def _pack(archive: zipfile.ZipFile, path: Path, name: str) -> tuple[str, int]:
    digest = hashlib.sha256()
    size = 0
    with path.open("rb") as source, archive.open(name, "w", force_zip64=True) as target:
        while piece := source.read(1 << 20):
            digest.update(piece)
            target.write(piece)
            size += len(piece)
    return digest.hexdigest(), size


def restore(file: Path, folder: Path) -> dict[str, Any]:
    """See `Store.restore`."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    new = folder.with_name(f".{folder.name}.{layout.token()}.restoring")
    layout.make_private(new)
    try:
        manifest = _unpack(file, new)
        _verify(file, new)
        if not folder.exists():
            new.rename(folder)
            aside = None
        elif not any(folder.iterdir()):
            folder.rmdir()
            new.rename(folder)
            aside = None
        else:
            aside = _exchange(new, folder)
        layout.sync_folder(folder.parent)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return {
        "folder": str(folder),
        "made_at": manifest.get("made_at"),
        "files": len(manifest["files"]),
        "kept_aside": None if aside is None else str(aside),
    }


def _exchange(new: Path, folder: Path) -> Path:
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
    aside = folder.with_name(f"{folder.name}-replaced-{stamp}-{layout.token()}")
    with lock.held(folder / "writer.lock", "restore a backup"):
        folder.rename(aside)
        new.rename(folder)
    return aside


def _unpack(file: Path, folder: Path) -> dict[str, Any]:
    try:
        with zipfile.ZipFile(file) as archive:
            manifest: dict[str, Any] = json.loads(archive.read(MANIFEST))
            for name, digest in manifest["files"].items():
                target = folder / _safe(file, name)
                target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                found = hashlib.sha256()
                with archive.open(name) as source, target.open("wb") as written:
                    while piece := source.read(1 << 20):
                        found.update(piece)
                        written.write(piece)
                if found.hexdigest() != digest:
                    raise _damaged(file, f"{name} is not as it was written")
                layout.sync_file(target)
    except FileNotFoundError as error:
        raise Refused(f"there is no file {file}.", at=str(file)) from error
    except _NO_BACKUP as error:
        raise _damaged(file, str(error)) from error
    except OSError as error:
        raise StoreUnavailable(
            f"{file} cannot be unpacked: {error.strerror or error}.", at=str(file)
        ) from error
    return manifest


def _safe(file: Path, name: str) -> PurePosixPath:
    """Return the path of a file of a store; anything else in the archive is refused."""
    path = PurePosixPath(name)
    known = name in {"store.json", "state.duckdb", "lists/current.json"} or (
        len(path.parts) == 4
        and path.parts[0] == "lists"
        and path.parts[1].isdigit()
        and path.parts[2].isdigit()
        and not path.parts[3].startswith(".")
    )
    if not known or "\\" in name or ":" in name:
        raise _damaged(file, f"it holds {name!r}, which is no part of a store")
    return path


def _verify(file: Path, folder: Path) -> None:
    """Open the unpacked store and check it, before anything is replaced."""
    from .store import Store

    found = found_format(folder)
    if found is None:
        raise _damaged(file, "it holds no store.json")
    if found > FORMAT:
        raise StoreUnavailable(
            f"{file} is a backup of format {found}, this xref knows formats up to {FORMAT}. "
            "Update xref.",
            at=str(file),
            code="store-newer",
        )
    damage = Store.open(folder).check()["damage"]
    if damage:
        first = damage[0]
        raise _damaged(file, f"{first['where']}: {first['what']}")


def _damaged(file: Path, why: str) -> Refused:
    return Refused(
        f"{file} is no sound backup of a store: {why}. The store was left as it is.", at=str(file)
    )
