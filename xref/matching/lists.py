"""What identification needs of the lists, and the store as one that gives it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Protocol

from xref.matching.experience import experience
from xref.matching.graph import Graph

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.number_index import NumberIndex  # at run time it would bring RapidFuzz in

Item = dict[str, Any]
"""A row of a list: `number, maker, kind, description, table, list, at, variant,
dimensions_mm` and what else the list gives; None where it says nothing."""


_PLACES = 20  # rows of one description that are shown


@dataclass(frozen=True, slots=True)
class Told:
    """A description as it stands in a list, the kind stated with it, and where it stands."""

    description: str
    kind: str | None
    places: Sequence[Any]


class Lists(Protocol):
    """The lists to look in."""

    def items_by_number(self, numbers: Iterable[str]) -> list[Item]:
        """Return the rows whose number has one of these, or their searching forms."""

    def number_indexes(self) -> Sequence[NumberIndex]:
        """Return an index of the numbers of each list."""

    def graph(self) -> Graph:
        """Return all statements, the user's proofs included."""

    def descriptions(self, words: Sequence[str], kinds: Sequence[str], limit: int) -> list[Told]:
        """Return descriptions that hold words (as parts of words, any case), most of them first.

        `kinds` narrows to rows of a kind, if any is given; then the words may be missing.
        """

    def items_at(self, places: Sequence[Any]) -> list[Item]:
        """Return the rows at places that `descriptions` named, in that order."""


class StoredLists:
    """The current lists of a store."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._editions = store.editions()

    def items_by_number(self, numbers: Iterable[str]) -> list[Item]:
        """See `Lists`."""
        return self._store.items_by_number(list(numbers))

    def number_indexes(self) -> list[NumberIndex]:
        """See `Lists`."""
        return [self._store.number_index(edition) for edition in self._editions]

    def graph(self) -> Graph:
        """See `Lists`."""
        stated = [self._store.statement_index(edition) for edition in self._editions]
        own = experience(self._store).statements
        return Graph([index for index in stated if len(index)], own)

    def descriptions(self, words: Sequence[str], kinds: Sequence[str], limit: int) -> list[Told]:
        """See `Lists`."""
        from xref.store.wording import descriptions_with

        found = descriptions_with(
            self._store.lists, self._editions, words, kinds, limit=limit, places=_PLACES
        )
        return [Told(*entry) for entry in found]

    def items_at(self, places: Sequence[Any]) -> list[Item]:
        """See `Lists`."""
        editions = {edition.edition: edition for edition in self._editions}
        return self._store.lists.by_place([(editions[e], item) for e, item in places])
