"""What calamine does not tell of an XLSX workbook, read from its parts in one cheap pass.

Calamine gives values fast and drops number formats, error values, uncached formulas, hidden
rows. A full parse in Python would take ten times as long, so the sheet is searched with regular
expressions, portion by portion, for the few cells that need more: XML has no `<` inside a tag,
hence `[^<>]*` ends soon even in hostile text.
"""

from __future__ import annotations

import posixpath
import re
import xml.etree.ElementTree as ElementTree
from array import array
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache

from xref.errors import Refused
from xref.tables.formats.archive import Archive
from xref.tables.formats.number_format import Shown, builtin_code, renderer
from xref.tables.formats.workbook import column_number

_LONGEST_ROW = 200 << 20

Renderers = dict[int, Callable[[float], Shown]]
"""Index of a cell style to what turns a number into the text shown, for the styles that do."""


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A worksheet: its name, its part, and whether the workbook hides it."""

    name: str
    part: str
    hidden: bool


@dataclass(slots=True)
class Scan:
    """What one pass over a sheet found; rows and columns are 0-based.

    `rows` and `columns` are upper bounds of what the sheet uses.

    `styled` holds rows, columns and styles of the cells whose format carries meaning. `regular`
    is False when cells or rows leave their position out, which the fast way cannot follow.
    """

    rows: int = 0
    columns: int = 0
    cells: int = 0
    regular: bool = True
    styled: tuple[array[int], array[int], array[int]] = field(
        default_factory=lambda: (array("i"), array("i"), array("i"))
    )
    errors: list[tuple[int, int, str]] = field(default_factory=list)
    uncached: list[tuple[int, int]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)


def sheet_parts(archive: Archive) -> list[SheetPart]:
    """Return the worksheets in workbook order, chart sheets left out."""
    workbook = next(n for n in archive.names if n.lower().endswith("workbook.xml"))
    folder = posixpath.dirname(workbook)
    targets: dict[str, str] = {}
    for element in _elements(archive, f"{folder}/_rels/{posixpath.basename(workbook)}.rels"):
        if element.get("Type", "").endswith("/worksheet"):
            target = element.get("Target", "")
            path = target.lstrip("/") if target.startswith("/") else f"{folder}/{target}"
            targets[element.get("Id", "")] = posixpath.normpath(path)
    sheets: list[SheetPart] = []
    for element in _elements(archive, workbook):
        if _local(element.tag) == "sheet":
            link = next((v for k, v in element.items() if k.endswith("}id")), "")
            if targets.get(link) in archive.names:
                hidden = element.get("state", "visible") != "visible"
                sheets.append(SheetPart(element.get("name", ""), targets[link], hidden))
    return sheets


def style_codes(archive: Archive) -> list[tuple[int, str]]:
    """Return number and code of each cell style's number format; no code for the plain ones."""
    name = next((n for n in archive.names if n.lower().endswith("styles.xml")), "")
    codes: dict[int, str] = {}
    styles: list[tuple[int, str]] = []
    for element in _elements(archive, name) if name else ():
        if _local(element.tag) == "numFmt":
            codes[_number(element.get("numFmtId"))] = element.get("formatCode", "")
        elif _local(element.tag) == "cellXfs":
            for xf in element:
                format_id = _number(xf.get("numFmtId"))
                code = codes.get(format_id) or builtin_code(format_id) or ""
                styles.append((format_id, code))
    return styles


def renderers(codes: list[tuple[int, str]]) -> Renderers:
    """Return the renderers of the styles whose format carries meaning."""
    found = ((i, renderer(code)) for i, (_, code) in enumerate(codes) if code)
    return {i: render for i, render in found if render is not None}


