"""Which open wants a list that was just loaded can fill, by number, variant or fit."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from xref.acts.want_candidates import candidates
from xref.sourcing import supply, wants

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.edition import Edition


def fills(store: Store, edition: Edition, on: date) -> list[dict[str, Any]]:
    """Return the lines of the list's new edition that a want still to be covered can take."""
    with store.reading() as state:
        open_wants = [row for row in wants.rows(state, on) if row["needed"] > 0]
    if not open_wants:
        return []
    found = supply.listings(store, open_wants, candidates(store, open_wants))
    return [
        {
            "want": want["want"],
            "wanted": want["number"] or want["description"] or want["kind"],
            "number": line.number,
            "maker": line.maker,
            "how": line.verdict or line.how,
            "quantity": line.quantity,
            "price": line.price,
            "currency": line.currency,
        }
        for want in open_wants
        for line in found.get(want["want"], [])
        if line.current and line.list == edition.name and line.quantity != 0
    ]
