"""The same number twice: an identical row counts once, anything else is shown (decision 28)."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.tables.text import shown

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from xref.tables.layout import Block


def _seed(name: str) -> np.uint64:
    """Return an odd number for a heading, so that columns do not stand in for each other."""
    import numpy as np

    return np.uint64(hash(name) & 0xFFFFFFFFFFFFFFFF | 1)


def fingerprints(block: Block) -> NDArray[np.uint64]:
    """Return a hash of each row's cells under their headings; blank cells do not count."""
    import numpy as np
    import pandas as pd

    total = np.zeros(len(block.at), dtype=np.uint64)
    for index, column in enumerate(block.columns):
        name = block.headings[index] or str(index)
        texts = np.empty(len(column.texts), dtype=object)
        texts[:] = column.texts
        hashes = pd.util.hash_array(texts, categorize=False) * _seed(name)
        hashes[texts == ""] = 0
        total += hashes[column.codes]
    return total


def place(at: Any, here: Any) -> str:
    """Return a row's place in words, with the sheet where it is another one."""
    if isinstance(at, dict):
        sheet = here.get("sheet") if isinstance(here, dict) else None
        return f"{at['row']}" if at["sheet"] == sheet else f"{at['row']} of sheet {at['sheet']}"
    return str(at)


def same_number(rows: pd.DataFrame, warn: dict[int, list[str]]) -> None:
    """Add warnings (by position in `rows`) where a stock list offers a number more than once.

    Another condition makes two offers, which needs no warning. Another price in the same
    condition is a conflict; another bin or quantity is shown.
    """
    import numpy as np
    import pandas as pd

    from xref.store.number_key import number_keys

    if "number" not in rows or rows.empty:
        return
    names = number_keys(rows["number"].tolist())
    keys = pd.Series(names, dtype=object)
    twice = keys.duplicated(keep=False).to_numpy() & (keys != "").to_numpy()
    if "maker" in rows and twice.any():
        # Only now the makers: of a million numbers few stand twice.
        for place in np.nonzero(twice)[0].tolist():
            names[place] += f"\0{str(rows['maker'].iloc[place]).casefold()}"
        keys = pd.Series(names, dtype=object)
        twice = twice & keys.duplicated(keep=False).to_numpy()
    if not twice.any():
        return
    positions = np.nonzero(twice)[0]
    for _, group in pd.Series(positions, index=positions).groupby(keys.iloc[positions].to_numpy()):
        _compare(rows, group.tolist(), warn)


def _compare(rows: pd.DataFrame, group: list[int], warn: dict[int, list[str]]) -> None:
    first = group[0]
    for row in group[1:]:
        if _cell(rows, "condition", row) != _cell(rows, "condition", first):
            continue
        if _cell(rows, "variant", row) != _cell(rows, "variant", first):
            continue
        said = _difference(rows, first, row)
        for here, there in ((first, row), (row, first)):
            where = place(rows["at"].iloc[there], rows["at"].iloc[here])
            warn.setdefault(here, []).append(f"the same number stands in row {where} {said}")


def _difference(rows: pd.DataFrame, first: int, row: int) -> str:
    prices = [_cell(rows, "price", first), _cell(rows, "price", row)]
    if prices[0] != prices[1]:
        written = " and ".join("no price" if p is None else shown(str(p)) for p in prices)
        return f"at another price: {written}"
    bins = [_cell(rows, "location", first), _cell(rows, "location", row)]
    if bins[0] != bins[1]:
        return (
            f"in another place ({shown(str(bins[0]))} and {shown(str(bins[1]))}); both rows are "
            "kept and their quantities not added"
        )
    if _cell(rows, "quantity", first) != _cell(rows, "quantity", row):
        return "with another quantity; both rows are kept and their quantities not added"
    return "with other particulars"


def _cell(rows: pd.DataFrame, name: str, row: int) -> Any:
    from xref.tables.document import value

    return value(rows[name].iloc[row]) if name in rows else None
