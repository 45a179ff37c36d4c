"""Replacements of a number for one machine: chains of statements with serial breaks respected.

The parts book says which form is for which serial numbers. Whoever asks for the form before a
break is never given the later one unasked: it is withheld, with the reason, and given when the
later variant is accepted, when the user has proved it, or when something found on the machine
itself has been noted against the book.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from xref.matching.graph import Graph, Route, Step
from xref.matching.variants import Variant, covers, excludes, variant
from xref.store.number_key import number_key

Forms = Callable[[str], Sequence[Variant]]
"""Gives the variants that lists state for a number key."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was found on the machine itself, whatever the book says.

    `number` was found fitted on `machine` (a serial number or range as `variants.machine` and
    `variants.variant` read them); None: on the machine in question.
    """

    number: str
    machine: Variant | None = None
    note: str = ""

    def speaks_of(self, key: str, wanted: Variant) -> bool:
        """Whether it is about this number on a wanted machine."""
        return number_key(self.number) == key and (
            self.machine is None or covers(wanted, self.machine) or covers(self.machine, wanted)
        )


@dataclass(frozen=True, slots=True)
class Withheld:
    """A number not given, because it is for other machines."""

    step: Step
    why: str


@dataclass(frozen=True, slots=True)
class Chains:
    """Routes to what may stand in, best first, and what was withheld.

    `against_the_book` has, by number key, the evidence that admitted a number.
    """

    routes: tuple[Route, ...]
    withheld: tuple[Withheld, ...]
    against_the_book: Mapping[str, str]


def forms_of(items: Iterable[Mapping[str, Any]]) -> list[Variant]:
    """Return the distinct variants that rows of lists state."""
    texts = dict.fromkeys(item["variant"] for item in items if item.get("variant"))
    return [variant(text) for text in texts]


def implied(forms: Sequence[Variant]) -> Variant | None:
    """Return the variant that asking for a number implies: the only one its rows state."""
    ranges = [form for form in forms if form.is_range]
    return ranges[0] if len(ranges) == 1 else None


def chains(
    graph: Graph,
    key: str,
    forms: Forms,
    *,
    wanted: Variant | None = None,
    accepted: Sequence[Variant] = (),
    evidence: Sequence[Evidence] = (),
    limit: int = 30,
) -> Chains:
    """Return what may stand in for `key`.

    `wanted` is the machine or variant it is for; without it the number's own rows decide, if they
    are for one range of serial numbers. `accepted` are variants the user takes besides.
    """
    meant = wanted if wanted is not None else implied(forms(key))
    withheld: dict[str, Withheld] = {}
    noted: dict[str, str] = {}

    def admits(step: Step) -> bool:
        if meant is None:
            return True
        why = _excluded(step, forms(step.to_key), (meant, *accepted))
        if why is None or step.first.is_proof:
            return True
        for found in evidence:
            if found.speaks_of(step.to_key, meant):
                noted[step.to_key] = f"found on the machine, against the book ({why})" + (
                    f": {found.note}" if found.note else ""
                )
                return True
        withheld[step.to_key] = Withheld(step, why)
        return False

    routes = tuple(graph.reach(key, limit=limit, admits=admits))
    given = {route.key for route in routes}
    return Chains(routes, tuple(w for to, w in withheld.items() if to not in given), noted)


def _excluded(step: Step, forms: Sequence[Variant], takes: Sequence[Variant]) -> str | None:
    """Return why a step leads to a number for other machines, or None.

    What the lists say of the number itself rules; where they say nothing, what the statement is
    for. A statement of the parts book carries the variant of the older number, hence this order.
    """
    ranges = [form for form in forms if form.is_range]
    if ranges:
        if any(not excludes(taken, form) for taken in takes for form in ranges):
            return None
        return f"{step.to_number} is marked {ranges[0].text!r}; asked for is {takes[0].text!r}"
    for statement in step.statements:
        if statement.variant is None or not all(
            excludes(taken, variant(statement.variant)) for taken in takes
        ):
            return None
    said = step.first
    return (
        f"{said.source} gives {step.to_number} for {said.variant!r}; asked for is {takes[0].text!r}"
    )
