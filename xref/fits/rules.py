"""A rule as shown to the user: what it says, where it comes from, on what basis."""

from __future__ import annotations

from dataclasses import dataclass

STANDARD, HANDBOOK, COMMON_PRACTICE, FROM_MEMORY = (
    "standard",
    "handbook",
    "common practice",
    "from memory",
)
BASES = (STANDARD, HANDBOOK, COMMON_PRACTICE, FROM_MEMORY)
NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Rule:
    """`text` names the rule; `source` its standard and clause, or says it has none.

    `reach_mm` is the largest size its table covers; None where it needs no table. `table` names
    that table where the source says more than its name.
    """

    text: str
    source: str
    basis: str
    reach_mm: float | None = None
    table: str = ""

    def __post_init__(self) -> None:
        if self.basis not in BASES or not self.source:
            raise ValueError(f"rule {self.text!r} needs a source and one of the bases {BASES}")
