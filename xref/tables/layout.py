"""Which rows of a grid are parts and which are furniture: blocks, sections, totals, footers."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from xref.tables import furniture, headrows
from xref.tables.coded import Coded
from xref.tables.column import Column, column
from xref.tables.names import Target, meanings
from xref.tables.schema import TABLES
from xref.tables.sums import Sums
from xref.tables.text import fold

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.records import Records


@dataclass(slots=True)
class Block:
    """Rows under one set of headings: columns of cells, with each row's place in the file.

    `rows` are the numbers of the rows in `records`; `sections` gives the text of the section row
    that a row stands under, "" without one. `width` is the
    number of columns that have a place in the heading row; cells beyond it are too many. `above`
    and `lines` are the texts of the grid's letterheads and footers.
    """

    headings: tuple[str, ...]
    columns: list[Column]
    at: Sequence[Any]
    rows: NDArray[np.int64]
    sections: Coded
    records: Records
    width: int = 0
    above: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)

    def flagged_rows(self) -> list[tuple[int, int]]:
        """Return (row of the block, row of the records) for rows the workbook says more of."""
        if not self.records.flagged:
            return []
        numbers = enumerate(self.rows.tolist())
        return [(row, number) for row, number in numbers if number in self.records.flagged]


@dataclass(frozen=True, slots=True)
class _Head:
    headings: tuple[str, ...]
    width: int


@dataclass(slots=True)
class Layout:
    """A grid taken apart; every non-blank row is in one block, in `furniture` or in `aside`.

    `above` holds the texts of letterheads and footers, which may state units and currencies;
    `lines` their rows of several cells as one text each.
    """

    blocks: list[Block] = field(default_factory=list)
    furniture: list[tuple[int, str]] = field(default_factory=list)
    above: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)
    headings_seen: list[str] = field(default_factory=list)


def take_apart(
    records: Records,
    tables: Sequence[str],
    *,
    header_row: int | None = None,
    no_header: bool = False,
    said: Sequence[str] = (),
) -> Layout:
    """Split the rows of one grid into blocks and furniture.

    `header_row` is where the user says the headings stand (as the file or sheet numbers its
    rows); with `no_header` every row is data and columns are called `column 1` and so on. `said`
    are headings the user named: where no row looks like headings, the row that holds one does.
    """
    layout = Layout()
    if not len(records):
        return layout
    cells = [records.cells(row) for row in range(min(len(records), headrows.SEARCHED + 2))]
    if no_header:
        columns = records.columns(0)
        headings = tuple(f"column {n + 1}" for n in range(len(columns)))
        layout.headings_seen = list(headings)
        _blocks(layout, records, columns, _Head(headings, len(headings)), 0, ())
        return layout
    found = _first(records, cells, tables, header_row) or _named_by_user(cells, said)
    if found is None:
        layout.headings_seen = [cell for cell in _fullest(cells) if cell]
        layout.above = [text for row in cells for text in row if text]
        layout.furniture = [(row, "no headings") for row in range(len(records))]
        return layout
    headings, heading_rows = found
    for row in range(heading_rows[0]):
        layout.furniture.append((row, "letterhead"))
        _note(layout, records.cells(row))
    layout.furniture += [(row, "headings") for row in heading_rows]
    layout.headings_seen = [heading for heading in headings if heading]
    head = _Head(headings, len(headings))
    start = heading_rows[-1] + 1
    _blocks(layout, records, records.columns(start), head, start, tables)
    if not layout.blocks:
        layout.blocks.append(_no_rows(records, head))
    return layout


def _note(layout: Layout, cells: Sequence[str]) -> None:
    """Keep what a letterhead or a footer says, cell by cell and as the line it was."""
    texts = [cell for cell in cells if cell]
    layout.above += texts
    if len(texts) > 1:
        layout.lines.append(" ".join(texts))


def _no_rows(records: Records, head: _Head) -> Block:
    """Return the block of headings that stand over nothing."""
    import numpy as np

    none = np.zeros(0, dtype=np.int64)
    columns = [column([]) for _ in head.headings]
    sections = Coded(none, np.array([""], dtype=object))
    return Block(head.headings, columns, [], none, sections, records, head.width)


def _fullest(cells: list[list[str]]) -> list[str]:
    return max(cells, key=lambda row: sum(map(bool, row)), default=[])


def _first(
    records: Records, cells: list[list[str]], tables: Sequence[str], header_row: int | None
) -> tuple[tuple[str, ...], tuple[int, ...]] | None:
    if header_row is None:
        found = headrows.find(cells, tables)
        return None if found is None else (found.headings, found.rows)
    places = records.places(range(len(records)))
    where = next((n for n, at in enumerate(places) if _place(at) >= header_row), None)
    if where is None:
        return None
    rows = [records.cells(row) for row in range(where, min(where + 2, len(records)))]
    found = headrows.at(rows, 0, tables)
    return found.headings, tuple(where + row for row in found.rows)


def _named_by_user(
    cells: list[list[str]], said: Sequence[str]
) -> tuple[tuple[str, ...], tuple[int, ...]] | None:
    wanted = {fold(heading) for heading in said} - {""}
    for index, row in enumerate(cells):
        if any(fold(cell) in wanted for cell in row if cell):
            return tuple(row), (index,)
    return None


def _place(at: Any) -> int:
    return int(at["row"] if isinstance(at, dict) else at)


def _blocks(
    layout: Layout,
    records: Records,
    columns: list[Column],
    head: _Head,
    start: int,
    tables: Sequence[str],
) -> None:
    """Part rows into blocks at further headings, and each block into data and furniture.

    `columns` are those of the rows from `start` on.
    """
    import numpy as np

    size = len(columns[0]) if columns else 0
    while len(columns) < len(head.headings):
        columns.append(Column(np.zeros(size, dtype=np.int32), [""]))
    width = len(columns)
    head = _padded(head, width)
    filled = np.stack([c.filled for c in columns]) if columns else np.zeros((0, 0), bool)
    starts = _further_headings(columns, filled, head, tables) if tables else {}
    begin = 0
    section = ""
    for place in [*sorted(starts), size]:
        span = np.arange(begin, place)
        closing = last = ""
        if len(span):
            last, closing = _block(layout, records, head, columns, filled, span, start, section)
        if place < size:
            names, used = starts[place]
            # The words right above headings name what follows; a page turned leaves the section.
            same = tuple(map(fold, names)) == tuple(map(fold, head.headings[: len(names)]))
            section = closing or (last if same else "")
            layout.furniture += [(start + place + offset, "headings") for offset in range(used)]
            head = _padded(_Head(names, len(names)), width)
            begin = place + used


def _padded(head: _Head, width: int) -> _Head:
    more = [""] * (width - len(head.headings))
    return _Head((*head.headings, *more), head.width)


def _further_headings(
    columns: list[Column],
    filled: NDArray[np.bool_],
    head: _Head,
    tables: Sequence[str],
) -> dict[int, tuple[tuple[str, ...], int]]:
    """Return rows that hold headings again: of the same block or of another one below."""
    import numpy as np

    folded = [heading.casefold() for heading in head.headings]
    same = np.zeros(len(columns[0]) if columns else 0, dtype=np.int32)
    for cells, name in zip(columns, folded, strict=True):
        if name:
            same += cells.mask(partial(_same_as, name), ordinary=False)
    likely = np.zeros(len(same), dtype=np.int32)
    for cells in columns:
        if len(cells.texts) <= 2000:
            likely += cells.mask(
                lambda text: (
                    0 < len(text) <= 40
                    and not text.isdigit()
                    and headrows.score((text,), tables) > 0
                )
            )
    counts = filled.sum(axis=0)
    named = sum(1 for name in folded if name)
    repeats = (same >= 2) & (same * 5 >= min(named, 5) * 3)
    candidates = np.nonzero(repeats | ((likely >= 2) & (likely * 2 >= counts)))[0]
    found: dict[int, tuple[tuple[str, ...], int]] = {}
    skip = -1
    for place in candidates.tolist():
        if place <= skip:
            continue
        rows = [
            [cells.cell(row) for cells in columns]
            for row in range(place, min(place + 2, len(same)))
        ]
        other = headrows.at(rows, 0, tables) if headrows.find(rows[:1], tables) else None
        if repeats[place]:
            used = 1 if other is None else len(other.rows)
            found[place] = (head.headings[: head.width], used)
        elif other is not None and headrows.no_data(rows[0], tables):
            found[place] = (other.headings, len(other.rows))
        if place in found:
            skip = place + found[place][1] - 1
    return found


def _same_as(heading: str, text: str) -> bool:
    return len(text) == len(heading) and text.casefold() == heading


def _block(
    layout: Layout,
    records: Records,
    head: _Head,
    columns: list[Column],
    filled: NDArray[np.bool_],
    span: NDArray[np.int64],
    start: int,
    section: str,
) -> tuple[str, str]:
    """Part the rows of one block; return the last section's words and those of its last rows.

    `section` is what the block begins under.
    """
    import numpy as np

    headings = head.headings

    whole = len(span) == filled.shape[1]
    counts = (filled if whole else filled[:, span]).sum(axis=0, dtype=np.int32)
    keep = np.ones(len(span), dtype=bool)
    sections = np.zeros(len(span), dtype=np.int32)
    names = [section]
    closing = ""
    named = sum(1 for heading in headings if heading)
    letterhead = {*layout.above, *map(furniture.without_figures, layout.lines)}
    number = _number_column(headings)
    candidates = _candidates(columns, span, counts, named, letterhead)
    last_data = _last_data(candidates, len(span))
    sums = Sums(columns, span, candidates)
    for offset in candidates:
        cells = [c.cell(span[offset]) for c in columns]
        what = furniture.judge(
            cells,
            named,
            number,
            letterhead,
            after_data=offset > last_data,
            adds_up=partial(sums.end_in, offset),
        )
        closing = ""
        if what is None:
            continue
        keep[offset] = False
        layout.furniture.append((start + int(span[offset]), what))
        if what == "section":
            sections[offset:] = len(names)
            names.append(next(cell for cell in cells if cell))
        elif what in ("footer", "letterhead"):
            _note(layout, cells)
        if offset == len(span) - 1 and what in ("section", "footer"):
            texts = [cell for cell in cells if cell]
            closing = texts[0] if len(texts) == 1 else ""
    last = names[-1]
    rows = span[keep]
    if not len(rows):
        return last, closing
    numbers = rows + start
    layout.blocks.append(
        Block(
            headings=headings,
            width=head.width,
            columns=[c.taken(rows) for c in columns],
            at=records.places(numbers),
            rows=numbers,
            sections=Coded(sections[keep], np.array(names, dtype=object)),
            records=records,
            above=layout.above,
            lines=layout.lines,
        )
    )
    return last, closing


def _number_column(headings: tuple[str, ...]) -> int | None:
    """Return the first column headed as a part number in any table."""
    for index, heading in enumerate(headings):
        if heading and any(
            meaning.target == Target("field", "number")
            for table in TABLES
            if table != "suppliers"
            for meaning in meanings(heading, table)[:1]
        ):
            return index
    return None


def _candidates(
    columns: list[Column],
    span: NDArray[np.int64],
    counts: NDArray[np.int64],
    named: int,
    letterhead: set[str],
) -> list[int]:
    """Return the rows that may be furniture; all others are data without a closer look."""
    import numpy as np

    few = counts <= max(2, named // 4) if named > 2 else counts <= 1
    odd = np.zeros(len(span), dtype=bool)
    for cells in columns[:4]:
        odd |= cells.mask(furniture.may_be_furniture, ordinary=False)[span]
    if letterhead and columns:
        odd |= columns[0].mask(letterhead.__contains__, ordinary=False)[span]
    rules = np.ones(len(span), dtype=bool)
    for cells in columns:
        if rules.any():
            rules &= cells.mask(furniture.is_rule, ordinary=False)[span]
    return np.nonzero(few | odd | rules)[0].tolist()


def _last_data(candidates: list[int], size: int) -> int:
    """Return the offset of the last row that is surely data."""
    unsure = set(candidates)
    for offset in range(size - 1, -1, -1):
        if offset not in unsure:
            return offset
    return -1
