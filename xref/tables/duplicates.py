"""The same number twice: an identical row counts once, anything else is shown (decision 28)."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from xref.tables.packed import hashes
from xref.tables.text import shown
from xref.texts import BLOCK

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.layout import Block
    from xref.tables.result import Result
    from xref.tables.rowset import Rows


@cache
def _seed(name: str) -> int:
    """Return an odd number for a heading, so that columns do not stand in for each other."""
    return hash(name) & 0xFFFFFFFFFFFFFFFF | 1


def fingerprints(block: Block, rows: NDArray[np.int64]) -> NDArray[np.uint64]:
    """Return a hash of each row's cells under their headings; blank cells do not count."""
    import numpy as np

    total = np.zeros(len(rows), dtype=np.uint64)
    for index, column in enumerate(block.columns):
        some = column.taken(rows)
        by_text = hashes(some.texts) * np.uint64(_seed(block.headings[index] or str(index)))
        for start in range(0, len(total), BLOCK):
            here = slice(start, start + BLOCK)
            total[here] += by_text[some.codes[here]]
    return total


def number_hashes(rows: Rows) -> NDArray[np.uint64]:
    """Return a hash of the searching form of each row's number, 0 where it has none."""
    import numpy as np

    from xref.store.number_key import keyed

    number = rows.values.get("number")
    if number is None:
        return np.zeros(rows.size, dtype=np.uint64)
    return hashes(keyed(number.row_texts()))


def repeated(values: NDArray[np.uint64]) -> NDArray[np.bool_]:
    """Return which values occur more than once."""
    import numpy as np

    ordered = np.sort(values)
    twice = ordered[1:][ordered[1:] == ordered[:-1]]
    if not len(twice):
        return np.zeros(len(values), dtype=bool)
    return np.isin(values, twice)


def place(at: Any, here: Any) -> str:
    """Return a row's place in words, with the sheet where it is another one."""
    if isinstance(at, dict):
        sheet = here.get("sheet") if isinstance(here, dict) else None
        return f"{at['row']}" if at["sheet"] == sheet else f"{at['row']} of sheet {at['sheet']}"
    return str(at)


def same_number(rows: Result, found: NDArray[np.uint64], warn: dict[int, list[str]]) -> None:
    """Add warnings (by position in `rows`) where a stock list offers a number more than once.

    `found` are the hashes of the rows' numbers.
    Another condition makes two offers, which needs no warning. Another price in the same
    condition is a conflict; another bin or quantity is shown.
    """
    import numpy as np

    from xref.store.number_key import number_keys

    places = np.flatnonzero(found)
    places = places[repeated(found[places])]
    groups: dict[tuple[str, str], list[int]] = {}
    keys = number_keys(rows.cell("number", row) for row in places.tolist())
    for row, key in zip(places.tolist(), keys, strict=True):
        maker = str(rows.cell("maker", row)).casefold()
        groups.setdefault((key, maker), []).append(row)
    for group in groups.values():
        _compare(rows, group, warn)


def _compare(rows: Result, group: list[int], warn: dict[int, list[str]]) -> None:
    first = group[0]
    for row in group[1:]:
        if any(rows.cell(name, row) != rows.cell(name, first) for name in ("condition", "variant")):
            continue
        said = _difference(rows, first, row)
        for here, there in ((first, row), (row, first)):
            where = place(rows.cell("at", there), rows.cell("at", here))
            warn.setdefault(here, []).append(f"the same number stands in row {where} {said}")


def _difference(rows: Result, first: int, row: int) -> str:
    prices = [rows.cell("price", first), rows.cell("price", row)]
    if prices[0] != prices[1]:
        written = " and ".join("no price" if p is None else shown(str(p)) for p in prices)
        return f"at another price: {written}"
    bins = [rows.cell("location", first), rows.cell("location", row)]
    if bins[0] != bins[1]:
        return (
            f"in another place ({shown(str(bins[0]))} and {shown(str(bins[1]))}); both rows are "
            "kept and their quantities not added"
        )
    if rows.cell("quantity", first) != rows.cell("quantity", row):
        return "with another quantity; both rows are kept and their quantities not added"
    return "with other particulars"
