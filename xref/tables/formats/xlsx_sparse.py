"""XLSX sheets calamine cannot take: a few cells far out, or cells that leave their position out.

A full parse in Python: slower by far, but it holds only the cells there are.
"""

from __future__ import annotations

import datetime
import re
from xml.parsers import expat

from xref.errors import Refused
from xref.tables.formats import workbook
from xref.tables.formats.archive import Archive
from xref.tables.formats.grid import DATE, ERROR, UNCACHED, Grid
from xref.tables.formats.number_format import Shown, plain
from xref.tables.formats.xlsx_parts import Renderers, Scan, SheetPart

_BUILTIN_DATES = frozenset((*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))


def read_sparse(
    archive: Archive,
    part: SheetPart,
    scan: Scan,
    styles: Renderers,
    dates: frozenset[int],
    strings: list[str],
) -> Grid:
    """Return one sheet; `dates` are the styles that show a date, `strings` the shared strings."""
    reader = _Reader(styles, dates, strings)
    _parse(archive, part.part, reader)
    return workbook.sparse_grid(
        part.name, part.hidden, reader.cells, reader.flags, scan.hidden_rows, archive.label
    )


def shared_strings(archive: Archive) -> list[str]:
    """Return the shared strings, phonetic guides left out."""
    reader = _Strings()
    for name in archive.names:
        if name.lower().endswith("sharedstrings.xml"):
            _parse(archive, name, reader)
    return reader.strings


def is_date_code(format_id: int, code: str) -> bool:
    """Whether a number format shows a date or a time."""
    bare = re.sub(r'"[^"]*"|\\.|\[[^\]hms]*\]|General', "", code, flags=re.IGNORECASE)
    return format_id in _BUILTIN_DATES or (
        re.search(r"[dmyhs]", bare, re.IGNORECASE) is not None and not re.search(r"[0#?]", bare)
    )


class _Strings:
    def __init__(self) -> None:
        self.strings: list[str] = []
        self._parts: list[str] = []
        self._wanted = False
        self._phonetic = False

    def start(self, tag: str, _attributes: dict[str, str]) -> None:
        name = tag.rpartition(" ")[2]
        if name == "si":
            self._parts = []
        elif name == "rPh":
            self._phonetic = True
        self._wanted = name == "t" and not self._phonetic

    def end(self, tag: str) -> None:
        name = tag.rpartition(" ")[2]
        self._wanted = False
        if name == "si":
            self.strings.append("".join(self._parts))
        elif name == "rPh":
            self._phonetic = False

    def text(self, data: str) -> None:
        if self._wanted:
            self._parts.append(data)


class _Reader:
    def __init__(self, styles: Renderers, dates: frozenset[int], strings: list[str]) -> None:
        self.cells: dict[int, dict[int, str]] = {}
        self.flags: workbook.Flags = {}
        self._styles = styles
        self._dates = dates
        self._strings = strings
        self._row, self._column = -1, -1
        self._type = "n"
        self._style = 0
        self._value: list[str] = []
        self._wanted = self._formula = False

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = tag.rpartition(" ")[2]
        if name == "row":
            number = attributes.get("r", "")
            self._row = int(number) - 1 if number.isdecimal() else self._row + 1
            self._column = -1
        elif name == "c":
            self._column += 1
            if found := re.fullmatch(r"([A-Z]{1,3})(\d{1,7})", attributes.get("r", "")):
                self._column = workbook.column_number(found[1])
                self._row = int(found[2]) - 1
            self._type = attributes.get("t", "n")
            style = attributes.get("s", "0")
            self._style = int(style) if style.isdecimal() else 0
            self._value = []
            self._formula = False
        elif name == "f":
            self._formula = True
        self._wanted = name == "v" or (name == "t" and self._type == "inlineStr")

    def end(self, tag: str) -> None:
        self._wanted = False
        if tag.rpartition(" ")[2] != "c":
            return
        value = "".join(self._value)
        if value:
            text, flag = self._shown(value)
        else:
            text, flag = "", UNCACHED if self._formula and self._type != "str" else None
        if text or flag:
            self.cells.setdefault(self._row, {})[self._column] = text
        if flag:
            self.flags.setdefault(self._row, {})[self._column] = flag

    def text(self, data: str) -> None:
        if self._wanted:
            self._value.append(data)

    def _shown(self, value: str) -> Shown:
        if self._type == "s":
            known = value.isdecimal() and int(value) < len(self._strings)
            return (self._strings[int(value)] if known else ""), None
        if self._type == "b":
            return ("TRUE" if value.strip() == "1" else "FALSE"), None
        if self._type == "e":
            return value, ERROR
        if self._type == "d":
            return value.removesuffix("T00:00:00").replace("T", " "), DATE
        if self._type != "n":
            return value, None
        try:
            number = float(value)
        except ValueError:
            return value, None
        if self._style in self._dates and 0 <= number < 2_958_466:
            day = datetime.datetime(1899, 12, 30) + datetime.timedelta(days=number)
            return workbook.cell(day if number % 1 else day.date())
        return self._styles.get(self._style, plain)(number)


def _parse(archive: Archive, part: str, reader: _Strings | _Reader) -> None:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    parser.CharacterDataHandler = reader.text
    parser.buffer_text = True
    try:
        for portion in archive.portions(part):
            parser.Parse(portion, False)
        parser.Parse(b"", True)
    except expat.ExpatError as error:
        raise Refused(
            f"{archive.label} is damaged in its part {part} ({error}): save it again."
        ) from None
