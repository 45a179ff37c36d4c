"""The rows of a list by column: the distinct cells, and which row holds which.

A list repeats itself: a million rows hold some thousand sizes and prices, a few makers, one
kind. Whatever is done to a cell (typing, ordering, writing) is therefore done once for each
distinct one, and the rows are codes. A reading hands its columns over in this form, as pandas
Categoricals; a frame made by hand is coded here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from ..errors import Refused
from ..texts import Texts
from .rows import ITEM_TYPES, JSON_COLUMNS, OWN_COLUMNS, key_columns, size_columns, trait_types

if TYPE_CHECKING:
    import duckdb
    import pandas as pd

Array = NDArray[Any]

EPOCH = date(1970, 1, 1)

_WORTH_CODING = 10_000
"""Rows from which on repeated objects are looked for, and texts that hardly repeat left alone."""
_CHUNK = 1 << 16  # codes looked at together: most columns show all their cells in the first
_SAMPLE = 5_000
_HARDLY_REPEATS = 0.95
"""Share of different objects in a sample, which some 50,000 different ones in all lead to."""
_SEVERAL = (list, dict, tuple, np.ndarray)
_encode = json.JSONEncoder(ensure_ascii=False, default=str).encode


@dataclass(frozen=True)
class Column:
    """One column of a list.

    `kind` is its SQL type in the files of an edition. `cells` are the distinct cells and `codes`
    their places, row by row (-1: nothing said); without codes, `cells` are those of the rows
    themselves. Cells are texts (object) for VARCHAR, floats for DOUBLE, bools, and whole numbers
    for BIGINT, DATE (days since `EPOCH`) and DECIMAL (millionths). A VARCHAR without codes says
    something in every row: `texts`, or whole numbers, which stand for their digits.
    """

    name: str
    kind: str
    cells: Array
    codes: Array | None = None
    texts: Texts | None = None

    @property
    def is_whole_text(self) -> bool:
        """Whether the texts are kept as the whole numbers that they write."""
        return self.kind == "VARCHAR" and self.cells.dtype != object

    def said(self) -> Array:
        """Return for each row whether it says anything."""
        if self.codes is not None:
            return self.codes >= 0
        return np.ones(len(self.cells if self.texts is None else self.texts), np.bool_)

    def counts(self) -> dict[str, int]:
        """Return how many rows hold each text of a coded column, sorted by text."""
        assert self.codes is not None  # noqa: S101 - the caller's column is one of a key
        rows = np.bincount(self.codes[self.codes >= 0], minlength=len(self.cells))
        return dict(sorted(zip(self.cells.tolist(), rows.tolist(), strict=True)))

    def taken(self, places: Array) -> tuple[Array, Array | None]:
        """Return the cells of some rows, and where nothing is said (None: nowhere)."""
        if self.texts is not None:
            return np.array([self.texts[place] for place in places.tolist()], object), None
        if self.codes is None:
            return self.cells[places], None
        codes = self.codes[places]
        missing = codes < 0
        if self.kind == "VARCHAR":
            return text_by_code(self.cells)[codes], missing
        return self.cells[codes], missing if missing.any() else None

    def of_rows(self, places: Array) -> Column:
        """Return the column of some rows; not every distinct cell need stand in one of them."""
        if self.texts is not None:
            return replace(self, texts=self.texts.taken(places))
        if self.codes is None:
            return replace(self, cells=self.cells[places])
        return replace(self, codes=self.codes[places])

    def values(self, places: Array) -> list[Any]:
        """Return the cells of some rows as Python values; None where nothing is said."""
        cells, missing = self.taken(places)
        found = [plain(self.kind, cell) for cell in cells.tolist()]
        if missing is not None:
            for place in np.flatnonzero(missing).tolist():
                found[place] = None
        return found


def text_by_code(cells: Array) -> Array:
    """Return texts with None after them, which the code -1 then stands for."""
    found: Array = np.append(cells, np.array([None], object))
    return found


def plain(kind: str, cell: Any) -> Any:
    """Return a cell of a column of SQL type `kind` as the Python value it stands for."""
    if kind == "VARCHAR":
        return cell if cell is None else str(cell)
    if kind == "BOOLEAN":
        return bool(cell)
    if kind == "DATE":
        return EPOCH + timedelta(days=cell)
    if kind.startswith("DECIMAL"):
        return Decimal(cell).scaleb(-6)
    return cell


def columns_of(con: duckdb.DuckDBPyConnection, frame: pd.DataFrame) -> dict[str, Column]:
    """Return the columns of `frame` that say anything, typed as the lists keep them.

    `con` types the cells. Raises Refused when a column that must hold numbers or dates holds
    something else: readings never do, a hand-made DataFrame may.
    """
    _check_names([str(name).lower() for name in frame.columns])  # to SQL, case is no difference
    types = ITEM_TYPES | trait_types() | dict.fromkeys(size_columns(), "DOUBLE")
    judged = set(key_columns())
    columns: dict[str, Column] = {}
    for label in frame.columns:
        name = str(label)
        kind = types.get(name, "VARCHAR")
        codes, cells = _coded(name, frame[label])
        if codes is None and (kind != "VARCHAR" or name in judged):
            codes, cells = _factorized(cells if isinstance(cells, np.ndarray) else objects(cells))
        _check_characters(name, cells)
        if codes is None:
            column = _uncoded(name, cells)
        else:
            codes, cells = _used(codes, cells)
            if kind == "VARCHAR" and isinstance(cells, np.ndarray) and cells.dtype == object:
                known, cells = _factorized(cells)
            elif len(cells):
                known, cells = _typed(con, name, kind, cells)
            else:
                known = codes
            column = Column(name, kind, cells, _through(known, codes))
        if len(column.cells) or column.texts is not None:
            columns[name] = column
    return columns


def of_texts(name: str, texts: Texts) -> Column:
    """Return a column of texts that hardly repeat, one for each row."""
    return Column(name, "VARCHAR", np.zeros(0, object), texts=texts)


def _uncoded(name: str, cells: Array | Texts) -> Column:
    """Return a column whose cells hardly repeat: those of the rows, None where none says any."""
    if isinstance(cells, Texts):
        return of_texts(name, cells)
    if cells.dtype != object:
        return Column(name, "VARCHAR", cells)
    said = np.array([cell is not None for cell in cells], np.bool_)
    if said.all():
        return of_texts(name, Texts.of(cells.tolist()))
    codes = np.where(said, np.cumsum(said) - 1, -1)
    return Column(name, "VARCHAR", cells[said], codes)


def coded_text(name: str, cells: Array, codes: Array) -> Column:
    """Return a column of texts, of which some cells may be alike."""
    known, cells = _factorized(cells)
    return Column(name, "VARCHAR", cells, _through(known, codes))


def _check_names(lowered: list[str]) -> None:
    twice = [c for c in dict.fromkeys(lowered) if lowered.count(c) > 1]
    if twice:
        raise Refused(f"the rows have two columns called {twice[0]!r}; give each its own name.")
    if "" in lowered:
        raise Refused("the rows have a column without a name; give it one.")
    own = [c for c in lowered if c in OWN_COLUMNS]
    if own:
        raise Refused(f"the rows have a column {own[0]!r}, which the store fills itself; leave it.")


def _check_characters(name: str, cells: Any) -> None:
    """Refuse a text that UTF-8 cannot write, as a wrong decoding leaves it."""
    try:
        if isinstance(cells, Texts):
            cells.written.decode()
        elif cells.dtype == object:
            "".join(cell for cell in cells if isinstance(cell, str)).encode()
    except UnicodeError as error:
        texts = (cell for cell in cells if isinstance(cell, str))
        wrong = next(text for text in texts if text != text.encode(errors="replace").decode())
        raise Refused(
            f"the rows cannot be kept: {wrong!a} in the column {name!a} holds half of a "
            "character (a lone surrogate); read the file it is from in its own encoding."
        ) from error


def _is_missing(value: Any) -> bool:
    import pandas as pd

    return bool(pd.isna(value))


def _listed(value: Any) -> Any:
    """Return a list for an array: a frame that was in a Parquet file has arrays for its lists."""
    return value.tolist() if isinstance(value, np.ndarray) else value


def _as_json(values: Iterable[Any]) -> list[str | None]:
    return [
        str(value)
        if type(value) is int
        else _encode(_listed(value))
        if isinstance(value, _SEVERAL) or not _is_missing(value)
        else None
        for value in values
    ]


def _as_text(values: Iterable[Any]) -> list[str | None]:
    return [
        value
        if isinstance(value, str)
        else _encode(_listed(value))
        if isinstance(value, _SEVERAL)
        else None
        if _is_missing(value)
        else f"{value:f}"
        if isinstance(value, Decimal)
        else str(value)
        for value in values
    ]


def _coded(name: str, values: pd.Series[Any]) -> tuple[Array | None, Any]:
    """Return codes and the cells they stand for, in text or in figures not yet typed.

    Without codes the cells are those of the rows. Some cells may be alike, or stand in no row.
    """
    import pandas as pd

    from .text_array import TextArray

    if isinstance(values.array, TextArray):
        return None, values.array.texts
    given = values.cat.categories if isinstance(values.dtype, pd.CategoricalDtype) else None
    dtype = values.dtype if given is None else given.dtype
    write = None
    if name in JSON_COLUMNS:
        if given is None and isinstance(dtype, np.dtype) and dtype.kind == "i":
            return None, values.to_numpy()
        write = None if pd.api.types.is_integer_dtype(dtype) else _as_json
    elif isinstance(dtype, pd.StringDtype) or pd.api.types.is_object_dtype(dtype):
        write = _as_text
    if given is not None:
        codes = values.cat.codes.to_numpy()
        if write is None:
            return codes, given
        # A reading's categories in the JSON columns are JSON already.
        return codes, objects(
            cell if isinstance(cell, str) else write([cell])[0] for cell in given.tolist()
        )
    return pd.factorize(values) if write is None else _written(values.tolist(), write)


def _written(
    values: list[Any], write: Callable[[Iterable[Any]], list[str | None]]
) -> tuple[Array | None, Array]:
    """Return values as text, each written once however often it stands in the column."""
    import pandas as pd

    if len(values) < _WORTH_CODING:
        return _factorized(objects(write(values)))
    some = values[:: len(values) // _SAMPLE]
    if len(set(map(id, some))) > _HARDLY_REPEATS * len(some):
        return None, objects(write(values))
    codes, distinct = pd.factorize(np.fromiter(map(id, values), np.int64, len(values)))
    first = np.empty(len(distinct), dtype=np.int64)
    first[codes[::-1]] = np.arange(len(values) - 1, -1, -1)
    return codes, objects(write(values[place] for place in first.tolist()))


def objects(cells: Iterable[str | None]) -> Array:
    """Return cells as an array."""
    return np.array(list(cells), object)


def _factorized(cells: Array) -> tuple[Array, Array]:
    """Return codes and the distinct cells; None has the code -1."""
    import pandas as pd

    codes, distinct = pd.factorize(cells)
    return codes, np.asarray(distinct, object)


def _used(codes: Array, cells: Any) -> tuple[Array, Any]:
    """Return codes and cells without those that stand in no row."""
    used = np.zeros(len(cells) + 1, np.bool_)  # the last one for the code -1
    for start in range(0, len(codes), _CHUNK):
        used[codes[start : start + _CHUNK]] = True
        if used[:-1].all():
            return codes, cells
    renumbered = np.append(np.cumsum(used[:-1]) - 1, -1)
    return renumbered[codes], cells[used[:-1]]


def _through(known: Array, codes: Array) -> Array:
    """Return `codes` renumbered by `known`, as narrow as they can be."""
    most = int(known.max(initial=0))
    narrow = next(t for t in (np.int8, np.int16, np.int32, np.int64) if most <= np.iinfo(t).max)
    if np.array_equal(known, np.arange(len(known))):
        return codes.astype(narrow, copy=False)
    found: Array = np.append(known, -1).astype(narrow)[codes]
    return found


_TYPED = {
    "BIGINT": "CAST(cell AS BIGINT)",
    "BOOLEAN": "CAST(cell AS BOOLEAN)",
    "DATE": "CAST(cell AS DATE) - DATE '1970-01-01'",
    "DECIMAL(18,6)": "CAST(CAST(CAST(cell AS DECIMAL(18,6)) AS DECIMAL(38,6)) * 1000000 AS BIGINT)",
    "DOUBLE": "CAST(cell AS DOUBLE)",
    "VARCHAR": "CAST(cell AS VARCHAR)",
}


def _typed(con: duckdb.DuckDBPyConnection, name: str, kind: str, cells: Any) -> tuple[Array, Array]:
    """Return codes and the distinct cells of a column, cast to its SQL type."""
    import duckdb
    import pandas as pd

    cast = "round(CAST(cell AS DOUBLE), 6)" if name in size_columns() else _TYPED[kind]
    try:
        con.register("untyped", pd.DataFrame({"cell": pd.Series(cells)}))
        found: Any = con.execute(f"SELECT {cast} AS cell FROM untyped").fetchnumpy()["cell"]  # noqa: S608
    except (
        duckdb.ConversionException,
        duckdb.OutOfRangeException,
        duckdb.NotImplementedException,  # a type of pandas that the database does not know
    ) as error:
        raise Refused(
            f"the rows cannot be kept: column {name!a}: {str(error).splitlines()[0]}"
        ) from error
    finally:
        con.unregister("untyped")
    missing = np.ma.getmaskarray(found)
    said = np.asarray(found)
    if kind == "VARCHAR":
        said[missing] = None
        return _factorized(said)
    if kind == "DOUBLE":
        missing = missing | np.isnan(said)
    known = np.full(len(said), -1)
    distinct, known[~missing] = np.unique(said[~missing], return_inverse=True)
    return known, distinct
