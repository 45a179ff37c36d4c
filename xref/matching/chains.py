"""Replacements of a number for one machine: chains of statements with serial breaks respected.

The parts book says which form is for which serial numbers. Whoever asks for the form before a
break is never given the later one unasked: it is withheld, with the reason, and given when the
later variant is accepted, when the user has proved it, or when something found on the machine
itself has been noted against the book. What the machine shows comes before what the book says of
it, in both directions: a machine found with the form before the break is not given the later one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from xref.matching.graph import Graph, Route, Step
from xref.matching.variants import Variant, covers, excludes, variant
from xref.store.edition import folded
from xref.store.number_key import number_key

Forms = Callable[[str], Sequence[Variant]]
"""Gives the variants that lists state for a number key."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What was found on the machine itself, whatever the book says.

    `number` was found fitted on `machine` (a serial number or range as `variants.machine` and
    `variants.variant` read them); None: on the machine in question. `instead_of` is the number
    the book gives there, `form` the variant the part is, `sizes` what it measures, by dimension
    as the state keeps sizes; each may be missing. `where` and `on` say on what and when, `named`
    is the machine's name.
    """

    number: str
    machine: Variant | None = None
    note: str = ""
    instead_of: str = ""
    form: Variant | None = None
    sizes: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    kind: str | None = None
    where: str = ""
    named: str = ""
    on: str = ""
    record: int | None = None

    @property
    def key(self) -> str:
        """Return the searching form of the number found."""
        return number_key(self.number)

    @property
    def book_key(self) -> str:
        """Return the searching form of the number the book gives there."""
        return number_key(self.instead_of)

    @property
    def keys(self) -> set[str]:
        """Return the searching forms of the numbers it speaks of."""
        return {self.book_key, self.key} - {""}

    def is_on(self, machine: str) -> bool:
        """Whether it was seen on the machine of this name; one without a name may be any's."""
        return not self.named or folded(self.named) == folded(machine)

    def is_of(self, wanted: Variant) -> bool:
        """Whether it was seen on a wanted machine."""
        return self.machine is None or covers(wanted, self.machine) or covers(self.machine, wanted)

    def speaks_of(self, key: str, wanted: Variant) -> bool:
        """Whether this number was found on a wanted machine."""
        return bool(key) and self.key == key and self.is_of(wanted)

    def sentence(self) -> str:
        """Return what was seen, where and when."""
        seen = [
            f"bears {self.number}" if self.number else "",
            f"is the form {self.form.text!r}" if self.form else "",
            f"measures {self.measures}" if self.sizes else "",
        ]
        said = f"{self.instead_of} on {self.where or 'the machine'}: the part fitted "
        said += " and ".join(filter(None, seen))
        return said + f" (noted {self.on})" * bool(self.on) + f"; {self.note}" * bool(self.note)

    @property
    def source(self) -> str:
        """Return where it was seen, in words."""
        return ", ".join(filter(None, ("found on the machine", self.where, self.on)))

    def document(self) -> dict[str, Any]:
        """Return it as JSON."""
        return {
            "evidence": self.record,
            "number": self.instead_of,
            "where": self.where,
            "serial": self.machine.text if self.machine else None,
            "bears": self.number or None,
            "form": self.form.text if self.form else None,
            "measures": {name: size["text"] for name, size in self.sizes.items()},
            "on": self.on or None,
            "says": self.sentence(),
        }

    @property
    def measures(self) -> str:
        """Return its sizes in words."""
        return ", ".join(
            f"{name.replace('_', ' ')} {size['text']}" for name, size in self.sizes.items()
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
    if meant is not None:  # what was found on other machines says nothing of this one
        elsewhere = {e.record for e in evidence if e.record is not None and not e.is_of(meant)}
        own = [s for s in graph.proofs if not (s.is_found and s.row in elsewhere)]
        graph = graph if len(own) == len(graph.proofs) else Graph(graph.lists, own)
    takes = [] if meant is None else [meant, *accepted]  # grows with what a machine shows
    shown = _form_shown(graph, key, meant, evidence)
    if shown is not None and meant is not None and shown.form is not None:
        # Of the very machine asked for, what it shows takes the place of what the book says.
        rules = wanted is not None and (shown.machine is None or covers(shown.machine, meant))
        takes = [shown.form, *accepted] if rules else [meant, shown.form, *accepted]
    withheld: dict[str, Withheld] = {}
    noted: dict[str, str] = {}

    def admits(step: Step) -> bool:
        if meant is None:
            return True
        why = _excluded(step, forms(step.to_key), takes)
        if why is None or step.first.is_proof:
            book = _excluded(step, forms(step.to_key), (meant, *accepted)) if shown else None
            if book is not None and shown is not None and not step.first.is_proof:
                noted[step.to_key] = f"against the book ({book}): {shown.sentence()}"
            return True
        for found in evidence:
            if found.speaks_of(step.to_key, meant):
                told = found.sentence() if found.instead_of else found.note
                noted[step.to_key] = f"found on the machine, against the book ({why})" + (
                    f": {told}" if told else ""
                )
                takes.extend(form for form in forms(step.to_key) if form.is_range)
                return True
        if shown is not None and takes[0] is shown.form:
            why += f", the form found on the machine: {shown.sentence()}"
        withheld[step.to_key] = Withheld(step, why)
        return False

    routes = tuple(graph.reach(key, limit=limit, admits=admits))
    given = {route.key for route in routes}
    return Chains(routes, tuple(w for to, w in withheld.items() if to not in given), noted)


def _form_shown(
    graph: Graph, key: str, meant: Variant | None, evidence: Sequence[Evidence]
) -> Evidence | None:
    """Return the latest evidence on which form a machine meant has.

    It may be noted of this number or of one that a statement names beside it.
    """
    for one in reversed(evidence):
        if one.form is None or meant is None or not one.is_of(meant):
            continue
        own = {one.book_key, one.key}
        if key in own or any(
            key == s.key or key in s.to_keys for k in own if k for s in graph.about(k)
        ):
            return one
    return None


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
