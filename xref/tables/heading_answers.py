"""The user's word on headings: `--column 'THEIRS=ours'`, and how columns are called to the user."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from xref.errors import Impossible
from xref.tables.names import CLOSE, EXACT, Meaning, Target, meanings
from xref.tables.schema import table_schema
from xref.tables.text import fold, quoted, shown

IGNORED = frozenset({"ignore", "ignored", "nothing", "-", "extra"})


def label(headings: Sequence[str], index: int) -> str:
    """Return what a column is called to the user: its heading, or `column 3` without one."""
    text = " ".join(headings[index].split())
    if not text or list(headings).count(headings[index]) > 1:
        place = f"column {index + 1}"
        return f"{text} ({place})" if text else place
    return text


def said_columns(
    headings: Sequence[str], table: str, answers: Mapping[str, str]
) -> dict[int, tuple[Meaning, ...] | None]:
    """Return the meaning of each column the user named; None for one to be left out.

    Raises Impossible for an answer that names no heading or no field.
    """
    said: dict[int, tuple[Meaning, ...] | None] = {}
    for theirs, ours in answers.items():
        indices = called(headings, theirs)
        if not indices:
            listed = ", ".join(repr(shown(label(headings, i))) for i in range(len(headings)))
            raise Impossible(f"No heading is called {quoted(theirs)}. The headings are {listed}.")
        for index in indices:
            said[index] = None if fold(ours) in IGNORED or ours == "-" else _named(ours, table)
    return said


def called(headings: Sequence[str], theirs: str) -> list[int]:
    """Return the columns that the user's word for a heading means: text, `column 3`, 3 or C."""
    wanted = theirs.strip()
    exact = [i for i, h in enumerate(headings) if h.strip() == wanted]
    if not exact:
        exact = [i for i in range(len(headings)) if label(headings, i) == wanted]
    if not exact and (key := fold(wanted)):
        exact = [i for i, h in enumerate(headings) if fold(h) == key]
    if not exact:
        word = wanted.casefold().removeprefix("column").strip()
        if word.isdigit() and 1 <= int(word) <= len(headings):
            exact = [int(word) - 1]
        elif len(word) == 1 and word.isascii() and word.isalpha():
            place = ord(word) - ord("a")
            exact = [place] if place < len(headings) else []
    return exact


def _named(ours: str, table: str) -> tuple[Meaning, ...]:
    """Return what a field named by the user means: its schema name, or any name it is known by."""
    word = ours.strip()
    for suffix in ("_mm", "_in"):
        word = word.removesuffix(suffix)
    if table_schema(table).field(word):
        return (Meaning(Target("field", word), EXACT + 2),)
    found = meanings(word, table)
    best = [m for m in found if m.score > CLOSE and m.target.role != "kept"]
    if not best:
        fields = [f.name for f in table_schema(table).fields]
        raise Impossible(
            f"{quoted(ours)} is no field of the table {table!r}. Its fields are "
            f"{', '.join(fields)}"
            + (", and the sizes and properties of the kinds." if _with_kinds(table) else ".")
        )
    return tuple(Meaning(m.target, EXACT + 2) for m in best)


def _with_kinds(table: str) -> bool:
    return table_schema(table).with_kinds
