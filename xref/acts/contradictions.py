"""Where the lists of a store disagree: with each other, with sizes, with designations."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xref.store import Store

_DESIGNATED = ("rolling_bearing", "o_ring")


def contradictions(store: Store, *, number: str | None = None) -> dict[str, Any]:
    """Return the document of `xref contradictions`; with `number` only what concerns it."""
    from xref.matching import contradictions as finding
    from xref.matching.experience import experience
    from xref.store.disputed import disputable

    editions = store.editions()
    indexes = [store.statement_index(edition) for edition in editions]
    statements = [index.statement(n) for index in indexes for n in range(len(index))]
    own = experience(store)
    keys = {key for s in statements for key in (s.key, *s.to_keys)}
    keys |= {key for e in own.evidence for key in (e.book_key, e.key) if key}
    items = disputable(store.lists, editions, keys, _DESIGNATED)
    found = finding.contradictions(
        items, [*statements, *own.statements], number=number, evidence=own.evidence
    )
    return {"contradictions": found}
