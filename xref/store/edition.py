"""What an edition is: one state of one list, immutable once it is in the store."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from functools import lru_cache
from typing import Any

# The tables that are lists; suppliers and wanted lists go into the state.
LIST_TABLES = ("catalogue", "stock", "originals", "interchange")


@lru_cache(maxsize=4096)  # a look-up folds the same few makers for every item
def folded(text: str | None) -> str:
    """Return a name as names are compared: case, width and spacing do not matter."""
    return " ".join(unicodedata.normalize("NFKC", text or "").casefold().split())


@dataclass(frozen=True, slots=True)
class ListInfo:
    """What is known about a list besides its rows.

    A list is the `table` of one `supplier`; a later one replaces the earlier. Without a supplier
    it is the list called `name`. `digest` identifies the content of the source file, `decisions`
    the answers it was read with (columns, unit, encoding ...): both the same means the same list.
    """

    table: str
    name: str
    supplier: str | None = None
    currency: str | None = None
    unit: str | None = None
    file: str | None = None
    digest: str = ""
    as_of: date | None = None
    decisions: Mapping[str, Any] = field(default_factory=dict)

    @property
    def identity(self) -> tuple[str, str, str]:
        """What makes two editions editions of one list."""
        supplier = folded(self.supplier)
        return self.table, supplier, "" if supplier else folded(self.name)


@dataclass(frozen=True, slots=True)
class Edition:
    """One edition of a list: `edition` is its number in the store, `number` that in its list.

    `items` and `keys` count its rows and its distinct judgement keys, `kinds` the rows of each
    kind; `item_columns` and `key_columns` name the columns of its files. `already` is set when
    the list was in the store before and nothing was added.
    """

    edition: int
    list: int
    number: int
    table: str
    name: str
    supplier: str | None
    currency: str | None
    unit: str | None
    file: str | None
    digest: str
    as_of: date | None
    loaded_at: datetime
    decisions: Mapping[str, Any]
    folder: str
    items: int
    keys: int
    kinds: Mapping[str, int]
    item_columns: tuple[str, ...]
    key_columns: tuple[str, ...]
    already: bool = False

    @property
    def identity(self) -> tuple[str, str, str]:
        """What makes two editions editions of one list."""
        return ListInfo(self.table, self.name, self.supplier).identity

    @property
    def day(self) -> date:
        """The day the edition speaks of: as stated, else the day it was loaded."""
        return self.as_of or self.loaded_at.date()


def from_row(row: Mapping[str, Any]) -> Edition:
    """Return the edition of a row of the current table `editions` (or of current.json)."""
    as_of, loaded_at = row["as_of"], row["loaded_at"]
    return Edition(
        edition=row["edition"],
        list=row["list"],
        number=row["number_in_list"],
        table=row["table_name"],
        name=row["name"],
        supplier=row["supplier"],
        currency=row["currency"],
        unit=row["unit"],
        file=row["file"],
        digest=row["digest"],
        as_of=date.fromisoformat(as_of) if isinstance(as_of, str) else as_of,
        loaded_at=datetime.fromisoformat(loaded_at) if isinstance(loaded_at, str) else loaded_at,
        decisions=row["decisions"] or {},
        folder=row["folder"],
        items=row["items"],
        keys=row["keys"],
        kinds=row["kinds"] or {},
        item_columns=tuple(row["item_columns"] or ()),
        key_columns=tuple(row["key_columns"] or ()),
    )
