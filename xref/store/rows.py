"""The columns of the rows in a list: their names, their types, which of them make up a key.

Sizes are kept in millimetres rounded to the nanometre: the same size written as a fraction, as a
decimal inch or computed in a notebook is then the same number.
"""

from __future__ import annotations

from ..kinds.spec import dimension_names, kinds, spec, trait_names

# The columns of a reading and how they are kept; anything else that arrives is kept as text.
ITEM_TYPES = {
    "at": "VARCHAR",
    "number": "VARCHAR",
    "maker": "VARCHAR",
    "kind": "VARCHAR",
    "description": "VARCHAR",
    "quantity": "BIGINT",
    "quantity_words": "VARCHAR",
    "or_more": "BOOLEAN",
    "price": "DECIMAL(18,6)",
    "price_words": "VARCHAR",
    "currency": "VARCHAR",
    "tax": "VARCHAR",
    "condition": "VARCHAR",
    "variant": "VARCHAR",
    "assembly": "VARCHAR",
    "location": "VARCHAR",
    "as_of": "DATE",
    "replacements": "VARCHAR",
    "replacement_maker": "VARCHAR",
    "supersedes": "VARCHAR",
    "relation": "VARCHAR",
    "relation_quantity": "BIGINT",
    "relation_quantities": "VARCHAR",
    "written_unit": "VARCHAR",
    "extra": "VARCHAR",
    "warnings": "VARCHAR",
}
# Lists and dicts, kept as JSON text and given back as what they were.
JSON_COLUMNS = ("at", "replacements", "supersedes", "extra", "warnings")
OWN_COLUMNS = ("item", "key", "number_key")


def size_columns() -> tuple[str, ...]:
    """Return every column that holds a size in mm, of any kind, in a stable order."""
    return tuple(
        f"{dimension}{end}"
        for dimension in dimension_names()
        for end in ("_mm", "_low_mm", "_high_mm")
    )


def key_columns() -> tuple[str, ...]:
    """Return all that a verdict may depend on: kind, sizes, traits, written unit."""
    return ("kind", *size_columns(), *trait_names(), "written_unit")


def trait_types() -> dict[str, str]:
    """Return the SQL type of every trait, of any kind."""
    return {
        trait.name: "DOUBLE" if trait.is_number else "VARCHAR"
        for kind in kinds()
        for trait in spec(kind).traits
    }
