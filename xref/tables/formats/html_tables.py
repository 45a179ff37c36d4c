"""HTML tables: pages, mail saved or pasted, and the HTML that some programs save as `.xls`.

The tags are found by hand: the standard parser takes quadratic time over crafted text such as a
million unclosed `<a `, and only eight tags matter here.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from xref.errors import Refused
from xref.tables.formats.grid import MERGED, Grid, Row

_TAG = re.compile(r"</?([a-zA-Z][a-zA-Z0-9:]*)")
_ATTRIBUTE = re.compile(r"""([a-zA-Z]+)\s*=\s*(?:"([^"]*)"|'([^']*)'|([^\s"'>]+))""")
_HIDDEN = re.compile(r"display\s*:\s*none|visibility\s*:\s*(?:hidden|collapse)", re.IGNORECASE)
_BREAKS = frozenset({"br", "p", "div", "li", "tr", "hr"})
_SKIPPED = frozenset({"script", "style", "head", "title", "template"})
_WIDEST_SPAN = 1000  # the HTML standard's limit for colspan
_MOST_SPANNED = 1_000_000


_MOST_LINES, _LONGEST_LINE = 200, 1000


def is_html(text: str) -> bool:
    """Whether `text` is HTML with a table, rather than text with some markup in a cell."""
    start = text[:2000].lstrip("\ufeff \t\r\n").lower()
    if start.startswith("<"):
        return re.search(r"<tr[\s>]", text, re.IGNORECASE) is not None
    if "<" not in text:
        return False  # a long list is searched once, not letter by letter
    rows = len(re.findall(r"</tr\s*>", text, re.IGNORECASE))
    return rows >= 2 and re.search(r"<table[\s>]", text, re.IGNORECASE) is not None


def read_tables(text: str, label: str) -> list[Grid]:
    """Return every table that holds text, nested ones on their own, in the order of their start.

    `at` counts the `<tr>` of the file. A cell that spans rows or columns is repeated with the
    flag MERGED. Raises Refused if spans multiply to millions of cells.
    """
    builder = _Builder(label)
    for tag, attributes, closing, data in _tokens(text):
        if data:
            builder.text(data)
        elif closing:
            builder.close(tag)
        else:
            builder.open(tag, attributes)
    return builder.finish()


def _tokens(text: str) -> Iterator[tuple[str, str, bool, str]]:
    """Yield (tag, attributes, whether it closes, "") and ("", "", False, text between tags)."""
    at = 0
    while at < len(text):
        start = text.find("<", at)
        if start < 0:
            break
        if start > at:
            yield "", "", False, text[at:start]
        if text.startswith("<!--", start):
            end = text.find("-->", start)
            at = len(text) if end < 0 else end + 3
            continue
        named = _TAG.match(text, start)
        if named is None:
            if text.startswith(("<!", "<?"), start) and (end := text.find(">", start)) >= 0:
                at = end + 1
            else:
                yield "", "", False, "<"
                at = start + 1
            continue
        end = _end_of_tag(text, named.end())
        if end < 0:
            at = start
            break
        tag = named[1].lower()
        closing = text[start + 1] == "/"
        yield tag, text[named.end() : end], closing, ""
        at = end + 1
        if tag in _SKIPPED and not closing:
            found = re.compile(rf"</{tag}\s*>", re.IGNORECASE).search(text, at)
            if found is None:
                return
            at = found.end()
    if at < len(text):
        yield "", "", False, text[at:]


def _end_of_tag(text: str, at: int) -> int:
    """Return where the tag's `>` is; one inside a quoted attribute is passed over."""
    end = text.find(">", at)
    for _ in range(4):
        inside = text[at : min(end, at + 2000)]
        if end < 0 or (inside.count('"') % 2 == 0 and inside.count("'") % 2 == 0):
            return end
        further = text.find(">", end + 1, end + 2000)
        if further < 0:
            return end
        end = further
    return text.find(">", at)


@dataclass
class _Table:
    hidden: bool
    rows: list[Row] = field(default_factory=list)
    at: int = 0  # the open row, 0 if none
    row_hidden: bool = False
    cells: list[tuple[str, int, int]] = field(default_factory=list)  # text, columns, rows
    cell: list[str] | None = None
    span: tuple[int, int] = (1, 1)
    carried: dict[int, tuple[str, int]] = field(default_factory=dict)  # column: text, rows left