def scan_sheet(archive: Archive, part: str, styles: Renderers) -> Scan:
    """Search a sheet's XML once. Raises Refused as `Archive.portions` does."""
    scan = Scan()
    search: _Search | None = None
    buffer = b""
    for portion in archive.portions(part):
        buffer += portion
        if search is None:
            search = _Search(buffer, styles)
            # What stands around the rows has tags that look like cells: cols, colBreaks.
            head, found, rows = buffer.partition(search.data_start)
            if found:
                search.head(head, scan)
                buffer = found + rows
        cut = buffer.rfind(search.row_start + b" ")  # not rowBreaks, which comes after
        if cut > 0:
            search.run(buffer[:cut], scan)
            buffer = buffer[cut:]
        elif len(buffer) > _LONGEST_ROW:
            raise Refused(f"{archive.label}: one row of {part} is larger than 200 MB.")
    if search is not None:
        search.run(buffer.partition(search.data_end)[0], scan)
    return scan


def measure_sheet(archive: Archive, part: str, scan: Scan) -> None:
    """Set the rows and columns a sheet really uses, where the cheap bound is too wide."""
    scan.rows = scan.columns = 0
    left = b""
    for portion in archive.portions(part):
        widen(left + portion, scan)
        left = portion[-40:]  # a position cut in two is whole in the next portion


def widen(xml: bytes, scan: Scan) -> None:
    """Widen the bound by every cell position in this piece of a sheet."""
    names = set(re.findall(rb" r=\"([A-Z]{1,3})[0-9]", xml))
    numbers = set(re.findall(rb" r=\"[A-Z]{1,3}([0-9]{1,7})\"", xml))
    scan.columns = max(scan.columns, *(_column(name) + 1 for name in names), 0)
    scan.rows = max(scan.rows, *map(int, numbers), 0)


def _prefix(start: bytes) -> bytes:
    """Return the namespace prefix of the sheet's tags, such as `x:`."""
    found = re.search(rb"<(\w+:)?(?:worksheet|sheetData)\b", start)
    return found[1] or b"" if found else b""


