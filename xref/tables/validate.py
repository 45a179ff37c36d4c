"""Rows against a Table Schema: the standard's types and constraints that the schemas use.

A small reader of the standard (Data Package 2.0, Table Schema) for text cells as they stand in
a tidy CSV file. What is found is returned as values, each with a stable code.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from xref.tables.schema import describe


@dataclass(frozen=True, slots=True)
class Finding:
    """One cell that is not as its field demands.

    `code` is "type" or the name of the constraint: required, enum, pattern, minimum, maximum,
    minLength, maxLength. `row` is 0-based among the data rows.
    """

    row: int
    field: str
    code: str
    cell: str


def check(rows: Iterable[Mapping[str, str]], table: str, kind: str | None = None) -> list[Finding]:
    """Return what in `rows` (texts by field name) breaks the schema of `table`.

    Fields that the rows do not have count as missing; columns that the schema does not have are
    left alone.
    """
    fields = describe(table, kind)["fields"]
    found: list[Finding] = []
    for number, row in enumerate(rows):
        for field in fields:
            cell = row.get(field["name"], "")
            code = broken(cell, field)
            if code is not None:
                found.append(Finding(number, field["name"], code, cell))
    return found


def broken(cell: str, field: Mapping[str, Any]) -> str | None:
    """Return the first rule of `field` that `cell` breaks, or None; an empty cell is missing."""
    constraints: Mapping[str, Any] = field.get("constraints", {})
    if cell == "":
        return "required" if constraints.get("required") else None
    value = _TYPES[field.get("type", "string")](cell)
    if value is None:
        return "type"
    for name, limit in constraints.items():
        test = _CONSTRAINTS.get(name)
        if test is not None and not test(value, limit):
            return name
    return None


def _integer(cell: str) -> int | None:
    return int(cell) if re.fullmatch(r"[-+]?\d+", cell, re.ASCII) else None


def _number(cell: str) -> Decimal | None:
    try:
        value = Decimal(cell) if re.fullmatch(r"[-+.\deE]+", cell, re.ASCII) else None
    except InvalidOperation:
        return None
    return value


def _date(cell: str) -> date | None:
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", cell, re.ASCII):
        return None
    try:
        return date.fromisoformat(cell)
    except ValueError:
        return None


_TYPES: dict[str, Callable[[str], Any]] = {
    "string": str,
    "integer": _integer,
    "number": _number,
    "date": _date,
}
_CONSTRAINTS: dict[str, Callable[[Any, Any], bool]] = {
    "enum": lambda value, allowed: value in allowed,
    "pattern": lambda value, pattern: re.fullmatch(pattern, value) is not None,
    "minimum": lambda value, least: bool(value >= least),
    "maximum": lambda value, most: bool(value <= most),
    "minLength": lambda value, least: len(value) >= least,
    "maxLength": lambda value, most: len(value) <= most,
}
