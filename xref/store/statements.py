"""Statements that one number may stand in for another, with who said so and where.

A statement is directed: `to` may be used where `number` is asked for. `equal to` holds both ways.
Alternatives (`A / B`) are statements of their own; what must be used together (`A + B`) is one
statement with several numbers in `to`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from xref.store.number_key import number_key

SUPERSEDED_BY = "superseded by"
EQUAL_TO = "equal to"
MAY_SERVE_AS = "may serve as"
RELATIONS = (SUPERSEDED_BY, EQUAL_TO, MAY_SERVE_AS)

PROOFS = "proofs"
"""The `table` of a statement that the user's own machine has made."""

FOUND = "evidence"
"""The `table` of a statement read from a part found on the machine."""

_EITHER = re.compile(r"\s+/\s+|\s*;\s*|\s+(?:or|oder|ou)\s+|\s*\n\s*", re.IGNORECASE)
_TOGETHER = re.compile(r"\s*\+\s*|\s+(?:and|und|et)\s+|\s+&\s+", re.IGNORECASE)
_USE = re.compile(
    r"^(?:use\s+)?(?P<n>[1-9]\d{0,2})\s*(?:x\s+|×\s*|off?\s+|pcs\.?\s+(?:of\s+)?|pieces\s+of\s+)"
    r"(?P<number>\S.*)$",
    re.IGNORECASE,
)
# "No longer available" and other words that stand where a number would (common practice).
_NO_PART = frozenset({"", "NLA", "NA", "NONE", "NIL", "DISCONTINUED", "OBSOLETE", "NOREPLACEMENT"})


@dataclass(frozen=True)
class Statement:
    """One line of a list, of a parts book or of the user's own experience.

    `quantity`: pieces of each number in `to` that take the place of one; where they differ it is 1
    and `quantities` has those of each. `variant`: the serial
    range or form the line is for. `list`, `table` and `row` say where it stands (the user's own
    word: when); `maker` is whose number `number` is. `holds` is False for a proof that it did not
    fit.
    """

    number: str
    to: tuple[str, ...]
    relation: str = MAY_SERVE_AS
    quantity: int = 1
    variant: str | None = None
    maker: str | None = None
    to_maker: str | None = None
    list: str = ""
    table: str = "interchange"
    row: Any = None
    note: str | None = None
    holds: bool = True
    quantities: tuple[int, ...] = ()

    @cached_property
    def key(self) -> str:
        """Return the searching form of `number`."""
        return number_key(self.number)

    @cached_property
    def to_keys(self) -> tuple[str, ...]:
        """Return the searching forms of `to`."""
        return tuple(map(number_key, self.to))

    @property
    def is_proof(self) -> bool:
        """Whether the user's own machine says so."""
        return self.table == PROOFS

    @property
    def is_found(self) -> bool:
        """Whether a part found on the machine says so."""
        return self.table == FOUND

    @property
    def is_own(self) -> bool:
        """Whether it is the user's own word, not a list's."""
        return self.is_proof or self.is_found

    @property
    def source(self) -> str:
        """Where it stands, in words."""
        if self.is_found:
            return f"found on the machine, {self.list}" if self.list else "found on the machine"
        if self.is_proof:
            return f"own proof, {self.list}" if self.list else "own proof"
        where = self.list or f"{self.table} list"
        return where if self.row is None else f"{where}, {place_in_words(self.row)}"

    def pieces_of(self, key: str) -> int:
        """Return how many pieces of the number with this searching form are needed."""
        if key in self.to_keys and self.quantities:
            return self.quantities[self.to_keys.index(key)]
        return self.quantity

    def sentence(self) -> str:
        """Return what it says, without its source."""
        pieces = " + ".join(
            to if count == 1 else f"{count} of {to}"
            for to, count in zip(self.to, self.quantities or [1] * len(self.to), strict=True)
        )
        if self.quantity != 1:
            pieces = f"{self.quantity} of {pieces}"
        said = self.relation if self.holds else f"does not serve as {self.relation}"
        if self.is_proof:
            said = "proved to be served by" if self.holds else "proved not to be served by"
        elif self.is_found:
            said = "found fitted as"
        elif self.relation == MAY_SERVE_AS:
            said = "may be served by"
        only = f" ({self.variant})" if self.variant else ""
        return f"{self.number} {said} {pieces}{only}"


