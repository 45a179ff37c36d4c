"""What a table may hold: the Table Schema files in `schemas/`, composed with the kinds' fields.

The files follow the open Table Schema standard (Data Package 2.0). Properties of our own:

- `otherNames`: other headings of a field, by language;
- `lesserNames`: headings that mean the field only where no better column is there;
- `repeatable`: several columns may feed the field;
- `servesFor` (in `sizes`): the kinds' dimensions that a general size heading may stand for;
- `otherHeadings` (of a table): headings known to mean something that xref keeps as it is;
- `withKinds` (of a table): whether the kinds' dimensions and traits belong to the table.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from typing import Any

from xref.errors import Impossible
from xref.resources import folder

TABLES = ("stock", "catalogue", "originals", "interchange", "suppliers", "wanted")


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a Table Schema, with every heading it is known by."""

    name: str
    title: str
    type: str
    description: str
    constraints: dict[str, Any]
    other_names: tuple[str, ...]
    lesser_names: tuple[str, ...]
    repeatable: bool
    serves_for: tuple[str, ...]

    @property
    def required(self) -> bool:
        """Whether a row without this field is no row of the table."""
        return bool(self.constraints.get("required"))


@dataclass(frozen=True, slots=True)
class TableSchema:
    """One table's schema as it stands in its file."""

    name: str
    title: str
    description: str
    fields: tuple[Field, ...]
    with_kinds: bool
    other_headings: tuple[str, ...]

    def field(self, name: str) -> Field | None:
        """Return the field called `name`, or None."""
        return next((field for field in self.fields if field.name == name), None)


@cache
def table_schema(table: str) -> TableSchema:
    """Return the schema of `table` (one of TABLES, or `sizes`); Impossible if there is none."""
    document = _document(table)
    return TableSchema(
        name=document["name"],
        title=document["title"],
        description=document["description"],
        fields=tuple(_field(raw) for raw in document["fields"]),
        with_kinds=bool(document.get("withKinds")),
        other_headings=tuple(document.get("otherHeadings", ())),
    )


def describe(table: str, kind: str | None = None) -> dict[str, Any]:
    """Return the Table Schema of `table` with the fields of `kind`, or of every kind, added.

    The result is one JSON document that any Table Schema tool reads.
    """
    from xref.kinds.spec import kinds, known_kind, spec

    document: dict[str, Any] = json.loads(json.dumps(_document(table)))
    if not document.get("withKinds"):
        return document
    chosen = kinds() if kind is None else (known_kind(kind, code=Impossible.code),)
    added: dict[str, dict[str, Any]] = {}
    for name in chosen:
        declared = spec(name)
        for dimension in declared.dimensions:
            entry = added.setdefault(
                dimension.name, _dimension_entry(dimension.name, dimension.title)
            )
            _add_names(entry, dimension.other_names, name)
        for trait in declared.traits:
            entry = added.setdefault(trait.name, _trait_entry(trait, alone=kind is not None))
            _add_names(entry, trait.other_names, name)
    for general in json.loads(json.dumps(_document("sizes")["fields"])):
        if general["name"] in added:
            added[general["name"]]["otherNames"] |= general["otherNames"]
        else:
            added[general["name"]] = general
    document["fields"] += added.values()
    return document


def _dimension_entry(name: str, title: str) -> dict[str, Any]:
    return {
        "name": name,
        "title": title,
        "type": "string",
        "description": "A size as written, with its unit: 60 mm, 2-3/8, 2.375 +.001/-.000.",
        "otherNames": {"any": []},
        "kinds": [],
    }


def _trait_entry(trait: Any, *, alone: bool) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "name": trait.name,
        "title": trait.title,
        "type": "number" if trait.is_number else "string",
        "otherNames": {"any": []},
        "kinds": [],
    }
    if trait.is_number:
        entry["unit"] = trait.unit
    elif trait.words and alone:
        # Kinds use one trait name with different words, so the words bind only for one kind.
        entry["constraints"] = {"enum": list(trait.words)}
    return entry


def _add_names(entry: dict[str, Any], names: tuple[str, ...], kind: str) -> None:
    entry["kinds"].append(kind)
    known = entry["otherNames"]["any"]
    known += [name for name in names if name not in known]


def _field(raw: dict[str, Any]) -> Field:
    return Field(
        name=raw["name"],
        title=raw["title"],
        type=raw["type"],
        description=raw.get("description", ""),
        constraints=raw.get("constraints", {}),
        other_names=_names(raw.get("otherNames", {})),
        lesser_names=_names(raw.get("lesserNames", {})),
        repeatable=bool(raw.get("repeatable")),
        serves_for=tuple(raw.get("servesFor", ())),
    )


def _names(by_language: dict[str, list[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for names in by_language.values() for name in names))


@cache
def _document(table: str) -> dict[str, Any]:
    path = folder("schemas") / f"{table}.schema.json"
    if table not in (*TABLES, "sizes") or not path.is_file():
        raise Impossible(
            f"There is no table called {table!r}. A table is one of {', '.join(TABLES)}."
        )
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return document
