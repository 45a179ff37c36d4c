"""Which rows of a grid are parts and which are furniture: blocks, sections, totals, footers."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from xref.tables import furniture, headrows
from xref.tables.column import Column, column
from xref.tables.names import Target, meanings
from xref.tables.schema import TABLES
from xref.tables.text import fold, trimmed

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.formats.grid import Grid


@dataclass(slots=True)
class Block:
    """Rows under one set of headings: columns of cells, with each row's place in the file.

    `section` is the text of the section row a row stands under, "" without one. `width` is the
    number of columns that have a place in the heading row; cells beyond it are too many.
    """

    headings: tuple[str, ...]
    columns: list[Column]
    at: list[Any]
    rows: NDArray[np.int64]
    section: list[str]
    grid: Grid
    heading_at: Any = None
    width: int = 0


@dataclass(frozen=True, slots=True)
class _Head:
    headings: tuple[str, ...]
    width: int
    at: Any


@dataclass(slots=True)
class Layout:
    """A grid taken apart; every non-blank row is in one block, in `furniture` or in `aside`.

    `above` holds the texts of letterheads and footers, which may state units and currencies.
    """

    blocks: list[Block] = field(default_factory=list)
    furniture: list[tuple[int, str]] = field(default_factory=list)
    above: list[str] = field(default_factory=list)
    headings_seen: list[str] = field(default_factory=list)


def take_apart(
    grid: Grid,
    tables: Sequence[str],
    *,
    header_row: int | None = None,
    no_header: bool = False,
) -> Layout:
    """Split `grid` into blocks and furniture.

    `header_row` is where the user says the headings stand (as the file or sheet numbers its
    rows); with `no_header` every row is data and columns are called `column 1` and so on.
    """
    layout = Layout()
    filled = [index for index, row in enumerate(grid.rows) if _filled(grid, index)]
    if not filled:
        return layout
    cells = {index: _cells(grid, index) for index in filled[: headrows.SEARCHED + 2]}
    if no_header:
        width = max(len(grid.rows[index].cells) for index in filled)
        headings = tuple(f"column {n + 1}" for n in range(width))
        layout.headings_seen = list(headings)
        _blocks(layout, grid, filled, [(headings, ())])
        return layout
    found = _first(grid, filled, cells, tables, header_row)
    if found is None:
        layout.headings_seen = [cell for cell in _fullest(cells) if cell]
        layout.above = [text for index in filled[:200] for text in _cells(grid, index) if text]
        layout.furniture = [(index, "no headings") for index in filled]
        return layout
    headings, heading_rows = found
    start = filled.index(heading_rows[0])
    for index in filled[:start]:
        layout.furniture.append((index, "letterhead"))
        layout.above += [cell for cell in _cells(grid, index) if cell]
    for index in heading_rows:
        layout.furniture.append((index, "headings"))
    layout.headings_seen = [heading for heading in headings if heading]
    rest = filled[start + len(heading_rows) :]
    _blocks(layout, grid, rest, [(headings, heading_rows)], tables)
    if not layout.blocks:
        at = grid.rows[heading_rows[0]].at
        layout.blocks.append(_no_rows(grid, _Head(headings, len(headings), at)))
    return layout


def _no_rows(grid: Grid, head: _Head) -> Block:
    """Return the block of headings that stand over nothing."""
    import numpy as np

    none = np.zeros(0, dtype=np.int64)
    columns = [column([]) for _ in head.headings]
    return Block(head.headings, columns, [], none, [], grid, head.at, head.width)


def _filled(grid: Grid, index: int) -> bool:
    return any(cell and (not cell.isspace()) for cell in grid.rows[index].cells)


def _cells(grid: Grid, index: int) -> list[str]:
    """Return a row's trimmed cells; a cell merged with its left neighbour counts as blank."""
    row = grid.rows[index]
    cells = [trimmed(cell) for cell in row.cells]
    for place, flag in row.flags.items():
        if (
            flag == "merged"
            and 0 < place < len(cells)
            and cells[place] == trimmed(row.cells[place - 1])
        ):
            cells[place] = ""
    return cells


def _fullest(cells: dict[int, list[str]]) -> list[str]:
    return max(cells.values(), key=lambda row: sum(map(bool, row)), default=[])


def _first(
    grid: Grid,
    filled: list[int],
    cells: dict[int, list[str]],
    tables: Sequence[str],
    header_row: int | None,
) -> tuple[tuple[str, ...], tuple[int, ...]] | None:
    order = list(cells)
    rows = [cells[index] for index in order]
    if header_row is None:
        found = headrows.find(rows, tables)
    else:
        where = next(
            (n for n, i in enumerate(filled) if _place(grid.rows[i].at) >= header_row), None
        )
        if where is None:
            return None
        order = filled[where : where + 2]
        found = headrows.at([_cells(grid, index) for index in order], 0, tables)
    if found is None:
        return None
    return found.headings, tuple(order[row] for row in found.rows)


def _place(at: Any) -> int:
    return int(at["row"] if isinstance(at, dict) else at)


