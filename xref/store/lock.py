"""The writers' turn: an advisory lock on a file of its own, which says who holds it.

The lock is the operating system's, not the file: when its holder dies, however it dies, the
lock is free again, and a leftover file means nothing.
"""

from __future__ import annotations

import contextlib
import json
import os
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from ..errors import StoreUnavailable

WAIT_SECONDS = 8.0
_PAUSE_SECONDS = 0.02
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


@contextlib.contextmanager
def held(path: Path, what: str, wait: float = WAIT_SECONDS) -> Iterator[None]:
    """Hold the lock at `path` while the block runs; `what` tells others what it is held for.

    Raises StoreUnavailable, naming the holder, when the lock is not free within `wait` [s].
    """
    deadline = time.monotonic() + wait
    descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        while not (_try_lock(descriptor) and _is_still(path, descriptor)):
            if time.monotonic() >= deadline:
                raise StoreUnavailable(
                    f"the store in {path.parent} is being written by {holder(path)}; "
                    f"waited {wait:g} seconds. Try again when it is done.",
                    at=str(path),
                    code="store-busy",
                )
            time.sleep(_PAUSE_SECONDS)
            os.close(descriptor)
            descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        since = datetime.now(UTC).isoformat(timespec="seconds")
        note = json.dumps({"pid": os.getpid(), "what": what, "since": since}).encode()
        os.lseek(descriptor, 0, os.SEEK_SET)
        os.truncate(descriptor, 0)
        os.write(descriptor, note)
        yield
    finally:
        os.close(descriptor)  # closing releases the lock
