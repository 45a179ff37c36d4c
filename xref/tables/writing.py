"""Tables that are safe to open in a spreadsheet: what looks like a formula is written as text.

CSV has no types, so a text that a spreadsheet would run gets an apostrophe before it, the
spreadsheets' own mark of text (OWASP, "CSV Injection"). XLSX says of each cell what it is, so
its texts stay as they are.
"""

from __future__ import annotations

import csv
import re
import zipfile
from collections.abc import Iterable, Sequence
from decimal import Decimal
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from xref.errors import Refused

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet takes as the beginning of a formula, also in full-width form."""

_NOT_XML = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_LONGEST_CELL = 32_767  # characters: the most a spreadsheet cell holds
_PARTS = {
    "[Content_Types].xml": (
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-'
        'officedocument.spreadsheetml.sheet.main+xml"/>'
        '<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.'
        'openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>'
    ),
    "_rels/.rels": (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Id="r1" Target="xl/workbook.xml" Type="http://schemas.openxmlformats.org/'
        'officeDocument/2006/relationships/officeDocument"/></Relationships>'
    ),
    "xl/workbook.xml": (
        '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
        'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>'
        '<sheet name="Sheet1" sheetId="1" r:id="r1"/></sheets></workbook>'
    ),
    "xl/_rels/workbook.xml.rels": (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        '<Relationship Id="r1" Target="worksheets/sheet1.xml" Type="http://schemas.openxmlformats'
        '.org/officeDocument/2006/relationships/worksheet"/></Relationships>'
    ),
}


def safe_text(value: Any) -> Any:
    """Return a cell for a CSV file: a text that would run gets an apostrophe, numbers stay."""
    if isinstance(value, str) and value.startswith((*FORMULA_STARTS, "'")):
        return "'" + value
    return value


def plain_text(value: str) -> str:
    """Return what `safe_text` was given."""
    if value.startswith("'") and value[1:].startswith((*FORMULA_STARTS, "'")):
        return value[1:]
    return value


def write_rows(path: Path, headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """Write a table as CSV, TSV or XLSX by the ending of `path`, whole or not at all.

    Raises Refused for another ending and for a place that cannot be written.
    """
    ending = path.suffix.lower()
    if ending not in (".csv", ".tsv", ".xlsx"):
        raise Refused(
            f"{path.name} is written by its ending, and {ending or 'no ending'} is not known: "
            "name it .csv, .tsv or .xlsx."
        )
    beside = path.with_name(path.name + ".new")
    try:
        if ending == ".xlsx":
            _write_xlsx(beside, headings, rows)
        else:
            _write_text(beside, headings, rows, "\t" if ending == ".tsv" else ",")
        beside.replace(path)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise Refused(f"{path} cannot be written: {error.strerror}.", at=str(path)) from error


def _write_text(
    path: Path, headings: Sequence[str], rows: Iterable[Sequence[Any]], delimiter: str
) -> None:
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, delimiter=delimiter)
        for row in chain([headings], rows):
            writer.writerow([safe_text(cell) for cell in row])


def _write_xlsx(path: Path, headings: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in _PARTS.items():
            archive.writestr(name, f'<?xml version="1.0" encoding="UTF-8"?>{text}')
        with archive.open("xl/worksheets/sheet1.xml", "w") as sheet:
            sheet.write(
                b'<?xml version="1.0" encoding="UTF-8"?><worksheet xmlns="http://schemas.'
                b'openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
            )
            for number, row in enumerate(chain([headings], rows), start=1):
                cells = "".join(
                    _cell(value, f"{_letters(place)}{number}") for place, value in enumerate(row)
                )
                sheet.write(f'<row r="{number}">{cells}</row>'.encode())
            sheet.write(b"</sheetData></worksheet>")


def _cell(value: Any, place: str) -> str:
    if value is None or value != value:
        return ""
    if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        return f'<c r="{place}"><v>{value}</v></c>'
    text = _NOT_XML.sub("\ufffd", str(value))[:_LONGEST_CELL]
    written = f'<is><t xml:space="preserve">{escape(text)}</t></is>'
    return f'<c r="{place}" t="inlineStr">{written}</c>'


@cache
def _letters(place: int) -> str:
    """Return the name of a column, 0-based: A, B … Z, AA."""
    before, last = divmod(place, 26)
    return (_letters(before - 1) if before else "") + chr(ord("A") + last)
