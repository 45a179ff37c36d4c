"""What a look-up needs of the state, kept beside it, so that a look-up need not open it.

Importing the database and opening the state cost a look-up more than all it computes. The current
rows of a few small tables therefore lie in `derived/noted.json` as well, with the stamp of the
state they were read from. They are only ever derived from the state: another stamp, another
version or a damaged file means that they are read and written anew, and the file may be deleted
at any time. It is replaced at once, so that no reader sees half of it.

Two lines: what the content is of (stamp, declared columns, checksum), and the content: per table
its rows as lists of cells in the order of `state_tables`; behind an offer's stand the searching
form of the number it is of and the pieces ordered of it.
"""

from __future__ import annotations

import contextlib
import json
import time
import zlib
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from . import layout
from .number_key import number_key
from .state_tables import TABLES

if TYPE_CHECKING:
    from .store import Store

Row = dict[str, Any]
Stamp = tuple[int, ...]

KEPT = ("suppliers", "offers", "proofs", "misfits", "evidence")
_VERSION = 2
# A file system tells two writings apart only this long after each other [s]; one whose times are
# whole seconds may count in twos. What was written more recently is not believed to be the last.
_TICK, _COARSE_TICK = 0.05, 2.1


class Noted:
    """The current rows of the tables a look-up goes by, as the state had them."""

    def __init__(self, content: dict[str, list[list[Any]]]) -> None:
        self.content = content

    def rows(self, table: str) -> list[Row]:
        """Return the rows of one of the tables KEPT, in the order of their keys."""
        return [_row(table, cells) for cells in self.content[table]]

    def offers_of(self, keys: Iterable[str]) -> list[Row]:
        """Return the offers that stand of numbers with one of these searching forms.

        `offered_key` names the form; an offer that names no number is of its want's. `left`:
        pieces not yet ordered, None where the offer sets no limit. Offers withdrawn, or ordered
        to the last piece, are left out; `until` is for the caller to compare.
        """
        wanted = set(keys) - {""}
        found = []
        for cells in self.content["offers"]:
            *_, key, ordered = cells
            if key not in wanted:
                continue
            row = _row("offers", cells)
            left = None if row["quantity"] is None else row["quantity"] - ordered
            if row["withdrawn_on"] is None and (left is None or left > 0):
                found.append(row | {"offered_key": key, "left": left})
        return found


def noted(store: Store) -> Noted:
    """See `Store.noted`."""
    stamp = store.stamp()
    if stamp is None:  # open in this thread already, perhaps with what is not yet committed
        return _read(store)
    before = store.noted_before
    if before is not None and before[0] == stamp:
        return before[1]
    asked = time.time()
    path = store.folder / "derived" / "noted.json"
    found = _kept(path, stamp)
    if found is None:
        found = _read(store)
        if not _at_rest(store, asked) or store.stamp() != stamp:
            return found  # right now, perhaps not in a moment
        _keep(path, stamp, found)
    store.noted_before = stamp, found
    return found


def _read(store: Store) -> Noted:
    content: dict[str, list[list[Any]]] = {}
    with store.reading() as state:
        for table in KEPT:
            columns = TABLES[table]
            rows = state.rows(f'SELECT * FROM "{table}" ORDER BY "{next(iter(columns))}"')  # noqa: S608
            content[table] = [[_plain(row[c]) for c in columns] for row in rows]
        wants = state.rows("SELECT want, number FROM wants")
        orders = state.rows(
            "SELECT offer, CAST(sum(quantity) AS BIGINT) AS pieces FROM orders "
            "WHERE cancelled_on IS NULL GROUP BY offer"
        )
    wanted = {row["want"]: row["number"] for row in wants}
    ordered = {row["offer"]: row["pieces"] for row in orders}
    offer, number, want = (list(TABLES["offers"]).index(c) for c in ("offer", "number", "want"))
    for cells in content["offers"]:
        # An offer that names no number is of what was asked for.
        key = number_key(cells[number] or wanted.get(cells[want]) or "")
        cells += [key, ordered.get(cells[offer], 0)]
    return Noted(content)


def _at_rest(store: Store, asked: float) -> bool:
    """Whether the state was last written so long before `asked` that a later writing would show."""
    for path in store.state_files():
        with contextlib.suppress(FileNotFoundError):
            written = path.stat().st_mtime_ns
            tick = _TICK if written % 1_000_000_000 else _COARSE_TICK
            if asked - written / 1e9 < tick:
                return False
    return True


def _declared() -> int:
    """Return a number that changes with the version of this file or the tables' columns."""
    told = json.dumps([_VERSION, {table: TABLES[table] for table in KEPT}])
    return zlib.crc32(told.encode())


def _kept(path: Path, stamp: Stamp) -> Noted | None:
    """Return what is kept at `path` if it is of this stamp and whole."""
    try:
        about, content = path.read_bytes().split(b"\n", 1)
        told = json.loads(about)
        if told != _about(stamp, content):
            return None
        return Noted(json.loads(content))
    except (OSError, ValueError):
        return None


def _keep(path: Path, stamp: Stamp, found: Noted) -> None:
    content = json.dumps(found.content, ensure_ascii=False).encode("utf-8", "surrogatepass")
    beside = path.with_name(f".new-{layout.token()}")
    with contextlib.suppress(OSError):  # a folder that cannot be written only costs time
        path.parent.mkdir(mode=0o700, exist_ok=True)
        try:
            beside.write_bytes(json.dumps(_about(stamp, content)).encode() + b"\n" + content)
            beside.replace(path)
        finally:
            beside.unlink(missing_ok=True)


def _about(stamp: Stamp, content: bytes) -> dict[str, Any]:
    return {"state": list(stamp), "declared": _declared(), "checksum": zlib.crc32(content)}


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def _row(table: str, cells: list[Any]) -> Row:
    return {
        column: cell if cell is None else _read_as(kind)(cell)
        for (column, kind), cell in zip(TABLES[table].items(), cells, strict=False)
    }


def _read_as(kind: str) -> Callable[[Any], Any]:
    if kind == "DATE":
        return date.fromisoformat
    return Decimal if kind.startswith("DECIMAL") else _same


def _same(value: Any) -> Any:
    return value
