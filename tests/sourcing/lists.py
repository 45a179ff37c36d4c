"""Small invented lists for a store."""

from __future__ import annotations

from datetime import date
from typing import Any

import pandas as pd

from xref.store import Store
from xref.store.edition import ListInfo


def load_list(
    store: Store,
    table: str,
    rows: list[dict[str, Any]],
    *,
    supplier: str | None = None,
    currency: str | None = "EUR",
    as_of: date = date(2027, 9, 1),
) -> None:
    """Put rows into the store as the newest edition of a list."""
    frame = pd.DataFrame(rows)
    for column in ("at", "maker", "kind", "quantity", "price"):
        if column not in frame:
            frame[column] = None
    frame["at"] = range(1, len(frame) + 1)
    info = ListInfo(
        table,
        supplier or table,
        supplier,
        currency if supplier else None,
        "mm",
        "list.csv",
        f"{supplier}{as_of}{rows}",
        as_of,
    )
    store.add_edition(info, frame)


def seal(number: str, shaft: float, outside: float, width: float, **more: Any) -> dict[str, Any]:
    """Return the row of a shaft seal [mm]."""
    return {
        "number": number,
        "kind": "shaft_seal",
        "shaft_diameter_mm": shaft,
        "outside_diameter_mm": outside,
        "width_mm": width,
        "written_unit": "mm",
        **more,
    }