class _Builder:
    """Puts rows together from tags in the order they come."""

    def __init__(self, label: str) -> None:
        self._label = label
        self._open: list[_Table] = []
        self._all: list[_Table] = []
        self._ordinal = 0
        self._spanned = 0
        self._around: list[str] = []

    def text(self, data: str) -> None:
        if not self._open and len(self._around) < _MOST_LINES and data.strip():
            self._around.append(" ".join(html.unescape(data[:_LONGEST_LINE]).split()))
        if self._open and self._open[-1].cell is not None:
            self._open[-1].cell.append(html.unescape(data))

    def open(self, tag: str, attributes: str) -> None:
        if tag == "table":
            self._begin_table(attributes)
        elif tag in ("tr", "td", "th"):
            table = self._open[-1] if self._open else self._begin_table("")
            if tag == "tr" or not table.at:
                self._end_row(table)
                self._ordinal += 1
                table.at = self._ordinal
                table.row_hidden = tag == "tr" and _is_hidden(attributes)
            if tag != "tr":
                self._end_cell(table)
                table.cell = []
                table.span = _span(attributes, "colspan"), _span(attributes, "rowspan")
        elif tag in _BREAKS:
            self.text(" ")

    def close(self, tag: str) -> None:
        if not self._open:
            return
        table = self._open[-1]
        if tag == "table":
            self._end_row(table)
            self._open.pop()
        elif tag == "tr":
            self._end_row(table)
        elif tag in ("td", "th"):
            self._end_cell(table)
        elif tag in ("thead", "tbody", "tfoot"):
            table.carried.clear()
        elif tag in _BREAKS:
            self.text(" ")

    def finish(self) -> list[Grid]:
        while self._open:
            self.close("table")
        return [
            Grid(None, table.rows, table.hidden, self._around)
            for table in self._all
            if any(any(row.cells) for row in table.rows)
        ]

    def _count(self, cells: int) -> None:
        self._spanned += cells
        if self._spanned > _MOST_SPANNED:
            raise Refused(f"{self._label} spans cells over millions of places: no list does that.")

    def _begin_table(self, attributes: str) -> _Table:
        hidden = _is_hidden(attributes) or any(t.hidden for t in self._open[-1:])
        table = _Table(hidden)
        self._open.append(table)
        self._all.append(table)
        return table

    def _end_cell(self, table: _Table) -> None:
        if table.cell is not None:
            columns, rows = table.span
            table.cells.append((" ".join("".join(table.cell).split()), columns, rows))
            table.cell = None

    def _end_row(self, table: _Table) -> None:
        self._end_cell(table)
        if not table.at:
            return
        cells: list[str] = []
        flags: dict[int, str] = {}
        carried: dict[int, tuple[str, int]] = {}

        def carry_down() -> None:
            while len(cells) in table.carried:
                text, left = table.carried.pop(len(cells))
                if left > 1:
                    carried[len(cells)] = text, left - 1
                flags[len(cells)] = MERGED
                cells.append(text)
                self._count(1)

        for text, columns, rows in table.cells:
            carry_down()
            self._count(columns - 1)
            for i in range(columns):
                if rows > 1:
                    carried[len(cells)] = text, rows - 1
                if i:
                    flags[len(cells)] = MERGED
                cells.append(text)
        carry_down()
        table.carried = carried
        raw = "\t".join(text for text, _, _ in table.cells)
        blank = not any(cells)
        table.rows.append(Row(table.at, [] if blank else cells, raw, table.row_hidden, flags))
        table.cells = []
        table.at = 0


def _is_hidden(attributes: str) -> bool:
    return bool(
        _HIDDEN.search(attributes[:2000])
        or re.search(r"(?:^|\s)hidden(?:\s|=|$)", attributes[:2000], re.IGNORECASE)
    )


def _span(attributes: str, name: str) -> int:
    for match in _ATTRIBUTE.finditer(attributes[:2000]):
        if match[1].lower() == name:
            value = (match[2] or match[3] or match[4] or "").strip()
            return min(max(int(value), 1), _WIDEST_SPAN) if re.fullmatch(r"\d{1,6}", value) else 1
    return 1