def _blocks(
    layout: Layout,
    grid: Grid,
    rows: list[int],
    current: list[tuple[tuple[str, ...], tuple[int, ...]]],
    tables: Sequence[str] = (),
) -> None:
    """Part `rows` into blocks at further headings, and each block into data and furniture."""
    import numpy as np

    headings, heading_rows = current[0]
    width = max([len(headings), *(len(grid.rows[index].cells) for index in rows)], default=0)
    columns = [
        column([_or_none(grid.rows[index].cells, place) for index in rows])
        for place in range(width)
    ]
    _blank_merged(grid, rows, columns)
    own_width = len(headings)
    headings = (*headings, *[""] * (width - len(headings)))
    filled = np.stack([c.filled for c in columns]) if columns else np.zeros((0, 0), bool)
    starts = _further_headings(columns, filled, headings, own_width, tables) if tables else {}
    index_of = np.asarray(rows, dtype=np.int64)
    cut = [*sorted(starts), len(rows)]
    begin = 0
    names = headings
    heading_at = grid.rows[heading_rows[0]].at if heading_rows else None
    for place in [*cut]:
        span = np.arange(begin, place)
        if len(span):
            head = _Head(names, own_width, heading_at)
            _block(layout, grid, head, columns, filled, span, index_of)
        if place < len(rows):
            names, used = starts[place]
            own_width = len(names)
            names = (*names, *[""] * (width - len(names)))
            for offset in range(used):
                layout.furniture.append((rows[place + offset], "headings"))
            heading_at = grid.rows[rows[place]].at
            begin = place + used


def _or_none(cells: list[str], place: int) -> str | None:
    return cells[place] if place < len(cells) else None


def _blank_merged(grid: Grid, rows: list[int], columns: list[Column]) -> None:
    """Blank cells that only repeat their left neighbour because the two are merged."""
    for offset, index in enumerate(rows):
        flags = grid.rows[index].flags
        if not flags:
            continue
        cells = _cells(grid, index)
        for place, flag in flags.items():
            if flag == "merged" and place < len(cells) and not cells[place]:
                _set_blank(columns[place], offset)


def _set_blank(cells: Column, row: int) -> None:
    if "" not in cells.texts:
        cells.texts.append("")
    cells.codes[row] = cells.texts.index("")


def _further_headings(
    columns: list[Column],
    filled: NDArray[np.bool_],
    headings: tuple[str, ...],
    own_width: int,
    tables: Sequence[str],
) -> dict[int, tuple[tuple[str, ...], int]]:
    """Return rows that hold headings again: of the same block or of another one below."""
    import numpy as np

    folded = [fold(heading) for heading in headings]
    same = np.zeros(len(columns[0]) if columns else 0, dtype=np.int32)
    for cells, name in zip(columns, folded, strict=True):
        if name:
            same += cells.mask(partial(_folds_to, name))
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
        head = headrows.find(rows[:1], tables) and headrows.at(rows, 0, tables)
        if repeats[place]:
            units_below = bool(head) and len(head.rows) == 2  # type: ignore[union-attr]
            found[place] = (headings[:own_width], 2 if units_below else 1)
        elif head:
            found[place] = (head.headings, len(head.rows))
        if place in found:
            skip = place + found[place][1] - 1
    return found


def _folds_to(name: str, text: str) -> bool:
    return len(text) < 100 and fold(text) == name


def _block(
    layout: Layout,
    grid: Grid,
    head: _Head,
    columns: list[Column],
    filled: NDArray[np.bool_],
    span: NDArray[np.int64],
    index_of: NDArray[np.int64],
) -> None:
    import numpy as np

    headings = head.headings

    counts = filled[:, span].sum(axis=0)
    keep = np.ones(len(span), dtype=bool)
    sections = np.full(len(span), "", dtype=object)
    named = sum(1 for heading in headings if heading)
    letterhead = set(layout.above)
    number = _number_column(headings)
    candidates = _candidates(columns, span, counts, named)
    last_data = _last_data(candidates, len(span))
    for offset in candidates:
        cells = [c.cell(span[offset]) for c in columns]
        what = furniture.judge(cells, named, number, letterhead, after_data=offset > last_data)
        if what is None:
            continue
        keep[offset] = False
        layout.furniture.append((int(index_of[span[offset]]), what))
        if what == "section":
            sections[offset:] = next(cell for cell in cells if cell)
        elif what in ("footer", "letterhead"):
            layout.above += [cell for cell in cells if cell]
    rows = span[keep]
    if not len(rows):
        return
    layout.blocks.append(
        Block(
            headings=headings,
            width=head.width,
            columns=[c.taken(rows) for c in columns],
            at=[grid.rows[index].at for index in index_of[rows]],
            rows=index_of[rows],
            section=sections[keep].tolist(),
            grid=grid,
            heading_at=head.at,
        )
    )


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
    columns: list[Column], span: NDArray[np.int64], counts: NDArray[np.int64], named: int
) -> list[int]:
    """Return the rows that may be furniture; all others are data without a closer look."""
    import numpy as np

    few = counts <= max(2, named // 4) if named > 2 else counts <= 1
    odd = np.zeros(len(span), dtype=bool)
    for cells in columns[:4]:
        odd |= cells.mask(furniture.may_be_furniture)[span]
    rules = np.ones(len(span), dtype=bool)
    for cells in columns:
        rules &= cells.mask(furniture.is_rule)[span]
    return np.nonzero(few | odd | rules)[0].tolist()


def _last_data(candidates: list[int], size: int) -> int:
    """Return the offset of the last row that is surely data."""
    unsure = set(candidates)
    for offset in range(size - 1, -1, -1):
        if offset not in unsure:
            return offset
    return -1
