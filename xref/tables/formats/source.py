"""The bytes of a file or of standard input, or one sentence why they cannot be had."""

from __future__ import annotations

import os
import stat
import sys
from functools import cached_property
from pathlib import Path
from typing import BinaryIO

from xref.errors import Refused

_LARGEST = 4 << 30
"""Bytes read into memory at most; a parts list beyond it has to be cut up first."""

_PORTION = 16 << 20


class Source:
    """A readable, non-empty file; `path` is None for standard input.

    `label` is the file's name, safe to print. Raises Refused if there is nothing to read.
    """

    def __init__(self, path: str | Path) -> None:
        if str(path) == "-":
            self.path: Path | None = None
            self.label = "standard input"
            self.data = _all_of(sys.stdin.buffer, self.label)
        else:
            self.path = Path(path)
            self.label = printable(self.path.name or str(path))
            _check(self.path, self.label)
        if not self.head(64):
            raise Refused(f"{self.label} is empty (0 bytes): ask for the list to be sent again.")

    @cached_property
    def data(self) -> bytes:
        """The whole file."""
        assert self.path is not None  # noqa: S101 - standard input sets data at once
        with _open(self.path, self.label) as file:
            return _all_of(file, self.label)

    def head(self, size: int) -> bytes:
        """Return the first `size` bytes without reading the rest."""
        if self.path is None or "data" in self.__dict__ or not self.path.is_file():
            return self.data[:size]
        with _open(self.path, self.label) as file:
            return file.read(size)


def printable(text: str) -> str:
    """Return `text` with control characters written as escapes, shortened to 200 characters."""
    shown = "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)
    return shown if len(shown) <= 200 else shown[:199] + "…"


def _all_of(file: BinaryIO, label: str) -> bytes:
    parts = [file.read(_size(file))]
    size = len(parts[0])
    while part := file.read(_PORTION):  # a size in one go would be set aside in memory
        parts.append(part)
        size += len(part)
        if size > _LARGEST:
            raise Refused(f"{label} is larger than 4 GB: cut it into several lists.")
    return b"".join(parts) if len(parts) > 1 else parts[0]


def _size(file: BinaryIO) -> int:
    """Return how much of a file may be read at once: all of it, if that can be known."""
    try:
        state = os.fstat(file.fileno())
    except (OSError, ValueError):
        return _PORTION
    return min(state.st_size, _LARGEST) if stat.S_ISREG(state.st_mode) else _PORTION


def _check(path: Path, label: str) -> None:
    try:
        mode = path.stat().st_mode
    except PermissionError:
        raise Refused(f"{label} lies in a folder that may not be entered.") from None
    except (OSError, ValueError):
        raise Refused(f"{label} does not exist: check the name and the folder.") from None
    if stat.S_ISDIR(mode):
        raise Refused(f"{label} is a folder: name one file in it.")
    if stat.S_ISCHR(mode) or stat.S_ISBLK(mode) or stat.S_ISSOCK(mode):
        raise Refused(f"{label} is a device, not a file with a table.")


def _open(path: Path, label: str) -> BinaryIO:
    try:
        return path.open("rb")
    except PermissionError:
        raise Refused(f"{label} may not be read by this user: change its permissions.") from None
    except OSError as error:
        raise Refused(f"{label} cannot be opened: {error.strerror or error}.") from None
