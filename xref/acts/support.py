"""Which numbers the user's machines and the interchange lists offer in place of a number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from xref.matching import rank
from xref.matching.chains import Evidence, chains, forms_of
from xref.matching.experience import experience
from xref.matching.lists import StoredLists
from xref.matching.variants import Variant
from xref.store.number_key import number_key

if TYPE_CHECKING:
    from xref.store import Store


@dataclass(frozen=True, slots=True)
class Supporter:
    """One number offered in place of another: how strongly, and who says so."""

    number: str
    code: int
    text: str


def supporters(
    store: Store,
    number: str,
    *,
    wanted: Variant | None = None,
    accepted: Sequence[Variant] = (),
    evidence: Sequence[Evidence] | None = None,
) -> dict[str, Supporter]:
    """Return the numbers that may stand in for `number`, by number key, best supported first.

    Chains run across lists. A proof of the user's own that a number does not serve strikes it
    out, whatever lists say; so does a serial break: what is for other machines than `wanted` (by
    default the machines the number's own rows are for) is left out unless `accepted`, or unless
    something found on such a machine says otherwise (`evidence`: by default all that was noted).
    """
    lists = StoredLists(store)
    seen = experience(store).evidence if evidence is None else evidence

    def forms(key: str) -> list[Variant]:
        return forms_of(lists.items_by_number([key]))

    found = chains(
        lists.graph(),
        number_key(number),
        forms,
        wanted=wanted,
        accepted=accepted,
        evidence=seen,
    )
    return {
        route.key: Supporter(
            route.number,
            rank.PROVED if route.is_proved else rank.FOUND if route.is_found else rank.CLAIMED,
            "; ".join(
                [
                    *(f"{s.sentence()} ({s.source})" for s in route.steps[-1].statements),
                    *filter(None, [found.against_the_book.get(route.key)]),
                ]
            ),
        )
        for route in found.routes
    }
