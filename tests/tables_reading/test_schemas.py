"""The Table Schema files: valid by the standard, and checked as frictionless checks them."""

from __future__ import annotations

import json
from typing import Any

import pytest
from frictionless import Resource, Schema, system
from hypothesis import given, settings
from hypothesis import strategies as st

from xref.errors import Impossible
from xref.kinds.spec import kinds
from xref.resources import folder
from xref.tables.schema import TABLES, describe
from xref.tables.validate import broken, check

# frictionless' names for what a cell can do wrong.
_CODES = {"type-error": "type", "constraint-error": "constraint", "missing-label": "missing"}
_CELLS = st.sampled_from(
    [
        "", "A1", "12", "-3", "0", "1.5", "1e3", "x", "2026-11-01", "2026-13-01", "01.11.2026",
        "GBP", "gbp", "new", "NOS", "mint", "mm", "in", "cm", "shaft_seal", "seal", "4", "3",
        "y" * 130, "included", "superseded by",
    ]
)  # fmt: skip


@pytest.mark.parametrize("table", [*TABLES, "sizes"])
def test_file_is_a_table_schema(table: str) -> None:
    """Every schema file is one that frictionless accepts, and its fields have titles."""
    document = json.loads((folder("schemas") / f"{table}.schema.json").read_text("utf-8"))
    schema = Schema.from_descriptor(document)
    assert [field.name for field in schema.fields] == [f["name"] for f in document["fields"]]
    assert all(field.title for field in schema.fields)


@pytest.mark.parametrize("table", TABLES)
def test_composed_schema_is_valid(table: str) -> None:
    """A table composed with each kind's fields is a Table Schema without a field twice."""
    for kind in (None, *kinds()):
        fields = [field.name for field in Schema.from_descriptor(describe(table, kind)).fields]
        assert len(fields) == len(set(fields)), (kind, fields)


def test_unknown_names_are_refused() -> None:
    """A table or kind that does not exist is named in a sentence."""
    with pytest.raises(Impossible, match="no table called 'parts'"):
        describe("parts")
    with pytest.raises(Impossible, match="no kind of part called 'gearbox'"):
        describe("stock", "gearbox")


@pytest.mark.parametrize("table", TABLES)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_checks_agree_with_frictionless(table: str, data: st.DataObject) -> None:
    """The same cells of the same rows are wrong by frictionless and by the small reader."""
    schema = describe(table)
    schema["fields"] = [f for f in schema["fields"] if f["name"] not in _composed(table)]
    names = [field["name"] for field in schema["fields"]]
    rows = data.draw(
        st.lists(st.fixed_dictionaries(dict.fromkeys(names, _CELLS)), min_size=1, max_size=4)
    )
    assert _ours(rows, schema["fields"]) == _frictionless(rows, names, schema)


def _composed(table: str) -> set[str]:
    own = json.loads((folder("schemas") / f"{table}.schema.json").read_text("utf-8"))
    return {f["name"] for f in describe(table)["fields"]} - {f["name"] for f in own["fields"]}


def _ours(rows: list[dict[str, str]], fields: list[dict[str, Any]]) -> set[tuple[int, str]]:
    return {
        (number, field["name"])
        for number, row in enumerate(rows)
        for field in fields
        if broken(row[field["name"]], field)
    }


def _frictionless(
    rows: list[dict[str, str]], names: list[str], schema: dict[str, Any]
) -> set[tuple[int, str]]:
    cells = [names, *([row[name] for name in names] for row in rows)]
    with system.use_context(trusted=True):
        report = Resource(data=cells, schema=Schema.from_descriptor(schema)).validate()
    found = set()
    for number, field, kind in report.flatten(["rowNumber", "fieldName", "type"]):
        if kind == "blank-row":  # the whole row is blank: each required cell is missing
            required = {
                f["name"] for f in schema["fields"] if f.get("constraints", {}).get("required")
            }
            found |= {(number - 2, name) for name in required}
        else:
            found.add((number - 2, field))
    return found


def test_check_names_the_rule() -> None:
    """A finding says which row, field and rule, so that a message can be made of it."""
    found = check([{"number": "", "quantity": "-1", "currency": "pounds"}], "stock")
    assert [(f.field, f.code) for f in found] == [
        ("number", "required"),
        ("quantity", "minimum"),
        ("currency", "pattern"),
    ]
