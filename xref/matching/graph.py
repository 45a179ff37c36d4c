"""What may stand in for a number: statements of all lists as one graph, walked when asked.

Nothing is built at the time of the question: each list brings its sorted statements
(`store.statement_index`), the user's proofs are a small list more. Loops in the lists cannot
catch the walk, because every number is settled once.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count

import numpy as np

from xref.store.statement_index import Names, StatementIndex, holds_both_ways, name_of
from xref.store.statements import EQUAL_TO, MAY_SERVE_AS, SUPERSEDED_BY, Statement

# How far one list's word carries. A ranking aid: common practice, no source. A maker's own
# supersession is worth more than a dealer's "may serve as"; what ran in the user's machine most.
STRENGTH = {SUPERSEDED_BY: 0.9, EQUAL_TO: 0.85, MAY_SERVE_AS: 0.6}
PROVED = 0.999
FOUND = 0.995


def strength(statements: Sequence[Statement]) -> float:
    """Return how well one step is supported, 0..1.

    Lists are taken as independent, so their doubts multiply; several lines of one list count
    once. Lists alone never reach what was found on the machine, nor that what is proved.
    """
    if any(s.is_proof for s in statements):
        return PROVED
    if any(s.is_found for s in statements):
        return FOUND
    by_list: dict[tuple[str, str], float] = {}
    for s in statements:
        where = (s.table, s.list)
        by_list[where] = max(by_list.get(where, 0.0), STRENGTH.get(s.relation, 0.5))
    doubt = 1.0
    for one in by_list.values():
        doubt *= 1 - one
    return min(1 - doubt, 0.99)


@dataclass(frozen=True)
class Step:
    """One step from a number to another, with all statements that support it, strongest first.

    `to_key` is the number reached; `together` are the others that must be used with it.
    """

    key: str
    to_key: str
    together: tuple[str, ...]
    quantity: int
    statements: tuple[Statement, ...]

    @property
    def together_quantities(self) -> tuple[int, ...]:
        """Return how many pieces of each of `together` are needed."""
        return tuple(self.first.pieces_of(key) for key in self.together)

    @property
    def first(self) -> Statement:
        """Return the strongest statement."""
        return self.statements[0]

    @property
    def stated(self) -> Statement:
        """Return the strongest statement of a list; the user's own if no list says it."""
        return next((s for s in self.statements if not s.is_own), self.first)

    @property
    def strength(self) -> float:
        """How well the step is supported, 0..1."""
        return strength(self.statements)

    @property
    def to_number(self) -> str:
        """Return the number reached, as written."""
        return self.written(self.to_key)

    def written(self, key: str) -> str:
        """Return a number of the step as the strongest statement writes it."""
        if key in self.first.to_keys:
            return self.first.to[self.first.to_keys.index(key)]
        return self.first.number


@dataclass(frozen=True)
class Route:
    """A chain of steps to `key`. `quantity` pieces of it take the place of one."""

    key: str
    steps: tuple[Step, ...]
    strength: float
    quantity: int = 1

    @property
    def number(self) -> str:
        """Return the number reached, as written."""
        return self.steps[-1].to_number

    @property
    def together(self) -> tuple[str, ...]:
        """Return the numbers that must be used with it, as written."""
        last = self.steps[-1]
        return tuple(last.written(key) for key in last.together)

    @property
    def beside(self) -> tuple[str, ...]:
        """Return the same with how many of each, where more than one: `2 of KM 1`."""
        counts = self.steps[-1].together_quantities
        return tuple(
            number if count == 1 else f"{count} of {number}"
            for number, count in zip(self.together, counts, strict=True)
        )

    @property
    def relation(self) -> str:
        """Return `superseded by` if every step is a supersession, else `interchange`."""
        only = all(step.stated.relation == SUPERSEDED_BY for step in self.steps)
        return SUPERSEDED_BY if only else "interchange"

    @property
    def is_proved(self) -> bool:
        """Whether the last step is the user's own proof."""
        return self.steps[-1].first.is_proof

    @property
    def is_found(self) -> bool:
        """Whether the last step rests on a part found on the machine."""
        return self.steps[-1].first.is_found


