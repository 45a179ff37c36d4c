"""Workshop practice figures, all in `tables/workshop_practice.csv` with what they rest on.

They carry no published source unless the table says so; a better source
replaces the row, not the code.
"""

from __future__ import annotations

from functools import cache

from xref.fits.rules import Rule
from xref.fits.steps import read_rows


@cache
def figure(name: str) -> float:
    """Return a figure by name; KeyError for a name the table does not have."""
    return float(_row(name)["value"])


@cache
def practice_rule(name: str, text: str | None = None) -> Rule:
    """Return the figure's rule, its text from the table unless given."""
    row = _row(name)
    return Rule(text or f"{row['what']}: {row['value']} {row['unit']}", row["source"], row["basis"])


@cache
def _row(name: str) -> dict[str, str]:
    for row in read_rows("workshop_practice.csv"):
        if row["name"] == name:
            return row
    raise KeyError(name)