class _Search:
    """The expressions for one sheet, made for its tag prefix and for the styles of interest."""

    def __init__(self, start: bytes, styles: Renderers) -> None:
        prefix = _prefix(start)
        self.row_start = b"<" + prefix + b"row"
        self.data_start = b"<" + prefix + b"sheetData"
        self.data_end = b"</" + prefix + b"sheetData>"
        self._cell_start = b"<" + prefix + b"c "
        self._formula_start = b"<" + prefix + b"f"
        p = re.escape(prefix)
        wanted = b"|".join(str(i).encode() for i in styles)
        # Writers put the style next to the position or after the type; the first way is twice
        # as fast to find.
        between = rb"[^<>]*?" if re.search(rb"<%bc r=\"\w+\" [^s<>][^<>]* s=\"" % p, start) else b""
        self._styled = (
            re.compile(rb"<%bc r=\"([A-Z]{1,3})(\d{1,7})\"%b s=\"(%b)\"" % (p, between, wanted))
            if styles
            else None
        )
        self._row_number = re.compile(rb"<%brow\b[^<>]*? r=\"(\d{1,7})\"" % p)
        self._prefix = p
        self._error = re.compile(
            rb"<%bc( [^<>]*\bt=\"e\"[^<>]*)>(?:<%bf\b[^<>]*>[^<]*(?:</%bf>)?)?<%bv>([^<]*)<"
            % (p, p, p, p)
        )
        self._uncached = re.compile(
            rb"(?:</%bf>|<%bf\b[^<>]*/>)\s*(?:<%bv ?/>|<%bv>\s*</%bv>)?\s*</%bc>"
            % (p, p, p, p, p, p)
        )
        self._hidden = re.compile(rb"<%brow\b([^<>]*\bhidden=\"(?:1|true)\"[^<>]*)>" % p)
        self._hidden_columns = re.compile(rb"<%bcol\b([^<>]*\bhidden=\"(?:1|true)\"[^<>]*)>" % p)

    def run(self, xml: bytes, scan: Scan) -> None:
        """Search some whole rows."""
        scan.cells += self._cells(xml, scan)
        if self._styled is not None:
            found = self._styled.findall(xml)
            if found:
                names, numbers, styles = zip(*found, strict=True)
                columns = {name: _column(name) for name in set(names)}
                scan.styled[0].extend(map(int, numbers))
                scan.styled[1].extend(map(columns.__getitem__, names))
                scan.styled[2].extend(map(int, styles))
        if b't="e"' in xml:
            for match in self._error.finditer(xml):
                if at := _position(match[1]):
                    scan.errors.append((*at, match[2].decode("utf-8", "replace")))
        if self._formula_start in xml:
            self._find_uncached(xml, scan)
        if b"hidden=" in xml:
            for match in self._hidden.finditer(xml):
                if position := re.search(rb"\br=\"(\d{1,7})\"", match[1]):
                    scan.hidden_rows.add(int(position[1]) - 1)

    def head(self, xml: bytes, scan: Scan) -> None:
        """Search what stands before the rows, for hidden columns."""
        for match in self._hidden_columns.finditer(xml):
            low = re.search(rb"\bmin=\"(\d{1,5})\"", match[1])
            high = re.search(rb"\bmax=\"(\d{1,5})\"", match[1])
            if low and high:
                scan.hidden_columns.append((int(low[1]) - 1, int(high[1]) - 1))

    def _cells(self, xml: bytes, scan: Scan) -> int:
        """Widen the bound of rows and columns used, in one pass where nothing is odd; count cells.

        Rows next to each other share the first digits of their numbers: no cell before column AA
        may have others. Cells without a position, or with it behind another attribute, are odd.
        """
        first = self._row_number.search(xml)
        last = xml.rfind(self.row_start + b" ")
        final = self._row_number.match(xml, last) if last >= 0 else None
        if first and final and len(first[1]) == len(final[1]) and scan.columns <= 26:
            shared: bytes = posixpath.commonprefix([first[1], final[1]]) or b""
            free = len(first[1]) - len(shared)
            bound = int(shared + b"9" * free)
            if bound < 2 * int(final[1]) and not self._odd_cell(shared, free).search(xml):
                scan.columns = 26
                scan.rows = max(scan.rows, bound)
                return xml.count(self._cell_start + b'r="')
        cells = xml.count(self._cell_start[:-1])
        scan.regular &= xml.count(self._cell_start + b'r="') == cells
        widen(xml, scan)
        return cells

    @cache  # noqa: B019 - a search lives as long as the scan of its sheet
    def _odd_cell(self, shared: bytes, free: int) -> re.Pattern[bytes]:
        """Return what finds a cell beyond column Z or in a row of another number."""
        return re.compile(rb"<%bc(?! r=\"[A-Z]%b[0-9]{%d}\")[ />]" % (self._prefix, shared, free))

    def _find_uncached(self, xml: bytes, scan: Scan) -> None:
        for match in self._uncached.finditer(xml):
            start = xml.rfind(self._cell_start, 0, match.start())
            tag = xml[start : xml.find(b">", start)] if start >= 0 else b""
            at = _position(tag)
            # A formula whose result is the empty text is stored as such: t="str".
            if at and b't="str"' not in tag:
                scan.uncached.append(at)


def _column(name: bytes) -> int:
    return column_number(name.decode())


def _position(tag: bytes) -> tuple[int, int] | None:
    found = re.search(rb" r=\"([A-Z]{1,3})(\d{1,7})\"", tag)
    return (int(found[2]) - 1, _column(found[1])) if found else None


def _elements(archive: Archive, part: str) -> list[ElementTree.Element]:
    """Return all elements of a small part; its document type was refused on the way."""
    data = archive.part(part)
    if not data:
        return []
    try:
        return list(ElementTree.fromstring(data).iter())  # noqa: S314
    except ElementTree.ParseError:
        raise Refused(f"{archive.label} is damaged in its part {part}: save it again.") from None


def _local(tag: str) -> str:
    return tag.rpartition("}")[2]


def _number(text: str | None) -> int:
    return int(text) if text is not None and text.isdecimal() else 0
