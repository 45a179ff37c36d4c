"""ODS and flat ODS: an OpenDocument cell keeps its value and the text shown, so both are read.

One streaming parse; calamine would give the values only, and expands a cell repeated over a
million columns in memory. OpenDocument 1.3 part 3, 9 (tables) and 19 (attributes).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from xml.parsers import expat

from xref.errors import Refused
from xref.tables.formats import workbook
from xref.tables.formats.archive import Archive
from xref.tables.formats.encodings import Decoded
from xref.tables.formats.grid import DATE, ERROR, MERGED, ROUNDED, SCIENTIFIC, UNCACHED, GridSet
from xref.tables.formats.number_format import Shown, number_text
from xref.tables.formats.source import Source

_MOST_CELLS = 6_000_000
_LAST_ROW = 1 << 20
_NOT_SHOWN = frozenset(
    {"annotation", "shapes", "frame", "custom-shape", "forms", "tracked-changes"}
)


def read_ods(archive: Archive, sheet: str | None) -> GridSet:
    """Return the grids of an ODS workbook. Raises Refused if encrypted, damaged or bloated."""
    if b"encryption-data" in archive.part("META-INF/manifest.xml"):
        raise Refused(f"{archive.label} is encrypted: save it without a password.")
    return _read(archive.portions("content.xml"), archive.label, sheet)


def read_flat(source: Source, decoded: Decoded) -> GridSet:
    """Return the grids of a flat ODS file (one XML document)."""
    if re.search(r"<!(?:DOCTYPE|ENTITY)", decoded.text[:100_000], re.IGNORECASE):
        raise Refused(f"{source.label} declares XML entities, which no spreadsheet writes.")
    text = re.sub(r"^\ufeff?\s*<\?xml[^>]*\?>", "", decoded.text[:300]) + decoded.text[300:]
    return _read([text.encode("utf-8", "replace")], source.label, None)


def _read(portions: Iterable[bytes], label: str, sheet: str | None) -> GridSet:
    reader = _Reader(label)
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.CharacterDataHandler = reader.text
    parser.buffer_text = True
    try:
        for portion in portions:
            parser.Parse(portion, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise Refused(
            f"{label} is cut off or damaged (line {error.lineno}): save it again."
        ) from None
    wanted = workbook.chosen([s.name for s in reader.sheets], sheet, label)
    result = GridSet([], "ods")
    for index in wanted:
        found = reader.sheets[index]
        result.grids.append(
            workbook.sparse_grid(
                found.name, found.hidden, found.cells, found.flags, found.hidden_rows, label
            )
        )
        result.notes.extend(_notes(found))
    return result


@dataclass
class _Sheet:
    name: str
    hidden: bool
    cells: dict[int, dict[int, str]] = field(default_factory=dict)
    flags: workbook.Flags = field(default_factory=dict)
    hidden_rows: set[int] = field(default_factory=set)
    merged: int = 0


class _Reader:
    """Handlers of the XML parser; rows and columns are 0-based."""

    def __init__(self, label: str) -> None:
        self.sheets: list[_Sheet] = []
        self._label = label
        self._hidden_styles: set[str] = set()
        self._style = ""
        self._skipping = 0
        self._depth = 0  # tables open; a table within a cell is read as the cell's text
        self._row = self._column = self._repeat = self._cells = 0
        self._row_hidden = False
        self._row_cells: dict[int, str] = {}
        self._row_flags: dict[int, str] = {}
        self._cell: dict[str, str] | None = None
        self._text: list[str] = []
        self._paragraph = False
        self._carried: list[tuple[int, int, str, int]] = []  # first, last column, text, last row

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = tag.rpartition(" ")[2]
        if self._skipping or name in _NOT_SHOWN:
            self._skipping += 1
            return
        local = {key.rpartition(" ")[2]: value for key, value in attributes.items()}
        if name == "style":
            self._style = local.get("name", "")
        elif name == "table-properties" and local.get("display") == "false":
            self._hidden_styles.add(self._style)
        elif name == "table":
            self._depth += 1
            if self._depth == 1:
                hidden = local.get("style-name") in self._hidden_styles
                self.sheets.append(_Sheet(local.get("name", ""), hidden))
                self._row = 0
                self._carried = []
        elif self._depth != 1:
            return
        elif name == "table-row":
            self._column = 0
            self._repeat = _count(local.get("number-rows-repeated"))
            self._row_hidden = local.get("visibility", "visible") != "visible"
            self._row_cells, self._row_flags = {}, {}
        elif name in ("table-cell", "covered-table-cell"):
            self._cell = local
            self._text = []
        elif name == "p" and self._cell is not None:
            if self._text:
                self._text.append("\n")
            self._paragraph = True
        elif name == "s":
            self.text(" " * min(_count(local.get("c")), 1000))
        elif name in ("tab", "line-break"):
            self.text("\t" if name == "tab" else "\n")

    def end(self, tag: str) -> None:
        if self._skipping:
            self._skipping -= 1
            return
        name = tag.rpartition(" ")[2]
        if name == "table":
            self._depth -= 1
        elif self._depth != 1:
            return
        elif name == "p":
            self._paragraph = False
        elif name in ("table-cell", "covered-table-cell"):
            self._end_cell(covered=name != "table-cell")
        elif name == "table-row":
            self._end_row()

    def text(self, data: str) -> None:
        if self._paragraph and not self._skipping and self._depth == 1:
            self._text.append(data)

    def _end_cell(self, *, covered: bool) -> None:
        attributes, self._cell = self._cell or {}, None
        times = _count(attributes.get("number-columns-repeated"))
        text, flag = _shown(attributes, "".join(self._text))
        first = self._column
        self._column += times
        if covered:
            return
        wide = _count(attributes.get("number-columns-spanned"))
        high = _count(attributes.get("number-rows-spanned"))
        if text and (wide > 1 or high > 1):
            self.sheets[-1].merged += 1
            self._carried.append((first, first + min(wide, 1000) - 1, text, self._row + high - 1))
        if not text and flag is None:
            return
        self._budget(times)
        for column in range(first, first + times):
            self._row_cells[column] = text
            if flag is not None:
                self._row_flags[column] = flag

    def _end_row(self) -> None:
        first, self._row = self._row, self._row + self._repeat
        sheet = self.sheets[-1]
        if self._row > _LAST_ROW * 2:
            raise Refused(f"{self._label} claims more rows than a spreadsheet has.")
        if self._row_hidden and self._row_cells:
            sheet.hidden_rows.update(range(first, self._row))
        if not self._row_cells and not self._carried:
            return
        self._budget(len(self._row_cells) * (self._repeat - 1) + self._repeat)
        for row in range(first, self._row):
            self._carried = [area for area in self._carried if area[3] >= row]
            cells, flags = dict(self._row_cells), dict(self._row_flags)
            for low, high, text, _ in self._carried:
                self._budget(high - low + 1)
                for column in range(low, high + 1):
                    if column not in cells:
                        cells[column] = text
                        flags[column] = MERGED
            if not cells:
                break
            sheet.cells[row] = cells
            if flags:
                sheet.flags[row] = flags

    def _budget(self, cells: int) -> None:
        self._cells += cells
        if self._cells > _MOST_CELLS:
            raise Refused(
                f"{self._label} repeats cells millions of times: copy the list into a new workbook."
            )


def _count(text: str | None) -> int:
    return max(1, int(text)) if text and text.isdecimal() and len(text) < 9 else 1


def _shown(attributes: dict[str, str], text: str) -> Shown:
    """Return a cell's text and flag: as shown where that says more than the value, else the value.

    `value-type` occurs twice, in the office and in an extension namespace; only the extension
    says `error`, and its copy comes second.
    """
    kind = attributes.get("value-type")
    if kind == "error" or (kind == "string" and re.fullmatch(r"#[A-Z/0!?]+|Err:\d+", text)):
        return text, ERROR
    if kind in ("float", "percentage", "currency"):
        try:
            return _number(float(attributes.get("value", "")), text, kind)
        except ValueError:
            return text, None
    if kind == "date":
        date = attributes.get("date-value", text)
        return date.removesuffix("T00:00:00").replace("T", " "), DATE
    if kind == "time":
        return text, DATE
    if kind == "boolean":
        return attributes.get("boolean-value", text).upper(), None
    if kind is None and "formula" in attributes and not text:
        return "", UNCACHED
    return text, None


def _number(value: float, shown: str, kind: str) -> Shown:
    """Return a number's text, with leading zeros, fraction, unit or currency as shown.

    >>> _number(4071.0, "04071", "float"), _number(12.375, "12.4 mm", "float")
    (('04071', None), ('12.375 mm', None))
    >>> _number(1200.0, "1,200", "float"), _number(-3.5, "-£3.50", "currency")
    (('1200', None), ('-£3.50', None))
    """
    shown = shown.strip()
    flag = ROUNDED if abs(value) >= 1e15 else None
    if re.fullmatch(r"-?\d(?:[.,]\d+)?E[+-]?\d+", shown):
        same = float(shown.replace(",", ".")) == value
        return shown if same else number_text(value), SCIENTIFIC
    if fraction := re.fullmatch(r"(-?)(?:(\d+) )?\s*(\d{1,6})/([1-9]\d{0,5})\s*", shown):
        exact = Fraction(int(fraction[3]), int(fraction[4])) + int(fraction[2] or 0)
        if abs(float(exact) - abs(value)) < 1e-9:
            return shown, flag
    if kind == "percentage":
        return f"{number_text(value * 100)}%", flag
    whole = value.is_integer() and not re.search(r"[.,'\s\u2019]", shown)
    if whole and re.sub(r"\D", "", shown).lstrip("0") == number_text(abs(value)).lstrip("0"):
        return shown, flag  # leading zeros, and masks such as 004-071
    text = number_text(abs(value))
    parts = re.fullmatch(r"([^\d+-]*)[+-]?([^\d+-]*)(\d[\d.,'\s\u2019]*)([^\d]*)", shown)
    if parts is None:
        return number_text(value), flag
    before, after = parts[1] + parts[2], parts[4]
    if before or after:
        places = re.search(r"[.,](\d\d)\s*$", parts[3])
        if places and float(f"{value:.2f}") == value:
            text = f"{abs(value):.2f}"
        if after and parts[3][-1:].isspace():
            after = f" {after}"
    return f"{'-' if value < 0 else ''}{before}{text}{after}".strip(), flag


def _notes(sheet: _Sheet) -> list[str]:
    notes = [f"sheet {sheet.name!r} is hidden"] if sheet.hidden else []
    if sheet.hidden_rows:
        rows = [str(r + 1) for r in sorted(sheet.hidden_rows)]
        notes.append(f"sheet {sheet.name!r}: hidden rows {workbook.few(rows)}")
    if sheet.merged:
        notes.append(
            f"sheet {sheet.name!r}: merged areas filled with their first cell: {sheet.merged}"
        )
    return notes + workbook.flag_notes(sheet.name, sheet.flags, sheet.cells)
