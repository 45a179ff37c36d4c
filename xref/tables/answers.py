"""The answers a user may give about a file, checked; and a supplier's remembered profile."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from xref.errors import Impossible
from xref.kinds.spec import kinds, known_kind
from xref.tables.cells.currency import CODES
from xref.tables.kindwords import kind_of
from xref.tables.schema import TABLES

REMEMBERED = ("table", "kind", "unit", "columns", "decimal", "currency", "seen")
"""What holds for a supplier's next file too: answers, and the headings seen with their fields."""


@dataclass(frozen=True, slots=True)
class Answers:
    """What the user said about a file; None where nothing was said.

    `remembered` are the headings, and `recalled` the other answers, that were said of an earlier
    file: what this file states itself counts before them. `seen` are the headings of that file
    with the field each fed.
    """

    table: str | None = None
    kind: str | None = None
    unit: str | None = None
    columns: dict[str, str] = field(default_factory=dict)
    sheet: str | None = None
    header_row: int | None = None
    no_header: bool = False
    decimal: str | None = None
    encoding: str | None = None
    currency: str | None = None
    supplier: str | None = None
    remembered: frozenset[str] = frozenset()
    recalled: frozenset[str] = frozenset()
    seen: dict[str, str] = field(default_factory=dict)

    def fresh(self, name: str) -> str | None:
        """Return an answer given for this very file, None for one recalled."""
        given: str | None = getattr(self, name)
        return None if name in self.recalled else given

    def sign(self, proved: str | None) -> str | None:
        """Return the decimal sign: as said of this file, as its cells prove, or as said before."""
        return self.fresh("decimal") or proved or self.decimal


def answers(given: Mapping[str, Any]) -> Answers:
    """Check the answers given; those of `profile` hold where nothing else was said.

    Raises Impossible for an answer that cannot be.
    """
    said = {name: value for name, value in given.items() if value is not None and name != "profile"}
    unknown = set(said) - set(Answers.__slots__) | (set(said) & {"remembered", "recalled", "seen"})
    if unknown:
        raise Impossible(f"There is no answer called {sorted(unknown)[0]!r}.")
    profile = {k: v for k, v in dict(given.get("profile") or {}).items() if k in REMEMBERED and v}
    columns = {**profile.get("columns", {}), **said.get("columns", {})}
    merged = {**profile, **said, "columns": columns}
    return Answers(
        table=_one_of("table", merged.get("table"), TABLES),
        kind=_kind(merged.get("kind")),
        unit=_unit(merged.get("unit")),
        columns={str(k): str(v) for k, v in columns.items()},
        sheet=merged.get("sheet"),
        header_row=_row(merged.get("header_row")),
        no_header=bool(merged.get("no_header")),
        decimal=_one_of("decimal", merged.get("decimal"), (".", ",")),
        encoding=merged.get("encoding"),
        currency=_currency(merged.get("currency")),
        supplier=merged.get("supplier"),
        remembered=frozenset(profile.get("columns", {})) - frozenset(said.get("columns", {})),
        recalled=frozenset(profile) - frozenset(said),
        seen={str(k): str(v) for k, v in profile.get("seen", {}).items()},
    )


def _one_of(what: str, value: Any, allowed: tuple[str, ...]) -> str | None:
    if value is None:
        return None
    if value not in allowed:
        raise Impossible(f"{what} {str(value)[:40]!r} is none of {', '.join(allowed)}.")
    return str(value)


def _kind(value: Any) -> str | None:
    if value is None:
        return None
    text = str(value)
    if text in kinds():
        return text
    return kind_of(text) or known_kind(text, code=Impossible.code)


def _unit(value: Any) -> str | None:
    if value is None:
        return None
    from xref.tables.heading import unit_of

    unit = unit_of(str(value))
    if unit not in ("mm", "in"):
        raise Impossible(f"The unit {str(value)[:40]!r} is neither mm nor in.")
    return unit


def _row(value: Any) -> int | None:
    if value is None:
        return None
    row = int(value)
    if row < 1:
        raise Impossible(f"Rows are counted from 1; there is no row {row}.")
    return row


def _currency(value: Any) -> str | None:
    if value is None:
        return None
    code = str(value).strip().upper()
    if code not in CODES:
        raise Impossible(f"{str(value)[:20]!r} is no currency code such as GBP or EUR.")
    return code
