"""Load a file into the store: read, decide, one new edition or nothing, and what it now fills."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.acts import records
from xref.acts.fills import fills
from xref.acts.read import export_rejects, read
from xref.errors import Impossible, NeedsAnswer, Refused
from xref.store.edition import Edition, ListInfo, folded
from xref.store.files import digest_of
from xref.store.frame import frame, joined
from xref.tables import read_table
from xref.tables.document import set_aside_document

if TYPE_CHECKING:
    from xref.store import Store
    from xref.tables import Reading

log = logging.getLogger("xref.load")

CHANGES_SHOWN = 200


def load(
    store: Store,
    path: Path,
    *,
    on: date,
    name: str | None = None,
    mend: bool = False,
    rejects: Path | None = None,
    tell: Callable[[str], None] | None = None,
    **answers: Any,
) -> dict[str, Any]:
    """Load the table at `path` and return the document of `xref load`.

    `tell` is called with a sentence when a stage ends: how many rows were read, that they are
    written.

    `on` is the day the list is as of; with `mend` the rows join the current edition of the same
    list instead of replacing it. Answers given are remembered for the supplier.
    Raises Refused for a file that is no table or holds no usable row, NeedsAnswer for a question
    about the whole list; the store is then as it was.
    """
    supplier = answers.get("supplier")
    reading = read_table(
        path, **answers, profile=_remembered(store, supplier, answers.get("table"))
    )
    if rejects is not None:
        export_rejects(reading, rejects)
    _usable(reading, path)
    table = str(reading.table)
    log.info("read %s as %s: %d rows", path, table, reading.row_count)
    tell = tell or _silent
    tell(f"{reading.row_count:,} rows read, {len(reading.set_aside):,} set aside")
    if table in records.TABLES:
        document = records.load(store, table, reading, on)
    else:
        document = _load_list(
            store, reading, path, supplier, on=on, name=name, mend=mend, tell=tell
        )
    if supplier:
        _remember(store, supplier, table, reading.profile)
    return {
        **document,
        "set_aside": len(reading.set_aside) + len(document.get("set_aside_rows", [])),
        "furniture": reading.furniture,
        "set_aside_rows": [
            *set_aside_document(reading.set_aside),
            *document.get("set_aside_rows", []),
        ],
        "notes": [*document.get("notes", []), *reading.notes],
    }


def preview(
    store: Store, path: Path, *, rejects: Path | None = None, **answers: Any
) -> dict[str, Any]:
    """Return the document of `xref read` as `load` would understand the file; load nothing.

    The answers remembered for the supplier hold here too.
    """
    profile = _remembered(store, answers.get("supplier"), answers.get("table"))
    return read(path, rejects=rejects, profile=profile, **answers)


def _silent(_: str) -> None:
    """Tell nobody."""


def _usable(reading: Reading, path: Path) -> None:
    """Raise when nothing may be loaded."""
    if reading.refused:
        raise Refused(reading.message, at=str(path))
    if reading.questions:
        raise NeedsAnswer("; ".join(reading.questions), at=str(path))
    if reading.table is None:
        raise NeedsAnswer(f"What kind of table is {path.name}? Say it with --table.", at=str(path))
    if reading.row_count == 0:
        aside = len(reading.set_aside)
        raise Refused(
            f"{path.name} holds no row that can be loaded"
            + (f"; {aside} were set aside (`xref read` shows why)" if aside else "")
            + ". The list loaded before stays as it was.",
            at=str(path),
            code="no-rows",
        )


def _load_list(
    store: Store,
    reading: Reading,
    path: Path,
    supplier: str | None,
    *,
    on: date,
    name: str | None,
    mend: bool,
    tell: Callable[[str], None],
) -> dict[str, Any]:
    """Add the reading as the newest edition of its list."""
    info = ListInfo(
        table=str(reading.table),
        name=name or supplier or path.stem,
        supplier=supplier,
        currency=reading.currency,
        unit=reading.unit,
        file=path.name,
        digest=digest_of(path),
        as_of=on,
        decisions={"columns": reading.columns, "unit": reading.unit, "kind": reading.kind},
    )
    before = _current(store, info)
    if mend:
        if before is None:
            raise Impossible(
                f"there is no current list of {info.supplier or info.name} that {path.name} could "
                "mend. Load the list first, and name it as then (--supplier or --name).",
                at=str(path),
                code="nothing-to-mend",
            )
        if before.decisions.get("mended", {}).get(info.digest):
            return _document(before, store, None, on, unchanged=True)
        rows = _merged(store, before, reading)
        info = _mended(before, info)
    else:
        rows = reading.coded_rows
    from xref.acts.designated_rows import with_standard_sizes

    rows, sized = with_standard_sizes(rows)
    edition = store.add_edition(info, rows)
    tell(f"{edition.items:,} rows written and indexed")
    if edition.already:
        return _document(edition, store, None, on, unchanged=True)
    document = _document(
        edition,
        store,
        store.changes(edition, before, CHANGES_SHOWN),
        on,
        unchanged=False,
        first=before is None,
    )
    if before is not None and before.as_of is not None and on < before.as_of:
        sized = [
            *sized,
            f"this list is as of {on}, older than the one it replaces, as of {before.as_of}: "
            "load the newer one again if this was not meant",
        ]
    return {**document, "notes": sized}


def _document(
    edition: Edition,
    store: Store,
    changes: dict[str, Any] | None,
    on: date,
    *,
    unchanged: bool,
    first: bool = False,
) -> dict[str, Any]:
    none = dict.fromkeys(("new", "gone", "changed", "dearer", "cheaper", "quantity"), 0)
    shown = changes or none
    return {
        "list": edition.name,
        "table": edition.table,
        "edition": edition.number,
        "loaded": edition.items,
        "unchanged": unchanged,
        "first": first,
        **{name: shown[name] for name in none},
        "change_rows": shown.get("examples", {}),
        "fills": fills(store, edition, on) if edition.table == "stock" else [],
    }


def _current(store: Store, info: ListInfo) -> Edition | None:
    return next((e for e in store.editions(info.table) if e.identity == info.identity), None)


def _merged(store: Store, before: Edition, reading: Reading) -> Any:
    """Return the rows of the current edition with the mended ones after them."""
    return joined(frame(store, before), reading.rows)


def _mended(before: Edition, info: ListInfo) -> ListInfo:
    """Return what is known of the list, with the file that mended it remembered."""
    mended = {**before.decisions.get("mended", {}), info.digest: info.file}
    return ListInfo(
        table=before.table,
        name=before.name,
        supplier=before.supplier,
        currency=before.currency,
        unit=before.unit,
        file=before.file,
        digest=before.digest,
        as_of=before.as_of,
        decisions={**before.decisions, "mended": mended},
    )


def _profile(supplier: str, table: str) -> str:
    return f"{folded(supplier)}|{table}"


def _remembered(store: Store, supplier: str | None, table: str | None) -> dict[str, Any]:
    """Return the answers given for this supplier's files before; none where two tables compete."""
    if not supplier:
        return {}
    with store.reading() as state:
        rows = state.rows("SELECT * FROM profiles WHERE supplier = ?", [folded(supplier)])
    fitting = [row for row in rows if table is None or row["table_name"] == table]
    return dict(fitting[0]["answers"]) if len(fitting) == 1 else {}


def _remember(store: Store, supplier: str, table: str, profile: Mapping[str, Any]) -> None:
    """Note how this supplier's lists are read, when that is news."""
    if not profile or profile == _remembered(store, supplier, table):
        return
    with store.writing("remember how a supplier's lists are read") as state:
        state.record(
            "answers remembered",
            "profiles",
            _profile(supplier, table),
            {"supplier": folded(supplier), "table_name": table, "answers": dict(profile)},
        )