def place_in_words(at: Any) -> str:
    """Return a row's place: a line number, or sheet and row of a workbook."""
    if isinstance(at, Mapping):
        return ", ".join(f"{name} {value}" for name, value in at.items())
    return f"row {at}"


def read_replacements(written: Any) -> tuple[list[tuple[tuple[str, ...], int]], list[str]]:
    """Return the alternatives in a cell of replacements, and what in it is no number.

    Each alternative is the numbers to be used together and how many of each. `written` is the
    cell's text or a list of texts, one per alternative. Words without any digit are no number:
    "leather packing made to pattern" is advice to a reader.
    """
    found, words = _read(written)
    return [
        (numbers, counts[0] if len(set(counts)) == 1 else 1) for numbers, counts in found
    ], words


Counted = tuple[tuple[str, ...], tuple[int, ...]]
"""Numbers to be used together, and how many of each."""


def _read(written: Any) -> tuple[list[Counted], list[str]]:
    if written is None or (isinstance(written, float) and written != written):
        return [], []
    cells = [written] if isinstance(written, str) else list(written)
    found: list[Counted] = []
    words: list[str] = []
    for cell in cells:
        for alternative in _EITHER.split(cell) if isinstance(cell, str) else [cell]:
            joint = (
                _TOGETHER.split(alternative) if isinstance(alternative, str) else list(alternative)
            )
            numbers, counts = _joint(str(piece) for piece in joint)
            if all(any(c.isdigit() for c in number) for number in numbers) and numbers:
                found.append((numbers, counts))
            elif any(number_key(number) not in _NO_PART for number in numbers):
                words.append(" + ".join(numbers))
    return found, words


def _joint(pieces: Iterable[str]) -> Counted:
    numbers: list[str] = []
    counts: list[int] = []
    for piece in pieces:
        used = _USE.match(piece.strip())
        number = used["number"].strip() if used else piece.strip()
        if number:
            numbers.append(number)
            counts.append(int(used["n"]) if used else 1)
    return tuple(numbers), tuple(counts)


def statements_of(
    rows: Iterable[Mapping[Any, Any]], *, list_name: str, table: str
) -> Iterator[Statement]:
    """Yield the statements in rows as read (`number`, `replacements`, `relation` …).

    Rows of originals speak of supersession unless they say otherwise. `supersedes` names older
    numbers that the row's own number stands in for.
    """
    assumed = SUPERSEDED_BY if table == "originals" else MAY_SERVE_AS
    for row in rows:
        number = _text(row.get("number"))
        if number is None:
            continue
        said = _text(row.get("relation"))
        relation = said if said in RELATIONS else assumed
        stated = row.get("relation_quantity")
        common: dict[str, Any] = {
            "relation": relation,
            "variant": _text(row.get("variant")),
            "list": list_name,
            "table": table,
            "row": _place(row.get("at")),
            "note": _text(row.get("description")) if table == "interchange" else None,
        }
        maker, to_maker = _text(row.get("maker")), _text(row.get("replacement_maker"))
        each = [tuple(counts) for counts in _listed(row.get("relation_quantities")) or ()]
        for place, (numbers, counts) in enumerate(_read(_listed(row.get("replacements")))[0]):
            if place < len(each) and len(each[place]) == len(numbers):
                counts = each[place]
            same = len(set(counts)) == 1
            count = counts[0] if same else 1
            if stated and stated == stated and same and count == 1 and not each:
                count = int(stated)
            yield Statement(
                number, numbers, quantity=count, maker=maker, to_maker=to_maker,
                quantities=() if same else counts, **common,
            )  # fmt: skip
        for numbers, _ in read_replacements(_listed(row.get("supersedes")))[0]:
            for older in numbers:
                yield Statement(
                    older, (number,), maker=maker, to_maker=maker,
                    **(common | {"relation": SUPERSEDED_BY}),
                )  # fmt: skip


def _text(value: Any) -> str | None:
    return value.strip() or None if isinstance(value, str) else None


def _listed(value: Any) -> Any:
    """Return a cell that the store keeps as JSON as the list it was."""
    if isinstance(value, str) and value.startswith("["):
        try:
            return json.loads(value)
        except ValueError:
            return value
    return value


def _place(at: Any) -> Any:
    """Return `at` as a plain int or dict: the store keeps it as JSON text."""
    if isinstance(at, str):
        try:
            return json.loads(at)
        except ValueError:
            return at
    return at.item() if hasattr(at, "item") else at
