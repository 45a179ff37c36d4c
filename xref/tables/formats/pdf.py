"""Tables in PDF files that hold text; pdfplumber is an optional extra."""

from __future__ import annotations

import io
import logging
import re
import time
import zlib
from typing import Any

from xref.errors import Refused
from xref.tables.formats import fixed_width, pdf_layout
from xref.tables.formats.grid import Grid, GridSet, Row
from xref.tables.formats.source import Source

_MOST_UNPACKED = 150 << 20
_LONGEST = 50.0
"""Seconds; a file is refused whole rather than read in part."""


def read_pdf(source: Source) -> GridSet:
    """Return one grid of all table rows in page order; `at` counts them, headings included.

    Ruled tables are read by their lines, a page without any by the blank columns of its layout.
    Raises Refused without pdfplumber, and for encrypted, damaged, oversized or scanned files.
    """
    try:
        import pdfplumber
    except ImportError:
        raise Refused(
            f"{source.label} is a PDF, which needs one more package: pip install 'xref[pdf]'."
        ) from None
    # Its parser warns of every flaw it works round, on the user's terminal.
    logging.getLogger("pdfminer").setLevel(logging.ERROR)
    _refuse_bomb(source)
    until = time.monotonic() + _LONGEST
    result = GridSet([], "pdf")
    rows: list[Row] = []
    outside = 0
    columns: list[float] = []
    try:
        with pdfplumber.open(io.BytesIO(source.data)) as document:
            for page in document.pages:
                if time.monotonic() > until:
                    raise Refused(
                        f"{source.label} takes longer than {_LONGEST:.0f} s to read: ask for the "
                        "list as a spreadsheet."
                    )
                found, columns, left_out = _page_rows(page, columns)
                outside += left_out
                for cells, raw in found:
                    rows.append(Row(len(rows) + 1, cells, raw))
                page.close()
    except (Refused, MemoryError, KeyboardInterrupt):
        raise
    except Exception as error:  # noqa: BLE001 - its parser fails in every way on damaged files
        raise _refusal(source.label, error) from None
    if not rows:
        raise Refused(
            f"{source.label} holds no text, only pictures of it: ask for the list as a "
            "spreadsheet, or type it off."
        )
    if outside:
        result.notes.append(f"lines of text left out, outside the ruled tables: {outside}")
    result.grids.append(Grid(None, rows))
    return result


def _page_rows(
    page: Any, columns: list[float]
) -> tuple[list[tuple[list[str], str]], list[float], int]:
    """Return (cells, raw) of a page's rows, its columns, and the lines outside its ruled tables.

    `columns` are those of the page before, for a page too short to show its own.
    """
    tables = [table for table in page.find_tables() if len(table.rows) > 1]
    if tables:
        rows = [
            [" ".join((text or "").split()) for text in row]
            for table in tables
            for row in table.extract()
        ]
        boxes = [table.bbox for table in tables]
        beside = page.filter(lambda item: _outside(item, boxes)).extract_text_lines()
        return [(row, "\t".join(row)) for row in rows if any(row)], columns, len(beside)
    lines = pdf_layout.lines(page.extract_words(keep_blank_chars=True, x_tolerance=2))
    if sum(len(line) > 1 for line in lines) * 2 < len(lines):
        # Whole lines drawn at once, as reports printed in a typewriter face are.
        text = page.extract_text(layout=True) or ""
        edges = fixed_width.find_columns(text)[0] or [0]
        laid_out = fixed_width.rows(text, edges)
        return [(row.cells, row.raw.strip()) for row in laid_out if row.cells], columns, 0
    columns = pdf_layout.columns(lines) or columns
    cells = [pdf_layout.cells(line, columns) for line in lines]
    return [(row, "\t".join(row)) for row in cells], columns, 0


def _outside(item: dict[str, Any], boxes: list[tuple[float, float, float, float]]) -> bool:
    if item.get("object_type") != "char":
        return True
    x, y = (item["x0"] + item["x1"]) / 2, (item["top"] + item["bottom"]) / 2
    return not any(left <= x <= right and top <= y <= low for left, top, right, low in boxes)


def _refusal(label: str, error: Exception) -> Refused:
    names = {type(e).__name__ for e in (error, error.__cause__, error.__context__) if e}
    names |= {type(e).__name__ for e in error.args}
    if any("Password" in name or "Encryption" in name for name in names):
        return Refused(f"{label} is encrypted: save it without a password.")
    return Refused(f"{label} is cut off or damaged: send or save it again.")


def _refuse_bomb(source: Source) -> None:
    """Inflate every stream against a limit, since the parser would inflate without one."""
    data = source.data
    total = 0
    for match in re.finditer(rb"stream\r?\n", data):
        if data[match.end() : match.end() + 1] not in (b"x", b"h", b"H", b"X"):
            continue  # not zlib; nothing else a PDF holds multiplies a thousandfold
        inflater = zlib.decompressobj()
        rest = data[match.end() : match.end() + (64 << 20)]
        try:
            while rest and not inflater.eof:
                total += len(inflater.decompress(rest, 1 << 20))
                rest = inflater.unconsumed_tail
                if total > _MOST_UNPACKED:
                    raise Refused(
                        f"{source.label} unpacks to more than {total >> 20} MB, as only a bomb "
                        "does: ask for the list as a spreadsheet."
                    )
        except zlib.error:
            continue