@dataclass(frozen=True)
class Graph:
    """The statements of several lists. `proofs` are the user's own, evidence included."""

    lists: Sequence[StatementIndex]
    proofs: Sequence[Statement] = ()
    _all: tuple[StatementIndex, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        own = (StatementIndex.from_statements(self.proofs),) if self.proofs else ()
        object.__setattr__(self, "_all", (*own, *self.lists))

    def about(self, key: str) -> list[Statement]:
        """Return every statement that names `key`, the user's own first."""
        return [s for index in self._all for s in index.about(key)]

    def refused(self, key: str) -> set[str]:
        """Return the numbers that the user has tried in place of `key` and that did not fit."""
        return {to for s in self.proofs if not s.holds and s.key == key for to in s.to_keys}

    def steps(self, key: str) -> list[Step]:
        """Return the steps from `key`, best supported first.

        A number that the user's own proof says does not serve is left out, whatever lists say.
        """
        refused = self.refused(key)
        edges: dict[tuple[str, tuple[str, ...], int], list[Statement]] = {}
        for s in self.about(key):
            if not s.holds:
                continue
            for to, together in _targets(s, key):
                edges.setdefault((to, together, s.pieces_of(to)), []).append(s)
        found = [
            Step(key, to, together, quantity, tuple(sorted(said, key=_weight)))
            for (to, together, quantity), said in edges.items()
            if to not in refused and to != key
        ]
        return sorted(found, key=lambda step: (-step.strength, step.to_key, step.together))

    def reach(
        self,
        key: str,
        *,
        most_steps: int = 40,
        limit: int = 50,
        admits: Callable[[Step], bool] = lambda _: True,
    ) -> Iterator[Route]:
        """Yield the best supported route to each number that may stand in, best first.

        A route's strength is the product of its steps'. `most_steps` bounds the chain, `limit`
        the numbers yielded; a step that `admits` refuses is not gone, nor is what lies beyond it.
        What did not fit in place of `key` is not reached by a longer way either.
        """
        refused = self.refused(key)
        order = count()  # settles ties, so that steps are never compared
        waiting: list[tuple[float, int, int, str, tuple[Step, ...]]]
        waiting = [(-1.0, 0, next(order), key, ())]
        settled: set[str] = set()
        yielded = 0
        while waiting and yielded < limit:
            negative, length, _, here, steps = heapq.heappop(waiting)
            if here in settled:
                continue
            settled.add(here)
            if steps:
                quantity = 1
                for step in steps:
                    quantity *= step.quantity
                yield Route(here, steps, -negative, quantity)
                yielded += 1
            if length == most_steps:
                continue
            for step in self.steps(here):
                if step.to_key in settled or step.to_key in refused:
                    continue
                if admits(step):
                    heapq.heappush(
                        waiting,
                        (negative * step.strength, length + 1, next(order), step.to_key,
                         (*steps, step)),
                    )  # fmt: skip

    def route(self, key: str, to: str, *, most_steps: int = 24) -> Route | None:
        """Return a shortest chain from `key` to `to`, or None.

        Searched from both ends at once, whole frontiers at a time; only the chain found is read.
        """
        names = self._shortest(name_of(key), name_of(to), most_steps)
        if not names:
            return None
        steps: list[Step] = []
        here = key
        for name in names[1:]:
            step = next((s for s in self.steps(here) if name_of(s.to_key) == name), None)
            if step is None:  # withdrawn by the user's own proof
                return self._slow_route(key, to, most_steps)
            steps.append(step)
            here = step.to_key
        carried, quantity = 1.0, 1
        for step in steps:
            carried *= step.strength
            quantity *= step.quantity
        return Route(here, tuple(steps), carried, quantity) if steps else None

    def _slow_route(self, key: str, to: str, most_steps: int) -> Route | None:
        routes = self.reach(key, most_steps=most_steps, limit=5000)
        return next((route for route in routes if route.key == to), None)

    def _shortest(self, start: int, goal: int, most_steps: int) -> list[int]:
        """Return the names along a shortest chain, from `start` to `goal`; empty if none."""
        if start == goal:
            return []
        ends = (np.array([start], np.uint64), np.array([goal], np.uint64))
        layers: tuple[list[Names], list[Names]] = ([ends[0]], [ends[1]])
        seen = [ends[0], ends[1]]
        for _ in range(most_steps):
            side = 0 if len(layers[0][-1]) <= len(layers[1][-1]) else 1
            fresh = self._next(layers[side][-1], backwards=side == 1)
            fresh = fresh[~_member(fresh, seen[side])]
            if not fresh.size:
                return []
            layers[side].append(fresh)
            met = fresh[_member(fresh, layers[1 - side][-1])]
            if met.size:
                return self._joined(layers, int(met[0]))
            seen[side] = np.union1d(seen[side], fresh)
        return []

    def _joined(self, layers: tuple[list[Names], list[Names]], middle: int) -> list[int]:
        """Trace both halves of a chain from where they met."""
        halves: list[list[int]] = [[], []]
        for side in (0, 1):
            here = middle
            for layer in reversed(layers[side][:-1]):
                one = np.array([here], np.uint64)
                before = self._next(one, backwards=side == 0)
                here = int(layer[_member(layer, before)][0])
                halves[side].append(here)
        return [*reversed(halves[0]), middle, *halves[1]]

    def _next(self, names: Names, *, backwards: bool) -> Names:
        reached = [index.next(names, backwards=backwards) for index in self._all]
        return np.unique(np.concatenate(reached)) if reached else np.zeros(0, np.uint64)


def _member(names: Names, among: Names) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which of `names` are in the sorted `among`."""
    at = np.searchsorted(among, names)
    at[at == len(among)] = 0
    inside: np.ndarray[tuple[int], np.dtype[np.bool_]] = among[at] == names
    return inside


def _targets(statement: Statement, key: str) -> Iterable[tuple[str, tuple[str, ...]]]:
    """Return the numbers a statement leads to from `key`, each with what goes with it."""
    if statement.key == key:
        for to in statement.to_keys:
            yield to, tuple(other for other in statement.to_keys if other != to)
    elif holds_both_ways(statement) and statement.to_keys[0] == key:
        yield statement.key, ()


def _weight(statement: Statement) -> tuple[bool, bool, float, str, str]:
    return (
        not statement.is_proof,
        not statement.is_found,
        -STRENGTH.get(statement.relation, 0.5),
        statement.list,
        str(statement.row),
    )
