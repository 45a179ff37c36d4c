"""The sleeve or ring that a candidate's work takes, named from the lists beside the candidate."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from xref.acts.offered import offered
from xref.kinds.spec import spec
from xref.matching.beside import best

if TYPE_CHECKING:
    from xref.fits.judgement import Beside
    from xref.store import Store


def add_parts(store: Store, asked: Sequence[tuple[dict[str, Any], Sequence[Beside]]]) -> None:
    """Put into each candidate's document the parts that its work takes, with their checks."""
    for kind in dict.fromkeys(one.kind for _, ones in asked for one in ones):
        wanted = [(document, one) for document, ones in asked for one in ones if one.kind == kind]
        there = offered(store, kind)
        found = best(kind, [one for _, one in wanted], there.part, np.arange(len(there)))
        for (document, _), chosen in zip(wanted, found, strict=True):
            if chosen is None:
                continue
            row, told = chosen
            items = store.items([(int(there.edition[row]), int(there.key[row]))], 1)
            document["parts"].extend(
                named(item, kind) | {"work": told["work"], "checks": told["checks"]}
                for item in items
            )


def named(item: dict[str, Any], kind: str) -> dict[str, Any]:
    """Return a part of the lists as an answer names it."""
    return {
        "role": spec(kind).title.lower(),
        "maker": item["maker"],
        "number": item["number"],
        "kind": kind,
        "dimensions_mm": item["dimensions_mm"],
        "list": item["list"],
    }
