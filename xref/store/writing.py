"""Putting an edition into the store: all of it or nothing, whenever the power goes.

The files are written into a folder beside the lists, synced, and renamed in; the event "list
loaded" then makes the edition count, and lists/current.json, replaced at once, shows it to
readers. A folder that no event speaks of is not an edition: it is swept away by the next load.
"""

from __future__ import annotations

import contextlib
import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..errors import Refused
from . import layout, lock
from .edition import LIST_TABLES, Edition, ListInfo, from_row
from .files import write_files

if TYPE_CHECKING:
    import pandas as pd

    from .state import State
    from .store import Store

_BUILDING = ".new-"


def add_edition(
    store: Store, info: ListInfo, rows: pd.DataFrame, *, number_index: bool = True
) -> Edition:
    """See `Store.add_edition`; `number_index` as in `write_files`."""
    from .opening import in_words

    if info.table not in LIST_TABLES:
        raise Refused(f"{info.table!r} is no list; lists are {', '.join(LIST_TABLES)}.")
    if len(rows) == 0:
        raise Refused(f"the list {info.name!r} holds no rows; the store stays as it was.")
    existing = _same_as_current(store.editions(info.table), info)
    if existing is not None:
        return existing
    with in_words(store.folder), _building_folder(store.folder / "lists") as folder:
        values = write_files(folder, info, rows, number_index=number_index)
        with store.writing(f"load {info.name}") as state:
            existing = _same_as_current(_current(state), info)
            if existing is not None:  # another process loaded the same list meanwhile
                return existing
            return _place(store, state, folder, info, values)


def _same_as_current(editions: list[Edition], info: ListInfo) -> Edition | None:
    for edition in editions:
        if (
            edition.identity == info.identity
            and info.digest
            and edition.digest == info.digest
            and dict(edition.decisions) == dict(info.decisions)
            and (edition.currency, edition.unit) == (info.currency, info.unit)
        ):
            return replace(edition, already=True)
    return None


@contextlib.contextmanager
def _building_folder(lists: Path) -> Iterator[Path]:
    """Give a folder to write an edition in; whatever of it was not renamed away is removed."""
    folder = lists / f"{_BUILDING}{layout.token()}"
    with lock.claimed(folder.with_suffix(".lock")):
        try:
            folder.mkdir(mode=0o700)
            yield folder
        finally:
            shutil.rmtree(folder, ignore_errors=True)


def _place(
    store: Store, state: State, folder: Path, info: ListInfo, values: dict[str, Any]
) -> Edition:
    """Rename the files in and record the event; called while holding the writers' turn."""
    before = [from_row(row) for row in state.rows("SELECT * FROM editions")]
    same = [e for e in before if e.identity == info.identity]
    list_id = same[0].list if same else max((e.list for e in before), default=0) + 1
    number = max((e.number for e in same), default=0) + 1
    edition = state.next_id("editions")
    target = store.folder / "lists" / str(list_id) / str(number)
    layout.make_private(target.parent)
    shutil.rmtree(target, ignore_errors=True)  # of a load that died before its event
    _sweep(store.folder / "lists", folder)
    folder.rename(target)
    layout.sync_folder(target.parent)
    layout.sync_folder(target.parent.parent)
    row = {
        "list": list_id,
        "number_in_list": number,
        "table_name": info.table,
        "name": info.name,
        "supplier": info.supplier,
        "currency": info.currency,
        "unit": info.unit,
        "file": info.file,
        "digest": info.digest,
        "as_of": info.as_of,
        "loaded_at": datetime.now(UTC).replace(tzinfo=None),
        "decisions": dict(info.decisions),
        "folder": f"{list_id}/{number}",
        **values,
    }
    state.record("list loaded", "editions", edition, row)
    found = state.one("SELECT * FROM editions WHERE edition = ?", [edition])
    assert found is not None  # noqa: S101 - just recorded
    return from_row(found)


def _sweep(lists: Path, own: Path) -> None:
    """Remove what loads that died have left; a folder still locked is being written.

    Called in the writers' turn, so a lone new file (of current.json) has no living writer either.
    """
    for path in lists.glob(f"{_BUILDING}*"):
        if path.is_file() and path.suffix != ".lock":
            path.unlink(missing_ok=True)
    for path in lists.glob(f"{_BUILDING}*.lock"):
        folder = path.with_suffix("")
        if folder == own or not lock.is_free(path):
            continue
        shutil.rmtree(folder, ignore_errors=True)
        path.unlink(missing_ok=True)


def _current(state: State) -> list[Edition]:
    return [from_row(row) for row in current_rows(state)]


def current_rows(state: State) -> list[dict[str, Any]]:
    """Return the rows of the current editions: of each list the newest not withdrawn."""
    newest: dict[int, dict[str, Any]] = {}
    for row in state.rows(
        "SELECT * FROM editions WHERE NOT coalesce(withdrawn, false) ORDER BY list, number_in_list"
    ):
        newest[row["list"]] = row
    return list(newest.values())


def current_document(state: State) -> dict[str, Any]:
    """Return what lists/current.json should hold, from the state."""
    rows = current_rows(state)
    for row in rows:
        for column in ("as_of", "loaded_at"):
            row[column] = None if row[column] is None else row[column].isoformat()
    last = state.one("SELECT max(seq) AS seq FROM events WHERE in_table = 'editions'")
    return {"seq": (last or {}).get("seq") or 0, "editions": rows}


def publish(folder: Path, state: State) -> None:
    """Bring lists/current.json up to the state, if it is not; the writers' turn is held."""
    path = folder / "lists" / "current.json"
    last = state.one("SELECT max(seq) AS seq FROM events WHERE in_table = 'editions'")
    wanted = (last or {}).get("seq") or 0
    if wanted != shown_seq(path):
        layout.write_json(path, current_document(state))


def shown_seq(path: Path) -> int:
    """Return the event up to which the current.json at `path` shows the lists; -1 if unreadable."""
    try:
        return int(layout.read_json(path)["seq"])
    except FileNotFoundError:
        return 0
    except (ValueError, KeyError, TypeError):
        return -1
