"""Which numbers the user's machines and the interchange lists offer in place of a number."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from xref.matching import rank
from xref.matching.chains import Chains, Evidence, chains, forms_of
from xref.matching.experience import experience
from xref.matching.graph import Graph
from xref.matching.lists import StoredLists
from xref.matching.variants import Variant
from xref.store.number_key import number_key
from xref.store.statements import SUPERSEDED_BY

if TYPE_CHECKING:
    from xref.store import Store


@dataclass(frozen=True, slots=True)
class Supporter:
    """One number offered in place of another: how strongly, and who says so."""

    number: str
    code: int
    text: str


@dataclass(frozen=True, slots=True)
class Standing:
    """What may stand in for a number, and what is for other machines and why, by number key."""

    supporters: dict[str, Supporter]
    elsewhere: dict[str, str]


def supporters(
    store: Store,
    number: str,
    *,
    wanted: Variant | None = None,
    accepted: Sequence[Variant] = (),
    evidence: Sequence[Evidence] | None = None,
) -> dict[str, Supporter]:
    """See `standing`, of which this is one half."""
    return standing(store, number, wanted=wanted, accepted=accepted, evidence=evidence).supporters


def standing(
    store: Store,
    number: str,
    *,
    wanted: Variant | None = None,
    accepted: Sequence[Variant] = (),
    evidence: Sequence[Evidence] | None = None,
) -> Standing:
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

    graph = lists.graph()
    found = chains(
        graph,
        number_key(number),
        forms,
        wanted=wanted,
        accepted=accepted,
        evidence=seen,
    )
    given = {
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
    return Standing(given, _elsewhere(graph, found, given))


def _elsewhere(graph: Graph, found: Chains, given: Collection[str]) -> dict[str, str]:
    """Return what was withheld, and what has superseded it in turn."""
    why: dict[str, str] = {}
    for withheld in found.withheld:
        first = withheld.step.to_key
        why.setdefault(first, f"{withheld.why} ({withheld.step.first.source})")
        later = graph.reach(first, limit=20, admits=lambda s: s.stated.relation == SUPERSEDED_BY)
        for route in later:
            told = f"it supersedes {withheld.step.to_number}: {withheld.why}"
            why.setdefault(route.key, f"{told} ({route.steps[-1].first.source})")
    return {key: text for key, text in why.items() if key not in given}
