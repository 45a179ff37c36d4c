"""The result of reading a file: rows, what was set aside and why, furniture, questions, notes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas as pd

    from xref.tables.result import Result


class _Rows:
    """The rows of a reading: a DataFrame, which a `Result` becomes when it is first asked for."""

    def __get__(self, one: Reading | None, owner: type[Reading]) -> pd.DataFrame:
        if one is None:
            raise AttributeError("rows")  # so that rows must be given
        if one._dense is None:
            assert one._result is not None  # noqa: S101 - one of the two is given
            one._dense = one._result.dense()
        return one._dense

    def __set__(self, one: Reading, rows: pd.DataFrame | Result) -> None:
        from xref.tables.result import Result

        one._result, one._dense = (rows, None) if isinstance(rows, Result) else (None, rows)


@dataclass
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

    _result: Result | None = field(init=False, default=None, repr=False)  # set with `rows`
    _dense: pd.DataFrame | None = field(init=False, default=None, repr=False)

    @property
    def row_count(self) -> int:
        """How many rows can be loaded, without making the DataFrame."""
        return len(self.rows if self._result is None else self._result)

    @property
    def coded_rows(self) -> pd.DataFrame:
        """The rows for the store: categorical columns where cells repeat, JSON text for lists."""
        from xref.tables.result import coded_frame

        return coded_frame(self.rows) if self._result is None else self._result.coded()

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


Reading.rows = _Rows()  # type: ignore[assignment]  # behind the decorator, which would take it for a default


def empty_rows() -> pd.DataFrame:
    """Return a frame of rows with the columns that every reading has."""
    import pandas as pd

    return pd.DataFrame({"at": pd.Series([], dtype=object)})


def empty_set_aside() -> pd.DataFrame:
    """Return a frame of no rows set aside."""
    import pandas as pd

    return pd.DataFrame({"at": [], "raw": [], "reason": []}, dtype=object)
