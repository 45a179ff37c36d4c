"""The judgement keys of one edition as mapped columns, so that a look-up needs no query.

Starting the database costs a look-up more than judging every key of the lists. Hence `keys.index`,
in the layout of `array_file`, holds keys.parquet once more, kind by kind in the order of the keys
(by size). Of each kind it has the arrays

- `<kind>/key`: the numbers of its keys;
- `<kind>/<column>`: a size [mm] or a trait in figures, NaN where nothing is said;
- `<kind>/<column>` with `<kind>/<column>/words`: a trait in words, as places in a JSON list of
  words, whose first one, the empty text, stands for nothing said.

A column of which the kind's keys say nothing is left out.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..errors import StoreUnavailable
from .array_file import open_arrays, write_arrays
from .engine import named, quoted

if TYPE_CHECKING:
    import duckdb

FILE = "keys.index"
ABOUT = "judgement keys of a list, version 1"
_OWN = ("kind", "key")
# A column with nulls would come as a masked array, and importing those takes 10 ms.
_UNKNOWN = {True: "CAST('nan' AS DOUBLE)", False: "''"}


class Words(NamedTuple):
    """A column of few words: per row the place of its word; the empty word is nothing said."""

    codes: NDArray[Any]
    words: Sequence[str]

    def texts(self) -> NDArray[np.object_]:
        """Return the words row by row, None where nothing is said."""
        return np.asarray(np.array([word or None for word in self.words], object)[self.codes])


Column = NDArray[Any] | Words


def coded(texts: Iterable[str]) -> Words:
    """Return a column of words from its texts, the empty one for nothing said."""
    places = {"": 0}
    codes = [places.setdefault(text, len(places)) for text in texts]
    size = np.min_scalar_type(len(places))
    return Words(np.array(codes, size), list(places))


def joined(columns: Sequence[Column]) -> Column:
    """Return columns of one meaning, of several editions, as one."""
    if len(columns) == 1:
        return columns[0]
    words = [column for column in columns if isinstance(column, Words)]
    if not words:
        return np.concatenate([column for column in columns if not isinstance(column, Words)])
    places = {"": 0}
    codes = []
    for column in words:
        now = [places.setdefault(word, len(places)) for word in column.words]
        codes.append(np.array(now, np.int64)[column.codes])
    return Words(np.concatenate(codes), list(places))


def filled(
    keys: NDArray[np.int64], columns: Mapping[str, Column], declared: Mapping[str, bool]
) -> dict[str, Column]:
    """Return `key` and the declared columns, those that are not there without a word or figure."""
    unsaid: dict[bool, Column] = {
        True: np.full(len(keys), np.nan),
        False: Words(np.zeros(len(keys), np.uint8), [""]),
    }
    return {"key": keys} | {
        name: columns.get(name, unsaid[is_number]) for name, is_number in declared.items()
    }


def queried(
    execute: Callable[[str, list[Any]], duckdb.DuckDBPyConnection],
    source: str,
    kind: str,
    columns: Mapping[str, bool],
) -> tuple[NDArray[np.int64], dict[str, Column]]:
    """Return the keys of a kind and these columns of them, from SQL that reads a keys.parquet.

    `columns` says of each column wanted, which must be there, whether it holds figures.
    """
    cells = [
        f"coalesce({named(name)}, {_UNKNOWN[is_number]}) AS {named(name)}"
        for name, is_number in columns.items()
    ]
    found = execute(
        f"SELECT {', '.join(['key', *cells])} FROM {source} WHERE kind = ? ORDER BY key",  # noqa: S608
        [kind],
    ).fetchnumpy()
    return np.asarray(found["key"], np.int64), {
        name: np.asarray(found[name], np.float64)
        if is_number
        else coded(map(str, found[name].tolist()))
        for name, is_number in columns.items()
    }


class KeyFile:
    """The judgement keys of one edition, mapped."""

    def __init__(self, arrays: Mapping[str, NDArray[Any]], path: Path) -> None:
        self._arrays = arrays
        self._path = path

    @classmethod
    def open(cls, path: Path) -> KeyFile:
        """Return the keys written to `path`; StoreUnavailable if it is missing or damaged."""
        return cls(open_arrays(path, ABOUT), path)

    def columns(self, kind: str, declared: Mapping[str, bool]) -> dict[str, Column]:
        """Return `key` and the declared columns of a kind's keys, in the order of the keys.

        `declared` says of each column whether it holds figures. Raises StoreUnavailable if the
        file does not hold what it should.
        """
        keys = self._arrays.get(f"{kind}/key", np.zeros(0, np.int64))
        found: dict[str, Column] = {}
        for name, is_number in declared.items():
            values = self._arrays.get(f"{kind}/{name}")
            told = self._arrays.get(f"{kind}/{name}/words")
            if values is None:
                continue
            if len(values) != len(keys) or is_number != (told is None):
                raise self._damaged()
            found[name] = values if told is None else self._words(values, told)
        return filled(keys, found, declared)

    def _words(self, codes: NDArray[Any], told: NDArray[Any]) -> Words:
        try:
            words = json.loads(told.tobytes())
        except ValueError as error:
            raise self._damaged() from error
        if not len(codes) or int(codes.max()) < len(words):
            return Words(codes, words)
        raise self._damaged()

    def _damaged(self) -> StoreUnavailable:
        return StoreUnavailable(
            f"The file {self._path.name} of this list is damaged; load the list again, or "
            "`xref store restore FILE`.",
            at=str(self._path),
            code="store-damaged",
        )


def write_key_file(con: duckdb.DuckDBPyConnection, folder: Path) -> None:
    """Write keys.index of the edition in `folder`, from the keys.parquet that is there."""
    source = f"read_parquet({quoted(str(folder / 'keys.parquet'))})"
    types = con.execute(f"DESCRIBE SELECT * FROM {source}").fetchall()  # noqa: S608
    columns = {name: kind == "DOUBLE" for name, kind, *_ in types if name not in _OWN}
    arrays: dict[str, NDArray[Any]] = {}
    if any(name == "kind" for name, *_ in types):
        of_kinds = f"SELECT DISTINCT kind FROM {source} WHERE kind IS NOT NULL ORDER BY 1"  # noqa: S608
        for (kind,) in con.execute(of_kinds).fetchall():
            arrays |= _arrays_of(kind, *queried(con.execute, source, kind, columns))
    write_arrays(folder / FILE, arrays, ABOUT)


def _arrays_of(
    kind: str, keys: NDArray[np.int64], columns: Mapping[str, Column]
) -> dict[str, NDArray[Any]]:
    """Return the arrays of one kind, without the columns that say nothing."""
    arrays: dict[str, NDArray[Any]] = {f"{kind}/key": keys}
    for name, column in columns.items():
        if isinstance(column, Words):
            if len(column.words) > 1:
                words = json.dumps(column.words).encode()
                arrays[f"{kind}/{name}"] = column.codes
                arrays[f"{kind}/{name}/words"] = np.frombuffer(words, np.uint8)
        elif not np.isnan(column).all():
            arrays[f"{kind}/{name}"] = column
    return arrays
