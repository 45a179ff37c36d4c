"""ZIP workbooks, checked before anything believes them: what a part inflates to is measured.

The sizes in a ZIP's directory are a claim. Every part that will be parsed is inflated once in
portions against a limit, and refused if it declares a document type (the only door to entities).
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator

from xref.errors import Refused
from xref.tables.formats.source import Source

_PORTION = 1 << 20
_FLOOR = 60 << 20
_RATIO = 60
"""An honest sheet inflates 5 to 30 times; below `_FLOOR` bytes nothing is asked."""
_CEILING = 6 << 30
_MOST_PARTS = 10_000


class Archive:
    """A ZIP file whose parts are read in portions within limits.

    Raises Refused when the file is cut off, damaged, encrypted or inflates beyond reason.
    """

    def __init__(self, source: Source) -> None:
        self.label = source.label
        self.size = len(source.data)
        self._allowed = min(_CEILING, max(_FLOOR, _RATIO * self.size))
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(source.data))
        except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError, EOFError):
            raise Refused(
                f"{self.label} is cut off or damaged (no ZIP directory): send or save it again."
            ) from None
        self._infos = {info.filename.lstrip("/"): info for info in self._zip.infolist()}
        if not self._infos:
            raise Refused(f"{self.label} is an empty ZIP archive: send or save it again.")
        if len(self._infos) > _MOST_PARTS:
            raise Refused(f"{self.label} holds {len(self._infos)} parts: that is no workbook.")
        if any(info.flag_bits & 1 for info in self._infos.values()):
            raise Refused(f"{self.label} is encrypted: save it without a password.")
        claimed = sum(info.file_size for info in self._infos.values())
        if claimed > self._allowed:
            self._refuse_bomb(claimed)
        self._inflated: dict[str, int] = {}

    def __contains__(self, name: str) -> bool:
        return name in self._infos

    @property
    def names(self) -> list[str]:
        """The parts' names."""
        return list(self._infos)

    def portions(self, name: str) -> Iterator[bytes]:
        """Yield an XML part in portions of about a megabyte. Raises Refused; see the class."""
        first = True
        self._inflated[name] = 0  # a part may be read twice, and counts once
        try:
            with self._zip.open(self._infos[name]) as part:
                while portion := part.read(_PORTION):
                    if first:
                        self._refuse_document_type(portion, name)
                        first = False
                    self._inflated[name] += len(portion)
                    if sum(self._inflated.values()) > self._allowed:
                        self._refuse_bomb(sum(self._inflated.values()))
                    yield portion
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError):
            raise Refused(
                f"{self.label} is damaged in its part {name}: send or save it again."
            ) from None

    def part(self, name: str) -> bytes:
        """Return a whole (small) XML part, empty if there is none of that name."""
        return b"".join(self.portions(name)) if name in self._infos else b""

    def _refuse_document_type(self, start: bytes, name: str) -> None:
        stated = re.search(rb"^[^>]{0,200}encoding=[\"']([^\"']*)", start[:300])
        if b"\x00" in start[:64] or (stated and stated[1].lower() not in (b"utf-8", b"us-ascii")):
            raise Refused(f"{self.label}: the part {name} is not UTF-8; save the workbook again.")
        # A document type stands before the first element, so the first portion shows it; a
        # megabyte of comments before it is no workbook either.
        if re.search(rb"<!(?:DOCTYPE|ENTITY)", start, re.IGNORECASE) or (
            len(start) == _PORTION and not re.search(rb"<[A-Za-z]", start)
        ):
            raise Refused(
                f"{self.label} declares XML entities in {name}, which no spreadsheet writes: "
                "do not open it; ask for the list as CSV."
            )

    def _refuse_bomb(self, size: int) -> None:
        raise Refused(
            f"{self.label} ({self.size:,} bytes) unpacks to more than {size >> 20} MB, as only a "
            "ZIP bomb or a sheet of mere formatting does: copy the list into a new workbook."
        )
