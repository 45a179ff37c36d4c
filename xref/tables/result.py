"""The rows of a reading, block by block, as values that repeat; as a DataFrame when asked for."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from xref.tables.coded import Coded, coded
from xref.tables.document import value

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

LISTS = ("warnings", "replacements", "supersedes")
WRITTEN = ("at", "extra", *LISTS)
"""Columns of lists and dicts, which are JSON text where rows are coded."""


class Result:
    """Loaded rows in parts, one for each block, by column; `at` is a `Coded` or an array."""

    def __init__(self, parts: Sequence[dict[str, Any]]) -> None:
        self.parts = [part for part in parts if len(part["at"])] or list(parts[:1])
        self._starts = [0]
        for part in self.parts:
            self._starts.append(self._starts[-1] + len(part["at"]))

    def __len__(self) -> int:
        return self._starts[-1]

    def has(self, name: str) -> bool:
        """Whether any part has a column."""
        return any(name in part for part in self.parts)

    def cell(self, name: str, row: int) -> Any:
        """Return one value as JSON has it; None where its part has no such column."""
        number = bisect_right(self._starts, row) - 1
        found = self.parts[number].get(name)
        if found is None:
            return None
        local = row - self._starts[number]
        return value(found.at(local) if isinstance(found, Coded) else found[local])

    def listed(self, name: str) -> list[Any]:
        """Return the values of one column, None where a part has no such column."""
        found: list[Any] = []
        for part in self.parts:
            values = part.get(name)
            found += [None] * len(part["at"]) if values is None else values.dense().tolist()
        return found

    def values(self, name: str) -> set[Any]:
        """Return the different known values of a column of texts."""
        import numpy as np

        found: set[Any] = set()
        for part in self.parts:
            if name in part:
                used = np.unique(part[name].codes)
                found |= set(part[name].values[used].tolist())
        return found - {None}

    def add_warnings(self, said: Mapping[int, Sequence[str]]) -> None:
        """Add warnings to rows by their position."""
        import numpy as np

        for number, part in enumerate(self.parts):
            start, stop = self._starts[number], self._starts[number + 1]
            here = {row - start: texts for row, texts in said.items() if start <= row < stop}
            if not here:
                continue
            before = part["warnings"]
            values = np.empty(len(before.values) + len(here), dtype=object)
            values[: len(before.values)] = before.values
            codes = before.codes.copy()
            for place, (row, texts) in enumerate(here.items(), len(before.values)):
                values[place] = [*before.at(row), *texts]
                codes[row] = place
            part["warnings"] = Coded(codes, values)

    def dense(self) -> pd.DataFrame:
        """Return a DataFrame in which every cell is the value itself."""
        import pandas as pd

        frames = [
            pd.DataFrame({name: _series(values) for name, values in part.items()})
            for part in self.parts
        ]
        if len(frames) == 1:
            return frames[0]
        return _tidy(pd.concat(frames, ignore_index=True))

    def coded(self) -> pd.DataFrame:
        """Return a DataFrame whose columns are categorical where cells repeat.

        Lists and dicts (`WRITTEN`) are JSON text. A number that stands in one row only is not
        worth coding, nor is a place that is a number.
        """
        import pandas as pd

        names = dict.fromkeys(name for part in self.parts for name in part)
        return pd.DataFrame({name: self._column(name) for name in names})

    def _column(self, name: str) -> Any:
        import numpy as np
        import pandas as pd

        from xref.store.text_array import TextArray

        found: list[Any] = [part.get(name) for part in self.parts]
        if name == "at" and not any(isinstance(one, Coded) for one in found):
            return np.concatenate(found)
        if len(found) == 1 and name == "number" and _hardly_repeats(found[0]):
            return TextArray(found[0].row_texts())
        pieces = [
            _categories(name, one, len(part["at"]))
            for one, part in zip(found, self.parts, strict=True)
        ]
        if len(pieces) == 1:
            codes, categories = pieces[0]
        else:
            codes, categories = _joined(pieces)
        return pd.Categorical.from_codes(codes, categories=categories, validate=False)


def coded_frame(rows: pd.DataFrame) -> pd.DataFrame:
    """Return a DataFrame of rows as `Result.coded` gives them."""
    import numpy as np

    part: dict[str, Any] = {}
    for name in map(str, rows.columns):
        cells = rows[name].array
        if name != "at" or cells.dtype == object:
            objects = np.asarray(cells) if cells.dtype == object else cells
            part[name] = coded(objects)
        else:
            part[name] = cells.to_numpy()
    return Result([part]).coded()


def _hardly_repeats(one: Coded) -> bool:
    """Whether each row says something and most of them say something else."""
    size = len(one.values if one.texts is None else one.texts)
    return size > len(one) // 2 and not one.absent().any()


def _categories(name: str, one: Any, size: int) -> tuple[NDArray[Any], pd.Index[Any]]:
    """Return codes (-1 unknown) and the different values of one column of a part.

    Some may stand in no row: the store leaves them out.
    """
    import numpy as np
    import pandas as pd

    if one is None:  # a column that only other blocks have
        default = "[]" if name in LISTS else False if name == "or_more" else None
        code = -1 if default is None else 0
        values = np.array([] if default is None else [default], dtype=object)
        return np.full(size, code, dtype=np.int8), pd.Index(values, dtype=values.dtype)
    if name in WRITTEN:
        written = one.written()
        values = np.empty(len(written), dtype=object)
        values[:] = written
    else:
        values = one.values
    found, uniques = pd.factorize(values)
    uniques = np.asarray(uniques)
    least = np.min_scalar_type(-len(uniques) - 1)
    return found.astype(least)[one.codes], pd.Index(uniques, dtype=uniques.dtype)


def _joined(
    pieces: Sequence[tuple[NDArray[Any], pd.Index[Any]]],
) -> tuple[NDArray[Any], pd.Index[Any]]:
    """Return the codes of several parts over the categories of all."""
    import numpy as np
    import pandas as pd

    filled = [categories for _, categories in pieces if len(categories)]
    if not filled:
        return np.concatenate([codes for codes, _ in pieces]), pieces[0][1]
    table, uniques = pd.factorize(np.concatenate([np.asarray(one) for one in filled]))
    found, start = [], 0
    for codes, categories in pieces:
        here = np.append(table[start : start + len(categories)], -1)  # code -1 takes the last
        found.append(here[codes])
        start += len(categories)
    return np.concatenate(found), pd.Index(uniques, dtype=uniques.dtype)


def _series(values: Any) -> Any:
    import pandas as pd

    dense = values.dense() if isinstance(values, Coded) else values
    return pd.Series(dense, dtype=object) if dense.dtype == "object" else pd.Series(dense)


def _tidy(rows: pd.DataFrame) -> pd.DataFrame:
    """Make what several blocks leave open the same everywhere: lists are lists, flags are flags."""
    for name in LISTS:
        if name in rows:
            rows[name] = [one if isinstance(one, list) else [] for one in rows[name]]
    if "or_more" in rows:
        rows["or_more"] = rows["or_more"].eq(True)
    return rows
