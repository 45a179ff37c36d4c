"""The compound file (OLE2) that XLS workbooks are stored in: its streams by name.

After [MS-CFB]; only what reading needs. Chains are followed at most once round the file.
"""

from __future__ import annotations

import struct

from xref.errors import Refused

_FREE = 0xFFFFFFFA  # this and above are marks, not sectors


class Compound:
    """A compound file. Raises Refused if its tables point outside the file."""

    def __init__(self, data: bytes, label: str) -> None:
        self._data = data
        self._label = label
        try:
            self._read_tables()
        except (struct.error, IndexError):
            raise self._damaged() from None

    def _read_tables(self) -> None:
        data = self._data
        shift, mini_shift = struct.unpack_from("<HH", data, 30)
        if shift not in (9, 12) or mini_shift != 6:
            raise self._damaged()
        self._size = 1 << shift
        directory, self._cutoff = struct.unpack_from("<I4xI", data, 48)
        mini_fat, _, difat, _ = struct.unpack_from("<4I", data, 60)
        sectors = list(struct.unpack_from("<109I", data, 76))
        seen = 0
        while difat < _FREE and seen <= len(data) // self._size:
            entries = struct.unpack_from(f"<{self._size // 4}I", self._sector(difat))
            sectors += entries[:-1]
            difat = entries[-1]
            seen += 1
        self._fat: list[int] = []
        for sector in sectors[: len(data) // self._size + 1]:
            if sector < _FREE:
                block = self._sector(sector)
                self._fat += struct.unpack_from(f"<{len(block) // 4}I", block)
        self.entries: dict[str, tuple[int, int]] = {}
        listing = self._chain(directory)
        root = (0, 0)
        for at in range(0, len(listing) - 127, 128):
            length, kind = struct.unpack_from("<HB", listing, at + 64)
            start, size = struct.unpack_from("<II", listing, at + 116)
            name = listing[at : at + max(0, min(length, 64) - 2)].decode("utf-16-le", "replace")
            if kind == 5:
                root = start, size
            elif kind == 2:
                self.entries.setdefault(name, (start, size))
        self._mini = self._chain(root[0])[: root[1]] if root[1] else b""
        chain = self._chain(mini_fat) if mini_fat < _FREE else b""
        self._mini_fat = list(struct.unpack_from(f"<{len(chain) // 4}I", chain))

    def stream(self, name: str) -> bytes:
        """Return a stream's bytes. Raises Refused when the file ends before the stream does."""
        start, size = self.entries[name]
        if size >= self._cutoff:
            found = self._chain(start)[:size]
        else:
            found = b"".join(
                self._mini[s * 64 : s * 64 + 64] for s in self._walk(self._mini_fat, start)
            )[:size]
        if len(found) < size:
            raise self._damaged()
        return found

    def _sector(self, number: int) -> bytes:
        at = (number + 1) * self._size
        if at >= len(self._data):
            raise self._damaged()
        return self._data[at : at + self._size]

    def _chain(self, start: int) -> bytes:
        return b"".join(map(self._sector, self._walk(self._fat, start)))

    def _walk(self, table: list[int], start: int) -> list[int]:
        found: list[int] = []
        while start < _FREE:
            found.append(start)
            if len(found) > len(table):
                raise self._damaged()
            start = table[start] if start < len(table) else _FREE
        return found

    def _damaged(self) -> Refused:
        return Refused(f"{self._label} is cut off or damaged: send or save it again.")
