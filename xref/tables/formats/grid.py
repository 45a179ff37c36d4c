"""What a file holds before anyone asks what it means: grids of text cells with their positions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TypedDict


class SheetRow(TypedDict):
    """Position of a workbook row: the sheet's name and the 1-based row the spreadsheet shows."""

    sheet: str
    row: int


At = int | SheetRow
"""Where a row stands in its file; what the number counts depends on the format:

text (delimited, fixed-width, Markdown): physical line, 1-based, first line of the record;
workbook: `{"sheet", "row"}`; HTML: ordinal of the `<tr>` over the whole file, 1-based, counted at
its start tag (rows of nested tables count too); PDF: ordinal of the row over the whole file,
headings included (who knows the headings counts the data rows); Parquet: ordinal, 1-based.
"""

# Flags of a cell. The first four are candidates for spreadsheet damage: right for a price or a
# date, wrong for a part number. Which it is depends on the column, so the reader decides.
DATE = "date"
"""A real date or time cell, where text such as `5-Mar` may have been typed; shown as ISO."""
SCIENTIFIC = "scientific"
"""A number shown as `1.00E+05`, where text such as `1E05` may have been typed."""
ERROR = "error"
"""A spreadsheet error such as `#N/A`; the cell's text is that error."""
UNCACHED = "uncached formula"
"""A formula whose result the file does not hold; the cell's text is empty."""
ROUNDED = "more digits than a cell keeps"
"""A whole number of more than 15 digits: a spreadsheet cell cannot have kept the last ones."""
MERGED = "merged"
"""Text repeated from the first cell of a merged area or of an HTML row or column span."""

NO_FLAGS: Mapping[int, str] = MappingProxyType({})


@dataclass(slots=True)
class Row:
    """One row as the user would see it.

    `cells` are not padded: a short row is short. An empty list is a blank row (a run of blank
    rows is given once). `raw` is the text of the record as it stood in a text file, and the
    cells joined by tabs elsewhere. `flags` maps a cell's index to one of the flags above.
    """

    at: At
    cells: list[str]
    raw: str
    hidden: bool = False
    flags: Mapping[int, str] = field(default_factory=lambda: NO_FLAGS)


@dataclass(slots=True)
class Grid:
    """One sheet or one table; `name` is the sheet's name, None where the format has none.

    `around` are lines that stand outside the table, where the format has such.
    """

    name: str | None
    rows: Sequence[Row]
    hidden: bool = False
    around: list[str] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a delimited text is written.

    `delimiter` is empty for one column per line. `first_line` is the physical line the records
    start on: 2 after a `sep=` line. `columns` is the usual number of fields; `skip_space` says
    that spaces between a delimiter and a quotation mark mean nothing.
    """

    delimiter: str
    quote: str = '"'
    escape: str = ""
    first_line: int = 1
    columns: int = 0
    skip_space: bool = False


@dataclass(slots=True)
class GridSet:
    """All grids of a file and what had to be assumed to read them.

    `format` is one of csv, fixed, markdown, html, xlsx, xls, xlsb, ods, pdf, parquet. `encoding`
    and `encoding_how` are None for files that are not text. `notes` are sentences for the user.
    `dialect` is set for csv only; `complete` is False when `limit` cut the rows short.
    """

    grids: list[Grid]
    format: str
    encoding: str | None = None
    encoding_how: str | None = None
    notes: list[str] = field(default_factory=list)
    dialect: Dialect | None = None
    complete: bool = True
