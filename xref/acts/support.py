"""Which numbers the user's proofs and the interchange lists offer in place of a number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from xref.matching import rank
from xref.store.number_key import number_key
from xref.store.statements import PROOFS, Statement, statements_of

if TYPE_CHECKING:
    from xref.store import Store

MOST_STEPS = 4


@dataclass(frozen=True, slots=True)
class Supporter:
    """One number offered in place of another: how strongly, and who says so."""

    number: str
    code: int
    text: str


def supporters(store: Store, number: str) -> dict[str, Supporter]:
    """Return the numbers that may stand in for `number`, by number key, along chains of lists.

    A proof of the user's own that a number does not serve strikes it out, whatever lists say.
    """
    start = number_key(number)
    proofs = _proofs(store)
    refused = {k for s in proofs if not s.holds and s.key == start for k in s.to_keys}
    found: dict[str, Supporter] = {}
    frontier = {start}
    for _ in range(MOST_STEPS):
        said = [s for s in proofs if s.holds and frontier & {s.key}]
        for row in store.replacements(sorted(frontier)):
            said += statements_of([row], list_name=row["list"], table=row["table"])
        following: set[str] = set()
        for statement in said:
            if statement.key not in frontier:
                continue
            for text, key in zip(statement.to, statement.to_keys, strict=True):
                if key in found or key in refused or key == start:
                    continue
                code = rank.PROVED if statement.is_proof else rank.CLAIMED
                found[key] = Supporter(text, code, f"{statement.sentence()} ({statement.source})")
                following.add(key)
        if not following:
            break
        frontier = following
    return found


def _proofs(store: Store) -> list[Statement]:
    with store.reading() as state:
        rows = state.rows("SELECT * FROM proofs ORDER BY proof")
    return [
        Statement(
            number=row["number"],
            to=(row["by_number"],),
            to_maker=row["by_maker"],
            list=str(row["proved_on"] or ""),
            table=PROOFS,
        )
        for row in rows
        if row["number"] and row["by_number"]
    ]
