"""Many originals against the lists of a store: the same as row by row, each line once."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import xref
from xref.acts.bulk import ranked
from xref.acts.want_candidates import candidates
from xref.sourcing import supply, wants
from xref.store import ListInfo, Store

pytestmark = pytest.mark.store
DAY = date(2027, 10, 1)
BUSH = {"kind": "plain_bushing", "bore_diameter_mm": 25.0, "outside_diameter_mm": 32.0}


def bush(number: str, length: float, **more: Any) -> dict[str, Any]:
    """A row of a list of bushes."""
    return {"number": number, **BUSH, "length_mm": length, **more}


def store_of(folder: Path, **lists: list[dict[str, Any]]) -> Store:
    """A store with these lists; those called stock... are a supplier's."""
    made = Store.open(folder / "store")
    for name, rows in lists.items():
        frame = pd.DataFrame([{"at": n, **row} for n, row in enumerate(rows, 2)])
        stock = name.startswith("stock")
        info = ListInfo("stock" if stock else "catalogue", name, supplier=name if stock else None)
        made.add_edition(info, frame)
    return made


def shown(store: Store) -> list[tuple[Any, ...]]:
    """Maker, number, verdict and list of what stands in for a bush 25 x 32 x 30 mm."""
    rows = ranked(store, [bush("TW 3", 30.0)], top=10)
    return [(r["maker"], r["number"], r["verdict"], r["list"]) for r in rows]


def test_a_line_without_a_maker_stands_once_for_a_want(tmp_path: Path) -> None:
    """Two makers' parts of one number fit; a line that names neither may be of both, and is one."""
    made = store_of(
        tmp_path,
        catalogue=[bush("30", 30.0, maker="Rovald"), bush("30", 30.0, maker="Ostrel")],
        stock=[{"number": "30", "quantity": 2}],
    )
    assert [(maker, number) for maker, number, *_ in shown(made)] == [
        ("Rovald", "30"),
        ("Ostrel", "30"),
    ]
    number = wants.add(
        made, None, kind="plain_bushing", sizes={"id": "25mm", "od": "32mm", "length": "30mm"},
        quantity=1, on=DAY,
    )["want"]  # fmt: skip
    with made.reading() as state:
        rows = wants.rows(state, DAY)
    found = candidates(made, rows)
    assert [maker for maker, *_ in found[number]] == ["Rovald", "Ostrel"]
    assert [line.line for line in supply.listings(made, rows, found)[number]] == [(2, 0)]


def test_what_is_in_stock_comes_before_its_equals(tmp_path: Path) -> None:
    """Of parts that rank the same, the one a supplier lists stands first, whatever was loaded."""
    made = store_of(
        tmp_path,
        catalogue=[bush("RV 30", 30.0, maker="Rovald")],
        stock=[bush("OS 30", 30.0, maker="Ostrel")],
        other=[bush("AB 30", 30.0, maker="Abel")],
    )
    assert [number for _, number, *_ in shown(made)] == ["OS 30", "RV 30", "AB 30"]


def test_keys_give_what_the_rows_give(tmp_path: Path) -> None:
    """Judging the distinct keys and expanding them says of each part what `xref.match` says."""
    offered = [
        bush(f"B {n}", 26.0 + n % 9, maker="Rovald")
        | {"bore_diameter_mm": 24.0 + n % 3, "outside_diameter_mm": 32.0 + n % 4}
        for n in range(60)
    ]
    originals = [bush("one", 30.0), bush("two", 31.0) | {"outside_diameter_mm": 33.0}, {
        "number": "nothing", "kind": "plain_bushing", "bore_diameter_mm": 900.0,
    }]  # fmt: skip
    rows = ranked(store_of(tmp_path, catalogue=offered), originals, top=60)
    expected = xref.match(pd.DataFrame(originals), pd.DataFrame(offered), top=60)
    told = ["original_number", "number", "verdict", "certainty", "conformance", "work"]
    fits = expected["verdict"] != "does not fit"
    assert sorted(tuple(r[n] for n in told) for r in rows if r["verdict"] != "does not fit") == (
        sorted(expected.loc[fits, told].itertuples(index=False, name=None))
    )
    assert [r["original_number"] for r in rows if r["number"] is None] == (
        expected.loc[expected["number"].isna(), "original_number"].tolist()
    )
