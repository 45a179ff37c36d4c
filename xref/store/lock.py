"""The writers' turn: an advisory lock on a file of its own, which says who holds it.

The lock is the operating system's, not the file: when its holder dies, however it dies, the
lock is free again, and a leftover file means nothing.
"""

from __future__ import annotations

import contextlib
import errno
import json
import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from ..errors import StoreUnavailable

_PAUSE_SECONDS = 0.005
_NOT_WRITABLE = (errno.EROFS, errno.EACCES, errno.EPERM)
# Windows locks bytes and then refuses to read them, so the locked byte lies past the text.
_LOCKED_BYTE = 4096


def _try_lock(descriptor: int) -> bool:
    if os.name == "nt":  # pragma: no cover - Windows
        import msvcrt

        os.lseek(descriptor, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _is_still(path: Path, descriptor: int) -> bool:
    """Tell whether `path` is the file that was opened: a restore puts another in its place."""
    try:
        return os.path.samestat(path.stat(), os.fstat(descriptor))
    except FileNotFoundError:
        return False


def is_free(path: Path) -> bool:
    """Tell whether nobody holds the lock at `path` at this moment."""
    try:
        descriptor = os.open(path, os.O_RDWR)
    except FileNotFoundError:
        return True
    try:
        return _try_lock(descriptor)
    finally:
        os.close(descriptor)


def holder(path: Path) -> str:
    """Return words for who holds (or last held) the lock at `path`."""
    try:
        note = json.loads(path.read_text(encoding="utf-8"))
        return f"process {note['pid']} ({note['what']}, since {note['since']})"
    except (OSError, ValueError, KeyError, TypeError):
        return "another xref process"


def _take(path: Path, deadline: float) -> int | None:
    """Return the descriptor of the locked file at `path`, None if it was not free in time."""
    while True:
        try:
            descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            if error.errno not in _NOT_WRITABLE:
                raise
            raise StoreUnavailable(
                f"the store cannot be written ({path.parent}: {error.strerror}); it can still be "
                "read. Change who may write there, or name another store with --store.",
                at=str(path.parent),
                code="store-read-only",
            ) from error
        if _try_lock(descriptor) and _is_still(path, descriptor):
            return descriptor
        os.close(descriptor)
        if time.monotonic() >= deadline:
            return None
        time.sleep(_PAUSE_SECONDS)


@contextlib.contextmanager
def held(path: Path, what: str, wait: float = 8.0) -> Iterator[None]:
    """Hold the lock at `path` while the block runs; `what` tells others what it is held for.

    Who waits stands at a turnstile (a second lock beside), so that one who writes again and again
    cannot slip past the others. Raises StoreUnavailable, naming the holder, when the lock does
    not come within `wait` [s].
    """
    deadline = time.monotonic() + wait
    turnstile = _take(path.with_suffix(".next"), deadline)
    descriptor = None
    if turnstile is not None:
        try:
            descriptor = _take(path, deadline)
        finally:
            os.close(turnstile)
    if descriptor is None:
        raise StoreUnavailable(
            f"the store in {path.parent} is being written by {holder(path)}; "
            f"waited {wait:g} seconds. Try again when it is done.",
            at=str(path),
            code="store-busy",
        )
    try:
        since = datetime.now(UTC).isoformat(timespec="seconds")
        note = json.dumps({"pid": os.getpid(), "what": what, "since": since}).encode()
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.truncate(descriptor, 0)
        os.write(descriptor, note)
        yield
    finally:
        os.close(descriptor)  # closing releases the lock


@contextlib.contextmanager
def claimed(path: Path) -> Iterator[None]:
    """Hold the lock at `path`, a file nobody else asks for, to show that its maker is alive."""
    descriptor = _take(path, time.monotonic() + 8)
    try:
        yield
    finally:
        if descriptor is not None:
            os.close(descriptor)
        path.unlink(missing_ok=True)
