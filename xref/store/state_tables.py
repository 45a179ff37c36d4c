"""The current tables of the state: what the user entered, as it stands now.

Each is a projection of the events: row `key` holds, column by column, the value last recorded.
The first column is the key. A column may be added at any time (older stores gain it when they
are next written); taking one away or changing its type needs a new store format.

Types: BIGINT, INTEGER, DOUBLE, BOOLEAN, VARCHAR, DATE, TIMESTAMP (UTC), MONEY, JSON (any list or
dict; it comes back as one). Rows are never deleted: a record that ends gets a state that says so.
"""

from __future__ import annotations

MONEY = "DECIMAL(18,4)"

TABLES: dict[str, dict[str, str]] = {
    # A list is one table of one supplier (or, without a supplier, of one name); its editions
    # follow one another.
    "editions": {
        "edition": "BIGINT",
        "list": "BIGINT",
        "number_in_list": "BIGINT",
        "table_name": "VARCHAR",
        "name": "VARCHAR",
        "supplier": "VARCHAR",
        "currency": "VARCHAR",
        "unit": "VARCHAR",
        "file": "VARCHAR",
        "digest": "VARCHAR",
        "as_of": "DATE",
        "loaded_at": "TIMESTAMP",
        "decisions": "JSON",
        "folder": "VARCHAR",
        "meta_digest": "VARCHAR",
        "items": "BIGINT",
        "keys": "BIGINT",
        "kinds": "JSON",
    },
    # How a supplier's tables are read: the answers given once, remembered.
    "profiles": {
        "profile": "VARCHAR",
        "supplier": "VARCHAR",
        "table_name": "VARCHAR",
        "answers": "JSON",
    },
}
