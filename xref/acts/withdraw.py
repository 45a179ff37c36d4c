"""Take back a list loaded by mistake: under a wrong supplier, or the wrong file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NothingFound
from xref.sourcing.lookup import supplier_key

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.edition import Edition


def withdraw(store: Store, name: str) -> dict[str, Any]:
    """Take back the current edition of the list with this number or name.

    Returns the edition taken back and the one that counts now, None when there was none before.
    Raises NothingFound for an unknown list, Impossible for a name that several lists bear.
    """
    edition = _named(store, name)
    store.withdraw(edition)
    now = next((e for e in store.editions() if e.list == edition.list), None)
    return {
        "list": edition.list,
        "name": edition.name,
        "table": edition.table,
        "withdrawn": edition.number,
        "current": now.number if now else None,
        "as_of": now.day.isoformat() if now else None,
    }


def _named(store: Store, name: str) -> Edition:
    editions = store.editions()
    found = [e for e in editions if str(e.list) == name.strip()] or [
        e
        for e in editions
        if supplier_key(name) in (supplier_key(e.name), supplier_key(e.supplier or ""))
    ]
    if not found:
        raise NothingFound(
            f"no list {name!r} is loaded. `xref store info` shows those there are.",
            at="list",
            code="unknown-list",
        )
    if len(found) > 1:
        raise Impossible(
            f"{len(found)} lists are called {name!r}: name one by its number ("
            + ", ".join(f"{e.list} for {e.table} {e.name}" for e in found)
            + ")",
            at="list",
        )
    return found[0]
