"""What calamine does not tell of an XLS workbook: formats, error values, hidden rows.

One pass over the records of the workbook stream, after [MS-XLS]; BIFF8 (1997 and later) fully,
BIFF5 as far as the records agree. Whether a formula's result was stored is not known: XLS always
stores one.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

from xref.tables.formats.number_format import builtin_code
from xref.tables.formats.xlsx_parts import Renderers, Scan, renderers

_BOF, _EOF, _BOUNDSHEET, _FORMAT, _XF, _ROW = 0x809, 0x0A, 0x85, 0x41E, 0xE0, 0x208
_NUMBER, _RK, _MULRK, _FORMULA, _BOOLERR, _COLINFO = 0x203, 0x27E, 0xBD, 0x06, 0x205, 0x7D
_FILEPASS = 0x2F
_CELLS = frozenset({_NUMBER, _RK, _MULRK, _FORMULA, _BOOLERR, 0xFD, 0x204, 0xD6})
_ERRORS = {
    0x00: "#NULL!",
    0x07: "#DIV/0!",
    0x0F: "#VALUE!",
    0x17: "#REF!",
    0x1D: "#NAME?",
    0x24: "#NUM!",
    0x2A: "#N/A",
}


def encrypted(stream: bytes) -> bool:
    """Whether the workbook needs a password to be read."""
    return any(kind == _FILEPASS for kind, _ in _records(stream[:4096]))


def scan_workbook(stream: bytes) -> tuple[list[Scan], Renderers]:
    """Return a scan for each sheet, in the order of their streams' offsets, and the styles."""
    codes: dict[int, str] = {}
    formats: list[int] = []
    scans: dict[int, Scan] = {}
    order: list[int] = []
    scan: Scan | None = None
    offset = 0
    depth = 0
    for kind, body in _records(stream):
        here, offset = offset, offset + 4 + len(body)
        if kind == _BOF:
            depth += 1
            if depth == 1:
                scan = scans.get(here)
        elif kind == _EOF:
            depth -= 1
        elif depth > 1:
            continue  # a chart inside the sheet
        elif kind == _BOUNDSHEET and len(body) > 6:
            position = struct.unpack_from("<I", body)[0]
            order.append(position)
            scans[position] = Scan()
        elif kind == _FORMAT and len(body) > 4:
            codes[struct.unpack_from("<H", body)[0]] = _text(body[2:])
        elif kind == _XF and len(body) >= 4:
            formats.append(struct.unpack_from("<H", body, 2)[0])
        elif scan is not None:
            _sheet_record(kind, body, scan)
    named = [(f, codes.get(f) or builtin_code(f) or "") for f in formats]
    return [scans[position] for position in order], renderers(named)


def _sheet_record(kind: int, body: bytes, scan: Scan) -> None:
    if kind == _ROW and len(body) >= 16:
        row, flags = struct.unpack_from("<H10xH", body)
        if flags & 0x20:
            scan.hidden_rows.add(row)
    elif kind == _COLINFO and len(body) >= 10:
        first, last, flags = struct.unpack_from("<HH4xH", body)
        if flags & 1:
            scan.hidden_columns.append((first, min(last, 255)))
    elif kind in _CELLS and len(body) >= 6:
        row, column, style = struct.unpack_from("<HHH", body)
        last = column
        if kind == _MULRK:
            for i in range((len(body) - 6) // 6):
                _styled(scan, row, column + i, struct.unpack_from("<H", body, 4 + 6 * i)[0])
                last = column + i
        elif kind in (_NUMBER, _RK, _FORMULA):
            _styled(scan, row, column, style)
            if kind == _FORMULA and body[12:14] == b"\xff\xff" and body[6] == 2:
                scan.errors.append((row, column, _ERRORS.get(body[8], "#ERROR")))
        elif kind == _BOOLERR and body[7:8] == b"\x01":
            scan.errors.append((row, column, _ERRORS.get(body[6], "#ERROR")))
        scan.cells += last - column + 1
        scan.rows = max(scan.rows, row + 1)
        scan.columns = max(scan.columns, last + 1)


def _styled(scan: Scan, row: int, column: int, style: int) -> None:
    for values, value in zip(scan.styled, (row + 1, column, style), strict=True):
        values.append(value)


def _records(stream: bytes) -> Iterator[tuple[int, bytes]]:
    at = 0
    while at + 4 <= len(stream):
        kind, size = struct.unpack_from("<HH", stream, at)
        yield kind, stream[at + 4 : at + 4 + size]
        at += 4 + size


def _text(body: bytes) -> str:
    """Return a string with its length before it: 16 bits and an encoding flag, or 8 bits."""
    length = struct.unpack_from("<H", body)[0]
    if length <= len(body) - 3 and body[2] in (0, 1):
        wide = body[2] == 1
        raw = body[3 : 3 + length * (2 if wide else 1)]
        return raw.decode("utf-16-le" if wide else "latin-1", "replace")
    return body[1 : 1 + body[0]].decode("latin-1")
