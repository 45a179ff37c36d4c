"""The parts of the lists as the judges take them, understood once for as long as the lists stay."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from xref.kinds.base import Part
from xref.matching.candidates import BySize
from xref.matching.parts import part_from_columns

if TYPE_CHECKING:
    from xref.store import Store

_MOST = 24  # kinds of stores that are kept in mind; some ten thousand keys of each
_kept: OrderedDict[tuple[object, ...], Offered] = OrderedDict()
_guard = threading.Lock()


@dataclass(frozen=True, slots=True)
class Offered:
    """The judgement keys of a kind as parts; `edition` and `key` name each. Not to be changed."""

    by_size: BySize
    edition: NDArray[np.int64]
    key: NDArray[np.int64]

    @property
    def part(self) -> Part:
        """The parts themselves."""
        return self.by_size.part

    def __len__(self) -> int:
        return len(self.key)

    def row_of(self, edition: int, key: int) -> int | None:
        """Return the row of a key; None if it is not among these."""
        here = np.flatnonzero(self.edition == edition)
        place = int(np.searchsorted(self.key[here], key))  # sorted within an edition
        return int(here[place]) if place < len(here) and self.key[here[place]] == key else None


def offered(store: Store, kind: str) -> Offered:
    """Return the parts of a kind that the current catalogues and stock lists offer."""
    editions = tuple(
        (e.edition, e.folder, e.digest, e.loaded_at)
        for e in store.editions()
        if e.table in ("catalogue", "stock")
    )
    name = (str(store.folder), kind, editions)
    with _guard:
        found = _kept.get(name)
        if found is not None:
            _kept.move_to_end(name)
            return found
    columns = store.coded_keys(kind)
    edition, key = np.asarray(columns["edition"]), np.asarray(columns["key"])
    found = Offered(BySize(part_from_columns(kind, columns, len(key))), edition, key)
    with _guard:
        _kept[name] = found
        while len(_kept) > _MOST:
            _kept.popitem(last=False)
    return found
