"""The result of reading a file: rows, what was set aside and why, furniture, questions, notes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd


@dataclass(slots=True)
class Reading:
    """What a file was understood as.

    Attributes
    ----------
    table, kind : str or None
        The table it is; the kind of part, where all rows are of one kind
    refused, message : bool, str
        Whether it cannot be a table at all; the sentence for the user
    questions : list of str
        What must be answered first (rows may then be empty)
    columns : dict
        Their heading to our field
    unit : "mm", "in" or None
        Unit of sizes without one of their own
    encoding : str or None
        Encoding of a text file
    rows, set_aside : DataFrame
        Rows that can be loaded; rows set aside with `at`, `raw`, `reason`
    furniture : int
        Rows that are headings, letterheads, sections, totals, footers
    notes : list of str
        What was assumed, for the user
    profile : dict
        Answers that would read the supplier's next file in the same way
    furniture_rows : list of dict
        `at`, `cells` and what each furniture row was taken for (the first of them)
    """

    rows: pd.DataFrame
    set_aside: pd.DataFrame
    table: str | None = None
    kind: str | None = None
    refused: bool = False
    message: str = ""
    questions: list[str] = field(default_factory=list)
    columns: dict[str, str] = field(default_factory=dict)
    unit: str | None = None
    currency: str | None = None
    encoding: str | None = None
    format: str | None = None
    furniture: int = 0
    notes: list[str] = field(default_factory=list)
    profile: dict[str, Any] = field(default_factory=dict)
    furniture_rows: list[dict[str, Any]] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)

    def document(self) -> dict[str, Any]:
        """Return the reading as the JSON document of `xref read`."""
        from xref.tables.document import rows_document, set_aside_document

        return {
            "contract": 1,
            "table": self.table,
            "kind": self.kind,
            "refused": self.refused,
            "message": self.message,
            "questions": list(self.questions),
            "columns": dict(self.columns),
            "unit": self.unit,
            "encoding": self.encoding,
            "currency": self.currency,
            "rows": rows_document(self.rows, self.table),
            "set_aside": set_aside_document(self.set_aside),
            "furniture": self.furniture,
            "notes": list(self.notes),
        }


def empty_rows() -> pd.DataFrame:
    """Return a frame of rows with the columns that every reading has."""
    import pandas as pd

    return pd.DataFrame({"at": pd.Series([], dtype=object)})


def empty_set_aside() -> pd.DataFrame:
    """Return a frame of no rows set aside."""
    import pandas as pd

    return pd.DataFrame({"at": [], "raw": [], "reason": []}, dtype=object)
